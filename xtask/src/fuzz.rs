//! Coverage-guided fuzzing, with cargo-fuzz and the targets in `tests/fuzz`.

use std::fs;
use std::path::Path;

use crate::stage::{Outcome, Verdict};
use crate::tool::{cargo, cargo_has, run as watch, target as target_folder};

const FOLDER: &str = "tests/fuzz";
const INSTALL: &str = "cargo-fuzz is not installed (`cargo install cargo-fuzz --locked`)";

/// One target, until stopped or for the given number of seconds.
pub(crate) fn run(arguments: &[String]) -> Outcome {
    let known = targets()?;
    match arguments {
        _ if !cargo_has("fuzz") => Err(INSTALL.into()),
        [target, rest @ ..] if known.contains(target) && rest.len() <= 1 => {
            let seconds = rest.first().map_or("0", String::as_str);
            if seconds.parse::<u32>().is_err() {
                return Err(format!("`{seconds}` is not a whole number of seconds"));
            }
            fuzz(target, seconds)
        }
        _ => Err(format!("name one target of: {}", known.join(", "))),
    }
}

/// Every target, ten minutes each.
pub(crate) fn campaign() -> Outcome {
    let known = targets()?;
    if known.is_empty() {
        return Ok(Verdict::Skipped(format!("there are no targets in {FOLDER} yet")));
    }
    if !cargo_has("fuzz") {
        return Ok(Verdict::Skipped(INSTALL.into()));
    }
    for target in &known {
        fuzz(target, "600")?;
    }
    Ok(Verdict::Passed)
}

/// From the corpus that earlier runs kept, and the example axes. Hanging is failing: an input may take
/// ten seconds. The instrumentation is not in the stable compiler's promises, hence the variable.
fn fuzz(target: &str, seconds: &str) -> Outcome {
    let kept = Path::new(FOLDER).join("corpus").join(target);
    fs::create_dir_all(&kept).map_err(|error| format!("{}: {error}", kept.display()))?;
    let seeds = (target == "axis_file").then_some("examples/axes");
    watch(
        cargo(&["fuzz", "run", "--fuzz-dir", FOLDER, "--target-dir"])
            .arg(target_folder().join("fuzz"))
            .arg(target)
            .arg(kept)
            .args(seeds)
            .args(["--", "-timeout=10"])
            .arg(format!("-max_total_time={seconds}"))
            .env("RUSTC_BOOTSTRAP", "1"),
    )?;
    Ok(Verdict::Passed)
}

fn targets() -> Result<Vec<String>, String> {
    let folder = Path::new(FOLDER).join("fuzz_targets");
    if !folder.exists() {
        return Ok(Vec::new());
    }
    let listed = fs::read_dir(&folder).map_err(|error| format!("{}: {error}", folder.display()))?;
    let files = listed.filter_map(Result::ok).map(|entry| entry.path());
    let mut names: Vec<String> = files
        .filter(|file| file.extension().is_some_and(|extension| extension == "rs"))
        .filter_map(|file| file.file_stem()?.to_str().map(String::from))
        .collect();
    names.sort();
    Ok(names)
}
