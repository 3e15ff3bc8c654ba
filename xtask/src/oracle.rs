//! The plan oracle: a second opinion on every edge, in plain Python integers, sharing no code.

use crate::python;
use crate::stage::{Outcome, Verdict};
use crate::tool::{cargo, command, run};

const ORACLE: &str = "tests/oracle/plan_oracle.py";

pub(crate) fn short() -> Outcome {
    recompute("2000")
}

pub(crate) fn long() -> Outcome {
    recompute("100000")
}

fn recompute(plans: &str) -> Outcome {
    run(&mut cargo(&[
        "build",
        "--quiet",
        "--release",
        "--package",
        "wholestep-tests",
        "--bin",
        "plan_dump",
    ]))?;
    run(&mut command(python::system()?, &[ORACLE, "target/release/plan_dump", "--count", plans]))?;
    Ok(Verdict::Passed)
}
