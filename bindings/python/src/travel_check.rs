//! A measured travel held against the one that the axis file says.

use pyo3::prelude::*;
use pyo3::types::PyTuple;
use wholestep::Exact;
use wholestep_files::TravelCheck as Checked;

use crate::number::{exact, fraction, written};

type Explanation = (String, String, String);

/// How the travel that a person measured compares with the one that the file says; made by
/// :meth:`Axis.check_travel`.
///
/// ``explanations`` names single figures of the file that would explain a difference, each as its key,
/// what the file says, and what would fit.
#[pyclass(frozen, eq, hash, module = "wholestep")]
#[derive(PartialEq, Eq, Hash)]
pub(crate) struct TravelCheck {
    ratio: Exact,
    /// Whether the machine travels as the file says, to within the tolerance.
    #[pyo3(get)]
    agrees: bool,
    explanations: Vec<Explanation>,
}

impl From<Checked> for TravelCheck {
    fn from(checked: Checked) -> Self {
        let explanations =
            checked.explanations.into_iter().map(|one| (one.key.into(), one.says, one.fits)).collect();
        Self { ratio: checked.ratio, agrees: checked.agrees, explanations }
    }
}

#[pymethods]
impl TravelCheck {
    #[new]
    fn new(ratio: &Bound<'_, PyAny>, agrees: bool, explanations: Vec<Explanation>) -> PyResult<Self> {
        Ok(Self { ratio: exact(ratio)?, agrees, explanations })
    }

    /// Measured over expected.
    #[getter]
    fn ratio<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        fraction(py, self.ratio)
    }

    /// The figures that would explain a difference: key, what the file says, what would fit.
    #[getter]
    fn explanations<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyTuple>> {
        PyTuple::new(py, &self.explanations)
    }

    fn __repr__(slf: &Bound<'_, Self>) -> PyResult<String> {
        let this = slf.get();
        let agrees = if this.agrees { "True" } else { "False" };
        let explanations = this.explanations(slf.py())?.repr()?;
        Ok(format!("TravelCheck({}, {agrees}, {explanations})", written(this.ratio)))
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        let (py, this) = (slf.py(), slf.get());
        let parts = (this.ratio(py)?, this.agrees, this.explanations.clone());
        Ok((py.get_type::<Self>().into_any(), parts.into_pyobject(py)?))
    }
}
