//! What a carriage asks for at every poll.

use pyo3::prelude::*;
use pyo3::types::{PyList, PyTuple};
use wholestep::carriage::{Direction, Output as Asked};

use crate::error::wrong_type;
use crate::measure::hash;
use crate::whole;
use crate::word::way;

/// What to do now, and when to poll again.
#[pyclass(frozen, module = "wholestep")]
pub(crate) struct Output {
    edge: Option<StepEdge>,
    direction: bool,
    drive: bool,
    events: Py<PyTuple>,
    poll_again_at: Option<u64>,
}

impl Output {
    pub(crate) fn of(py: Python<'_>, asked: &Asked) -> PyResult<Self> {
        let events = super::event::tuple(py, asked.events.iter())?.unbind();
        let edge = asked.edge.map(|edge| StepEdge { due: edge.due, direction: edge.direction });
        let Asked { direction, drive, poll_again_at, .. } = *asked;
        Ok(Self { edge, direction, drive, events, poll_again_at })
    }

    fn fields<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyTuple>> {
        (self.edge, self.direction, self.drive, self.events(py), self.poll_again_at).into_pyobject(py)
    }
}

#[pymethods]
impl Output {
    #[new]
    fn new(
        edge: Option<&Bound<'_, StepEdge>>,
        direction: bool,
        drive: bool,
        events: &Bound<'_, PyAny>,
        #[pyo3(from_py_with = whole::tick_or_none)] poll_again_at: Option<u64>,
    ) -> PyResult<Self> {
        let Ok(list) = events.try_iter() else {
            return Err(wrong_type(events, "events", "give a list of classes of wholestep.events"));
        };
        let events = PyTuple::new(events.py(), list.collect::<PyResult<Vec<_>>>()?)?.unbind();
        Ok(Self { edge: edge.map(|edge| *edge.get()), direction, drive, events, poll_again_at })
    }

    /// What a pattern matches by position.
    #[classattr]
    #[pyo3(name = "__match_args__")]
    const MATCH_ARGS: (&'static str, &'static str, &'static str, &'static str, &'static str) =
        ("edge", "direction", "drive", "events", "poll_again_at");

    /// An edge that is due: give the driver its pulse now, after setting the levels below.
    #[getter]
    fn edge(&self) -> Option<StepEdge> {
        self.edge
    }

    /// The level of the direction pin.
    #[getter]
    fn direction(&self) -> bool {
        self.direction
    }

    /// Whether the drive is switched on.
    #[getter]
    fn drive(&self) -> bool {
        self.drive
    }

    /// What happened since the last poll, each a class of :mod:`wholestep.events`.
    #[getter]
    fn events<'py>(&self, py: Python<'py>) -> Bound<'py, PyList> {
        self.events.bind(py).to_list()
    }

    /// The tick at which to poll again at the latest, if no input changes before; ``None`` where
    /// nothing but an input or a request can bring anything new.
    #[getter]
    fn poll_again_at(&self) -> Option<u64> {
        self.poll_again_at
    }

    fn __eq__(&self, py: Python<'_>, other: &Self) -> PyResult<bool> {
        self.fields(py)?.eq(other.fields(py)?)
    }

    fn __hash__(&self, py: Python<'_>) -> PyResult<u64> {
        Ok(hash((self.edge, self.direction, self.drive, self.events.bind(py).hash()?, self.poll_again_at)))
    }

    fn __repr__(&self, py: Python<'_>) -> PyResult<String> {
        let (edge, direction, drive, events, poll_again_at) = Self::MATCH_ARGS;
        let fields = self.fields(py)?;
        let mut written = Vec::new();
        for (name, field) in [edge, direction, drive, events, poll_again_at].iter().zip(fields.iter()) {
            written.push(format!("{name}={}", field.repr()?));
        }
        Ok(format!("Output({})", written.join(", ")))
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        Ok((py.get_type::<Self>().into_any(), self.fields(py)?))
    }
}

/// An edge for the driver.
#[pyclass(frozen, eq, hash, module = "wholestep")]
#[derive(Clone, Copy, PartialEq, Eq, Hash)]
pub(crate) struct StepEdge {
    due: u64,
    direction: Direction,
}

#[pymethods]
impl StepEdge {
    #[new]
    fn new(py: Python<'_>, #[pyo3(from_py_with = whole::tick)] due: u64, direction: &str) -> PyResult<Self> {
        Ok(Self { due, direction: way(py, direction)? })
    }

    /// What a pattern matches by position.
    #[classattr]
    #[pyo3(name = "__match_args__")]
    const MATCH_ARGS: (&'static str, &'static str) = ("due", "direction");

    /// The tick for which it was due.
    #[getter]
    fn due(&self) -> u64 {
        self.due
    }

    /// The way it turns the motor: ``forward`` raises the step number.
    #[getter]
    fn direction(&self) -> &'static str {
        crate::word::way_name(self.direction)
    }

    fn __repr__(&self) -> String {
        format!("StepEdge({}, '{}')", self.due, self.direction())
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> (Bound<'py, PyAny>, (u64, &'static str)) {
        (py.get_type::<Self>().into_any(), (self.due, self.direction()))
    }
}
