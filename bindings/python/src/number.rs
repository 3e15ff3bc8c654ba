//! Exact numbers, to and from Python.

use pyo3::intern;
use pyo3::prelude::*;
use pyo3::sync::PyOnceLock;
use pyo3::types::{PyBool, PyFloat, PyInt, PyType};
use wholestep::error::Value;
use wholestep::{Error, ErrorKind, Exact};

use crate::boundary::cross;
use crate::error::{exception, wrong_type};

/// The number as a `fractions.Fraction`.
pub(crate) fn fraction(py: Python<'_>, value: Exact) -> PyResult<Bound<'_, PyAny>> {
    static FRACTION: PyOnceLock<Py<PyType>> = PyOnceLock::new();
    FRACTION.import(py, "fractions", "Fraction")?.call1((value.numerator(), value.denominator()))
}

/// The exact number that `value` is: an int, a Fraction or another rational, or a Decimal. `None`
/// where it is none of these; True and False are none.
///
/// A float is refused; `spelled` says how its digits are written exactly.
pub(crate) fn number(
    value: &Bound<'_, PyAny>,
    spelled: impl FnOnce(&str) -> String,
) -> PyResult<Option<Exact>> {
    static DECIMAL: PyOnceLock<Py<PyType>> = PyOnceLock::new();
    static RATIONAL: PyOnceLock<Py<PyType>> = PyOnceLock::new();
    static REAL: PyOnceLock<Py<PyType>> = PyOnceLock::new();
    let py = value.py();
    if value.is_instance_of::<PyFloat>() {
        return Err(exception(py, &binary_float(&digits(value)?, spelled)));
    }
    if value.is_instance_of::<PyBool>() {
        return Ok(None);
    }
    if value.is_instance_of::<PyInt>() {
        return ratio(py, value, None).map(Some);
    }
    if value.is_instance(DECIMAL.import(py, "decimal", "Decimal")?)? {
        if !value.call_method0(intern!(py, "is_finite"))?.is_truthy()? {
            return Err(exception(py, &binary_float(&value.str()?.to_cow()?, spelled)));
        }
        let (numerator, denominator): (Bound<'_, PyAny>, Bound<'_, PyAny>) =
            value.call_method0(intern!(py, "as_integer_ratio"))?.extract()?;
        return ratio(py, &numerator, Some(&denominator)).map(Some);
    }
    if value.is_instance(RATIONAL.import(py, "numbers", "Rational")?)? {
        let numerator = value.getattr(intern!(py, "numerator"))?;
        let denominator = value.getattr(intern!(py, "denominator"))?;
        return ratio(py, &numerator, Some(&denominator)).map(Some);
    }
    if value.is_instance(REAL.import(py, "numbers", "Real")?)? {
        return Err(exception(py, &binary_float(&digits(value)?, spelled)));
    }
    Ok(None)
}

/// The digits of a float, without the name of its class that some write about them.
fn digits(value: &Bound<'_, PyAny>) -> PyResult<String> {
    let float = value.call_method0(intern!(value.py(), "__float__"))?;
    Ok(float.repr()?.to_string())
}

/// The magnitude and the name of the unit of a quantity of the package pint; `None` for anything else.
///
/// Read here rather than converted by pint, whose conversions go through floats. Who has not imported
/// pint has no quantity.
pub(crate) fn quantity<'py>(value: &Bound<'py, PyAny>) -> PyResult<Option<(Bound<'py, PyAny>, String)>> {
    let py = value.py();
    let modules = py.import(intern!(py, "sys"))?.getattr(intern!(py, "modules"))?;
    let pint = modules.call_method1(intern!(py, "get"), (intern!(py, "pint"),))?;
    let Some(class) = pint.getattr_opt(intern!(py, "Quantity"))? else { return Ok(None) };
    if !value.is_instance(&class)? {
        return Ok(None);
    }
    let unit = value.getattr(intern!(py, "units"))?.str()?.to_string();
    Ok(Some((value.getattr(intern!(py, "magnitude"))?, unit)))
}

/// The number as Python reads it back.
pub(crate) fn written(number: Exact) -> String {
    match (number.numerator(), number.denominator()) {
        (whole, 1) => whole.to_string(),
        (numerator, denominator) => format!("Fraction({numerator}, {denominator})"),
    }
}

/// As [`number`], if nothing else will do.
pub(crate) fn exact(value: &Bound<'_, PyAny>) -> PyResult<Exact> {
    number(value, fraction_of)?
        .ok_or_else(|| wrong_type(value, "number", "give an int, a Fraction or a Decimal without a unit"))
}

/// How the digits of a float are written as an exact number.
pub(crate) fn fraction_of(digits: &str) -> String {
    format!("Fraction(\"{digits}\")")
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
                    .given(Value::text(&shown(value)))
                    .remedy("use numbers with fewer digits or a smaller magnitude"),
            )
        })
    };
    let (numerator, denominator) = (part(numerator)?, denominator.map_or(Ok(1), part)?);
    cross(py, || Ok(Exact::new(numerator, denominator)?))
}

/// The number as text; Python writes none of thousands of digits.
fn shown(value: &Bound<'_, PyAny>) -> String {
    value.str().map_or_else(|_| "a number of thousands of digits".into(), |text| text.to_string())
}

fn binary_float(digits: &str, spelled: impl FnOnce(&str) -> String) -> Error {
    let error = Error::new(ErrorKind::InexactNumber, "binary float").given(Value::text(digits));
    if digits.ends_with(|last: char| last.is_ascii_digit()) {
        error.advice(format!("write it exactly: {}", spelled(digits)))
    } else {
        error.remedy("give a finite number, exactly")
    }
}
