//! Edges at constant speed. Each comes a whole number of ticks after the last, and a remainder carries
//! into the next tick: exact by construction, so nothing is guessed or proven.
//!
//! At `(c0 + c1 w) / unit` steps after `w` half ticks, edge `k` is due after `(target - c0) / 2 c1` ticks,
//! and its tick is that rounded half up: `⌊(target - c0 + c1) / 2 c1⌋`. From edge to edge the numerator
//! grows by one unit.

use crate::exact::divide_128;

use super::segment::Segment;
use super::wide::low;

/// The edge that comes next, and what is added from edge to edge.
#[derive(Clone, Copy, Debug)]
pub(super) struct Carry {
    tick: u64,
    /// Whole ticks a step.
    stride: u64,
    /// How far the ideal time is past the tick; below `whole`.
    rest: u64,
    /// By how much that grows a step; below `whole`.
    part: u64,
    /// A tick in the same parts: below 2^63, so that no sum overflows.
    whole: u64,
}

impl Carry {
    /// Before edge `next`, if the segment's speed is constant and a tick has fewer than 2^63 parts.
    pub(super) fn enter(segment: &Segment<i128>, next: u64) -> Option<Self> {
        let (c0, c1 @ 1.., 0, 0) = segment.coefficients.into() else { return None };
        // Powers of two common to step and tick bear on no quotient of floors.
        let places = (segment.unit | (2 * c1)).trailing_zeros();
        let [unit, whole] = [segment.unit, 2 * c1].map(|value| (value >> places).unsigned_abs());
        if whole >> 63 != 0 {
            return None;
        }
        let due = ((segment.target(next) - c0 + c1) >> places).unsigned_abs();
        let ((tick, rest), (stride, part)) = (divide_128(due, whole), divide_128(unit, whole));
        Some(Self {
            tick: segment.start + low(tick),
            stride: low(stride),
            rest: low(rest),
            part: low(part),
            whole: low(whole),
        })
    }

    /// Whole ticks a step.
    pub(super) const fn stride(&self) -> u64 {
        self.stride
    }

    /// The next edges.
    #[inline]
    pub(super) fn work(&mut self, ticks: &mut [u64]) {
        let Self { mut tick, stride, mut rest, part, whole } = *self;
        if part == 0 {
            for slot in ticks {
                *slot = tick;
                tick += stride;
            }
        } else {
            for slot in ticks {
                *slot = tick;
                rest += part;
                let carries = rest >= whole;
                rest = if carries { rest - whole } else { rest };
                tick += stride + u64::from(carries);
            }
        }
        (self.tick, self.rest) = (tick, rest);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// How many edges come out wrong, with what carries changed by `more`.
    fn wrong(more: i64) -> usize {
        let mut wrong = 0;
        for speed in 1..60_i128 {
            for unit in (2 * speed..400).step_by(14).map(|unit| unit & !1) {
                let segment =
                    Segment { start: 3, length: 40_000, unit, coefficients: [unit / 3, speed, 0, 0] };
                let mut carry = Carry::enter(&segment, 2).unwrap();
                carry.rest = carry.rest.saturating_add_signed(more);
                let mut ticks = [0; 200];
                carry.work(&mut ticks);
                for (edge, tick) in (2..).zip(ticks) {
                    wrong += usize::from(tick != segment.start + segment.locate(edge, tick).index);
                }
            }
        }
        wrong
    }

    #[test]
    fn what_is_carried_is_exact_and_one_more_or_less_is_wrong() {
        assert_eq!(wrong(0), 0);
        assert!(wrong(1) > 0);
        assert!(wrong(-1) > 0);
    }
}
