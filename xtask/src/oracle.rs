//! Second opinions that share no code: plans in plain Python integers, curved placements in mpmath,
//! certified functions in ball arithmetic.

use std::path::PathBuf;

use crate::python;
use crate::rust;
use crate::stage::{Outcome, Verdict};
use crate::tool::{cargo, command, run, target};

const ORACLE: &str = "tests/oracle/plan_oracle.py";

/// How the program is built that an oracle checks.
#[derive(Clone, Copy)]
enum Build {
    /// As the tests are, so that it is there already.
    AsTested,
    Fast,
}

pub(crate) fn short() -> Outcome {
    recompute(Build::AsTested, "2000")
}

pub(crate) fn long() -> Outcome {
    recompute(Build::Fast, "100000")
}

fn recompute(build: Build, plans: &str) -> Outcome {
    let dump = dump(build, "plan_dump")?;
    run(command(python::system()?, &[ORACLE]).arg(dump).args(["--count", plans]))?;
    Ok(Verdict::Passed)
}

/// Curved placements against mpmath at 60 digits.
pub(crate) fn placements_short() -> Outcome {
    second_opinion(Build::AsTested, "placement", "300")
}

pub(crate) fn placements_long() -> Outcome {
    second_opinion(Build::Fast, "placement", "20000")
}

/// Certified functions against the balls of python-flint.
pub(crate) fn enclosures_short() -> Outcome {
    second_opinion(Build::AsTested, "enclosure", "500")
}

pub(crate) fn enclosures_long() -> Outcome {
    second_opinion(Build::Fast, "enclosure", "20000")
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
    let folder = match build {
        Build::AsTested => {
            rust::build()?;
            "debug"
        }
        Build::Fast => {
            let arguments = ["build", "--quiet", "--release", "--package", "wholestep-tests", "--bin", name];
            run(&mut cargo(&arguments))?;
            "release"
        }
    };
    Ok(target().join(folder).join(name))
}
