//! The `wholestep` command, as the wheel carries it.

use std::ffi::OsString;

use pyo3::prelude::*;

use crate::boundary::cross;
use crate::registry::{described, registry};

/// Run the `wholestep` command and return its exit status.
///
/// It knows the kinds of mechanism that installed packages offer, which the native command does not.
///
/// `arguments` holds the program's name first, as `sys.argv` does. The command writes to the
/// process's own standard output and error, not to `sys.stdout`.
///
/// >>> import wholestep.__main__
/// >>> wholestep.__main__.command(["wholestep", "--version"])
/// 0
#[pyfunction]
pub(crate) fn command(py: Python<'_>, arguments: Vec<OsString>) -> PyResult<u8> {
    let mut registry = registry(py)?;
    // Only the reference of the files asks a package what its kind takes, which loads the package.
    if arguments.get(1..).is_some_and(|asked| asked == ["help", "files"]) {
        registry = described(py, registry)?;
    }
    cross(py, || Ok(py.detach(|| wholestep_cli::run_with(arguments, &registry, |_| ()))))
}
