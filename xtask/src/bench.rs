//! The benchmarks, and the same work in the Python packages that people would reach for.

use crate::python;
use crate::stage::{Outcome, Verdict};
use crate::tool::{self, cargo};

pub(crate) fn run(arguments: &[String]) -> Outcome {
    tool::run(cargo(&["bench", "--package", "wholestep-benches", "--"]).args(arguments))?;
    let venv = python::with_packages("venv-peers", &["mpmath==1.4.1", "ruckig==0.19.4"])?;
    for peer in ["benches/peers/plan.py", "benches/peers/place.py"] {
        tool::run(&mut python::python(&venv, &[peer]))?;
    }
    Ok(Verdict::Passed)
}
