//! Second opinions that share no code: plans in plain Python integers, curved placements in mpmath,
//! certified functions in ball arithmetic.

use std::path::PathBuf;

use crate::python;
use crate::stage::{Outcome, Verdict};
use crate::tool::{cargo, command, run, target};

const ORACLE: &str = "tests/oracle/plan_oracle.py";

pub(crate) fn short() -> Outcome {
    recompute("2000")
}

pub(crate) fn long() -> Outcome {
    recompute("100000")
}

fn recompute(plans: &str) -> Outcome {
    let dump = dump("plan_dump")?;
    run(command(python::system()?, &[ORACLE]).arg(dump).args(["--count", plans]))?;
    Ok(Verdict::Passed)
}

/// Curved placements against mpmath at 60 digits.
pub(crate) fn placements_short() -> Outcome {
    second_opinion("placement", "300")
}

pub(crate) fn placements_long() -> Outcome {
    second_opinion("placement", "20000")
}

/// Certified functions against the balls of python-flint.
pub(crate) fn enclosures_short() -> Outcome {
    second_opinion("enclosure", "500")
}

pub(crate) fn enclosures_long() -> Outcome {
    second_opinion("enclosure", "20000")
}

fn second_opinion(subject: &str, cases: &str) -> Outcome {
    let dump = dump(&format!("{subject}_dump"))?;
    let venv = python::with_packages("venv-oracle", &["mpmath==1.4.1", "python-flint==0.8.0"])?;
    let oracle = format!("tests/oracle/{subject}_oracle.py");
    run(python::python(&venv, &[&oracle]).arg(dump).args(["--cases", cases]))?;
    Ok(Verdict::Passed)
}

/// The program that prints what the library says, for an oracle to check.
fn dump(name: &str) -> Result<PathBuf, String> {
    run(&mut cargo(&["build", "--quiet", "--release", "--package", "wholestep-tests", "--bin", name]))?;
    Ok(target().join("release").join(name))
}
