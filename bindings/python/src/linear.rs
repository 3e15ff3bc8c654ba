//! Mechanisms in which every step travels alike.

use pyo3::IntoPyObjectExt;
use pyo3::prelude::*;
use pyo3::types::PyTuple;
use wholestep::axis::AnyMechanism;
use wholestep::error::Value;
use wholestep::mechanism::Linear as Uniform;
use wholestep::{Angle, Error, ErrorKind, Length, Mechanism, Width};

use crate::boundary::cross;
use crate::drive_train::DriveTrain;
use crate::enclosure::Enclosure;
use crate::measure::{Either, either, given, hash};
use crate::number::{exact, fraction};
use crate::thread::Thread;
use crate::whole;

/// A drive train in which every step travels alike and step 0 stands at 0.
///
/// Made by the static methods named after the drive trains.
///
/// >>> drive = wholestep.DriveTrain("1.8 deg", "1/16")
/// >>> screw = wholestep.Linear.lead_screw_by_pitch(drive, "2 mm", 4)
/// >>> screw.travel_per_step.low
/// Length('0.0025 mm')
#[pyclass(frozen, eq, module = "wholestep")]
pub(crate) struct Linear {
    linear: Either<Uniform<Length>, Uniform<Angle>>,
    /// The static method that made it, and its arguments.
    maker: &'static str,
    arguments: Py<PyTuple>,
}

impl Linear {
    fn made(
        py: Python<'_>,
        maker: &'static str,
        linear: impl FnOnce() -> wholestep::Result<Uniform<Length>>,
        arguments: impl IntoIterator<Item = Py<PyAny>, IntoIter: ExactSizeIterator>,
    ) -> PyResult<Self> {
        let linear = Either::Length(cross(py, linear)?);
        Ok(Self { linear, maker, arguments: PyTuple::new(py, arguments)?.unbind() })
    }

    pub(crate) fn mechanism(&self) -> AnyMechanism {
        match self.linear {
            Either::Length(linear) => AnyMechanism::length(linear),
            Either::Angle(linear) => AnyMechanism::angle(linear),
        }
    }
}

impl PartialEq for Linear {
    fn eq(&self, other: &Self) -> bool {
        self.linear == other.linear
    }
}

/// The arguments as they are kept to write the mechanism out.
macro_rules! kept {
    ($py:expr, $($argument:expr),*) => {
        [$($argument.into_py_any($py)?),*]
    };
}

/// A length as it is kept: as text that is read back.
fn text(length: Length) -> String {
    length.to_string()
}

#[pymethods]
impl Linear {
    /// A lead screw by its pitch and number of starts.
    ///
    /// Raises OutOfRangeError for a pitch of 0 or less.
    #[staticmethod]
    fn lead_screw_by_pitch(
        drive: &Bound<'_, DriveTrain>,
        pitch: &Bound<'_, PyAny>,
        #[pyo3(from_py_with = whole::starts)] starts: u32,
    ) -> PyResult<Self> {
        let (py, pitch) = (drive.py(), given(pitch, None)?);
        let train = drive.get().drive;
        let arguments = kept!(py, drive.clone(), text(pitch), starts);
        Self::made(
            py,
            "lead_screw_by_pitch",
            || Uniform::lead_screw_by_pitch(train, pitch, starts),
            arguments,
        )
    }

    /// A lead screw by its lead: the travel of one turn.
    ///
    /// Raises OutOfRangeError for a lead of 0 or less.
    #[staticmethod]
    fn lead_screw_by_lead(drive: &Bound<'_, DriveTrain>, lead: &Bound<'_, PyAny>) -> PyResult<Self> {
        let (py, lead) = (drive.py(), given(lead, None)?);
        let train = drive.get().drive;
        let arguments = kept!(py, drive.clone(), text(lead));
        Self::made(py, "lead_screw_by_lead", || Uniform::lead_screw_by_lead(train, lead), arguments)
    }

