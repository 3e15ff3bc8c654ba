//! The `wholestep` command, as the wheel carries it.

use std::ffi::OsString;

use pyo3::prelude::*;

/// Run the `wholestep` command and return its exit status.
///
/// `arguments` holds the program's name first, as `sys.argv` does. The command writes to the
/// process's own standard output and error, not to `sys.stdout`.
///
/// >>> import wholestep.__main__
/// >>> wholestep.__main__.command(["wholestep", "--version"])
/// 0
#[pyfunction]
pub(crate) fn command(py: Python<'_>, arguments: Vec<OsString>) -> u8 {
    py.detach(|| wholestep_cli::run(arguments))
}
