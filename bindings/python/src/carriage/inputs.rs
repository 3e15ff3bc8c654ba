//! What a carriage is told at every poll.

use pyo3::prelude::*;
use wholestep::carriage::{End, Inputs as Levels, Quadrature as Contacts};

use crate::measure::hash;
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
        dial: u32,
        rocker: Option<&str>,
    ) -> PyResult<Self> {
        let rocker = rocker.map(|word| end(py, word)).transpose()?;
        Ok(Self(Levels { low_switch, high_switch, probe, enable, drive_fault, dial, rocker }))
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
/// once says nothing about the way and is not counted, but noted as missed.
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
    fn new(a: bool, b: bool) -> Self {
        Self(Contacts::new(a, b))
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
        hash((self.0.count(), self.0.missed()))
    }

    fn __repr__(&self) -> String {
        format!("<Quadrature at {}>", self.0.count())
    }
}
