//! How answers are laid out: tables for a terminal, JSON for programs, measures in the axis's unit.

use comfy_table::{CellAlignment, ContentArrangement, Table, presets};
use serde::Serialize;
use wholestep::{Enclosure, Error, ErrorKind, Measure, Result};

/// Decimals to which an enclosure's position is told.
const PLACES: u8 = 6;

/// A table with the given heads; the columns whose head starts with `>` are set to the right.
pub(crate) fn table(heads: &[&str]) -> Table {
    let mut table = Table::new();
    table.load_preset(presets::NOTHING).set_content_arrangement(ContentArrangement::Disabled);
    table.set_header(heads.iter().map(|head| head.trim_start_matches('>')));
    for (column, head) in table.column_iter_mut().zip(heads) {
        column.set_padding((0, 2));
        if head.starts_with('>') {
            column.set_cell_alignment(CellAlignment::Right);
        }
    }
    table
}

/// The table as lines without trailing blanks.
pub(crate) fn lines(table: &Table) -> String {
    table.lines().map(|line| format!("{}\n", line.trim_end())).collect()
}

/// `answer` as JSON, on lines of its own.
pub(crate) fn json(answer: &impl Serialize) -> Result<String> {
    serde_json::to_string_pretty(answer)
        .map(|text| text + "\n")
        .map_err(|error| Error::new(ErrorKind::File, "answer in JSON").advice(error.to_string()))
}

/// A measure in `unit`: exact where it is, otherwise a decimal that says it is rounded.
pub(crate) fn measure<M: Measure>(value: Enclosure<M>, unit: M::Unit) -> Result<String> {
    if value.is_exact() {
        return Ok(value.low().exact_in(unit).to_string());
    }
    let [low, high] = [value.low(), value.high()].map(|bound| bound.decimal_in(unit, PLACES));
    let (low, high) = (low?.to_string(), high?.to_string());
    Ok(if low == high { low } else { format!("{low} to {high}") })
}

/// An enclosure for programs: both bounds as exact text.
#[derive(Debug, Serialize)]
pub(crate) struct Bounds {
    low: String,
    high: String,
}

impl Bounds {
    pub(crate) fn of<M: Measure>(value: Enclosure<M>, unit: M::Unit) -> Self {
        Self { low: value.low().exact_in(unit).to_string(), high: value.high().exact_in(unit).to_string() }
    }
}
