//! What the core costs on a Cortex-M: instructions counted in an emulator, and bytes of flash and RAM.
//!
//! The images are in `xtask/chip`, and the costs last agreed to in its `table.txt`: a change that makes
//! one of them larger by more than [`GROWTH`] fails, unless it brings a new table.

mod elf;
mod measure;
mod setup;
mod table;

use std::fs;

use self::setup::Toolchain;
use self::table::Table;
use crate::stage::{Outcome, Verdict};

const TABLE: &str = "xtask/chip/table.txt";
const UPDATE: &str = "--update";

/// Growth that fails, in hundredths.
const GROWTH: u64 = 5;

/// The stage of every change: measures if compiler and emulator are there, and fetches nothing.
pub(crate) fn if_set_up() -> Outcome {
    match Toolchain::find()? {
        Some(toolchain) => check(&toolchain),
        None => Ok(Verdict::Skipped(format!(
            "no compiler and emulator for it in {}; `cargo xtask chip` fetches them",
            setup::folder()?.display()
        ))),
    }
}

/// The same, fetching what is missing.
pub(crate) fn setting_up() -> Outcome {
    check(&Toolchain::find_or_fetch()?)
}

/// The command.
pub(crate) fn run(arguments: &[String]) -> Outcome {
    match arguments {
        [] => setting_up(),
        [word] if word == UPDATE => {
            let measured = measure::everything(&Toolchain::find_or_fetch()?)?;
            println!("{}", measured.compared(&measured));
            fs::write(TABLE, measured.to_string()).map_err(|error| format!("{TABLE}: {error}"))?;
            println!("Wrote {TABLE}.");
            Ok(Verdict::Passed)
        }
        _ => Err(format!("chip takes {UPDATE} or nothing")),
    }
}

fn check(toolchain: &Toolchain) -> Outcome {
    let text = fs::read_to_string(TABLE).map_err(|error| format!("{TABLE}: {error}"))?;
    let agreed = Table::read(&text).map_err(|error| format!("{TABLE}: {error}"))?;
    let measured = measure::everything(toolchain)?;
    println!("{}", measured.compared(&agreed));
    let grown = measured.grown(&agreed, GROWTH);
    if grown.is_empty() {
        return Ok(Verdict::Passed);
    }
    Err(format!(
        "more than {GROWTH} % above {TABLE}, or missing on either side; mend it, or agree to it with \
         `cargo xtask chip {UPDATE}`:\n{}",
        grown.join("\n")
    ))
}
