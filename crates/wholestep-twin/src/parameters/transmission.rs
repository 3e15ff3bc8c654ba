//! What stands between motor and carriage, and what the carriage carries.

use core::f64::consts::TAU;

use super::Screw;
use super::error::{ParameterError, consistent, within};

/// A screw or belt, as the motor feels it.
///
/// Whether it holds itself is not a setting: it does where the load, less the friction, cannot turn it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Transmission {
    /// Travel of the carriage for one step, m; negative if a forward step lowers it. 1e-9 to 0.01.
    pub travel_per_step: f64,
    /// Motor torque that moves the carriage against one newton of load, N·m/N.
    pub raise: f64,
    /// Motor torque that moves the carriage along with one newton of load, N·m/N; negative if the
    /// load turns the motor by itself.
    pub lower: f64,
    /// Friction torque whatever the load, N·m at the motor, 0 to 1,000.
    pub drag: f64,
    /// Free play of the carriage on the screw, m, 0 to 0.05.
    pub backlash: f64,
    /// Inertia of screw, pulleys and coupling, kg·m² at the motor, 0 to 10.
    pub inertia: f64,
}

impl Transmission {
    /// Returns a transmission by its efficiency against the load, above 0 to 1, for a motor of `step_angle` rad.
    ///
    /// With `K` the travel per radian: raise = K/η and lower = K(1/η − 2), so that at η ≤ 0.5 it holds
    /// itself (friction taken alike in both directions).
    ///
    /// ```
    /// # use wholestep_twin::Transmission;
    /// let belt = Transmission::from_efficiency(5e-5, 0.001, 0.95)?;
    /// assert!(belt.lower < 0.0);
    /// assert!(Transmission::from_efficiency(5e-5, 0.001, 0.4)?.lower > 0.0);
    /// # Ok::<(), wholestep_twin::ParameterError>(())
    /// ```
    ///
    /// # Errors
    /// [`ParameterError`] if a value is out of its range.
    pub fn from_efficiency(
        travel_per_step: f64,
        step_angle: f64,
        efficiency: f64,
    ) -> Result<Self, ParameterError> {
        within("travel per step", travel_per_step.abs(), (1e-9, 0.01), "m")?;
        within("step angle", step_angle, (1e-6, TAU / 4.0), "rad")?;
        within("efficiency", efficiency, (1e-3, 1.0), "")?;
        let ideal = (travel_per_step / step_angle).abs();
        Ok(Self {
            travel_per_step,
            raise: ideal / efficiency,
            lower: ideal * (efficiency.recip() - 2.0),
            drag: 0.0,
            backlash: 0.0,
            inertia: 0.0,
        })
    }

    /// Returns a transmission whose friction is that of `screw`, for a motor of `step_angle` rad. What stands
    /// between motor, screw and carriage, gears and linkages, is taken to lose nothing.
    ///
    /// # Errors
    /// As [`from_efficiency`](Self::from_efficiency) and [`Screw::check`].
    pub fn from_screw(travel_per_step: f64, step_angle: f64, screw: &Screw) -> Result<Self, ParameterError> {
        screw.check()?;
        let frictionless = Self::from_efficiency(travel_per_step, step_angle, 1.0)?;
        let ratio = frictionless.raise / screw.ideal();
        Ok(Self { raise: screw.raise() * ratio, lower: screw.lower() * ratio, ..frictionless })
    }

    /// Returns the motor torque, N·m, that keeps the carriage moving while the screw pushes it along with `push`
    /// newtons, or holds it back if `push` is negative; drag is not counted. A negative torque means that the
    /// load turns the motor.
    ///
    /// ```
    /// # use wholestep_twin::Transmission;
    /// let screw = Transmission::from_efficiency(5e-5, 0.01, 0.25)?;
    /// assert_eq!(screw.torque(100.0), 100.0 * 0.02);
    /// // The load pulls along, and friction still asks for a torque.
    /// assert_eq!(screw.torque(-100.0), 100.0 * 0.01);
    /// # Ok::<(), wholestep_twin::ParameterError>(())
    /// ```
    pub fn torque(&self, push: f64) -> f64 {
        if push >= 0.0 { self.raise * push } else { self.lower * -push }
    }

    pub(crate) fn check(&self, step_angle: f64) -> Result<(), ParameterError> {
        within("travel per step", self.travel_per_step.abs(), (1e-9, 0.01), "m")?;
        within("drag", self.drag, (0.0, 1e3), "N·m")?;
        within("backlash", self.backlash, (0.0, 0.05), "m")?;
        within("transmission inertia", self.inertia, (0.0, 10.0), "kg·m²")?;
        within("raising torque", self.raise, (0.0, 10.0), "N·m/N")?;
        within("lowering torque", self.lower, (-10.0, 10.0), "N·m/N")?;
        // Rounding of the caller's own arithmetic must not count as perpetual motion.
        let ideal = (self.travel_per_step / step_angle).abs() * (1.0 - 1e-9);
        consistent(
            "raising torque",
            self.raise >= ideal,
            "less than the load times the travel per radian: more work would come out than goes in",
        )?;
        consistent(
            "lowering torque",
            self.raise + self.lower >= -1e-12 && self.raise > self.lower,
            "must lie between minus the raising torque and the raising torque",
        )
    }
}

/// What the carriage carries and runs between.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Load {
    /// Mass that moves, kg, 0 to 10,000.
    pub mass: f64,
    /// Gravity along the axis, m/s², towards lower positions: 9.80665 upright, 0 lying. −20 to 20.
    pub gravity: f64,
    /// Force of springs towards higher positions, N, −1e5 to 1e5, of a carriage at machine position 0.
    pub spring: f64,
    /// By how much that force falls for each metre the carriage rises, N/m, 0 (a gas spring) to 1e9.
    pub spring_rate: f64,
    /// Friction of the guides, N, 0 to 1e5.
    pub guide_friction: f64,
    /// The hard end stop at the low end, m.
    pub low_stop: f64,
    /// The hard end stop at the high end, m, above the low one.
    pub high_stop: f64,
    /// Where the carriage stands when the machine is first powered, m.
    pub start: f64,
}

impl Load {
    /// Returns the force of weight and springs on a carriage at `position` m, N, positive towards higher positions.
    pub fn force(&self, position: f64) -> f64 {
        self.spring - self.spring_rate * position - self.mass * self.gravity
    }

    pub(crate) fn check(&self) -> Result<(), ParameterError> {
        within("mass", self.mass, (0.0, 1e4), "kg")?;
        within("gravity along the axis", self.gravity, (-20.0, 20.0), "m/s²")?;
        within("spring force", self.spring, (-1e5, 1e5), "N")?;
        within("spring rate", self.spring_rate, (0.0, 1e9), "N/m")?;
        within("guide friction", self.guide_friction, (0.0, 1e5), "N")?;
        within("low end stop", self.low_stop, (-100.0, 100.0), "m")?;
        within("high end stop", self.high_stop, (-100.0, 100.0), "m")?;
        consistent("end stops", self.high_stop > self.low_stop, "the high one must be above the low one")?;
        within("start", self.start, (self.low_stop, self.high_stop), "m")
    }
}
