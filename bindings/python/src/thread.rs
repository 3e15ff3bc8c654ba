//! Screw threads by their designations.

use pyo3::prelude::*;
use wholestep::mechanism::Thread as Designated;

use crate::boundary::cross;
use crate::measure::{Length, hash};

/// A screw thread, read from its designation.
///
/// ``"M8"``, ``"M8x1"``, ``"M16xPh3P1.5"``, ``"Tr12x3"``, ``"Tr8x8(P2)"``, ``"3/8-16 UNC"``,
/// ``"1/2-10 Acme"`` and ``"1/2-8 Acme, 2 starts"`` are some; ``LH`` at the end makes a left-hand
/// thread. Only metric coarse, UNC and Acme may leave out their pitch, which then is the one that the
/// standard lists. The hand does not turn an axis round; its ``direction`` does.
///
/// >>> thread = wholestep.Thread("Tr60x18(P9)LH")
/// >>> thread.pitch, thread.lead, thread.starts, thread.hand
/// (Length('9 mm'), Length('18 mm'), 2, 'left')
/// >>> wholestep.Thread("M8")
/// Thread('M8x1.25')
#[pyclass(frozen, eq, module = "wholestep")]
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) struct Thread(pub(crate) Designated);

#[pymethods]
impl Thread {
    #[new]
    fn new(py: Python<'_>, designation: &str) -> PyResult<Self> {
        cross(py, || Designated::read(designation)).map(Self)
    }

    /// The nominal diameter.
    #[getter]
    fn diameter(&self, py: Python<'_>) -> PyResult<Length> {
        cross(py, || self.0.diameter()).map(Length)
    }

    /// From one ridge to the next, along the screw.
    #[getter]
    fn pitch(&self) -> Length {
        Length(self.0.pitch())
    }

    /// How many ridges run side by side.
    #[getter]
    fn starts(&self) -> u32 {
        self.0.starts()
    }

    /// The travel of one turn: pitch times starts.
    #[getter]
    fn lead(&self, py: Python<'_>) -> PyResult<Length> {
        cross(py, || self.0.lead()).map(Length)
    }

    /// To which side it is cut: ``"right"`` or ``"left"``.
    #[getter]
    fn hand(&self) -> &'static str {
        self.0.hand().name()
    }

    /// The standard whose list of sizes holds this diameter and pitch; ``None`` if no list here does.
    /// The lists are not copied from the standards themselves (second-hand, or memory).
    ///
    /// >>> wholestep.Thread("Tr12x3").standard, wholestep.Thread("Tr8x2").standard
    /// ('ISO 2904', None)
    #[getter]
    fn standard(&self) -> Option<&'static str> {
        self.0.standard()
    }

    fn __hash__(&self) -> u64 {
        hash(self.0)
    }

    fn __str__(&self) -> String {
        self.0.to_string()
    }

    fn __repr__(&self) -> String {
        format!("Thread('{}')", self.0)
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> (Bound<'py, PyAny>, (String,)) {
        (py.get_type::<Self>().into_any(), (self.0.to_string(),))
    }
}
