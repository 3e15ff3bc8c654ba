//! The timer and the pulses that a driver takes.

use crate::keys;
use crate::messages;
use wholestep::bounds::TIMER_HZ;
use wholestep::error::{Result, Value};
use wholestep::exact::{Exact, Rounding};
use wholestep::measure::Time;
use wholestep::plan::PulseTiming;

keys! {
    /// The timer that the edges are counted in, and the pulses that the driver takes.
    #[derive(Clone, Copy, Debug, PartialEq, Eq)]
    pub struct Pulse {
        /// Ticks of the controller's timer in a second, 1 to 1,000,000,000.
        pub timer_hz: u64,
        /// How long the direction must stand before the first edge.
        pub direction_setup: Time,
        /// How long a pulse must last.
        pub pulse_high: Time,
        /// How long it must rest after a pulse.
        pub pulse_low: Time,
    }
}

impl Pulse {
    pub(super) fn check(&self) -> Result<()> {
        if !TIMER_HZ.contains(&self.timer_hz) {
            return Err(messages::TIMER_HZ.error().given(Value::Integer(self.timer_hz.into())).between(
                Value::Integer((*TIMER_HZ.start()).into()),
                Value::Integer((*TIMER_HZ.end()).into()),
            ));
        }
        if self.pulse_high == Time::ZERO {
            return Err(messages::PULSE_HIGH.error().given(Value::Word("0 s")));
        }
        Ok(())
    }

    /// Returns what the driver needs of its pulses, in ticks of the timer, rounded up.
    ///
    /// # Errors
    /// [`ErrorKind::Plan`](wholestep::ErrorKind::Plan) for more ticks than a plan can keep.
    pub fn timing(&self) -> Result<PulseTiming> {
        let [direction_setup, pulse_high, pulse_low] =
            [self.direction_setup, self.pulse_high, self.pulse_low].map(|time| self.ticks(time));
        // A tick is the shortest time that the timer knows.
        Ok(PulseTiming::new(direction_setup?, pulse_high?.max(1), pulse_low?.max(1))?)
    }

    /// Returns the whole ticks of the timer that last at least `time`.
    ///
    /// # Errors
    /// [`ErrorKind::Overflow`](wholestep::ErrorKind::Overflow) if they do not fit.
    pub fn ticks(&self, time: Time) -> Result<u64> {
        let ticks = time.seconds().checked_mul(Exact::new(self.timer_hz.into(), 1)?)?.round(Rounding::Above);
        u64::try_from(ticks).map_err(|_| messages::TIME_IN_TICKS.error())
    }
}
