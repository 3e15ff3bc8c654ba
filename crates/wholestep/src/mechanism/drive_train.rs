//! The drive in front of every mechanism: motor, driver and tooth ratio.

use super::StepMode;
use crate::bounds::TEETH_MAX;
use crate::error::{Result, Value, messages};
use crate::exact::Exact;
use crate::measure::{Angle, AngleUnit, Measure, Unit};

/// Motor, step mode and the teeth between the motor and what it turns.
///
/// ```
/// use wholestep::{Angle, Exact, Measure};
/// use wholestep::mechanism::{DriveTrain, StepMode};
/// let motor = DriveTrain::new(Angle::from_base(Exact::new(9, 5)?)?, StepMode::new(16)?)?;
/// assert_eq!(motor.turns_per_step()?, Exact::new(1, 3200)?);
/// assert_eq!(motor.geared(20, 60)?.turns_per_step()?, Exact::new(1, 9600)?);
/// # Ok::<(), wholestep::Error>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct DriveTrain {
    step_angle: Angle,
    step_mode: StepMode,
    turns_per_motor_turn: Exact,
}

impl DriveTrain {
    /// Makes a motor that turns `step_angle` a full step, with the driver in `step_mode`.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) unless 0 < `step_angle` ≤ 90 degrees.
    pub fn new(step_angle: Angle, step_mode: StepMode) -> Result<Self> {
        let quarter = Exact::integer(90);
        if step_angle <= Angle::ZERO || step_angle.base() > quarter {
            let refused = messages::STEP_ANGLE.error().given(step_angle.quoted(AngleUnit::Degree));
            let refused = if step_angle > Angle::ZERO {
                refused.at_most(AngleUnit::Degree.quoted(quarter))
            } else {
                refused
            };
            return Err(refused.remedy("take the step angle from the motor's maker, usually 1.8 or 0.9 deg"));
        }
        Ok(Self { step_angle, step_mode, turns_per_motor_turn: Exact::ONE })
    }

    /// Returns the same drive with a further pair of gears or pulleys: `driver` teeth turn `driven` teeth.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) unless both are 1 to 10,000.
    pub fn geared(self, driver: u32, driven: u32) -> Result<Self> {
        let ratio = Exact::new(
            teeth("driver teeth", "driver_teeth", driver)?,
            teeth("driven teeth", "driven_teeth", driven)?,
        )?;
        Ok(Self { turns_per_motor_turn: self.turns_per_motor_turn.checked_mul(ratio)?, ..self })
    }

    /// Returns the motor's full step.
    pub const fn step_angle(&self) -> Angle {
        self.step_angle
    }

    /// Returns the driver's step mode.
    pub const fn step_mode(&self) -> StepMode {
        self.step_mode
    }

    /// Turns of the driven shaft for one turn of the motor.
    pub const fn turns_per_motor_turn(&self) -> Exact {
        self.turns_per_motor_turn
    }

    /// Turns of the driven shaft for one step.
    ///
    /// # Errors
    /// [`ErrorKind::Overflow`](crate::ErrorKind::Overflow) if step angle and ratio together do not fit an [`Exact`].
    pub fn turns_per_step(&self) -> Result<Exact> {
        let steps = Exact::integer(360 * i64::from(self.step_mode.division()));
        Ok(self.step_angle.base().checked_div(steps)?.checked_mul(self.turns_per_motor_turn)?)
    }
}

/// A tooth count as a number, 1 to 10,000.
pub(super) fn teeth(subject: &'static str, parameter: &'static str, count: u32) -> Result<i128> {
    let count = i128::from(count);
    if !(1..=TEETH_MAX).contains(&count) {
        return Err(messages::VALUE
            .error()
            .of(subject)
            .about(parameter)
            .given(Value::Integer(count))
            .between(Value::Integer(1), Value::Integer(TEETH_MAX)));
    }
    Ok(count)
}
