//! Exact numbers, to and from Python.

use pyo3::exceptions::PyTypeError;
use pyo3::intern;
use pyo3::prelude::*;
use pyo3::sync::PyOnceLock;
use pyo3::types::{PyBool, PyFloat, PyInt, PyType};
use wholestep::{Error, ErrorKind, Exact};

use crate::border::cross;
use crate::error::exception;

/// The number as a `fractions.Fraction`.
pub(crate) fn fraction(py: Python<'_>, value: Exact) -> PyResult<Bound<'_, PyAny>> {
    static FRACTION: PyOnceLock<Py<PyType>> = PyOnceLock::new();
    FRACTION.import(py, "fractions", "Fraction")?.call1((value.numerator(), value.denominator()))
}

/// The exact number that `value` is: an int, a Fraction or another rational, or a Decimal. `None`
/// where it is no number.
///
/// A float is refused; `spelled` puts its digits as they are written exactly.
pub(crate) fn number(
    value: &Bound<'_, PyAny>,
    spelled: impl FnOnce(&str) -> String,
) -> PyResult<Option<Exact>> {
    static DECIMAL: PyOnceLock<Py<PyType>> = PyOnceLock::new();
    let py = value.py();
    if value.is_instance_of::<PyFloat>() {
        return Err(exception(py, &binary_float(&value.repr()?.to_cow()?, spelled)));
    }
    if value.is_instance_of::<PyBool>() {
        return Ok(None);
    }
    if value.is_instance_of::<PyInt>() {
        return ratio(py, value, None).map(Some);
    }
    if value.is_instance(DECIMAL.import(py, "decimal", "Decimal")?)? {
        let (numerator, denominator): (Bound<'_, PyAny>, Bound<'_, PyAny>) =
            value.call_method0(intern!(py, "as_integer_ratio"))?.extract()?;
        return ratio(py, &numerator, Some(&denominator)).map(Some);
    }
    let numerator = value.getattr_opt(intern!(py, "numerator"))?;
    let denominator = value.getattr_opt(intern!(py, "denominator"))?;
    match (numerator, denominator) {
        (Some(numerator), Some(denominator)) => ratio(py, &numerator, Some(&denominator)).map(Some),
        _ => Ok(None),
    }
}

/// As [`number`], where nothing else will do.
pub(crate) fn exact(value: &Bound<'_, PyAny>) -> PyResult<Exact> {
    number(value, |digits| format!("Fraction(\"{digits}\")"))?.ok_or_else(|| {
        PyTypeError::new_err(format!("an int, a Fraction or a Decimal is wanted, not {value:?}"))
    })
}

fn ratio(
    py: Python<'_>,
    numerator: &Bound<'_, PyAny>,
    denominator: Option<&Bound<'_, PyAny>>,
) -> PyResult<Exact> {
    let part = |value: &Bound<'_, PyAny>| {
        value.extract::<i128>().map_err(|_| {
            exception(
                py,
                &Error::new(ErrorKind::Overflow, "number")
                    .remedy("use numbers with fewer digits or a smaller magnitude"),
            )
        })
    };
    let (numerator, denominator) = (part(numerator)?, denominator.map_or(Ok(1), part)?);
    cross(py, || Exact::new(numerator, denominator))
}

fn binary_float(digits: &str, spelled: impl FnOnce(&str) -> String) -> Error {
    let error =
        Error::new(ErrorKind::InexactNumber, "binary float").given(wholestep::error::Value::text(digits));
    if digits.ends_with(|last: char| last.is_ascii_digit()) {
        error.advice(format!("write it exactly: {}", spelled(digits)))
    } else {
        error.remedy("give a finite number, exactly")
    }
}
