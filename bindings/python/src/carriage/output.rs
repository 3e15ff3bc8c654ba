//! What a carriage asks for at every poll.

use pyo3::prelude::*;
use pyo3::types::PyList;
use wholestep::carriage::{Direction, Output as Asked};

/// What to do now, and when to poll again.
#[pyclass(frozen, module = "wholestep")]
pub(crate) struct Output(pub(crate) Asked);

#[pymethods]
impl Output {
    /// An edge that is due: give the driver its pulse now, after setting the levels below.
    #[getter]
    fn edge(&self) -> Option<StepEdge> {
        self.0.edge.map(|edge| StepEdge { due: edge.due, direction: edge.direction })
    }

    /// The level of the direction pin.
    #[getter]
    fn direction(&self) -> bool {
        self.0.direction
    }

    /// Whether the drive is switched on.
    #[getter]
    fn drive(&self) -> bool {
        self.0.drive
    }

    /// What happened since the last poll, each a class of :mod:`wholestep.events`.
    #[getter]
    fn events<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyList>> {
        super::event::list(py, self.0.events.iter())
    }

    /// The tick at which to poll again at the latest, if no input changes before; ``None`` where
    /// nothing but an input or a request can bring anything new.
    #[getter]
    fn poll_again_at(&self) -> Option<u64> {
        self.0.poll_again_at
    }

    fn __repr__(&self) -> String {
        let edge = if self.0.edge.is_some() { "an edge" } else { "no edge" };
        match self.0.poll_again_at {
            Some(tick) => format!("<Output: {edge}, poll again at {tick}>"),
            None => format!("<Output: {edge}>"),
        }
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
    /// The tick for which it was due.
    #[getter]
    fn due(&self) -> u64 {
        self.due
    }

    /// The way it turns the motor: ``forward`` raises the step number.
    #[getter]
    fn direction(&self) -> &'static str {
        match self.direction {
            Direction::Forward => "forward",
            Direction::Backward => "backward",
        }
    }

    fn __repr__(&self) -> String {
        format!("<StepEdge {} due at {}>", self.direction(), self.due)
    }
}
