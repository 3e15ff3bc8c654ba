//! One stretch of a plan in one direction.

use std::hash::{Hash, Hasher};

use pyo3::prelude::*;
use wholestep::Exact;
use wholestep::plan::{Direction, Leg as Stretch, PlanError};

use crate::boundary::cross;
use crate::number::fraction;
use crate::plan::Plan;

/// One stretch of a plan in one direction, from rest to rest.
///
/// Made by a plan. Its speeds are exact, in steps and ticks of the plan's timer.
#[pyclass(frozen, eq, hash, module = "wholestep")]
pub(crate) struct Leg {
    pub(crate) stretch: Stretch,
    /// What makes it again: its plan, and which of the plan's legs it is.
    pub(crate) plan: Py<Plan>,
    pub(crate) index: usize,
}

impl PartialEq for Leg {
    fn eq(&self, other: &Self) -> bool {
        self.stretch == other.stretch
    }
}

impl Hash for Leg {
    fn hash<H: Hasher>(&self, state: &mut H) {
        self.stretch.hash(state);
    }
}

/// A fraction of a plan, as Python's.
pub(crate) fn ratio(
    py: Python<'_>,
    ask: impl FnOnce() -> Result<num_rational::Ratio<i128>, PlanError>,
) -> PyResult<Bound<'_, PyAny>> {
    let value = cross(py, || {
        let value = ask()?;
        Ok(Exact::new(*value.numer(), *value.denom())?)
    })?;
    fraction(py, value)
}

#[pymethods]
impl Leg {
    /// The tick of the plan at which it begins.
    #[getter]
    fn start(&self) -> u64 {
        self.stretch.start()
    }

    /// The tick of the plan at which it ends.
    #[getter]
    fn end(&self) -> u64 {
        self.stretch.end()
    }

    /// Its steps, signed.
    #[getter]
    fn steps(&self) -> i64 {
        self.stretch.direction().sign() * self.stretch.profile().steps().cast_signed()
    }

    /// ``forward``, towards higher step numbers, or ``backward``.
    #[getter]
    fn direction(&self) -> &'static str {
        match self.stretch.direction() {
            Direction::Forward => "forward",
            Direction::Backward => "backward",
        }
    }

    /// The highest speed, in steps a tick.
    #[getter]
    fn peak_speed<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        ratio(py, || self.stretch.profile().peak_speed())
    }

    /// The highest acceleration, in steps a tick squared.
    #[getter]
    fn peak_acceleration<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        ratio(py, || self.stretch.profile().peak_acceleration())
    }

    /// The highest deceleration, in steps a tick squared.
    #[getter]
    fn peak_deceleration<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        ratio(py, || self.stretch.profile().peak_deceleration())
    }

    /// The jerk, in steps a tick cubed; ``None`` if it is not jerk-limited.
    #[getter]
    fn peak_jerk<'py>(&self, py: Python<'py>) -> PyResult<Option<Bound<'py, PyAny>>> {
        let jerk = cross(py, || Ok(self.stretch.profile().peak_jerk()?))?;
        jerk.map(|jerk| ratio(py, || Ok(jerk))).transpose()
    }

    /// No two of its edges are closer than this many ticks; ``None`` with fewer than two edges.
    #[getter]
    fn shortest_interval(&self) -> Option<u64> {
        self.stretch.profile().shortest_interval()
    }

    fn __repr__(&self) -> String {
        format!("<Leg of {} steps from tick {} to {}>", self.steps(), self.start(), self.end())
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, (Py<Plan>,))> {
        let call = py.import("operator")?.getattr("methodcaller")?.call1(("_leg", self.index))?;
        Ok((call, (self.plan.clone_ref(py),)))
    }
}
