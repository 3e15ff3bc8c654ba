//! A contact as the watch reads it: what has settled, and when a change began.

/// A contact, from the polls alone. A level read at every poll for the settling time has settled.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Settling {
    settled: Option<bool>,
    raw: Option<bool>,
    since: u64,
    /// It has left the level at which it had settled.
    left: bool,
}

impl Settling {
    /// Reads it; whether it left the settled level, for the first time since.
    pub(super) fn read(&mut self, tick: u64, pressed: bool, settle: u64) -> bool {
        let mut first = false;
        if self.raw != Some(pressed) {
            (self.raw, self.since) = (Some(pressed), tick);
            first = self.settled == Some(!pressed) && !self.left;
            self.left |= first;
        }
        if tick - self.since >= settle {
            (self.settled, self.left) = (Some(pressed), false);
        }
        first
    }

    /// Settled pressed, and still so.
    pub(super) fn is_pressed(&self) -> bool {
        self.settled == Some(true) && !self.left
    }
}
