//! The suite that any mechanism must pass.

use pyo3::prelude::*;
use wholestep::spec::AnyMechanism;
use wholestep::{Error, ErrorKind};
use wholestep_twin::Report;

use crate::border::cross;
use crate::mechanism::mechanism;

/// How much of a mechanism was checked.
///
/// Made by :func:`check_conformance`.
#[pyclass(frozen, eq, module = "wholestep")]
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) struct Conformance(Report);

#[pymethods]
impl Conformance {
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
        format!("<Conformance: {steps} steps, {placements} placements, {open} left open>")
    }
}

/// Checks that a mechanism keeps to what the library relies on, for the tests of whoever writes one.
///
/// Looks at ``samples`` steps spread over the span and at their neighbours: that positions only rise
/// or only fall, that bounds hold what finer bounds say, and that targets are placed as a search
/// through every step would place them. What is wrong is raised with the step at which it was found;
/// an exception of the mechanism comes out unchanged. A wrong formula passes as well as a right one:
/// check some positions against a gauge too.
///
/// >>> import wholestep
/// >>> screw = wholestep.Linear.lead_screw_by_lead(wholestep.Drive("1.8 deg", "1/16"), "8 mm")
/// >>> wholestep.check_conformance(screw, samples=20).open
/// 0
#[pyfunction]
#[pyo3(signature = (mechanism, *, samples = 100, seed = 1))]
pub(crate) fn check_conformance(
    mechanism: &Bound<'_, PyAny>,
    samples: u32,
    seed: u64,
) -> PyResult<Conformance> {
    let checked = self::mechanism(mechanism)?;
    cross(mechanism.py(), || {
        let suite = wholestep_twin::Conformance::new().samples(samples).seed(seed);
        let report = match checked {
            AnyMechanism::Length(mechanism) => suite.check(&mechanism),
            AnyMechanism::Angle(mechanism) => suite.check(&mechanism),
        };
        report.map(Conformance).map_err(|failure| {
            Error::new(ErrorKind::Mechanism, "mechanism that breaks a promise").advice(failure.to_string())
        })
    })
}