    /// A lead screw by its threads per inch and number of starts.
    ///
    /// Raises OutOfRangeError for a count of 0 or less.
    #[staticmethod]
    #[pyo3(signature = (drive, threads_per_inch, starts = 1))]
    fn lead_screw_by_threads_per_inch(
        drive: &Bound<'_, DriveTrain>,
        threads_per_inch: &Bound<'_, PyAny>,
        #[pyo3(from_py_with = whole::starts)] starts: u32,
    ) -> PyResult<Self> {
        let (py, threads) = (drive.py(), exact(threads_per_inch)?);
        let train = drive.get().drive;
        let arguments = kept!(py, drive.clone(), fraction(py, threads)?, starts);
        let linear = || Uniform::lead_screw_by_threads_per_inch(train, threads, starts);
        Self::made(py, "lead_screw_by_threads_per_inch", linear, arguments)
    }

    /// A lead screw by the designation of its thread, as text or a :class:`Thread`.
    ///
    /// Raises NotationError for a designation that is none, and UnitError for a thread without a lead.
    ///
    /// >>> drive = wholestep.DriveTrain("1.8 deg", "1/16")
    /// >>> wholestep.Linear.lead_screw_by_thread(drive, "1/2 Acme")
    /// Linear.lead_screw_by_thread(DriveTrain('1.8 deg', '1/16'), '1/2-10 Acme')
    #[staticmethod]
    fn lead_screw_by_thread(drive: &Bound<'_, DriveTrain>, thread: &Bound<'_, PyAny>) -> PyResult<Self> {
        let py = drive.py();
        let thread = if let Ok(thread) = thread.cast::<Thread>() {
            thread.get().0
        } else {
            let text: String = thread.extract()?;
            cross(py, || text.parse())?
        };
        let train = drive.get().drive;
        let arguments = kept!(py, drive.clone(), thread.to_string());
        Self::made(py, "lead_screw_by_thread", || Uniform::lead_screw_by_thread(train, thread), arguments)
    }

    /// A toothed belt by its tooth pitch and the teeth of the pulley that drives it.
    ///
    /// Raises OutOfRangeError for a pitch of 0 or less.
    #[staticmethod]
    fn belt(
        drive: &Bound<'_, DriveTrain>,
        tooth_pitch: &Bound<'_, PyAny>,
        #[pyo3(from_py_with = whole::teeth)] pulley_teeth: u32,
    ) -> PyResult<Self> {
        let (py, pitch) = (drive.py(), given(tooth_pitch, None)?);
        let train = drive.get().drive;
        let arguments = kept!(py, drive.clone(), text(pitch), pulley_teeth);
        Self::made(py, "belt", || Uniform::belt(train, pitch, pulley_teeth), arguments)
    }

    /// A rack by its tooth pitch and the teeth of the pinion.
    ///
    /// Raises OutOfRangeError for a pitch of 0 or less.
    #[staticmethod]
    fn rack_by_tooth_pitch(
        drive: &Bound<'_, DriveTrain>,
        tooth_pitch: &Bound<'_, PyAny>,
        #[pyo3(from_py_with = whole::teeth)] pinion_teeth: u32,
    ) -> PyResult<Self> {
        let (py, pitch) = (drive.py(), given(tooth_pitch, None)?);
        let train = drive.get().drive;
        let arguments = kept!(py, drive.clone(), text(pitch), pinion_teeth);
        Self::made(
            py,
            "rack_by_tooth_pitch",
            || Uniform::rack_by_tooth_pitch(train, pitch, pinion_teeth),
            arguments,
        )
    }

    /// A rack by its module and the teeth of the pinion: one turn travels π × module × teeth.
    ///
    /// Raises OutOfRangeError for a module of 0 or less.
    ///
    /// >>> rack = wholestep.Linear.rack_by_module(wholestep.DriveTrain("1.8 deg", "full"), "1 mm", 20)
    /// >>> rack.travel_per_step.is_exact
    /// False
    #[staticmethod]
    fn rack_by_module(
        drive: &Bound<'_, DriveTrain>,
        module: &Bound<'_, PyAny>,
        #[pyo3(from_py_with = whole::teeth)] pinion_teeth: u32,
    ) -> PyResult<Self> {
        let (py, module) = (drive.py(), given(module, None)?);
        let train = drive.get().drive;
        let arguments = kept!(py, drive.clone(), text(module), pinion_teeth);
        Self::made(py, "rack_by_module", || Uniform::rack_by_module(train, module, pinion_teeth), arguments)
    }

