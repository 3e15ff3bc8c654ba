//! How a measured travel compares with the file.

use pyo3::prelude::*;
use pyo3::types::{PyList, PyTuple};
use wholestep::Exact;
use wholestep::carriage::{Cause, Verdict as Compared};

use crate::boundary::cross;
use crate::measure::hash;
use crate::number::{exact, fraction, written};

/// How the travel a person measured compares with the expected one, both in the same unit, to within
/// ``tolerance``, a fraction of either: 1/50 where a rule was used, and where it is left out.
///
/// >>> verdict = wholestep.Verdict(20, 40)
/// >>> verdict.agrees, verdict.taken_for, verdict.causes[0]
/// (False, Fraction(2, 1), "the step mode set on the driver is not the file's `step_mode`")
#[pyclass(frozen, eq, module = "wholestep")]
pub(crate) struct Verdict {
    pub(crate) compared: Compared,
    /// What was compared: the travel expected and measured, and the tolerance.
    of: [Exact; 3],
}

impl PartialEq for Verdict {
    fn eq(&self, other: &Self) -> bool {
        self.of == other.of
    }
}

#[pymethods]
impl Verdict {
    #[new]
    #[pyo3(signature = (expected, measured, tolerance = None))]
    fn new(
        expected: &Bound<'_, PyAny>,
        measured: &Bound<'_, PyAny>,
        tolerance: Option<&Bound<'_, PyAny>>,
    ) -> PyResult<Self> {
        let (py, tolerance) = (expected.py(), tolerance.map(exact).transpose()?);
        let (expected, measured) = (exact(expected)?, exact(measured)?);
        cross(py, || {
            let tolerance = tolerance.map_or_else(|| Exact::new(1, 50), Ok)?;
            let compared = Compared::of(expected, measured, tolerance)?;
            Ok(Self { compared, of: [expected, measured, tolerance] })
        })
    }

    /// Whether the machine travels as the file says.
    #[getter]
    fn agrees(&self) -> bool {
        self.compared.agrees()
    }

    /// Measured over expected.
    #[getter]
    fn ratio<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        fraction(py, self.compared.ratio)
    }

    /// The simple ratio it is taken for; ``None`` where none is near.
    #[getter]
    fn taken_for<'py>(&self, py: Python<'py>) -> PyResult<Option<Bound<'py, PyAny>>> {
        self.compared.taken_for.map(|ratio| fraction(py, ratio)).transpose()
    }

    /// What would explain it, in words.
    #[getter]
    fn causes<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyList>> {
        PyList::new(py, self.compared.causes.iter().map(|cause: &Cause| cause.name()))
    }

    fn __repr__(&self) -> String {
        format!("Verdict({})", self.of.map(written).join(", "))
    }

    fn __hash__(&self) -> u64 {
        hash(self.of)
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        let of: Vec<_> = self.of.iter().map(|number| fraction(py, *number)).collect::<PyResult<_>>()?;
        Ok((py.get_type::<Self>().into_any(), PyTuple::new(py, of)?))
    }
}
