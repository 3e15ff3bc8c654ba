//! The README's examples, run. Its Rust ones run as documentation tests of the examples package.

pub(crate) mod block;
mod console;
mod python_block;

use std::fs;
use std::path::Path;

use crate::python::{self, programs};
use crate::stage::{Outcome, Verdict};
use crate::tool::{capture, command, target};
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
            "toml" => axis_file(&venv, block).map_err(|reason| format!("{place}: {reason}"))?,
            "console" => console::check(&venv, block).map_err(|reason| format!("{place}: {reason}"))?,
            // Rust is a documentation test, and text is only read.
            "rust" | "text" => continue,
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

/// Describes the axis file that a block shows, with the command as the wheel installs it.
fn axis_file(venv: &Path, block: &Block) -> Result<(), String> {
    let file = target().join("readme_axis.toml");
    fs::write(&file, &block.body).map_err(|error| format!("{}: {error}", file.display()))?;
    let written = capture(command(programs(venv).join("wholestep"), &["describe"]).arg(&file))?;
    if written.success { Ok(()) } else { Err(format!("no axis file: {}", written.errors)) }
}

/// A line of its own that stands for any lines left out.
const LEFT_OUT: &str = "…";

/// Both texts if they differ.
fn compare(given: &str, shown: &str) -> Result<(), String> {
    let (given, shown) = (given.trim_end(), shown.trim_end());
    if agrees(&given.lines().collect::<Vec<_>>(), &shown.lines().collect::<Vec<_>>()) {
        return Ok(());
    }
    Err(format!("it prints:\n{given}\nbut is shown to print:\n{shown}"))
}

fn agrees(given: &[&str], shown: &[&str]) -> bool {
    match (given, shown) {
        (_, [LEFT_OUT, shown @ ..]) => (0..=given.len()).any(|left_out| agrees(&given[left_out..], shown)),
        ([one, given @ ..], [other, shown @ ..]) => one == other && agrees(given, shown),
        ([], []) => true,
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::compare;

    #[test]
    fn lines_may_be_left_out_and_none_may_differ() {
        for (given, shown, agree) in [
            ("a\nb\n", "a\nb", true),
            ("a\nb\nc\nd", "…\nb\n…\nd", true),
            ("a\nb", "…", true),
            ("a\nb", "a\n…", true),
            ("a\nb\nc", "a\n…\nb", false),
            ("a\nb", "a", false),
            ("a", "a\nb", false),
            ("a\nb", "b\n…\na", false),
        ] {
            assert_eq!(compare(given, shown).is_ok(), agree, "{given:?} {shown:?}");
        }
    }
}
