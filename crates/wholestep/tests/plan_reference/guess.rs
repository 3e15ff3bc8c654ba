//! Guesses between two decided edges, verified by exact residuals.

use core::num::NonZeroU64;

use super::segment::{Found, Segment, half_before};
use super::wide::Wide;

/// An edge decided exactly, and what is guessed from it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Anchor {
    pub(crate) edge: u64,
    /// Tick from the segment's start.
    pub(crate) index: u64,
    /// Ticks a step there, in 2^-32; nothing if it is too large to guess from.
    pub(crate) pace: Option<NonZeroU64>,
    /// How far the ideal time is past the half tick before, in 2^-32 tick.
    pub(crate) fraction: u32,
}

impl Anchor {
    pub(crate) fn new(edge: u64, found: &Found<i128>, unit: i128) -> Self {
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
    pub(crate) fn ticks_a_step(&self) -> Option<i64> {
        self.pace.map(|pace| pace.get().cast_signed())
    }
}

/// The lowest 32 bits.
#[inline]
#[expect(clippy::cast_possible_truncation, reason = "the low half is what is asked for")]
pub(crate) const fn low32(value: u64) -> u32 {
    value as u32
}

/// A cubic in edges from an anchor: over a block of `2^places` edges the time is
/// `2^places (start x + square x² + cube x³)` with `x` from 0 to 1, in 2^-32 tick.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Cubic {
    pub(crate) square: i64,
    pub(crate) cube: i64,
    pub(crate) places: u32,
}

impl Cubic {
    /// At constant speed.
    pub(crate) const STRAIGHT: Self = Self { square: 0, cube: 0, places: 0 };

    /// The time from its far end on, over a further `2^places` edges.
    pub(crate) fn beyond(&self, pace: i64, places: u32) -> i64 {
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
pub(crate) struct Local {
    pub(crate) tick: u64,
    pub(crate) clock: Clock,
    /// Units a step.
    pub(crate) unit: i128,
    /// Units travelled in x ticks are `((t2 x + t1) x + t0) x`.
    pub(crate) travel: [i128; 3],
    /// Least travel in a tick within the block.
    pub(crate) least: i128,
}

/// What changes from edge to edge.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Clock {
    /// Guess in 2^-32 tick, and its differences.
    pub(crate) position: u64,
    pub(crate) differences: [u64; 3],
    /// Units from half a tick before the block's `tick` to the edge's half step.
    pub(crate) short: i128,
}

impl Clock {
    /// Whole ticks to the next edge.
    #[inline]
    pub(crate) fn guess(&mut self) -> u64 {
        let [first, second, third] = self.differences;
        self.position = self.position.wrapping_add(first);
        self.differences = [first.wrapping_add(second), second.wrapping_add(third), third];
        self.position >> 32
    }
}

impl Local {
    /// The block from one anchor to another of the same segment.
    #[inline]
    pub(crate) fn between(segment: &Segment<i128>, from: &Anchor, to: &Anchor, cubic: Cubic) -> Self {
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
    pub(crate) fn run_narrow(&mut self, ticks: &mut [u64]) -> bool {
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
    pub(crate) fn run_wide(&mut self, ticks: &mut [u64]) -> bool {
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
pub(crate) struct Block {
    /// In 2^-32 tick.
    pub(crate) length: i64,
    pub(crate) cubic: Cubic,
}

impl Block {
    /// The cubic through both anchors; nothing unless it is certainly monotone.
    #[inline]
    pub(crate) fn between(from: &Anchor, to: &Anchor, places: u32) -> Option<Self> {
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
