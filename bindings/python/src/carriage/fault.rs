//! What stopped a carriage.

use pyo3::prelude::*;
use wholestep::carriage::Fault as Latched;

use crate::measure::hash;

/// What goes wrong on a machine. As text, what it is and what to check there.
///
/// >>> lift = wholestep.Carriage.commissioned(wholestep.Axis.load("examples/axes/router_lift.toml"))
/// >>> _ = lift.poll(0, wholestep.Inputs(drive_fault=True))
/// >>> lift.fault
/// <Fault drive>
/// >>> print(lift.fault.check)
/// read the drive's own indication, and let it cool; check supply and motor wires
#[pyclass(frozen, eq, module = "wholestep")]
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) struct Fault(pub(crate) Latched);

#[pymethods]
impl Fault {
    /// Its name, such as ``never_found``.
    #[getter]
    fn name(&self) -> &'static str {
        self.0.name()
    }

    /// The end whose switch it is about, where it is about one.
    #[getter]
    fn end(&self) -> Option<&'static str> {
        match self.0 {
            Latched::NeverFound(end)
            | Latched::NeverReleased(end)
            | Latched::WrongSwitch(end)
            | Latched::PressedMovingAway(end)
            | Latched::SwitchReached(end) => Some(end.name()),
            _ => None,
        }
    }

    /// The input that chatters, where one does.
    #[getter]
    fn input(&self) -> Option<&'static str> {
        match self.0 {
            Latched::Chatter(input) => Some(input.name()),
            _ => None,
        }
    }

    /// What to check on the machine.
    #[getter]
    fn check(&self) -> &'static str {
        self.0.check()
    }

    fn __hash__(&self) -> u64 {
        hash(self.0)
    }

    fn __str__(&self) -> String {
        self.0.to_string()
    }

    fn __repr__(&self) -> String {
        format!("<Fault {}>", self.0.name())
    }
}
