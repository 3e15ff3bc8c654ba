//! Rust tests and documentation.

use crate::stage::{Outcome, Verdict};
use crate::tool::{cargo, run};

pub(crate) fn tests() -> Outcome {
    // The benches have no tests, and their peers take long to build; the lints look at them.
    let all = ["test", "--workspace", "--exclude", "wholestep-benches"];
    run(cargo(&all).args(["--lib", "--bins", "--tests", "--examples"]))?;
    Ok(Verdict::Passed)
}

pub(crate) fn documentation() -> Outcome {
    run(&mut cargo(&["test", "--workspace", "--exclude", "wholestep-python", "--doc"]))?;
    run(cargo(&["doc", "--workspace", "--no-deps"]).env("RUSTDOCFLAGS", "-D warnings"))?;
    Ok(Verdict::Passed)
}
