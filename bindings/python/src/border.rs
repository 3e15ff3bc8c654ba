//! The border between the core and Python: results become values or exceptions here, and nowhere
//! else.

use std::any::Any;
use std::cell::RefCell;
use std::panic::{AssertUnwindSafe, catch_unwind};

use pyo3::prelude::*;

use crate::error::{defect, exception};

thread_local! {
    /// What a Python mechanism raised while the core was asking it, to come out unchanged.
    static RAISED: RefCell<Option<PyErr>> = const { RefCell::new(None) };
}

/// Does `work` in the core and brings its result, its error, or what a Python mechanism raised on
/// the way, to Python. A panic is a defect of the library and becomes an ordinary exception.
pub(crate) fn cross<T>(py: Python<'_>, work: impl FnOnce() -> wholestep::Result<T>) -> PyResult<T> {
    let done = catch_unwind(AssertUnwindSafe(work));
    if let Some(raised) = RAISED.take() {
        return Err(raised);
    }
    match done {
        Ok(result) => result.map_err(|error| exception(py, &error)),
        Err(panic) => Err(defect(py, message(panic.as_ref()))),
    }
}

/// As [`cross`], for long work that needs nothing of Python: other threads run meanwhile.
pub(crate) fn cross_detached<T: Send>(
    py: Python<'_>,
    work: impl FnOnce() -> wholestep::Result<T> + Send,
) -> PyResult<T> {
    cross(py, || py.detach(work))
}

/// Keeps what a Python mechanism raised, and gives the core an error to stop with.
pub(crate) fn keep(raised: PyErr) -> wholestep::Error {
    RAISED.set(Some(raised));
    wholestep::Error::new(wholestep::ErrorKind::Mechanism, "exception raised in Python")
}

fn message(panic: &(dyn Any + Send)) -> &str {
    let text = panic.downcast_ref::<String>().map(String::as_str);
    text.or_else(|| panic.downcast_ref::<&str>().copied()).unwrap_or("no message")
}

/// Fails as a defect of the library would, for the test that `except Exception` catches it.
#[pyfunction]
#[expect(clippy::panic, reason = "the panic is what is tested")]
pub(crate) fn _defect(py: Python<'_>) -> PyResult<()> {
    cross(py, || panic!("a panic made on purpose"))
}
