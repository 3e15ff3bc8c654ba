//! Two exact bounds with the truth between them.

use pyo3::prelude::*;
use pyo3::types::{PyTuple, PyType};
use wholestep::{Angle, Enclosure as Bounds, Exact, Length, Measure};

use crate::boundary::cross;
use crate::error::wrong_type;
use crate::measure::{Class, Either, asked, either, given};
use crate::number::{fraction_of, number};

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
    /// The class for annotations, such as ``Enclosure[Length]``.
    #[classmethod]
    fn __class_getitem__<'py>(
        class: &Bound<'py, PyType>,
        measure: Bound<'py, PyAny>,
    ) -> PyResult<Bound<'py, PyAny>> {
        class.py().import("types")?.getattr("GenericAlias")?.call1((class, measure))
    }

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

    /// The middle; if the bounds differ, to 1e-12 of a millimetre or degree.
    ///
    /// >>> wholestep.Enclosure("1 mm", "1.5 mm").middle
    /// Length('1.25 mm')
    #[getter]
    fn middle<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        either!(self.0, bounds => cross(py, || bounds.to_measure())?.object(py))
    }

    /// How far the bounds are apart.
    #[getter]
    fn width<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        either!(self.0, bounds => cross(py, || bounds.high().checked_sub(bounds.low()))?.object(py))
    }

    /// With a measure or another enclosure.
    ///
    /// >>> wholestep.Enclosure("1 mm", "1.5 mm") + wholestep.Length("1 mm")
    /// Enclosure('2 mm', '2.5 mm')
    /// >>> -wholestep.Enclosure("1 mm", "1.5 mm") * 2
    /// Enclosure('-3 mm', '-2 mm')
    fn __add__(&self, other: &Bound<'_, PyAny>) -> PyResult<Self> {
        either!(self.0, bounds => sum(bounds, other, false))
    }

    fn __radd__(&self, other: &Bound<'_, PyAny>) -> PyResult<Self> {
        self.__add__(other)
    }

    fn __sub__(&self, other: &Bound<'_, PyAny>) -> PyResult<Self> {
        either!(self.0, bounds => sum(bounds, other, true))
    }

    fn __rsub__(&self, other: &Bound<'_, PyAny>) -> PyResult<Self> {
        self.__neg__(other.py())?.__add__(other)
    }

    fn __neg__(&self, py: Python<'_>) -> PyResult<Self> {
        either!(self.0, bounds => negated(py, bounds))
    }

    /// By an exact number.
    fn __mul__(&self, factor: &Bound<'_, PyAny>) -> PyResult<Self> {
        let py = factor.py();
        let wrong = || wrong_type(factor, "factor", "give a number without a unit");
        let factor = number(factor, fraction_of)?.ok_or_else(wrong)?;
        either!(self.0, bounds => scaled(py, bounds, factor))
    }

    fn __rmul__(&self, factor: &Bound<'_, PyAny>) -> PyResult<Self> {
        self.__mul__(factor)
    }

    fn __contains__(&self, value: &Bound<'_, PyAny>) -> PyResult<bool> {
        either!(self.0, bounds => Ok(bounds.contains(given(value, None)?)))
    }

    pub(crate) fn __repr__(&self) -> String {
        either!(self.0, bounds => format!("Enclosure('{}', '{}')", bounds.low(), bounds.high()))
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        Ok((py.get_type::<Self>().into_any(), PyTuple::new(py, [self.low(py)?, self.high(py)?])?))
    }
}

fn sum<M: Class>(bounds: Bounds<M>, other: &Bound<'_, PyAny>, less: bool) -> PyResult<Enclosure> {
    let py = other.py();
    let other = match other.cast::<Enclosure>().ok().and_then(|other| M::of_bounds(*other.get())) {
        Some(other) => other,
        None => Bounds::exact(asked(other, None)?),
    };
    cross(py, || if less { bounds.checked_sub(other) } else { bounds.checked_add(other) }).map(Enclosure::of)
}

fn negated<M: Class>(py: Python<'_>, bounds: Bounds<M>) -> PyResult<Enclosure> {
    cross(py, || Ok(Bounds::new(-bounds.high(), -bounds.low())?)).map(Enclosure::of)
}

fn scaled<M: Class>(py: Python<'_>, bounds: Bounds<M>, factor: Exact) -> PyResult<Enclosure> {
    cross(py, || {
        let [one, other] = [bounds.low().checked_mul(factor)?, bounds.high().checked_mul(factor)?];
        Ok(Bounds::new(one.min(other), one.max(other))?)
    })
    .map(Enclosure::of)
}

fn enclosure<M: Class>(low: M, high: &Bound<'_, PyAny>) -> PyResult<Enclosure> {
    let py = high.py();
    let high = given(high, None)?;
    cross(py, || Ok(Bounds::new(low, high)?)).map(Enclosure::of)
}
