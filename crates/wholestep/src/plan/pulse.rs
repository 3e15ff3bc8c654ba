//! What a stepper drive needs of its pulses.

use super::error::PlanError;

/// The longest pulse timing, in ticks.
pub const MAX_PULSE_TICKS: u64 = 1 << 32;

/// What a drive needs of step and direction signals, in ticks; see the drive's
/// data sheet.
///
/// ```
/// use wholestep::plan::PulseTiming;
///
/// // 5 µs, 2.5 µs and 2.5 µs on a 16 MHz timer.
/// let timing = PulseTiming::new(80, 40, 40)?;
/// assert_eq!(timing.least_interval(), 80);
/// assert!(PulseTiming::new(80, 0, 40).is_err());
/// # Ok::<(), wholestep::plan::PlanError>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct PulseTiming {
    direction_setup: u64,
    pulse_high: u64,
    pulse_low: u64,
}

impl PulseTiming {
    /// Ticks from a change of direction to the first edge after it (zero or
    /// more), time high of a pulse, and time low before the next (one or more each).
    ///
    /// # Errors
    /// A value outside its range.
    pub fn new(direction_setup: u64, pulse_high: u64, pulse_low: u64) -> Result<Self, PlanError> {
        for (given, least) in [(direction_setup, 0), (pulse_high, 1), (pulse_low, 1)] {
            if given < least || given > MAX_PULSE_TICKS {
                return Err(PlanError::PulseTiming { given, least, most: MAX_PULSE_TICKS });
            }
        }
        Ok(Self { direction_setup, pulse_high, pulse_low })
    }

    /// Ticks from a change of direction to the first edge after it.
    pub const fn direction_setup(&self) -> u64 {
        self.direction_setup
    }

    /// Ticks a pulse lasts.
    pub const fn pulse_high(&self) -> u64 {
        self.pulse_high
    }

    /// Ticks between the end of a pulse and the next.
    pub const fn pulse_low(&self) -> u64 {
        self.pulse_low
    }

    /// Returns the least distance between edges, in ticks: the time high and the time low.
    pub const fn least_interval(&self) -> u64 {
        self.pulse_high + self.pulse_low
    }

    /// The first tick at which the pulse of an edge at tick `edge` is over. Until then the direction
    /// signal must stand.
    pub(crate) const fn pulse_over(&self, edge: u64) -> u64 {
        edge.saturating_add(self.pulse_high)
    }

    /// The first tick at which a motion may begin: after the pulse of the last edge, at tick `edge`,
    /// and the time low after it, and after the direction set-up, if the direction signal turned at tick `turned`.
    ///
    /// Plans and the live carriage both ask here, so a stop is followed by a start in one way only.
    pub(crate) fn start_after(&self, edge: Option<u64>, turned: Option<u64>) -> u64 {
        let paused = edge.map_or(0, |edge| self.pulse_over(edge).saturating_add(self.pulse_low));
        let set_up = turned.map_or(0, |turned| turned.saturating_add(self.direction_setup));
        paused.max(set_up)
    }
}
