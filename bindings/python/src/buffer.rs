//! Whole numbers in one piece of memory, which Python and numpy view without copying.

use pyo3::exceptions::PyMemoryError;
use pyo3::prelude::*;
use pyo3::types::{PyBytes, PyMemoryView};

/// How many numbers are made before other threads and Ctrl-C have their turn.
pub(crate) const BLOCK: usize = 1 << 16;

/// Bytes of one number.
pub(crate) const SIZE: usize = 8;

/// A read-only memoryview of `count` numbers of eight bytes in `format`, written by `fill` into the
/// memory itself.
pub(crate) fn numbers<'py>(
    py: Python<'py>,
    count: u64,
    format: &str,
    fill: impl FnOnce(&mut [u8]) -> PyResult<()>,
) -> PyResult<Bound<'py, PyAny>> {
    let length = usize::try_from(count)
        .ok()
        .and_then(|count| count.checked_mul(SIZE))
        .filter(|length| isize::try_from(*length).is_ok());
    let Some(length) = length else {
        return Err(PyMemoryError::new_err(format!("{count} numbers do not fit in memory")));
    };
    let bytes = PyBytes::new_with(py, length, fill)?;
    PyMemoryView::from(&bytes)?.call_method1("cast", (format,))
}
