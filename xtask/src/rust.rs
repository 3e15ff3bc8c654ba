//! Rust tests and documentation.

use crate::stage::{Outcome, Verdict};
use crate::tool::{cargo, run};

/// Every test. The benches have none, and their peers take long to build; the lints look at them.
const TESTS: [&str; 8] =
    ["test", "--workspace", "--exclude", "wholestep-benches", "--lib", "--bins", "--tests", "--examples"];

pub(crate) fn tests() -> Outcome {
    run(&mut cargo(&TESTS))?;
    Ok(Verdict::Passed)
}

/// Builds the tests, and the programs beside them, without running any.
pub(crate) fn build() -> Result<(), String> {
    run(cargo(&TESTS).args(["--quiet", "--no-run"]))
}

pub(crate) fn documentation() -> Outcome {
    run(&mut cargo(&["test", "--workspace", "--exclude", "wholestep-python", "--doc"]))?;
    run(cargo(&["doc", "--workspace", "--no-deps"]).env("RUSTDOCFLAGS", "-D warnings"))?;
    Ok(Verdict::Passed)
}
