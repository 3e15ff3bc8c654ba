//! The benchmarks.

use crate::stage::{Outcome, Verdict};
use crate::tool::{self, cargo};

pub(crate) fn run(arguments: &[String]) -> Outcome {
    tool::run(cargo(&["bench", "--package", "wholestep-benches", "--"]).args(arguments))?;
    Ok(Verdict::Passed)
}
