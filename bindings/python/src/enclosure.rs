//! Two exact bounds with the truth between them.

use pyo3::prelude::*;
use pyo3::types::PyTuple;
use wholestep::{Angle, Enclosure as Bounds, Length};

use crate::boundary::cross;
use crate::measure::{Class, Either, either, given};

/// A closed interval that holds the truth; exact if both bounds are the same.
///
/// >>> wholestep.Enclosure("1 mm", "1.5 mm").is_exact
/// False
/// >>> wholestep.Enclosure("30 deg", "30 deg").is_exact
/// True
#[pyclass(frozen, eq, hash, module = "wholestep")]
#[derive(Clone, Copy, PartialEq, Eq, Hash)]
pub(crate) struct Enclosure(pub(crate) Either<Bounds<Length>, Bounds<Angle>>);

impl Enclosure {
    pub(crate) fn of<M: Class>(bounds: Bounds<M>) -> Self {
        Self(M::bounds(bounds))
    }
}

#[pymethods]
impl Enclosure {
    #[new]
    fn new(low: &Bound<'_, PyAny>, high: &Bound<'_, PyAny>) -> PyResult<Self> {
        match given(low, None) {
            Ok(low) => enclosure::<Length>(low, high),
            Err(no_length) => match given(low, None) {
                Ok(low) => enclosure::<Angle>(low, high),
                Err(_) => Err(no_length),
            },
        }
    }

    /// What a pattern matches by position.
    #[classattr]
    #[pyo3(name = "__match_args__")]
    const MATCH_ARGS: (&'static str, &'static str) = ("low", "high");

    /// The lower bound.
    #[getter]
    fn low<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        either!(self.0, bounds => bounds.low().object(py))
    }

    /// The upper bound.
    #[getter]
    fn high<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        either!(self.0, bounds => bounds.high().object(py))
    }

    /// Whether both bounds are the same, which is then the truth itself.
    #[getter]
    fn is_exact(&self) -> bool {
        either!(self.0, bounds => bounds.is_exact())
    }

    fn __contains__(&self, value: &Bound<'_, PyAny>) -> PyResult<bool> {
        either!(self.0, bounds => Ok(bounds.contains(given(value, None)?)))
    }

    fn __repr__(&self) -> String {
        either!(self.0, bounds => format!("Enclosure('{}', '{}')", bounds.low(), bounds.high()))
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        Ok((py.get_type::<Self>().into_any(), PyTuple::new(py, [self.low(py)?, self.high(py)?])?))
    }
}

fn enclosure<M: Class>(low: M, high: &Bound<'_, PyAny>) -> PyResult<Enclosure> {
    let py = high.py();
    let high = given(high, None)?;
    cross(py, || Ok(Bounds::new(low, high)?)).map(Enclosure::of)
}
