//! The suite that any mechanism must pass.

use pyo3::prelude::*;
use wholestep::axis::AnyMechanism;
use wholestep::{Error, ErrorKind};
use wholestep_twin::Report;

use crate::boundary::cross_detached;
use crate::interruptible::Interruptible;
use crate::measure::hash;
use crate::mechanism::mechanism;
use crate::whole;

/// How much of a mechanism was checked.
///
/// Made by :func:`check_conformance`.
#[pyclass(frozen, eq, module = "wholestep")]
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) struct Conformance(Report);

#[pymethods]
impl Conformance {
    /// What was checked, as counts.
    #[new]
    fn new(
        #[pyo3(from_py_with = whole::index)] steps: usize,
        #[pyo3(from_py_with = whole::index)] placements: usize,
        #[pyo3(from_py_with = whole::index)] open: usize,
    ) -> Self {
        Self(Report { steps, placements, open })
    }

    /// What a pattern matches by position.
    #[classattr]
    #[pyo3(name = "__match_args__")]
    const MATCH_ARGS: (&'static str, &'static str, &'static str) = ("steps", "placements", "open");

    /// Steps whose positions were asked at every width.
    #[getter]
    fn steps(&self) -> usize {
        self.0.steps
    }

    /// Placements compared with a search through every step about the target.
    #[getter]
    fn placements(&self) -> usize {
        self.0.placements
    }

    /// Those of them that the finest width left open, as it had to.
    #[getter]
    fn open(&self) -> usize {
        self.0.open
    }

    fn __repr__(&self) -> String {
        let Report { steps, placements, open } = self.0;
        format!("Conformance(steps={steps}, placements={placements}, open={open})")
    }

    fn __hash__(&self) -> u64 {
        hash((self.0.steps, self.0.placements, self.0.open))
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> (Bound<'py, PyAny>, (usize, usize, usize)) {
        let Report { steps, placements, open } = self.0;
        (py.get_type::<Self>().into_any(), (steps, placements, open))
    }
}

/// Checks that a mechanism keeps to what the library relies on, for the tests of whoever writes one.
///
/// Looks at ``samples`` steps, at most a million, spread over the span and at their neighbours: that positions only rise
/// or only fall, that bounds hold what finer bounds say, and that targets are placed as a search
/// through every step would place them. What is wrong is raised with the step at which it was found;
/// an exception of the mechanism comes out unchanged. Other Python threads run meanwhile, and Ctrl-C
/// ends it. A wrong formula passes as well as a right one:
/// check some positions against a gauge too.
///
/// Raises MechanismError that names the first promise that is not kept.
///
/// >>> import wholestep
/// >>> screw = wholestep.Linear.lead_screw_by_lead(wholestep.DriveTrain("1.8 deg", "1/16"), "8 mm")
/// >>> wholestep.check_conformance(screw, samples=20).open
/// 0
#[pyfunction]
#[pyo3(signature = (mechanism, *, samples = 100, seed = 1))]
pub(crate) fn check_conformance(
    mechanism: &Bound<'_, PyAny>,
    #[pyo3(from_py_with = whole::samples)] samples: u32,
    #[pyo3(from_py_with = whole::seed)] seed: u64,
) -> PyResult<Conformance> {
    let checked = self::mechanism(mechanism)?;
    cross_detached(mechanism.py(), || {
        let suite = wholestep_twin::Conformance::new().samples(samples).seed(seed);
        let report = match checked {
            AnyMechanism::Length(mechanism) => suite.check(&Interruptible::new(mechanism)),
            AnyMechanism::Angle(mechanism) => suite.check(&Interruptible::new(mechanism)),
        };
        report.map(Conformance).map_err(|failure| {
            Error::new(ErrorKind::Mechanism, "mechanism that breaks a promise").advice(failure.to_string())
        })
    })
}
