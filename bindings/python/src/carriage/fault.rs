//! What stopped a carriage.

use pyo3::prelude::*;
use wholestep::carriage::{End, Fault as Latched, Input};
use wholestep::error::Value;
use wholestep::{Error, ErrorKind};

use crate::boundary::cross;
use crate::measure::hash;

/// What goes wrong on a machine. As text, what it is and what to check there.
///
/// >>> lift = wholestep.Carriage.commissioned(wholestep.Axis.load("examples/axes/router_lift.toml"))
/// >>> _ = lift.poll(0, wholestep.Inputs(drive_fault=True))
/// >>> lift.fault
/// Fault('drive')
/// >>> print(lift.fault.check)
/// read the drive's own indication, and let it cool; check supply and motor wires
#[pyclass(frozen, eq, module = "wholestep")]
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) struct Fault(pub(crate) Latched);

#[pymethods]
impl Fault {
    /// The fault of a name, at an end or of an input where it is about one.
    #[new]
    #[pyo3(signature = (name, end = None, input = None))]
    fn new(py: Python<'_>, name: &str, end: Option<&str>, input: Option<&str>) -> PyResult<Self> {
        let all = all().into_iter().map(Self);
        let named: Vec<Self> = all.filter(|fault| fault.name() == name).collect();
        let exact = named.iter().find(|fault| fault.end() == end && fault.input() == input);
        cross(py, || {
            exact.copied().ok_or_else(|| {
                let refused = Error::new(ErrorKind::Syntax, "fault").given(Value::text(name));
                match named.first() {
                    None => refused.remedy("give the name of a fault, such as never_found"),
                    Some(one) if one.end().is_some() => {
                        refused.remedy("give its end, low or high, and no input")
                    }
                    Some(one) if one.input().is_some() => {
                        refused.remedy("give its input, such as probe, and no end")
                    }
                    Some(_) => refused.remedy("leave end and input out"),
                }
            })
        })
    }

    /// Its name, such as ``never_found``.
    #[getter]
    fn name(&self) -> &'static str {
        self.0.name()
    }

    /// The end whose switch it is about, if it is about one.
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

    /// The input that chatters, if one does.
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
        let of = self.end().map(|end| format!(", {end:?}")).into_iter();
        let of: String = of.chain(self.input().map(|input| format!(", None, {input:?}"))).collect();
        format!("Fault('{}'{})", self.0.name(), of.replace('"', "'"))
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> (Bound<'py, PyAny>, Fields) {
        (py.get_type::<Self>().into_any(), (self.name(), self.end(), self.input()))
    }
}

/// What makes a fault again: its name, its end, its input.
type Fields = (&'static str, Option<&'static str>, Option<&'static str>);

/// Every fault there is.
fn all() -> Vec<Latched> {
    let at = [
        Latched::NeverFound,
        Latched::NeverReleased,
        Latched::WrongSwitch,
        Latched::PressedMovingAway,
        Latched::SwitchReached,
    ];
    let plain = [
        Latched::BothPressed,
        Latched::Drive,
        Latched::ProbeClosed,
        Latched::NeverTouched,
        Latched::PolledLate,
        Latched::TimeBackwards,
        Latched::Plan,
    ];
    let ends = at.into_iter().flat_map(|fault| End::BOTH.map(fault));
    ends.chain(Input::ALL.map(Latched::Chatter)).chain(plain).collect()
}
