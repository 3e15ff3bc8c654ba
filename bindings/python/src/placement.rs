//! A step, where it stands, and what is left over.

use pyo3::prelude::*;
use pyo3::types::PyType;
use wholestep::axis::Fingerprint;
use wholestep::error::Value;
use wholestep::{Error, ErrorKind, Rounding};

use crate::axis::Axis;
use crate::enclosure::Enclosure;
use crate::measure::{Class, Placed, either, hash};

/// The step for a target, where it stands, and the remainder: position minus target.
///
/// Made by an axis, whose machine it knows: a carriage, a plan or another axis of another machine
/// refuses it. Equal where step, target, position and machine are.
///
/// >>> screw = wholestep.Linear.lead_screw_by_lead(wholestep.DriveTrain("1.8 deg", "1/16"), "8 mm")
/// >>> axis = wholestep.Axis(screw, low="0 mm", high="600 mm", speed="40 mm/s", acceleration="200 mm/s²")
/// >>> placed = axis.place("5-7/8 in")
/// >>> placed.step, placed.position.low, placed.remainder.low.decimal_in("mm", 4)
/// (59690, Length('149.225 mm'), '0.0000 mm')
#[pyclass(frozen, eq, module = "wholestep")]
pub(crate) struct Placement {
    pub(crate) placed: Placed,
    axis: Py<Axis>,
    /// By which rule it was placed; `None` if the step was given.
    rounding: Option<Rounding>,
}

impl Placement {
    pub(crate) fn new(placed: Placed, axis: Py<Axis>, rounding: Option<Rounding>) -> Self {
        Self { placed, axis, rounding }
    }

    /// Which machine its step belongs to.
    pub(crate) fn fingerprint(&self) -> Fingerprint {
        either!(&self.placed, placed => placed.fingerprint())
    }

    /// The name of its axis, if a file gave it one.
    pub(crate) fn axis_name(&self) -> Option<&str> {
        self.axis.get().name()
    }
}

/// The error about a placement that is of another axis, with the names that files gave both.
pub(crate) fn named(error: Error, given: Option<&str>, own: Option<&str>) -> Error {
    if error.kind() != ErrorKind::OtherAxis || given == own {
        return error;
    }
    let error = match given {
        Some(name) => error.given(Value::text(name)),
        None => error,
    };
    match own {
        Some(name) => error.only(Value::text(name)),
        None => error,
    }
}

impl PartialEq for Placement {
    fn eq(&self, other: &Self) -> bool {
        self.placed == other.placed
    }
}

#[pymethods]
impl Placement {
    /// The class for annotations, such as ``Placement[Length]``.
    #[classmethod]
    fn __class_getitem__<'py>(
        class: &Bound<'py, PyType>,
        measure: Bound<'py, PyAny>,
    ) -> PyResult<Bound<'py, PyAny>> {
        class.py().import("types")?.getattr("GenericAlias")?.call1((class, measure))
    }

    /// What a pattern matches by position.
    #[classattr]
    #[pyo3(name = "__match_args__")]
    const MATCH_ARGS: (&'static str, &'static str, &'static str) = ("step", "position", "remainder");

    /// The step.
    #[getter]
    pub(crate) fn step(&self) -> i64 {
        either!(&self.placed, placed => placed.step())
    }

    /// What was asked for.
    #[getter]
    fn target<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        either!(&self.placed, placed => placed.target().object(py))
    }

    /// Where the step stands.
    #[getter]
    fn position(&self) -> Enclosure {
        either!(&self.placed, placed => Enclosure::of(placed.position()))
    }

    /// Position minus target: positive if the step stands beyond the target.
    #[getter]
    fn remainder(&self) -> Enclosure {
        either!(&self.placed, placed => Enclosure::of(placed.remainder()))
    }

    /// Whether the bounds told the step apart from its neighbours; always true of exact mechanisms.
    #[getter]
    fn is_decided(&self) -> bool {
        either!(&self.placed, placed => placed.is_decided())
    }

    fn __hash__(&self) -> u64 {
        either!(&self.placed, placed => hash((placed.step(), placed.target(), placed.fingerprint())))
    }

    fn __repr__(&self, py: Python<'_>) -> String {
        let decided = if self.is_decided() { "" } else { ", undecided" };
        let target = self.axis.bind(py).get().written(&self.placed);
        let name = self.axis_name().map(|name| format!(" of {name:?}")).unwrap_or_default();
        format!("<Placement of {target} on step {}{name}{decided}>", self.step())
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, (Py<Axis>,))> {
        let call = py.import("operator")?.getattr("methodcaller")?;
        let call = match self.rounding {
            Some(rounding) => call.call1(("place", self.target(py)?, rounding.name()))?,
            None => call.call1(("at_step", self.step()))?,
        };
        Ok((call, (self.axis.clone_ref(py),)))
    }
}
