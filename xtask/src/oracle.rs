//! Second opinions that share no code: plans in plain Python integers, curved placements in mpmath,
//! certified functions in ball arithmetic.

use std::path::PathBuf;

use crate::python;
use crate::stage::{Outcome, Verdict};
use crate::tool::{cargo, command, run, target};

const ORACLE: &str = "tests/oracle/plan_oracle.py";

/// How the program is built that an oracle checks.
#[derive(Clone, Copy)]
struct Build {
    arguments: &'static [&'static str],
    folder: &'static str,
}

/// As the tests are, so that it is there already.
const AS_TESTED: Build = Build { arguments: &[], folder: "debug" };
const FAST: Build = Build { arguments: &["--release"], folder: "release" };

pub(crate) fn short() -> Outcome {
    recompute(AS_TESTED, "2000")
}

pub(crate) fn long() -> Outcome {
    recompute(FAST, "100000")
}

fn recompute(build: Build, plans: &str) -> Outcome {
    let dump = dump(build, "plan_dump")?;
    run(command(python::system()?, &[ORACLE]).arg(dump).args(["--count", plans]))?;
    Ok(Verdict::Passed)
}

/// Curved placements against mpmath at 60 digits.
pub(crate) fn placements_short() -> Outcome {
    second_opinion(AS_TESTED, "placement", "300")
}

pub(crate) fn placements_long() -> Outcome {
    second_opinion(FAST, "placement", "20000")
}

/// Certified functions against the balls of python-flint.
pub(crate) fn enclosures_short() -> Outcome {
    second_opinion(AS_TESTED, "enclosure", "500")
}

pub(crate) fn enclosures_long() -> Outcome {
    second_opinion(FAST, "enclosure", "20000")
}

fn second_opinion(build: Build, subject: &str, cases: &str) -> Outcome {
    let dump = dump(build, &format!("{subject}_dump"))?;
    let venv = python::with_packages("venv-oracle", &["mpmath==1.4.1", "python-flint==0.8.0"])?;
    let oracle = format!("tests/oracle/{subject}_oracle.py");
    run(python::python(&venv, &[&oracle]).arg(dump).args(["--cases", cases]))?;
    Ok(Verdict::Passed)
}

/// The program that prints what the library says, for an oracle to check.
fn dump(build: Build, name: &str) -> Result<PathBuf, String> {
    let arguments = ["build", "--quiet", "--package", "wholestep-tests", "--bin", name];
    run(cargo(&arguments).args(build.arguments))?;
    Ok(target().join(build.folder).join(name))
}
