//! Guesses between two decided edges, verified by exact residuals.

use core::num::NonZeroU64;

use super::segment::{Found, Segment, half_before};
use super::wide::Wide;

/// An edge decided exactly, and what is guessed from it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Anchor {
    pub(super) edge: u64,
    /// Tick from the segment's start.
    pub(super) index: u64,
    /// Ticks a step there, in 2^-32; nothing if it is too large to guess from.
    pub(super) pace: Option<NonZeroU64>,
    /// How far the ideal time is past the half tick before, in 2^-32 tick.
    pub(super) fraction: u32,
}

impl Anchor {
    pub(super) fn new(edge: u64, found: &Found<i128>, unit: i128) -> Self {
        let places = found.slope.bits().saturating_sub(32);
        let usable = found.slope > 0 && unit.bits() <= found.slope.bits() + 27;
        if !usable {
            return Self { edge, index: found.index, fraction: 1 << 31, pace: None };
        }
        let slope = (found.slope >> places).low();
        let unit = (unit >> places).low();
        let short = (found.short.max(0) >> places).low().min(slope - 1);
        Self {
            edge,
            index: found.index,
            pace: NonZeroU64::new(((unit / slope) << 32) + ((unit % slope) << 32) / slope),
            fraction: low32((short << 32) / slope),
        }
    }

    /// Ticks a step, in 2^-32.
    #[inline]
    pub(super) fn ticks_a_step(&self) -> Option<i64> {
        self.pace.map(|pace| pace.get().cast_signed())
    }
}

/// The lowest 32 bits.
#[inline]
#[expect(clippy::cast_possible_truncation, reason = "the low half is what is asked for")]
pub(super) const fn low32(value: u64) -> u32 {
    value as u32
}

/// A cubic in edges from an anchor: over a block of `2^places` edges the time is
/// `2^places (start x + square x² + cube x³)` with `x` from 0 to 1, in 2^-32 tick.
#[derive(Clone, Copy, Debug)]
pub(super) struct Cubic {
    pub(super) square: i64,
    pub(super) cube: i64,
    pub(super) places: u32,
}

impl Cubic {
    /// At constant speed.
    pub(super) const STRAIGHT: Self = Self { square: 0, cube: 0, places: 0 };

    /// The time from its far end on, over a further `2^places` edges.
    pub(super) fn beyond(&self, pace: i64, places: u32) -> i64 {
        let by = |value: i64, times: u32| {
            if places >= self.places {
                value.wrapping_shl(times * (places - self.places))
            } else {
                value >> (times * (self.places - places)).min(63)
            }
        };
        let cube = self.cube;
        let square = self.square.wrapping_add(3 * cube);
        by(pace, 1).wrapping_add(by(square, 2)).wrapping_add(by(cube, 3)).wrapping_shl(self.places)
    }
}

/// A block under way, counted from a tick just before its near anchor.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Local {
    pub(super) tick: u64,
    pub(super) clock: Clock,
    /// Units a step.
    pub(super) unit: i128,
    /// Units travelled in x ticks are `((t2 x + t1) x + t0) x`.
    pub(super) travel: [i128; 3],
    /// Least travel in a tick within the block.
    pub(super) least: i128,
}

/// What changes from edge to edge.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Clock {
    /// Guess in 2^-32 tick, and its differences.
    pub(super) position: u64,
    pub(super) differences: [u64; 3],
    /// Units from half a tick before the block's `tick` to the edge's half step.
    pub(super) short: i128,
}

impl Clock {
    /// Whole ticks to the next edge.
    #[inline]
    pub(super) fn guess(&mut self) -> u64 {
        let [first, second, third] = self.differences;
        self.position = self.position.wrapping_add(first);
        self.differences = [first.wrapping_add(second), second.wrapping_add(third), third];
        self.position >> 32
    }
}

