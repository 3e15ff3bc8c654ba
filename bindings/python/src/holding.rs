//! Which marks of a grid an axis holds exactly.

use pyo3::prelude::*;
use wholestep::axis::Holding as Marks;
use wholestep::{Angle, Length};

use crate::measure::{Class, Either, either};

/// Which marks of a grid, such as the 64ths of an inch, an axis of uniform steps holds exactly.
///
/// Made by :meth:`Axis.holding`.
#[pyclass(frozen, eq, module = "wholestep")]
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) struct Holding(pub(crate) Either<Marks<Length>, Marks<Angle>>);

#[pymethods]
impl Holding {
    /// Every how many marks one lands exactly: 1 where all do.
    #[getter]
    fn every(&self) -> i128 {
        either!(self.0, marks => marks.every)
    }

    /// The largest distance of any mark from its nearest step.
    #[getter]
    fn worst<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        either!(self.0, marks => marks.worst.object(py))
    }

    fn __repr__(&self) -> String {
        either!(self.0, marks => format!("<Holding: every {}, worst {}>", marks.every, marks.worst))
    }
}
