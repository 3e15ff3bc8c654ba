//! What happened, as the classes of `wholestep.events`.

use pyo3::intern;
use pyo3::prelude::*;
use pyo3::types::PyTuple;
use wholestep::carriage::{Event, Stop, Unproven};

use super::fault::Fault;

/// The events of a poll.
pub(crate) fn tuple(py: Python<'_>, events: impl Iterator<Item = Event>) -> PyResult<Bound<'_, PyTuple>> {
    let events: Vec<_> = events.map(|event| object(py, event)).collect::<PyResult<_>>()?;
    PyTuple::new(py, events)
}

/// One event as a value of its class.
pub(crate) fn object(py: Python<'_>, event: Event) -> PyResult<Bound<'_, PyAny>> {
    let module = py.import(intern!(py, "wholestep.events"))?;
    let none = || Ok(PyTuple::empty(py));
    let (class, arguments) = match event {
        Event::Ready => ("Ready", none()),
        Event::Stopped { step, why } => ("Stopped", (step, stop(why)).into_pyobject(py)),
        Event::Faulted(fault) => ("Faulted", (Fault(fault),).into_pyobject(py)),
        Event::Cleared => ("Cleared", none()),
        Event::Unproven(why) => ("Unproven", (unproven(why),).into_pyobject(py)),
        Event::LoadCanFall => ("LoadCanFall", none()),
        Event::DatumFound { met_at, off_by } => ("DatumFound", (met_at, off_by).into_pyobject(py)),
        Event::Touched { step, off_by } => ("Touched", (step, off_by).into_pyobject(py)),
        Event::Contact { step } => ("Contact", (step,).into_pyobject(py)),
        Event::FalseContact(input) => ("FalseContact", (input.name(),).into_pyobject(py)),
        Event::AtSwitch(end) => ("AtSwitch", (end.name(),).into_pyobject(py)),
        Event::AtLimit(end) => ("AtLimit", (end.name(),).into_pyobject(py)),
        Event::DetentsDropped(detents) => ("DetentsDropped", (detents,).into_pyobject(py)),
        Event::DialJumped => ("DialJumped", none()),
        Event::Seen(input) => ("Seen", (input.name(),).into_pyobject(py)),
        Event::OtherInput(input) => ("OtherInput", (input.name(),).into_pyobject(py)),
        Event::PolledLate { by } => ("PolledLate", (by,).into_pyobject(py)),
        _ => ("EventsLost", none()),
    };
    module.getattr(class)?.call1(arguments?)
}

const fn stop(why: Stop) -> &'static str {
    match why {
        Stop::Arrived => "arrived",
        Stop::Braked => "braked",
        Stop::EnableReleased => "enable_released",
        Stop::Fault => "fault",
    }
}

const fn unproven(why: Unproven) -> &'static str {
    match why {
        Unproven::Released => "released",
        Unproven::Halted => "halted",
        Unproven::Contradicted => "contradicted",
        Unproven::Searching => "searching",
        Unproven::MarkedUnproven => "marked_unproven",
    }
}
