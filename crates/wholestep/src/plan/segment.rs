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

/// An edge found.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Found<W> {
    /// Its tick from the segment's start.
    pub(crate) index: u64,
    /// How far short of the edge's half step the position is half a tick
    /// earlier, in units.
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

    /// Units travelled in a tick at `w` half ticks: the slope there.
    #[inline]
    pub(crate) fn slope(&self, w: i64) -> W {
        let [_, c1, c2, c3] = self.coefficients;
        let w = W::from(w);
        let bend = c2 + c2 + (c3 + c3 + c3) * w;
        let half = c1 + bend * w;
        half + half
    }

    /// Units actually travelled in the tick that begins at `w` half ticks, less
    /// the slope there.
    #[inline]
    fn bend(&self, w: i64) -> W {
        let [_, _, c2, c3] = self.coefficients;
        let two = c2 + c3 + c3 + (c3 + c3 + c3) * W::from(w);
        (two + two) + (two + two)
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
        if end < half { 0 } else { (end + half).over(self.unit).low() }
    }

    /// Decides the tick of edge `k`, which must lie in this segment, starting
    /// from a guess. The guess bears on speed alone.
    pub(crate) fn locate(&self, k: u64, guess: u64) -> Found<W> {
        let target = self.target(k);
        // The tick is at least `low` and at most `high`: the edge lies in the
        // segment, so it has passed the start and not the end.
        let (mut low, mut high) = (0, self.length);
        let mut index = guess.min(high);
        let zero = W::from(0_u64);
        let mut round = 0_u32;
        loop {
            round += 1;
            let w = half_before(index);
            let short = target - self.at(w);
            let slope = self.slope(w);
            if short < zero && index > low {
                high = index - 1;
            } else if index == high || short < slope + self.bend(w) {
                return Found { index, short, slope };
            } else {
                low = index + 1;
            }
            // Newton while it converges; halving bounds the worst case.
            index = match floor_quotient(short, slope) {
                Some(step) if !round.is_multiple_of(8) => index.saturating_add_signed(step).clamp(low, high),
                _ => low + (high - low) / 2,
            };
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
        return Some(if rest < W::from(0_u64) { i64::MIN } else { i64::MAX });
    }
    let slope = (slope >> places).low().cast_signed();
    Some(rest.low().cast_signed().div_euclid(slope))
}
