//! The walkthrough "Add a mechanism" of DEVELOPERS.md, done literally beside a fresh clone: its files
//! are written and its commands run.

use std::env;
use std::fs;
use std::path::Path;

use crate::readme::block;
use crate::stage::{Outcome, Verdict};
use crate::tool::{command, run as watch, target};

const PAGE: &str = "DEVELOPERS.md";
const START: &str = "## Add a mechanism";

pub(crate) fn run() -> Outcome {
    if cfg!(windows) {
        return Ok(Verdict::Skipped("its commands are those of a Unix shell".into()));
    }
    let page = fs::read_to_string(PAGE).map_err(|error| format!("{PAGE}: {error}"))?;
    let section = page.split(START).nth(1).ok_or_else(|| format!("{PAGE} has no “{START}”"))?;
    let section = section.split("\n## ").next().unwrap_or_default();
    // Outside the repository, where cargo finds no workspace above it.
    let folder = env::temp_dir().join(format!("wholestep-walkthrough-{}", std::process::id()));
    fs::create_dir_all(&folder).map_err(|error| format!("{}: {error}", folder.display()))?;
    let done = follow(section, &folder);
    let removed = fs::remove_dir_all(&folder).map_err(|error| format!("{}: {error}", folder.display()));
    done.and(removed)?;
    Ok(Verdict::Passed)
}

fn follow(section: &str, folder: &Path) -> Result<(), String> {
    watch(command("git", &["clone", "--quiet", "."]).arg(folder.join("wholestep")))?;
    let lines: Vec<&str> = section.lines().collect();
    for block in block::read(section)? {
        if block.language == "console" {
            for line in block.body.lines().filter_map(|line| line.strip_prefix("$ ")) {
                // Its own folder for what cargo builds, kept for the next time.
                let built = target().join("walkthrough");
                watch(command("sh", &["-ec", line]).current_dir(folder).env("CARGO_TARGET_DIR", built))?;
            }
            continue;
        }
        let name = file_name(&lines[..block.line - 1])
            .ok_or_else(|| format!("a block of `{}` does not say its file", block.language))?;
        let file = folder.join(name);
        let above = file.parent().unwrap_or(folder);
        fs::create_dir_all(above).map_err(|error| format!("{}: {error}", above.display()))?;
        fs::write(&file, block.body).map_err(|error| format!("{}: {error}", file.display()))?;
    }
    Ok(())
}

/// The file named by the line above a block, such as “`toggle/pyproject.toml`:”.
fn file_name<'p>(above: &[&'p str]) -> Option<&'p str> {
    let line = above.iter().rev().find(|line| !line.is_empty())?;
    line.strip_prefix('`')?.strip_suffix("`:")
}
