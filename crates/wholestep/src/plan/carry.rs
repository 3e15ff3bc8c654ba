//! Edges at constant speed. Each comes a whole number of ticks after the last, and a remainder carries
//! into the next tick: exact by construction, so nothing is guessed or proven.
//!
//! At `(c0 + c1 w) / unit` steps after `w` half ticks, edge `k` is due after `(target - c0) / 2 c1` ticks,
//! and its tick is that rounded half up: `⌊(target - c0 + c1) / 2 c1⌋`. From edge to edge the numerator
//! grows by one unit.

use core::ops::{Add, Sub};

use super::segment::Segment;
use super::wide::low;

/// The edge that comes next, and what is added from edge to edge.
#[derive(Clone, Copy, Debug)]
pub(super) struct Carry {
    tick: u64,
    /// Whole ticks a step.
    stride: u64,
    part: Part,
}

/// How far the ideal time is past its tick.
#[derive(Clone, Copy, Debug)]
enum Part {
    Narrow(Remainder<u64>),
    Wide(Remainder<u128>),
}

#[derive(Clone, Copy, Debug)]
struct Remainder<T> {
    /// Below `tick`.
    rest: T,
    /// By how much it grows a step; below `tick`.
    step: T,
    /// A whole tick: at most half the range of `T`, so that no sum overflows.
    tick: T,
}

impl Carry {
    /// Before edge `next`, if the segment's speed is constant.
    pub(super) fn enter(segment: &Segment<i128>, next: u64) -> Option<Self> {
        let (c0, c1 @ 1.., 0, 0) = segment.coefficients.into() else { return None };
        // Powers of two common to step and tick bear on no quotient of floors.
        let places = (segment.unit | (2 * c1)).trailing_zeros();
        let [unit, whole] = [segment.unit, 2 * c1].map(|value| (value >> places).unsigned_abs());
        let due = ((segment.target(next) - c0 + c1) >> places).unsigned_abs();
        let (stride, step) = (low(unit / whole), unit % whole);
        let (first, rest) = (low(due / whole), due % whole);
        let part = if whole >> 63 == 0 {
            Part::Narrow(Remainder { rest: low(rest), step: low(step), tick: low(whole) })
        } else {
            Part::Wide(Remainder { rest, step, tick: whole })
        };
        Some(Self { tick: segment.start + first, stride, part })
    }

    /// The next edges.
    #[inline]
    pub(super) fn work(&mut self, ticks: &mut [u64]) {
        self.tick = match &mut self.part {
            Part::Narrow(Remainder { step: 0, .. }) | Part::Wide(Remainder { step: 0, .. }) => {
                evenly(self.tick, self.stride, ticks)
            }
            Part::Narrow(remainder) => remainder.work(self.tick, self.stride, ticks),
            Part::Wide(remainder) => remainder.work(self.tick, self.stride, ticks),
        };
    }
}

/// Ticks at one distance; returns the one after the last.
#[inline]
fn evenly(mut tick: u64, stride: u64, ticks: &mut [u64]) -> u64 {
    for slot in ticks {
        *slot = tick;
        tick += stride;
    }
    tick
}

impl<T: Copy + Ord + Add<Output = T> + Sub<Output = T>> Remainder<T> {
    /// Ticks at one distance and a part; returns the one after the last.
    #[inline]
    fn work(&mut self, mut tick: u64, stride: u64, ticks: &mut [u64]) -> u64 {
        let mut rest = self.rest;
        for slot in ticks {
            *slot = tick;
            rest = rest + self.step;
            let carries = rest >= self.tick;
            rest = if carries { rest - self.tick } else { rest };
            tick += stride + u64::from(carries);
        }
        self.rest = rest;
        tick
    }
}