impl Local {
    /// The block from one anchor to another of the same segment.
    #[inline]
    pub(super) fn between(segment: &Segment<i128>, from: &Anchor, to: &Anchor, cubic: Cubic) -> Self {
        let square = cubic.square >> cubic.places;
        let cube = cubic.cube >> (2 * cubic.places);
        let pace = from.ticks_a_step().unwrap_or(0);
        let [_, _, c2, c3] = segment.coefficients;
        // One tick early, so that a guess a tick too early counts from zero.
        let base = from.index - 1;
        let w = half_before(base);
        let slope = segment.slope(w);
        Self {
            tick: segment.start + base,
            clock: Clock {
                position: u64::from(from.fraction) + (1 << 32),
                differences: [pace + square + cube, 2 * square + 6 * cube, 6 * cube].map(i64::cast_unsigned),
                short: segment.target(from.edge) - segment.at(w),
            },
            unit: segment.unit,
            travel: [slope, 4 * (c2 + 3 * c3 * i128::from(w)), 8 * c3],
            // Speed is monotone within a segment, so its least is at an end.
            least: segment.slope(w + 2).min(segment.slope(half_before(to.index + 1))).max(0),
        }
    }

    /// Guesses the next edges and says whether all are certainly right. Residuals
    /// modulo 2^64; there is no cubic term.
    #[inline]
    pub(super) fn run_narrow(&mut self, ticks: &mut [u64]) -> bool {
        let [t0, t1, _] = self.travel.map(Wide::low);
        let (unit, least, tick) = (self.unit.low(), self.least.low(), self.tick);
        let mut clock = self.clock;
        let mut short = clock.short.low();
        let mut sure = true;
        for slot in ticks {
            let x = clock.guess();
            *slot = tick.wrapping_add(x);
            short = short.wrapping_add(unit);
            let travelled = t1.wrapping_mul(x).wrapping_add(t0).wrapping_mul(x);
            sure &= short.wrapping_sub(travelled) < least;
        }
        clock.short = i128::from(short);
        self.clock = clock;
        sure
    }

    /// The same with whole residuals.
    #[inline]
    pub(super) fn run_wide(&mut self, ticks: &mut [u64]) -> bool {
        let [t0, t1, t2] = self.travel;
        let (unit, least, tick) = (self.unit, self.least, self.tick);
        let mut clock = self.clock;
        let mut sure = true;
        for slot in ticks {
            let x = clock.guess();
            *slot = tick.wrapping_add(x);
            clock.short += unit;
            let x = i128::from(x);
            let rest = clock.short - ((t2 * x + t1) * x + t0) * x;
            sure &= rest >= 0 && rest < least;
        }
        self.clock = clock;
        sure
    }
}

/// What lies between two anchors.
pub(super) struct Block {
    /// In 2^-32 tick.
    pub(super) length: i64,
    pub(super) cubic: Cubic,
}

impl Block {
    /// The cubic through both anchors; nothing unless it is certainly monotone.
    #[inline]
    pub(super) fn between(from: &Anchor, to: &Anchor, places: u32) -> Option<Self> {
        let ticks = to.index - from.index;
        if ticks >> 28 != 0 {
            return None;
        }
        let length = (ticks << 32).cast_signed() + i64::from(to.fraction) - i64::from(from.fraction);
        let chord = length >> places;
        let (start, end) = (from.ticks_a_step()?, to.ticks_a_step()?);
        // A margin for the chord's own rounding.
        if start.max(end) > 3 * chord - 4 {
            return None;
        }
        Some(Self {
            length,
            cubic: Cubic { places, square: 3 * chord - 2 * start - end, cube: start + end - 2 * chord },
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Whether guesses that are `late` ticks late are taken for right, with the least travel in a tick
    /// changed by `more`; every edge is due on a half tick.
    fn taken(late: i64, more: i128) -> [bool; 2] {
        let segment = Segment { start: 0, length: 1_000, unit: 2 * 5 * 7, coefficients: [0, 5, 0, 0] };
        let anchor = |edge| Anchor::new(edge, &segment.locate(edge, 0), segment.unit);
        let (from, to) = (anchor(2), anchor(6));
        let block = Block::between(&from, &to, 2).unwrap();
        let mut local = Local::between(&segment, &from, &to, block.cubic);
        local.clock.position = local.clock.position.wrapping_add_signed(late << 32);
        local.least += more;
        let (mut narrow, mut wide) = (local, local);
        let mut ticks = [0; 4];
        [narrow.run_narrow(&mut ticks), wide.run_wide(&mut ticks)]
    }

    #[test]
    fn guesses_a_tick_off_are_doubted_and_a_bound_one_higher_is_too_high() {
        assert_eq!(taken(0, 0), [true; 2]);
        assert_eq!([taken(-1, 0), taken(1, 0)], [[false; 2]; 2]);
        assert_eq!(taken(-1, 1), [true; 2]);
    }
}
