//! What a carriage is told at every poll.

use pyo3::prelude::*;
use pyo3::types::PyDict;
use wholestep::carriage::{End, Inputs as Levels, Quadrature as Contacts};

use crate::measure::hash;
use crate::whole;
use crate::word::end;

/// The levels read from the machine at one instant, true for high.
///
/// What a level of a switch or the probe means follows from how it is wired: a normally closed
/// contact reads high while pressed, and so does a broken wire. ``enable`` is high while it is held,
/// ``drive_fault`` while the drive reports a fault. ``dial`` counts, and may wrap at 32 bits;
/// ``rocker`` is the end toward which it is held.
///
/// >>> wholestep.Inputs(probe=True, enable=True, rocker="low")
/// Inputs(low_switch=False, high_switch=False, probe=True, enable=True, drive_fault=False, dial=0, rocker='low')
#[pyclass(frozen, eq, module = "wholestep")]
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) struct Inputs(pub(crate) Levels);

#[pymethods]
impl Inputs {
    #[new]
    #[pyo3(signature = (
        *, low_switch = false, high_switch = false, probe = false, enable = false, drive_fault = false,
        dial = 0, rocker = None,
    ))]
    #[expect(
        clippy::too_many_arguments,
        clippy::fn_params_excessive_bools,
        reason = "they have names in Python"
    )]
    fn new(
        py: Python<'_>,
        low_switch: bool,
        high_switch: bool,
        probe: bool,
        enable: bool,
        drive_fault: bool,
        #[pyo3(from_py_with = whole::dial_count)] dial: u32,
        rocker: Option<&str>,
    ) -> PyResult<Self> {
        let rocker = rocker.map(|word| end(py, word)).transpose()?;
        Ok(Self(Levels { low_switch, high_switch, probe, enable, drive_fault, dial, rocker }))
    }

    /// What a pattern matches by position.
    #[classattr]
    #[pyo3(name = "__match_args__")]
    const MATCH_ARGS: (
        &'static str,
        &'static str,
        &'static str,
        &'static str,
        &'static str,
        &'static str,
        &'static str,
    ) = ("low_switch", "high_switch", "probe", "enable", "drive_fault", "dial", "rocker");

    /// The same levels but for ``changes``, such as ``enable=True``.
    ///
    /// >>> wholestep.Inputs(probe=True, dial=4).replace(dial=8)
    /// Inputs(low_switch=False, high_switch=False, probe=True, enable=False, drive_fault=False, dial=8, rocker=None)
    #[pyo3(signature = (**changes))]
    fn replace<'py>(
        &self,
        py: Python<'py>,
        changes: Option<&Bound<'py, PyDict>>,
    ) -> PyResult<Bound<'py, PyAny>> {
        let ((), fields) = self.__getnewargs_ex__(py)?;
        if let Some(changes) = changes {
            fields.update(changes.as_mapping())?;
        }
        py.get_type::<Self>().call((), Some(&fields))
    }

    /// As ``replace``, for ``copy.replace``.
    #[pyo3(signature = (**changes))]
    fn __replace__<'py>(
        &self,
        py: Python<'py>,
        changes: Option<&Bound<'py, PyDict>>,
    ) -> PyResult<Bound<'py, PyAny>> {
        self.replace(py, changes)
    }

    fn __getnewargs_ex__<'py>(&self, py: Python<'py>) -> PyResult<((), Bound<'py, PyDict>)> {
        let Levels { low_switch, high_switch, probe, enable, drive_fault, dial, .. } = self.0;
        let fields = PyDict::new(py);
        fields.set_item("low_switch", low_switch)?;
        fields.set_item("high_switch", high_switch)?;
        fields.set_item("probe", probe)?;
        fields.set_item("enable", enable)?;
        fields.set_item("drive_fault", drive_fault)?;
        fields.set_item("dial", dial)?;
        fields.set_item("rocker", self.rocker())?;
        Ok(((), fields))
    }

    /// The switch at the low end.
    #[getter]
    fn low_switch(&self) -> bool {
        self.0.low_switch
    }

    /// The switch at the high end.
    #[getter]
    fn high_switch(&self) -> bool {
        self.0.high_switch
    }

    /// The touch probe.
    #[getter]
    fn probe(&self) -> bool {
        self.0.probe
    }

    /// Whether the enable input is held.
    #[getter]
    fn enable(&self) -> bool {
        self.0.enable
    }

    /// Whether the drive reports a fault.
    #[getter]
    fn drive_fault(&self) -> bool {
        self.0.drive_fault
    }

    /// Counts of the dial since some start.
    #[getter]
    fn dial(&self) -> u32 {
        self.0.dial
    }

    /// The end toward which the rocker is held.
    #[getter]
    fn rocker(&self) -> Option<&'static str> {
        self.0.rocker.map(End::name)
    }

    fn __hash__(&self) -> u64 {
        let Levels { low_switch, high_switch, probe, enable, drive_fault, dial, rocker } = self.0;
        hash((low_switch, high_switch, probe, enable, drive_fault, dial, rocker))
    }

    fn __repr__(&self) -> String {
        let word = |level: bool| if level { "True" } else { "False" };
        let Levels { low_switch, high_switch, probe, enable, drive_fault, dial, rocker } = self.0;
        format!(
            "Inputs(low_switch={}, high_switch={}, probe={}, enable={}, drive_fault={}, dial={dial}, rocker={})",
            word(low_switch),
            word(high_switch),
            word(probe),
            word(enable),
            word(drive_fault),
            rocker.map_or("None".into(), |end| format!("'{}'", end.name())),
        )
    }
}

