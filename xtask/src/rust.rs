//! Rust tests and documentation.

use crate::stage::{Outcome, Verdict};
use crate::tool::{cargo, run};

pub(crate) fn tests() -> Outcome {
    run(&mut cargo(&["test", "--workspace", "--lib", "--bins", "--tests", "--examples"]))?;
    Ok(Verdict::Passed)
}

pub(crate) fn documentation() -> Outcome {
    run(&mut cargo(&["test", "--workspace", "--exclude", "wholestep-python", "--doc"]))?;
    run(cargo(&["doc", "--workspace", "--no-deps"]).env("RUSTDOCFLAGS", "-D warnings"))?;
    Ok(Verdict::Passed)
}
