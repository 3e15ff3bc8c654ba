//! The core's one error as the exceptions of `wholestep.errors`.

use pyo3::IntoPyObjectExt;
use pyo3::intern;
use pyo3::prelude::*;
use wholestep::error::Value;

use crate::measure::{Angle, Length};
use crate::number::fraction;

/// The exception for an error: of the class that its kind names, with the same text and fields.
pub(crate) fn exception(py: Python<'_>, error: &wholestep::Error) -> PyErr {
    build(py, error).unwrap_or_else(|failure| failure)
}

fn build(py: Python<'_>, error: &wholestep::Error) -> PyResult<PyErr> {
    let value = match error.os_error_of_file() {
        Some((number, file)) => refused_file(py, number, file, error)?,
        None => raised(py, error.kind().name(), &error.to_string())?,
    };
    let quoted = |value: Option<Value>| value.map(|value| quoted(py, value)).transpose();
    value.setattr(intern!(py, "subject"), error.subject())?;
    value.setattr(intern!(py, "given"), quoted(error.given_value())?)?;
    value.setattr(intern!(py, "excess"), quoted(error.excess_value())?)?;
    value.setattr(intern!(py, "offset"), error.text_offset())?;
    value.setattr(intern!(py, "file"), error.file())?;
    value.setattr(intern!(py, "line"), error.line())?;
    value.setattr(intern!(py, "key"), error.key())?;
    Ok(PyErr::from_value(value))
}

/// The exception for a panic.
pub(crate) fn defect(py: Python<'_>, message: &str) -> PyErr {
    let text = format!("defect in wholestep: {message}; please report it with what led to it");
    raised(py, "defect", &text).map_or_else(|failure| failure, PyErr::from_value)
}

/// The exception for a file that the operating system refused: also Python's own for such a case.
fn refused_file<'py>(
    py: Python<'py>,
    number: i32,
    file: &str,
    error: &wholestep::Error,
) -> PyResult<Bound<'py, PyAny>> {
    let of_file = py.import(intern!(py, "wholestep.errors"))?.getattr(intern!(py, "of_file"))?;
    of_file.call1((number, file, error.to_string()))
}

/// The exception for a value of a type that is not taken: what it is about, the value, and what to do.
pub(crate) fn wrong_type(value: &Bound<'_, PyAny>, subject: &str, advice: &str) -> PyErr {
    let py = value.py();
    let shown = value.repr().map_or_else(|_| "?".into(), |text| text.to_string());
    let text = format!("{subject} {}: {advice}", Value::text(&shown));
    let build = || {
        let raised = raised(py, "argument_type", &text)?;
        raised.setattr(intern!(py, "subject"), subject)?;
        raised.setattr(intern!(py, "given"), shown)?;
        Ok(PyErr::from_value(raised))
    };
    build().unwrap_or_else(|failure| failure)
}

pub(crate) fn raised<'py>(py: Python<'py>, kind: &str, text: &str) -> PyResult<Bound<'py, PyAny>> {
    let classes = py.import(intern!(py, "wholestep.errors"))?.getattr(intern!(py, "BY_KIND"))?;
    classes.get_item(kind)?.call1((text,))
}

/// A quoted value, in the type that Python has for it.
fn quoted(py: Python<'_>, value: Value) -> PyResult<Bound<'_, PyAny>> {
    match value {
        Value::Text(text) => text.as_str().into_bound_py_any(py),
        Value::Integer(number) | Value::Count(number, _) => number.into_bound_py_any(py),
        Value::Exact(number) => fraction(py, number),
        Value::Measure(measure) => {
            if let Some(length) = wholestep::Measure::of_quoted(measure) {
                return Length(length).into_bound_py_any(py);
            }
            match wholestep::Measure::of_quoted(measure) {
                Some(angle) => Angle(angle).into_bound_py_any(py),
                None => value.to_string().into_bound_py_any(py),
            }
        }
        other => other.to_string().into_bound_py_any(py),
    }
}
