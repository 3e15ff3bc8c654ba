//! The README's examples, run. Its Rust ones run as documentation tests of the examples package.

pub(crate) mod block;
mod console;
mod python_block;

use std::fs;

use crate::python;
use crate::stage::{Outcome, Verdict};
use block::Block;

const README: &str = "README.md";

pub(crate) fn run() -> Outcome {
    let text = fs::read_to_string(README).map_err(|error| format!("{README}: {error}"))?;
    let blocks = block::read(&text)?;
    let venv = python::wheel_alone()?;
    let mut checked = 0;
    for (index, block) in blocks.iter().enumerate() {
        let place = format!("{README}:{}", block.line);
        match block.language.as_str() {
            "python" => {
                let printed = blocks.get(index + 1).filter(|next| next.language == "text");
                python_block::check(&venv, block, printed).map_err(|reason| format!("{place}: {reason}"))?;
            }
            "console" => console::check(&venv, block).map_err(|reason| format!("{place}: {reason}"))?,
            // Rust is a documentation test; the others are only read.
            "rust" | "text" | "toml" => continue,
            other => return Err(format!("{place}: nobody checks a block of `{other}`")),
        }
        println!("{place}: {} runs as shown", block.language);
        checked += 1;
    }
    if checked == 0 {
        return Err(format!("{README} has no python and no console block"));
    }
    Ok(Verdict::Passed)
}

/// Both texts when they differ.
fn compare(given: &str, shown: &str) -> Result<(), String> {
    if given.trim_end() == shown.trim_end() {
        return Ok(());
    }
    Err(format!("it prints:\n{given}\nbut is shown to print:\n{shown}"))
}
