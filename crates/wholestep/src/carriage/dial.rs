//! The dial: two contacts in quadrature become counts, and counts become detents.

/// Turns the two contacts of a dial into counts.
///
/// Read it on every change of either contact, or often enough that none is missed. A contact that
/// bounces counts up and down again, so it adds nothing; a change of both contacts at once says
/// nothing about the way and is not counted, but noted.
///
/// ```
/// use wholestep::carriage::Quadrature;
/// let mut dial = Quadrature::new(false, false);
/// for (a, b) in [(true, false), (false, false), (true, false), (true, true), (false, true), (false, false)] {
///     dial.read(a, b);
/// }
/// assert_eq!(dial.count(), 4); // one cycle, although the first contact bounced
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Quadrature {
    phase: u8,
    count: u32,
    missed: u32,
}

impl Quadrature {
    /// Makes a dial that stands with its contacts at these levels, counted from 0.
    pub const fn new(a: bool, b: bool) -> Self {
        Self::resumed(a, b, 0, 0)
    }

    /// Returns a dial that stands with its contacts at these levels, counted on from earlier readings.
    pub const fn resumed(a: bool, b: bool, count: u32, missed: u32) -> Self {
        Self { phase: phase(a, b), count, missed }
    }

    /// Returns the levels of both contacts as they were read last.
    pub const fn levels(&self) -> (bool, bool) {
        (matches!(self.phase, 1 | 2), matches!(self.phase, 2 | 3))
    }

    /// Reads the contacts.
    pub const fn read(&mut self, a: bool, b: bool) {
        let phase = phase(a, b);
        match phase.wrapping_sub(self.phase) & 3 {
            1 => self.count = self.count.wrapping_add(1),
            2 => self.missed = self.missed.wrapping_add(1),
            3 => self.count = self.count.wrapping_sub(1),
            _ => {}
        }
        self.phase = phase;
    }

    /// Counts since the start, four to a cycle of the contacts, upward while `a` leads; it wraps.
    pub const fn count(&self) -> u32 {
        self.count
    }

    /// Returns how often both contacts had changed between two readings; it wraps.
    pub const fn missed(&self) -> u32 {
        self.missed
    }
}

/// Which quarter of its cycle the dial is in.
const fn phase(a: bool, b: bool) -> u8 {
    match (a, b) {
        (false, false) => 0,
        (true, false) => 1,
        (true, true) => 2,
        (false, true) => 3,
    }
}

/// Turns counts into detents.
///
/// A detent is passed when the counts of a whole one have gathered since the last, either way; so a
/// dial that trembles on a detent passes none.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Detents {
    count: u32,
    rest: i64,
}

/// The counts jumped further than a hand can turn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Jumped;

impl Detents {
    /// From the counter's present value.
    pub(super) const fn at(count: u32) -> Self {
        Self { count, rest: 0 }
    }

    /// Detents passed since the last reading.
    pub(super) fn read(&mut self, count: u32, per_detent: u32, jump: u32) -> Result<i64, Jumped> {
        let turned = count.wrapping_sub(self.count).cast_signed();
        self.count = count;
        if turned.unsigned_abs() > jump {
            return Err(Jumped);
        }
        let per_detent = i64::from(per_detent);
        self.rest += i64::from(turned);
        let passed = self.rest / per_detent;
        self.rest %= per_detent;
        Ok(passed)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cycle_counts_four_either_way_and_a_double_change_none() {
        let cycle = [(true, false), (true, true), (false, true), (false, false)];
        let mut dial = Quadrature::new(false, false);
        for (a, b) in cycle {
            dial.read(a, b);
        }
        assert_eq!(dial.count(), 4);
        for (a, b) in [(false, true), (true, true), (true, false), (false, false), (false, true)] {
            dial.read(a, b);
        }
        assert_eq!(dial.count(), u32::MAX);
        dial.read(true, false);
        assert_eq!((dial.count(), dial.missed()), (u32::MAX, 1));
    }

    #[test]
    fn detents_gather_and_do_not_tremble() {
        let mut detents = Detents::at(u32::MAX - 1);
        let mut passed = std::vec::Vec::new();
        // Up to the detent, trembling on it, on to the next, and all the way back over the wrap.
        for count in [u32::MAX, 1, 2, 1, 2, 3, 2, 6, 5, 2, 1, u32::MAX - 2, u32::MAX - 1] {
            passed.push(detents.read(count, 4, 100).unwrap());
        }
        assert_eq!(passed, [0, 0, 1, 0, 0, 0, 0, 1, 0, -1, 0, -1, 0]);
    }

    #[test]
    fn a_jump_is_refused_and_counted_from_there() {
        let mut detents = Detents::at(0);
        assert_eq!(detents.read(5_000, 4, 100), Err(Jumped));
        assert_eq!(detents.read(5_004, 4, 100), Ok(1));
        assert_eq!(detents.read(5_004 + 100, 4, 100), Ok(25));
        assert_eq!(detents.read(5_004 + 201, 4, 100), Err(Jumped));
    }
}
