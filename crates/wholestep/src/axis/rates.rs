//! How fast an axis may go.

use crate::error::{Error, ErrorKind, Result};
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
    /// The highest jerk; where it is given, moves are jerk-limited.
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
            Err(Error::new(ErrorKind::OutOfRange, subject)
                .about(parameter)
                .given(Q::quoted_rate(value, unit, order))
                .remedy("give a rate above 0"))
        };
        positive("speed", "motion.speed", self.speed.base(), 1)?;
        positive("acceleration", "motion.acceleration", self.acceleration.base(), 2)?;
        positive("deceleration", "motion.deceleration", self.deceleration.base(), 2)?;
        if let Some(jerk) = self.jerk {
            positive("jerk", "motion.jerk", jerk.base(), 3)?;
            if self.start_speed > Speed::ZERO {
                return Err(Error::new(ErrorKind::Plan, "start speed")
                    .about("motion.start_speed")
                    .given(Q::quoted_rate(self.start_speed.base(), unit, 1))
                    .remedy("leave it out; a jerk-limited move starts from rest"));
            }
        }
        if self.start_speed > self.speed {
            return Err(Error::new(ErrorKind::OutOfRange, "start speed")
                .about("motion.start_speed")
                .given(Q::quoted_rate(self.start_speed.base(), unit, 1))
                .at_most(Q::quoted_rate(self.speed.base(), unit, 1)));
        }
        Ok(())
    }
}
