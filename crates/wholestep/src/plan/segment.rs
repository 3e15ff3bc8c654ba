//! One stretch of a profile: a polynomial of degree three at most, in half
//! ticks, with integer coefficients over one denominator; and the predicate
//! that decides on which tick an edge falls.
//!
//! Half ticks because an edge is the ideal time rounded half up: tick `i` has
//! been reached by a time `t` exactly when `i - 1/2 <= t`, so the edge is the
//! last tick at whose preceding half tick the position has not passed the
//! edge's half step. That is a comparison of integers.

use super::wide::Wide;

/// Position in steps is `(c0 + c1 w + c2 w² + c3 w³) / unit` at `w` half ticks
/// after `start`, for `w` in `0..=2 length`, and never falls there.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Segment<W> {
    pub(crate) start: u64,
    pub(crate) length: u64,
    /// Even, so that a half step is a whole number of units.
    pub(crate) unit: W,
    pub(crate) coefficients: [W; 4],
}

/// An edge found: its tick from the segment's start, and how far short of the
/// edge's half step the position is half a tick earlier.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Found<W> {
    pub(crate) index: u64,
    pub(crate) short: W,
    /// Units travelled in a tick, at that half tick.
    pub(crate) slope: W,
}

/// The half tick just before tick `index`.
#[inline]
pub(crate) fn half_before(index: u64) -> i64 {
    // Durations stay below 2^62 ticks, so this fits.
    (2 * index).cast_signed() - 1
}

impl<W: Wide> Segment<W> {
    /// Position in units at `w` half ticks.
    #[inline]
    pub(crate) fn at(&self, w: i64) -> W {
        let [c0, c1, c2, c3] = self.coefficients;
        let w = W::from(w);
        c0 + (c1 + (c2 + c3 * w) * w) * w
    }

    /// Units travelled in a tick at `w` half ticks.
    #[inline]
    pub(crate) fn slope(&self, w: i64) -> W {
        let [_, c1, c2, c3] = self.coefficients;
        let w = W::from(w);
        let two = W::from(2_u64);
        (c1 + (c2 * two + c3 * W::from(3_u64) * w) * w) * two
    }

    /// Position of edge `k`, in units.
    #[inline]
    pub(crate) fn target(&self, k: u64) -> W {
        W::from(2 * k - 1) * (self.unit >> 1)
    }

    /// The last edge whose half step is not beyond the segment's end.
    pub(crate) fn last_edge(&self) -> u64 {
        let end = self.at((2 * self.length).cast_signed());
        let half = self.unit >> 1;
        if end < half {
            0
        } else {
            ((end + half) / self.unit).low()
        }
    }

    /// Decides the tick of edge `k`, which must lie in this segment, starting
    /// from a guess. The guess bears on speed alone.
    pub(crate) fn locate(&self, k: u64, guess: u64) -> Found<W> {
        let target = self.target(k);
        // The tick is at least `low` and below `high`: the edge lies in the
        // segment, so its first tick qualifies and the one past its end does not.
        let (mut low, mut high) = (0, self.length + 1);
        let mut short = None;
        let mut index = guess.min(self.length);
        for round in 0_u32.. {
            let w = half_before(index);
            let rest = target - self.at(w);
            if rest >= W::from(0_u64) || index == 0 {
                low = index;
                short = Some(rest);
            } else {
                high = index;
            }
            if high - low <= 1 {
                break;
            }
            let middle = low + (high - low) / 2;
            // Newton while it converges; halving bounds the worst case.
            index = if round % 8 == 7 {
                middle
            } else {
                match floor_quotient(rest, self.slope(w)) {
                    Some(step) => index
                        .saturating_add_signed(step)
                        .clamp(low + 1, high - 1),
                    None => middle,
                }
            };
        }
        Found {
            index: low,
            short: short.unwrap_or_else(|| target - self.at(half_before(low))),
            slope: self.slope(half_before(low)),
        }
    }
}

/// `rest / slope` rounded down, near enough to correct a guess: exact to a
/// tick when small, saturating when huge; nothing where the slope is flat.
#[inline]
fn floor_quotient<W: Wide>(rest: W, slope: W) -> Option<i64> {
    if slope <= W::from(0_u64) {
        return None;
    }
    let places = slope.bits().saturating_sub(31);
    let rest = rest >> places;
    if rest.bits() > 62 {
        return Some(if rest < W::from(0_u64) {
            i64::MIN
        } else {
            i64::MAX
        });
    }
    let slope = (slope >> places).low().cast_signed();
    Some(rest.low().cast_signed().div_euclid(slope))
}
