//! One mechanical contact: when it first changed, and when it settled.
//!
//! A contact has settled when every poll of the settling time read the same level. Contacts bounce for
//! milliseconds, some opening ones for over a hundred (second-hand: J. Ganssle, A Guide to
//! Debouncing); so the instant that counts for a position is the first of a change that then settles,
//! not the moment it was certain.

/// What one reading of a contact brought.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Change {
    /// It left the level at which it had settled, for the first time since.
    pub(super) first: bool,
    /// It settled at the other level.
    pub(super) settled: bool,
}

#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Contact {
    /// The level at which it last settled; `None` until it first does.
    settled: Option<bool>,
    raw: bool,
    read: bool,
    changed_at: u64,
    /// When it left the settled level, and whether that is undecided.
    left_at: u64,
    left: bool,
}

impl Contact {
    /// Reads the contact; `pressed` is its level after [`Wiring`](super::Wiring).
    pub(super) fn read(&mut self, now: u64, pressed: bool, settle: u64) -> Change {
        let mut change = Change::default();
        if !self.read || pressed != self.raw {
            self.read = true;
            self.raw = pressed;
            self.changed_at = now;
            if self.settled == Some(!pressed) && !self.left {
                (self.left_at, self.left) = (now, true);
                change.first = true;
            }
        }
        if now - self.changed_at >= settle && (self.settled != Some(pressed) || self.left) {
            change.settled = self.settled == Some(!pressed);
            self.settled = Some(pressed);
            self.left = false;
        }
        change
    }

    /// Whether it settled pressed.
    pub(super) const fn is_pressed(&self) -> bool {
        matches!(self.settled, Some(true))
    }

    /// Whether it reads pressed, settled or not.
    pub(super) const fn reads_pressed(&self) -> bool {
        self.raw
    }

    /// Whether it settled released.
    pub(super) const fn is_released(&self) -> bool {
        matches!(self.settled, Some(false))
    }

    /// Whether its level is certain at this poll.
    pub(super) const fn is_settled(&self) -> bool {
        self.settled.is_some() && !self.left
    }

    /// Whether it has been neither here nor there for longer than `most`.
    pub(super) const fn chatters(&self, now: u64, most: u64) -> bool {
        self.left && now - self.left_at > most
    }

    /// When it will have settled if its level stays.
    pub(super) const fn due(&self, settle: u64) -> Option<u64> {
        if self.read && !self.is_settled() { Some(self.changed_at.saturating_add(settle)) } else { None }
    }
}

#[cfg(test)]
impl Contact {
    /// Counts times backwards from `now`.
    pub(super) fn forget_time(&mut self, now: u64, settle: u64) {
        self.changed_at = (now - self.changed_at).min(settle);
        self.left_at = if self.left { now - self.left_at } else { 0 };
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Reads levels at ticks and collects `(tick, first, settled)` of what changed.
    fn changes(readings: &[(u64, bool)]) -> std::vec::Vec<(u64, bool, bool)> {
        let mut contact = Contact::default();
        assert_eq!(contact.read(0, false, 10), Change::default());
        assert_eq!(contact.due(10), Some(10));
        assert_eq!(contact.read(10, false, 10), Change::default());
        assert!(contact.is_released() && contact.is_settled());
        let mut found = std::vec::Vec::new();
        for &(now, level) in readings {
            let change = contact.read(now, level, 10);
            if change != Change::default() {
                found.push((now, change.first, change.settled));
            }
        }
        found
    }

    #[test]
    fn the_first_instant_and_the_settling_are_told_apart() {
        // A clean closing, one that bounces, a spike, and a spike followed by a closing.
        assert_eq!(changes(&[(20, true), (29, true), (30, true)]), [(20, true, false), (30, false, true)]);
        assert_eq!(
            changes(&[(20, true), (22, false), (25, true), (30, true), (34, true), (35, true)]),
            [(20, true, false), (35, false, true)]
        );
        assert_eq!(changes(&[(20, true), (21, false), (31, false), (40, false)]), [(20, true, false)]);
        assert_eq!(
            changes(&[(20, true), (21, false), (31, false), (50, true), (60, true)]),
            [(20, true, false), (50, true, false), (60, false, true)]
        );
    }

    #[test]
    fn contact_settles_at_once_if_no_time_is_asked_for() {
        let mut contact = Contact::default();
        contact.read(0, false, 0);
        assert_eq!(contact.read(0, true, 0), Change { first: true, settled: true });
    }

    #[test]
    fn chatter_is_seen() {
        let mut contact = Contact::default();
        contact.read(0, false, 10);
        contact.read(10, false, 10);
        for tick in 11..200 {
            contact.read(tick, tick % 2 == 1, 10);
        }
        assert!(contact.chatters(199, 80) && !contact.is_settled());
        contact.read(210, true, 10);
        contact.read(220, true, 10);
        assert!(contact.is_pressed() && !contact.chatters(220, 80));
    }
}
