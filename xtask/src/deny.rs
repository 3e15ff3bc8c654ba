//! What the dependencies may be: licences, sources, versions.

use std::path::Path;

use crate::stage::{Outcome, Verdict};
use crate::tool::{cargo, cargo_has, command, run, target};

/// Known weaknesses are left out: their list lies where a build may not reach.
const CHECKS: &[&str] = &["check", "licenses", "bans", "sources"];

pub(crate) fn if_installed() -> Outcome {
    if !cargo_has("deny") {
        return Ok(Verdict::Skipped("cargo-deny is not installed; `cargo xtask full` installs it".into()));
    }
    run(cargo(&["deny"]).args(CHECKS))?;
    Ok(Verdict::Passed)
}

/// Builds cargo-deny into `target/tools` when the machine has none.
pub(crate) fn installing() -> Outcome {
    if cargo_has("deny") {
        return if_installed();
    }
    let tools = target().join("tools");
    run(cargo(&["install", "cargo-deny", "--version", "0.20.2", "--locked", "--root"]).arg(&tools))?;
    let program =
        tools.join("bin").join(Path::new("cargo-deny").with_extension(std::env::consts::EXE_EXTENSION));
    run(&mut command(program, CHECKS))?;
    Ok(Verdict::Passed)
}
