//! A Python block, run alone in an environment that holds only the wheel.

use std::path::Path;

use super::{Block, compare};
use crate::python::python;
use crate::tool::{Written, capture};

/// `printed` is the text block that follows; without one nothing may be printed.
pub(crate) fn check(venv: &Path, block: &Block, printed: Option<&Block>) -> Result<(), String> {
    let Written { success, output, errors } = capture(&mut python(venv, &["-c", &block.body]))?;
    if !success {
        return Err(format!("the Python example fails:\n{errors}"));
    }
    compare(&output, printed.map_or("", |block| &block.body))
}
