//! The timer and the pulses that a driver takes.

use serde::Deserialize;

use crate::bounds::TIMER_HZ;
use crate::error::{Error, ErrorKind, Result, Value};
use crate::exact::{Exact, Rounding};
use crate::measure::Time;
use crate::plan::PulseTiming;

/// The timer that the edges are counted in, and the pulses that the driver takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
pub struct Pulse {
    /// Ticks of the timer per second, 1 to 1,000,000,000.
    pub timer_hz: u64,
    /// How long the direction must stand before the first edge.
    pub direction_setup: Time,
    /// How long a pulse must last.
    pub width: Time,
    /// How long it must rest after a pulse.
    pub gap: Time,
}

impl Pulse {
    pub(super) fn check(&self) -> Result<()> {
        if !TIMER_HZ.contains(&self.timer_hz) {
            return Err(Error::new(ErrorKind::OutOfRange, "timer hz")
                .given(Value::Integer(self.timer_hz.into()))
                .between(
                    Value::Integer((*TIMER_HZ.start()).into()),
                    Value::Integer((*TIMER_HZ.end()).into()),
                ));
        }
        if self.width == Time::ZERO {
            return Err(Error::new(ErrorKind::OutOfRange, "pulse width")
                .given(Value::Word("0 s"))
                .remedy("take the shortest pulse from the driver's maker"));
        }
        Ok(())
    }

    /// What the driver needs of its pulses, in ticks of the timer, rounded up.
    ///
    /// # Errors
    /// [`ErrorKind::Plan`] for more ticks than a plan can keep.
    pub fn timing(&self) -> Result<PulseTiming> {
        let [direction_setup, width, gap] =
            [self.direction_setup, self.width, self.gap].map(|time| self.ticks(time));
        // A tick is the shortest time that the timer knows.
        Ok(PulseTiming::new(direction_setup?, width?.max(1), gap?.max(1))?)
    }

    /// The whole ticks of the timer that last at least `time`.
    ///
    /// # Errors
    /// [`ErrorKind::Overflow`] where they do not fit.
    pub fn ticks(&self, time: Time) -> Result<u64> {
        let ticks = time.seconds().mul(Exact::new(self.timer_hz.into(), 1)?)?.round(Rounding::Above);
        u64::try_from(ticks).map_err(|_| Error::new(ErrorKind::Overflow, "time in ticks").about("pulse"))
    }
}
