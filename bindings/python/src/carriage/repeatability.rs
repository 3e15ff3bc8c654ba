//! How well a search for the datum repeats.

use pyo3::prelude::*;
use wholestep::Exact;
use wholestep::carriage::Repeatability as Searches;

use crate::border::cross;
use crate::number::fraction;

/// Deviations of repeated searches from one another, in steps.
///
/// Mean and variance are exact; what needs a square root comes as a lower and an upper bound closer
/// than a millionth of a step.
///
/// >>> searches = wholestep.Repeatability([0, 1, 0, -1, 0])
/// >>> searches.mean, searches.variance
/// (Fraction(0, 1), Fraction(1, 2))
/// >>> low, high = searches.repeatability
/// >>> round(float(low), 6), round(float(high), 6)
/// (2.828427, 2.828427)
#[pyclass(frozen, eq, module = "wholestep")]
#[derive(PartialEq, Eq)]
pub(crate) struct Repeatability(Searches);

type Bounds<'py> = (Bound<'py, PyAny>, Bound<'py, PyAny>);

#[pymethods]
impl Repeatability {
    #[new]
    fn new(py: Python<'_>, deviations: Vec<i64>) -> PyResult<Self> {
        cross(py, || {
            let mut searches = Searches::new();
            for deviation in deviations {
                searches.add(deviation)?;
            }
            Ok(Self(searches))
        })
    }

    /// How many searches there were.
    #[getter]
    fn count(&self) -> u32 {
        self.0.count()
    }

    /// The mean deviation.
    #[getter]
    fn mean<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        fraction(py, cross(py, || self.0.mean())?)
    }

    /// The variance, with one degree of freedom fewer than searches.
    #[getter]
    fn variance<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        fraction(py, cross(py, || self.0.variance())?)
    }

    /// The standard deviation, from below and from above.
    #[getter]
    fn standard_deviation<'py>(&self, py: Python<'py>) -> PyResult<Bounds<'py>> {
        bounds(py, cross(py, || self.0.standard_deviation())?)
    }

    /// The repeatability of searches from one side: four standard deviations, from below and from
    /// above.
    ///
    /// The formula is that of ISO 230-2 (memory). The figure is not one of that standard, which also
    /// says where, how often and with what to measure; do not call it by the standard's name.
    #[getter]
    fn repeatability<'py>(&self, py: Python<'py>) -> PyResult<Bounds<'py>> {
        bounds(py, cross(py, || self.0.repeatability())?)
    }

    /// The repeatability of searches from both sides, from below and from above; what is said of
    /// ``repeatability`` holds here too.
    #[staticmethod]
    fn from_both_sides<'py>(py: Python<'py>, up: &Self, down: &Self) -> PyResult<Bounds<'py>> {
        bounds(py, cross(py, || Searches::from_both_sides(&up.0, &down.0))?)
    }

    fn __repr__(&self) -> String {
        format!("<Repeatability of {} searches>", self.0.count())
    }
}

fn bounds(py: Python<'_>, enclosure: wholestep::Enclosure<Exact>) -> PyResult<Bounds<'_>> {
    Ok((fraction(py, enclosure.low())?, fraction(py, enclosure.high())?))
}
