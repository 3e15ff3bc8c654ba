//! What a detent of the dial is worth.

use pyo3::prelude::*;
use wholestep::axis::AnyAxis;
use wholestep::carriage::Detent as Size;
use wholestep::error::Value;
use wholestep::{Error, ErrorKind};

use crate::axis::Axis;
use crate::boundary::cross;
use crate::measure::{asked, hash};
use crate::number::{exact, fraction, written};
use crate::whole;

/// How many steps a detent of the dial is worth: an exact number, not 0.
///
/// Detents are counted and the whole count is rounded once, so any number of them ends on the step
/// nearest to their exact sum.
///
/// >>> from fractions import Fraction
/// >>> third = wholestep.Detent(Fraction(1, 3))
/// >>> [third.steps(detents) for detents in (1, 2, 3, 300)]
/// [0, 1, 1, 100]
/// >>> lift = wholestep.Axis.load("examples/axes/router_lift.toml")
/// >>> wholestep.Detent.of(lift, "0.001 in").size
/// Fraction(2032, 75)
#[pyclass(frozen, eq, module = "wholestep")]
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) struct Detent(pub(crate) Size);

#[pymethods]
impl Detent {
    #[new]
    fn new(steps: &Bound<'_, PyAny>) -> PyResult<Self> {
        let py = steps.py();
        let steps = exact(steps)?;
        let parts = i64::try_from(steps.numerator()).ok().zip(i64::try_from(steps.denominator()).ok());
        cross(py, || {
            let size = parts.and_then(|(numerator, denominator)| Size::new(numerator, denominator).ok());
            size.map(Self).ok_or_else(|| {
                Error::new(ErrorKind::OutOfRange, "steps of a detent")
                    .given(Value::Exact(steps))
                    .remedy("give a number other than 0, its numerator and denominator at most 2^62")
            })
        })
    }

    /// A detent of a size, on an axis of uniform steps.
    #[staticmethod]
    fn of(axis: &Bound<'_, Axis>, size: &Bound<'_, PyAny>) -> PyResult<Self> {
        let (py, of) = (axis.py(), axis.get());
        match of.axis() {
            AnyAxis::Length(axis) => {
                let size = asked(size, of.spoken(axis.unit()))?;
                cross(py, || Size::of(axis, size)).map(Self)
            }
            AnyAxis::Angle(axis) => {
                let size = asked(size, of.spoken(axis.unit()))?;
                cross(py, || Size::of(axis, size)).map(Self)
            }
        }
    }

    /// The steps of so many detents, rounded once to the nearest, ties to the even step.
    fn steps(&self, py: Python<'_>, #[pyo3(from_py_with = whole::detents)] detents: i64) -> PyResult<i64> {
        cross(py, || self.0.steps(detents))
    }

    /// The size in steps.
    #[getter]
    fn size<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        fraction(py, cross(py, || self.0.size())?)
    }

    fn __hash__(&self) -> u64 {
        hash(self.0)
    }

    fn __repr__(&self, py: Python<'_>) -> PyResult<String> {
        Ok(format!("Detent({})", written(cross(py, || self.0.size())?)))
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, (Bound<'py, PyAny>,))> {
        Ok((py.get_type::<Self>().into_any(), (self.size(py)?,)))
    }
}
