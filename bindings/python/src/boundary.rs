//! The border between the core and Python: results become values or exceptions here, and nowhere
//! else.

use std::any::Any;
use std::cell::RefCell;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::mpsc::{RecvTimeoutError, channel};
use std::thread;
use std::time::Duration;

use pyo3::prelude::*;

use crate::error::{defect, exception};

thread_local! {
    /// What a Python mechanism raised while the core was asking it, to come out unchanged.
    static RAISED: RefCell<Option<PyErr>> = const { RefCell::new(None) };
}

/// How long work goes on between two looks for Ctrl-C.
pub(crate) const LOOK_EVERY: Duration = Duration::from_millis(20);

/// What came of work: its result, or the panic in it.
type Done<T> = thread::Result<wholestep::Result<T>>;

/// Does `work` in the core and brings its result, its error, or what a Python mechanism raised on
/// the way, to Python. A panic is a defect of the library and becomes an ordinary exception.
pub(crate) fn cross<T>(py: Python<'_>, work: impl FnOnce() -> wholestep::Result<T>) -> PyResult<T> {
    let done = catch_unwind(AssertUnwindSafe(work));
    settle(py, done, RAISED.take())
}

fn settle<T>(py: Python<'_>, done: Done<T>, raised: Option<PyErr>) -> PyResult<T> {
    if let Some(raised) = raised {
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

/// As [`cross`], for long work that cannot be stopped from inside: other threads run meanwhile, and
/// Ctrl-C ends the waiting. The work then comes to its own end on a thread of its own, unheard.
pub(crate) fn cross_waiting<T: Send + 'static>(
    py: Python<'_>,
    work: impl FnOnce() -> wholestep::Result<T> + Send + 'static,
) -> PyResult<T> {
    let (sender, mut receiver) = channel();
    thread::spawn(move || {
        let done = catch_unwind(AssertUnwindSafe(work));
        // Nobody hears it after Ctrl-C.
        let _ = sender.send((done, RAISED.take()));
    });
    loop {
        let came;
        (came, receiver) = py.detach(move || (receiver.recv_timeout(LOOK_EVERY), receiver));
        match came {
            Ok((done, raised)) => return settle(py, done, raised),
            Err(RecvTimeoutError::Timeout) => py.check_signals()?,
            Err(RecvTimeoutError::Disconnected) => {
                return Err(defect(py, "work that ended without a result"));
            }
        }
    }
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
