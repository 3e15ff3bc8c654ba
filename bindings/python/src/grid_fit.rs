//! Which marks of a grid an axis holds exactly.

use pyo3::prelude::*;
use pyo3::types::PyType;
use wholestep::axis::GridFit as Marks;
use wholestep::{Angle, Length};

use crate::measure::{Class, Either, either, given, hash};
use crate::whole;

/// Which marks of a grid, such as the 64ths of an inch, an axis of uniform steps holds exactly.
///
/// Made by :meth:`Axis.grid_fit`.
#[pyclass(frozen, eq, module = "wholestep")]
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) struct GridFit(pub(crate) Either<Marks<Length>, Marks<Angle>>);

#[pymethods]
impl GridFit {
    /// The class for annotations, such as ``GridFit[Length]``.
    #[classmethod]
    fn __class_getitem__<'py>(
        class: &Bound<'py, PyType>,
        measure: Bound<'py, PyAny>,
    ) -> PyResult<Bound<'py, PyAny>> {
        class.py().import("types")?.getattr("GenericAlias")?.call1((class, measure))
    }

    /// One in ``every`` mark lands exactly, and none is further than ``worst`` from a step.
    #[new]
    fn new(#[pyo3(from_py_with = whole::every)] every: i128, worst: &Bound<'_, PyAny>) -> PyResult<Self> {
        match given(worst, None) {
            Ok(worst) => Ok(Self(Either::Length(Marks { every, worst }))),
            Err(no_length) => match given(worst, None) {
                Ok(worst) => Ok(Self(Either::Angle(Marks { every, worst }))),
                Err(_) => Err(no_length),
            },
        }
    }

    /// What a pattern matches by position.
    #[classattr]
    #[pyo3(name = "__match_args__")]
    const MATCH_ARGS: (&'static str, &'static str) = ("every", "worst");

    /// Every how many marks one lands exactly: 1 if all do.
    #[getter]
    fn every(&self) -> i128 {
        either!(self.0, marks => marks.every)
    }

    /// The largest distance of any mark from its nearest step.
    #[getter]
    fn worst<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        either!(self.0, marks => marks.worst.object(py))
    }

    fn __hash__(&self) -> u64 {
        either!(self.0, marks => hash((marks.every, marks.worst)))
    }

    fn __repr__(&self) -> String {
        either!(self.0, marks => format!("GridFit({}, '{}')", marks.every, marks.worst))
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, (i128, Bound<'py, PyAny>))> {
        Ok((py.get_type::<Self>().into_any(), (self.every(), self.worst(py)?)))
    }
}