/// Turns the two contacts of a dial into counts, four to a cycle, upward while ``a`` leads.
///
/// A contact that bounces counts up and down again, so it adds nothing. A change of both contacts at
/// once says nothing about the way and is not counted, but noted as missed. A ``count`` and what was
/// ``missed`` go on from an earlier reading.
///
/// >>> dial = wholestep.Quadrature(False, False)
/// >>> for a, b in [(1, 0), (0, 0), (1, 0), (1, 1), (0, 1), (0, 0)]:
/// ...     dial = dial.read(bool(a), bool(b))
/// >>> dial.count, dial.missed
/// (4, 0)
#[pyclass(frozen, eq, module = "wholestep")]
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) struct Quadrature(Contacts);

#[pymethods]
impl Quadrature {
    #[new]
    #[pyo3(signature = (a, b, count = 0, missed = 0))]
    fn new(
        a: bool,
        b: bool,
        #[pyo3(from_py_with = whole::dial_count)] count: u32,
        #[pyo3(from_py_with = whole::missed)] missed: u32,
    ) -> Self {
        Self(Contacts::resumed(a, b, count, missed))
    }

    /// The dial after its contacts read so.
    fn read(&self, a: bool, b: bool) -> Self {
        let mut contacts = self.0;
        contacts.read(a, b);
        Self(contacts)
    }

    /// Counts since the start; it wraps at 32 bits.
    #[getter]
    fn count(&self) -> u32 {
        self.0.count()
    }

    /// How often both contacts had changed between two readings.
    #[getter]
    fn missed(&self) -> u32 {
        self.0.missed()
    }

    fn __hash__(&self) -> u64 {
        hash(self.0)
    }

    fn __repr__(&self) -> String {
        let (a, b, count, missed) = self.fields();
        let word = |level: bool| if level { "True" } else { "False" };
        format!("Quadrature({}, {}, count={count}, missed={missed})", word(a), word(b))
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> (Bound<'py, PyAny>, (bool, bool, u32, u32)) {
        (py.get_type::<Self>().into_any(), self.fields())
    }
}

impl Quadrature {
    fn fields(&self) -> (bool, bool, u32, u32) {
        let (a, b) = self.0.levels();
        (a, b, self.0.count(), self.0.missed())
    }
}
