//! How fast an axis may go.

use crate::error::{Result, messages};
use crate::exact::Exact;
use crate::measure::{Acceleration, Jerk, Measure, Speed};

/// How fast an axis may go, in the person's own units.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Rates<Q: Measure> {
    /// The highest speed.
    pub speed: Speed<Q>,
    /// The highest acceleration.
    pub acceleration: Acceleration<Q>,
    /// The highest deceleration.
    pub deceleration: Acceleration<Q>,
    /// The highest jerk; if it is given, moves are jerk-limited.
    pub jerk: Option<Jerk<Q>>,
    /// A speed that the motor can take at once; 0 where it starts from rest.
    pub start_speed: Speed<Q>,
}

impl<Q: Measure> Rates<Q> {
    /// Trapezoidal moves that start from rest and slow down as they speed up.
    pub const fn new(speed: Speed<Q>, acceleration: Acceleration<Q>) -> Self {
        Self { speed, acceleration, deceleration: acceleration, jerk: None, start_speed: Speed::ZERO }
    }

    pub(super) fn check(&self, unit: Q::Unit) -> Result<()> {
        let positive = |subject, parameter, value: Exact, order| {
            if value.signum() > 0 {
                return Ok(());
            }
            Err(messages::RATE_ABOVE_ZERO
                .error()
                .of(subject)
                .about(parameter)
                .given(Q::quoted_rate(value, unit, order)))
        };
        positive("speed", "motion.speed", self.speed.base(), 1)?;
        positive("acceleration", "motion.acceleration", self.acceleration.base(), 2)?;
        positive("deceleration", "motion.deceleration", self.deceleration.base(), 2)?;
        if let Some(jerk) = self.jerk {
            positive("jerk", "motion.jerk", jerk.base(), 3)?;
            if self.start_speed > Speed::ZERO {
                return Err(messages::JERK_WITH_START_SPEED.error().given(Q::quoted_rate(
                    self.start_speed.base(),
                    unit,
                    1,
                )));
            }
        }
        if self.start_speed > self.speed {
            return Err(messages::START_SPEED
                .error()
                .given(Q::quoted_rate(self.start_speed.base(), unit, 1))
                .at_most(Q::quoted_rate(self.speed.base(), unit, 1)));
        }
        Ok(())
    }
}