    /// A drum by its diameter and the thickness of the rope: one turn of a single layer travels
    /// π × (diameter + thickness).
    ///
    /// Raises OutOfRangeError for a diameter of 0 or less.
    #[staticmethod]
    fn drum(
        drive: &Bound<'_, DriveTrain>,
        diameter: &Bound<'_, PyAny>,
        rope_thickness: &Bound<'_, PyAny>,
    ) -> PyResult<Self> {
        let (py, diameter, thickness) = (drive.py(), given(diameter, None)?, given(rope_thickness, None)?);
        let train = drive.get().drive;
        let arguments = kept!(py, drive.clone(), text(diameter), text(thickness));
        Self::made(py, "drum", || Uniform::drum(train, diameter, thickness), arguments)
    }

    /// Anything else by the travel measured for one turn.
    ///
    /// Raises OutOfRangeError for a travel of 0.
    #[staticmethod]
    fn measured(drive: &Bound<'_, DriveTrain>, travel_per_turn: &Bound<'_, PyAny>) -> PyResult<Self> {
        let (py, travel) = (drive.py(), given(travel_per_turn, None)?);
        let train = drive.get().drive;
        let arguments = kept!(py, drive.clone(), text(travel));
        Self::made(py, "measured", || Uniform::measured(train, travel), arguments)
    }

    /// A table, arm or trunnion that turns with the driven shaft; a worm and wheel is a pair of
    /// teeth with the worm's starts as driver.
    #[staticmethod]
    fn rotary(drive: &Bound<'_, DriveTrain>) -> PyResult<Self> {
        let py = drive.py();
        let linear = Either::Angle(cross(py, || Uniform::rotary(drive.get().drive))?);
        Ok(Self { linear, maker: "rotary", arguments: PyTuple::new(py, [drive])?.unbind() })
    }

    /// The travel of one step.
    #[getter]
    fn travel_per_step(&self, py: Python<'_>) -> PyResult<Enclosure> {
        either!(self.linear, linear => cross(py, || linear.travel_per_step()).map(Enclosure::of))
    }

    /// The first and the last step at which it can stand.
    fn span(&self) -> (i64, i64) {
        either!(self.linear, linear => linear.span().into_inner())
    }

    /// Where it stands at a step, between bounds no further apart than ``width``.
    ///
    /// Raises OutOfRangeError for a step off the span.
    fn position_at(
        &self,
        #[pyo3(from_py_with = whole::step)] step: i64,
        width: &Bound<'_, PyAny>,
    ) -> PyResult<Enclosure> {
        let py = width.py();
        // The bounds of these mechanisms are always of the finest width.
        exact(width)?;
        let (first, last) = self.span();
        if !(first..=last).contains(&step) {
            let [step, first, last] = [step, first, last].map(|step| Value::Integer(step.into()));
            return cross(py, || {
                Err(Error::new(ErrorKind::OutOfRange, "step").given(step).between(first, last))
            });
        }
        either!(self.linear, linear => cross(py, || linear.position_at(step, Width::FINEST)).map(Enclosure::of))
    }

    fn __hash__(&self, py: Python<'_>) -> PyResult<u64> {
        either!(self.linear, linear => Ok(hash(cross(py, || linear.travel_per_step())?)))
    }

    fn __repr__(&self, py: Python<'_>) -> PyResult<String> {
        let arguments: Vec<String> = self
            .arguments
            .bind(py)
            .iter()
            .map(|argument| Ok(argument.repr()?.to_string()))
            .collect::<PyResult<_>>()?;
        Ok(format!("Linear.{}({})", self.maker, arguments.join(", ")))
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Py<PyTuple>)> {
        Ok((py.get_type::<Self>().getattr(self.maker)?, self.arguments.clone_ref(py)))
    }
}
