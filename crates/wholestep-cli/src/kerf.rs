//! `wholestep kerf BOARD PIECE…`.

use serde::Serialize;
use wholestep::measure::Unit;
use wholestep::{Length, LengthUnit, Measure, Result};
use wholestep_shop::blade::measured_kerf;

use crate::arguments;
use crate::output::{self, wrapped};

pub(crate) fn answer(task: &arguments::Kerf, json: bool) -> Result<String> {
    let unit = LengthUnit::read(&task.unit)?;
    let board = Length::read(&task.board, Some(unit))?;
    let read = |piece: &String| Length::read(piece, Some(unit));
    let pieces = task.pieces.iter().map(read).collect::<Result<Vec<_>>>()?;
    let kerf = measured_kerf(board, &pieces, unit)?.to_text(unit).to_string();
    let cuts = pieces.len() - 1;
    if json {
        return output::json(&Told { kerf, cuts });
    }
    let cuts = if cuts == 1 { "1 cut".to_owned() } else { format!("{cuts} cuts") };
    Ok(format!("kerf {kerf}, of {cuts}\n\n{}\n", wrapped(UNTIL, "")))
}

const UNTIL: &str = "Write it as kerf in [cut_list]. It holds for this blade in this saw until the blade is \
    sharpened or changed; measure again then.";

#[derive(Debug, Serialize)]
struct Told {
    kerf: String,
    cuts: usize,
}
