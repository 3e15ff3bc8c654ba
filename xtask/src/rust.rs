//! Rust tests and documentation.

use crate::stage::{Outcome, Verdict};
use crate::tool::{cargo, run};

/// Every package with tests. The benches have none, and their peers take long to build; the lints look at
/// them. The extension module would need Python's library, which Debian's python3 does not bring, and its
/// tests are Python's.
const PACKAGES: [&str; 5] =
    ["--workspace", "--exclude", "wholestep-benches", "--exclude", "wholestep-python"];
const TESTS: [&str; 3] = ["--lib", "--bins", "--tests"];

pub(crate) fn tests() -> Outcome {
    run(cargo(&["test"]).args(PACKAGES).args(TESTS))?;
    Ok(Verdict::Passed)
}

/// Builds the tests, and the programs beside them, without running any.
pub(crate) fn build() -> Result<(), String> {
    run(cargo(&["test", "--quiet", "--no-run"]).args(PACKAGES).args(TESTS))
}

/// Builds the examples beside the tests: alone they would have other features, and take a build of their
/// own.
pub(crate) fn examples() -> Result<(), String> {
    run(cargo(&["build", "--quiet", "--examples"]).args(PACKAGES))
}

pub(crate) fn documentation() -> Outcome {
    run(cargo(&["test", "--doc"]).args(PACKAGES))?;
    run(cargo(&["doc", "--workspace", "--no-deps"]).env("RUSTDOCFLAGS", "-D warnings"))?;
    Ok(Verdict::Passed)
}
