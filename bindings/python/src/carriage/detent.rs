//! What a detent of the dial is worth.

use pyo3::prelude::*;
use wholestep::Error;
use wholestep::carriage::Detent as Size;
use wholestep::spec::AnyAxis;

use crate::axis::Axis;
use crate::border::cross;
use crate::measure::{given, hash};
use crate::number::{exact, fraction};

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
        let (numerator, denominator) = parts.unwrap_or((0, 1));
        cross(py, || Size::new(numerator, denominator).map(Self).map_err(Error::from))
    }

    /// A detent of a size, on an axis of uniform steps.
    #[staticmethod]
    fn of(axis: &Bound<'_, Axis>, size: &Bound<'_, PyAny>) -> PyResult<Self> {
        let py = axis.py();
        match axis.get().axis() {
            AnyAxis::Length(axis) => {
                let size = given(size, None)?;
                cross(py, || Size::of(axis, size)).map(Self)
            }
            AnyAxis::Angle(axis) => {
                let size = given(size, None)?;
                cross(py, || Size::of(axis, size)).map(Self)
            }
        }
    }

    /// The steps of so many detents, rounded once to the nearest, ties to the even step.
    fn steps(&self, detents: i64) -> i64 {
        self.0.steps(detents)
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
        Ok(format!("<Detent of {} steps>", cross(py, || self.0.size())?))
    }
}
