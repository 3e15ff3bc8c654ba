//! Ticks and seconds.

/// The timer that ticks count.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Clock {
    hz: f64,
}

impl Clock {
    pub(crate) fn new(hz: u64) -> Self {
        Self { hz: hz as f64 }
    }

    pub(crate) fn hz(self) -> f64 {
        self.hz
    }

    pub(crate) fn seconds(self, ticks: u64) -> f64 {
        ticks as f64 / self.hz
    }

    /// Whole ticks, rounded up; more than the timer can count is the last tick it can.
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "the cast saturates at both ends"
    )]
    pub(crate) fn ticks(self, seconds: f64) -> u64 {
        libm::ceil(seconds * self.hz) as u64
    }
}
