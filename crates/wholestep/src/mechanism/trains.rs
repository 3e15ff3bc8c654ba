//! The drive trains of a shop, each by the figures its maker prints.

use super::drive_train::teeth;
use super::thread::starts_in_range;
use super::{DriveTrain, Linear, Thread};
use crate::error::{Result, Value, messages};
use crate::exact::Exact;
use crate::measure::{Angle, Length, LengthUnit, Measure, Unit};

impl Linear<Length> {
    /// Returns a lead screw by its pitch and number of starts: lead = pitch × starts.
    ///
    /// ```
    /// use wholestep::{Angle, Exact, Length, LengthUnit, Measure};
    /// use wholestep::mechanism::{DriveTrain, Linear, StepMode};
    /// let motor = DriveTrain::new(Angle::from_base(Exact::new(9, 5)?)?, StepMode::new(16)?)?;
    /// let pitch = Length::new(Exact::integer(2), LengthUnit::Millimetre)?;
    /// let screw = Linear::lead_screw_by_pitch(motor, pitch, 4)?;
    /// assert_eq!(screw.travel_per_step()?.low().to_string(), "0.0025 mm");
    /// # Ok::<(), wholestep::Error>(())
    /// ```
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a pitch that is not positive, or fewer than 1 start.
    pub fn lead_screw_by_pitch(drive: DriveTrain, pitch: Length, starts: u32) -> Result<Self> {
        Self::per_turn(drive, positive("pitch", "pitch", pitch)?.checked_mul(starts_in_range(starts)?)?)
    }

    /// Returns a lead screw by its lead: the travel of one turn.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a lead that is not positive.
    pub fn lead_screw_by_lead(drive: DriveTrain, lead: Length) -> Result<Self> {
        Self::per_turn(drive, positive("lead", "lead", lead)?)
    }

    /// Returns a lead screw by its threads per inch and number of starts.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for threads that are not positive, or fewer than 1 start.
    pub fn lead_screw_by_threads_per_inch(
        drive: DriveTrain,
        threads_per_inch: Exact,
        starts: u32,
    ) -> Result<Self> {
        if threads_per_inch.signum() <= 0 {
            return Err(messages::THREADS_PER_INCH.error().given(Value::Exact(threads_per_inch)));
        }
        let pitch = LengthUnit::Inch.in_base().checked_div(threads_per_inch)?;
        Self::per_turn(drive, pitch.checked_mul(starts_in_range(starts)?)?)
    }

    /// Returns a lead screw by the designation of its thread.
    ///
    /// A left-hand thread does not turn the axis round; see [`Thread::hand`].
    ///
    /// ```
    /// use wholestep::mechanism::{DriveTrain, Linear, StepMode};
    /// let motor = DriveTrain::new("1.8 deg".parse()?, StepMode::new(16)?)?;
    /// let screw = Linear::lead_screw_by_thread(motor, "Tr8x8(P2)".parse()?)?;
    /// assert_eq!(screw, Linear::lead_screw_by_pitch(motor, "2 mm".parse()?, 4)?);
    /// # Ok::<(), wholestep::Error>(())
    /// ```
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a travel per step that is too small or too large.
    pub fn lead_screw_by_thread(drive: DriveTrain, thread: Thread) -> Result<Self> {
        Self::lead_screw_by_pitch(drive, thread.pitch(), thread.starts())
    }

    /// Returns a toothed belt by its tooth pitch and the teeth of the pulley that drives it.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a pitch that is not positive or teeth outside 1 to 10,000.
    pub fn belt(drive: DriveTrain, tooth_pitch: Length, pulley_teeth: u32) -> Result<Self> {
        let count = Exact::new(teeth("pulley teeth", "pulley_teeth", pulley_teeth)?, 1)?;
        Self::per_turn(drive, positive("tooth pitch", "tooth_pitch", tooth_pitch)?.checked_mul(count)?)
    }

    /// Returns a rack by its tooth pitch and the teeth of the pinion.
    ///
    /// # Errors
    /// As [`belt`](Self::belt).
    pub fn rack_by_tooth_pitch(drive: DriveTrain, tooth_pitch: Length, pinion_teeth: u32) -> Result<Self> {
        let count = Exact::new(teeth("pinion teeth", "pinion_teeth", pinion_teeth)?, 1)?;
        Self::per_turn(drive, positive("tooth pitch", "tooth_pitch", tooth_pitch)?.checked_mul(count)?)
    }

    /// Returns a rack by its module and the teeth of the pinion: one turn travels π × module × teeth.
    ///
    /// # Errors
    /// As [`belt`](Self::belt).
    pub fn rack_by_module(drive: DriveTrain, module: Length, pinion_teeth: u32) -> Result<Self> {
        let count = Exact::new(teeth("pinion teeth", "pinion_teeth", pinion_teeth)?, 1)?;
        Self::per_turn_times_pi(drive, positive("module", "module", module)?.checked_mul(count)?)
    }

    /// Returns a drum by its diameter and the thickness of rope, cable or tape: one turn of a single layer
    /// travels π × (diameter + thickness), which is the circumference at the rope's middle.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a diameter that is not positive or a negative thickness.
    pub fn drum(drive: DriveTrain, diameter: Length, rope_thickness: Length) -> Result<Self> {
        if rope_thickness < Length::ZERO {
            positive("rope thickness", "rope_thickness", rope_thickness)?;
        }
        Self::per_turn_times_pi(
            drive,
            positive("drum diameter", "diameter", diameter)?.checked_add(rope_thickness.base())?,
        )
    }

    /// Anything else by the travel measured for one turn.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a travel that is not positive.
    pub fn measured(drive: DriveTrain, travel_per_turn: Length) -> Result<Self> {
        Self::per_turn(drive, positive("travel per turn", "travel_per_turn", travel_per_turn)?)
    }

    fn per_turn(drive: DriveTrain, travel: Exact) -> Result<Self> {
        Self::new(drive.turns_per_step()?.checked_mul(travel)?, false)
    }

    fn per_turn_times_pi(drive: DriveTrain, travel: Exact) -> Result<Self> {
        Self::new(drive.turns_per_step()?.checked_mul(travel)?, true)
    }
}

impl Linear<Angle> {
    /// Returns a table, arm or trunnion that turns with the driven shaft: a worm and wheel is a pair of
    /// teeth with the worm's starts as driver.
    ///
    /// # Errors
    /// [`ErrorKind::Overflow`](crate::ErrorKind::Overflow) if the drive's ratio does not fit.
    pub fn rotary(drive: DriveTrain) -> Result<Self> {
        Self::new(drive.turns_per_step()?.checked_mul(Exact::integer(360))?, false)
    }
}

pub(super) fn positive(subject: &'static str, parameter: &'static str, length: Length) -> Result<Exact> {
    if length <= Length::ZERO {
        return Err(messages::LENGTH_ABOVE_ZERO_MM
            .error()
            .of(subject)
            .about(parameter)
            .given(length.quoted(LengthUnit::Millimetre)));
    }
    Ok(length.base())
}
