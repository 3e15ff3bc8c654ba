//! How well a search for the datum repeats.

use pyo3::prelude::*;
use wholestep::Exact;
use wholestep_shop::Repeatability as Searches;

use crate::boundary::cross;
use crate::error::wrong_type;
use crate::measure::hash;
use crate::number::fraction;
use crate::whole;

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
pub(crate) struct Repeatability {
    searches: Searches,
    /// What it was made of.
    deviations: Vec<i64>,
}

impl PartialEq for Repeatability {
    fn eq(&self, other: &Self) -> bool {
        self.deviations == other.deviations
    }
}

type Bounds<'py> = (Bound<'py, PyAny>, Bound<'py, PyAny>);

#[pymethods]
impl Repeatability {
    #[new]
    fn new(deviations: &Bound<'_, PyAny>) -> PyResult<Self> {
        let py = deviations.py();
        let Ok(list) = deviations.try_iter() else {
            return Err(wrong_type(deviations, "deviations of searches", "give a list of whole numbers"));
        };
        let deviations: Vec<i64> =
            list.map(|deviation| whole::deviation(&deviation?)).collect::<PyResult<_>>()?;
        cross(py, || {
            let mut searches = Searches::new();
            for deviation in &deviations {
                searches.add(*deviation)?;
            }
            Ok(Self { searches, deviations })
        })
    }

    /// How many searches there were.
    #[getter]
    fn count(&self) -> u32 {
        self.searches.count()
    }

    /// The mean deviation.
    #[getter]
    fn mean<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        fraction(py, cross(py, || self.searches.mean())?)
    }

    /// The variance, with one degree of freedom fewer than searches.
    #[getter]
    fn variance<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        fraction(py, cross(py, || self.searches.variance())?)
    }

    /// The standard deviation, from below and from above.
    #[getter]
    fn standard_deviation<'py>(&self, py: Python<'py>) -> PyResult<Bounds<'py>> {
        bounds(py, cross(py, || self.searches.standard_deviation())?)
    }

    /// The repeatability of searches from one side: four standard deviations, from below and from
    /// above.
    ///
    /// The formula is that of ISO 230-2 (memory). The figure is not one of that standard, which also
    /// says where, how often and with what to measure; do not call it by the standard's name.
    #[getter]
    fn repeatability<'py>(&self, py: Python<'py>) -> PyResult<Bounds<'py>> {
        bounds(py, cross(py, || self.searches.repeatability())?)
    }

    /// The repeatability of searches from both sides, from below and from above; what is said of
    /// ``repeatability`` holds here too.
    ///
    /// Raises OutOfRangeError for fewer than two searches from a side.
    #[staticmethod]
    fn from_both_sides<'py>(py: Python<'py>, up: &Self, down: &Self) -> PyResult<Bounds<'py>> {
        bounds(py, cross(py, || Searches::from_both_sides(&up.searches, &down.searches))?)
    }

    fn __repr__(&self) -> String {
        format!("Repeatability({:?})", self.deviations)
    }

    fn __hash__(&self) -> u64 {
        hash(&self.deviations)
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> (Bound<'py, PyAny>, (Vec<i64>,)) {
        (py.get_type::<Self>().into_any(), (self.deviations.clone(),))
    }
}

fn bounds(py: Python<'_>, enclosure: wholestep::Enclosure<Exact>) -> PyResult<Bounds<'_>> {
    Ok((fraction(py, enclosure.low())?, fraction(py, enclosure.high())?))
}
