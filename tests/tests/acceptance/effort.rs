//! `effort` on every axis file: the library's numbers, or what must be measured first; and its drawing.

use wholestep::exact;
use wholestep_shop::Effort;

use crate::cells::Cells;
use crate::command::{Caller, same};
use crate::shipped::{Shipped, nothing};

pub(crate) fn on_axis(cells: &mut Cells, caller: &mut Caller, shipped: &Shipped) {
    let path = shipped.path.as_str();
    for (text, margin) in [("50%", exact!(1 / 2)), ("1/5", exact!(1 / 5))] {
        let arguments = ["effort", path, "--margin", text];
        let told = caller.json(&arguments, &[0, 1]);
        let outcome = match (Effort::new(&shipped.file, margin), told) {
            // Both are read from text alike: a reader of JSON may round the last digit of a float.
            (Ok(effort), Ok(told)) => serde_json::to_string(&effort)
                .and_then(|text| serde_json::from_str::<serde_json::Value>(&text))
                .map_err(|error| error.to_string())
                .and_then(|expected| same(&told, expected)),
            (Err(error), Err(told)) if told.contains(&error.to_string()) => drawn(caller, path, &[2], false),
            (Ok(_), Err(told)) => Err(told),
            (Err(error), told) => Err(format!("{error}, but {told:?}")),
        };
        cells.case(&shipped.name, outcome, || arguments.join(" "));
    }
    let is_told = Effort::new(&shipped.file, exact!(1 / 2)).is_ok();
    if is_told {
        let outcome = drawn(caller, path, &[0, 1], true);
        cells.case(&shipped.name, outcome, || format!("effort {path} --plot --replace"));
    }
}

/// Draws, where there is nothing and where there is a drawing; whether that came about.
fn drawn(caller: &mut Caller, path: &str, well: &[u8], comes: bool) -> Result<(), String> {
    let drawing = nothing("effort.svg");
    for options in [&["--plot", &drawing][..], &["--plot", &drawing, "--replace"]] {
        let said = caller.say(&[&["effort", path], options].concat());
        let is_there = std::fs::read_to_string(&drawing).is_ok_and(|drawn| drawn.contains("</svg>"));
        if !well.contains(&said.status) || is_there != comes {
            return Err(format!("status {}, drawn {is_there}: {}", said.status, said.errors));
        }
    }
    Ok(())
}
