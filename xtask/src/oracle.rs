//! The plan oracle: a second opinion on every edge, in plain Python integers, sharing no code.

use std::path::Path;

use crate::python;
use crate::stage::{Outcome, Verdict};
use crate::tool::{command, run};

const ORACLE: &str = "tests/oracle/plan_oracle.py";

pub(crate) fn short() -> Outcome {
    recompute("2000")
}

pub(crate) fn long() -> Outcome {
    recompute("100000")
}

fn recompute(plans: &str) -> Outcome {
    if !Path::new(ORACLE).exists() {
        return Ok(Verdict::Skipped(format!("there is no {ORACLE} yet")));
    }
    run(&mut command(python::system()?, &[ORACLE, plans]))?;
    Ok(Verdict::Passed)
}
