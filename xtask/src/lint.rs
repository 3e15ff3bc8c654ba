//! Formatting and lints.

use crate::stage::{Outcome, Verdict};
use crate::tool::{cargo, run, target};

pub(crate) fn format() -> Outcome {
    run(&mut cargo(&["fmt", "--all", "--check"]))?;
    // Not of the workspace, and compiled only where there is a compiler for it.
    run(&mut cargo(&["fmt", "--manifest-path", "xtask/chip/Cargo.toml", "--check"]))?;
    Ok(Verdict::Passed)
}

/// The whole workspace, with the example on Linux pins, then the core alone: code that a missing feature
/// leaves unused shows only there. The fuzz targets have a workspace of their own, and are only compiled.
pub(crate) fn clippy() -> Outcome {
    let everything: &[&str] = if cfg!(target_os = "linux") {
        &["--workspace", "--all-targets", "--features", "wholestep-examples/gpio"]
    } else {
        &["--workspace", "--all-targets"]
    };
    let core = &["--package", "wholestep", "--no-default-features"];
    for selection in [everything, core.as_slice(), &[core, ["--features", "alloc"].as_slice()].concat()] {
        run(cargo(&["clippy"]).args(selection).args(["--", "-D", "warnings"]))?;
    }
    run(cargo(&[
        "check",
        "--manifest-path",
        "tests/fuzz/Cargo.toml",
        "--no-default-features",
        "--target-dir",
    ])
    .arg(target().join("fuzz-check")))?;
    Ok(Verdict::Passed)
}
