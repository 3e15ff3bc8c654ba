//! Edges near rest. With constant acceleration from rest the `m`-th edge is due after `√(2m - 1) S`
//! ticks, with constant jerk after `∛(2m - 1) S`; towards rest, as long before the end, with `m` counted
//! from the last edge. A table of roots and one product an edge suffice.
//!
//! # Which ticks are certain
//! The table holds `R = ⌊√(2m - 1) 2^58⌋`, and `S` is `s / 2^f`, `s` rounded down to 64 bits. With
//! `g = f - 6` the edge is due after `P / 2^g` ticks, where `P = (R + ε)(s + δ) / 2^64`, ε and δ from 0 to
//! below 1. Of it `H = ⌊R s / 2^64⌋` is worked out, and since `s < 2^64` and `R < 2^63.5`,
//! `H ≤ P < H + 1 + ε + δ < H + 3`. Cube roots are worked out to fewer bits: there `ε < 2^20`, `δ < 2^22` and
//! `R < 2^62`, so `P < H + 1 + 2^20 + 2^20`. Call the bound `H + b`.
//!
//! From rest the tick is `⌊P / 2^g + 1/2⌋`. With `y = H + 2^(g - 1)`, it is `⌊y / 2^g⌋` unless a multiple of
//! `2^g` lies above `y` and at or below `P + 2^(g - 1) < y + b`: none does if `y mod 2^g ≤ 2^g - b`.
//! Towards rest it is the end less `⌈P / 2^g - 1/2⌉`. With `y = H + 2^(g - 1) - 1`, that is `⌊y / 2^g⌋` unless
//! a multiple of `2^g` lies from `H - 2^(g - 1)` on and below `P - 2^(g - 1) < y + 1 + b - 2^g`: none does if
//! `y mod 2^g ≤ 2^g - b - 1`. All other edges go to the exact predicate.

use crate::exact::{divide_128, root_128};

use super::segment::Segment;
use super::wide::{ceil_cbrt, low};

/// Edges from rest that the tables serve.
pub(super) const TABLE: usize = if cfg!(feature = "std") { 1_024 } else { 128 };

/// `⌊√(2m - 1) 2^58⌋` for `m` from 1.
static SQUARE_ROOTS: [u64; TABLE] = {
    let mut roots = [0; TABLE];
    let mut odd = 1_u128;
    while odd < 2 * TABLE as u128 {
        roots[odd as usize / 2] = low((odd << 116).isqrt());
        odd += 2;
    }
    roots
};

/// `∛(2m - 1) 2^58` for `m` from 1, short by less than 2^20.
static CUBE_ROOTS: [u64; TABLE] = {
    let mut roots = [0; TABLE];
    let mut odd = 1_u128;
    while odd < 2 * TABLE as u128 {
        let (mut root, mut bit) = (0_u128, 1_u128 << 41);
        while bit > 0 {
            let try_it = root | bit;
            if try_it * try_it * try_it <= odd << 114 {
                root = try_it;
            }
            bit >>= 1;
        }
        roots[odd as usize / 2] = low(root) << 20;
        odd += 2;
    }
    roots
};

/// Short of the truth by less than this, in 2^-g tick.
const SQUARE_BOUND: u64 = 3;
const CUBE_BOUND: u64 = 1 + (1 << 21);

/// Below this `g` too many edges would be doubtful.
const FEWEST_PLACES: u32 = 26;
/// Above it `y` might overflow.
const MOST_PLACES: u32 = 62;

/// A ramp from rest, or to rest.
#[derive(Clone, Copy, Debug)]
pub(super) struct Ramp {
    /// The length of the segment, if at its end it comes to rest.
    end: Option<u64>,
    cubic: bool,
}

impl Ramp {
    /// The ramp that a segment is, if it is one; `steps` are those of the profile.
    pub(super) fn of(segment: &Segment<i128>, steps: u64) -> Option<Self> {
        let [c0, c1, c2, c3] = segment.coefficients;
        let end = (2 * segment.length).cast_signed();
        let (end, cubic) = match (c0, c1, c2, c3) {
            (0, 0, 0, 1..) => (None, true),
            (0, 0, 1.., 0) => (None, false),
            _ if segment.slope(end) != 0 || segment.at(end) != i128::from(steps) * segment.unit => {
                return None;
            }
            (.., ..0, 0) => (Some(segment.length), false),
            _ if c3 > 0 && c2 + 3 * c3 * i128::from(end) == 0 => (Some(segment.length), true),
            _ => return None,
        };
        Some(Self { end, cubic })
    }

    /// Whether edge `next` is in the table and, if so, the last of the profile's that is; if not, the last
    /// that is not.
    pub(super) const fn reach(&self, next: u64, steps: u64) -> (bool, u64) {
        let table = TABLE as u64;
        match self.end {
            None if next <= table => (true, table),
            Some(_) if next + table <= steps => (false, steps - table),
            None => (false, steps),
            Some(_) => (true, steps),
        }
    }
}

/// The edges of a ramp that the table serves.
#[derive(Clone, Copy, Debug)]
pub(super) struct Roots {
    ramp: Ramp,
    scale: Scale,
}

impl Roots {
    /// The ramp that is this segment; nothing if its scale is out of the range that serves.
    pub(super) fn on(ramp: Ramp, segment: &Segment<i128>) -> Option<Self> {
        let [_, _, c2, c3] = segment.coefficients;
        let scale = if ramp.cubic {
            Scale::cubic(segment.unit, 16 * c3)
        } else {
            Scale::square(segment.unit, 8 * c2.abs())
        };
        Some(Self { ramp, scale: scale? })
    }

    /// The edges from `next` on, all in the table.
    #[inline]
    pub(super) fn work(&self, segment: &Segment<i128>, next: u64, steps: u64, ticks: &mut [u64]) {
        let table = if self.ramp.cubic { &CUBE_ROOTS } else { &SQUARE_ROOTS };
        let Scale { mantissa, places, bound } = self.scale;
        let (half, mask) = (1 << (places - 1), (1 << places) - 1);
        let product = |root: u64| low((u128::from(root) * u128::from(mantissa)) >> 64);
        match self.ramp.end {
            None => {
                let first = place(next - 1);
                for ((slot, &root), edge) in ticks.iter_mut().zip(&table[first..]).zip(next..) {
                    let due = product(root) + half;
                    let sure = due & mask <= mask + 1 - bound;
                    *slot = segment.start
                        + if sure { due >> places } else { segment.locate(edge, due >> places).index };
                }
            }
            Some(end) => {
                let last = place(steps - next);
                for ((slot, &root), edge) in ticks.iter_mut().zip(table[..=last].iter().rev()).zip(next..) {
                    let before = product(root) + half - 1;
                    let guess = end.saturating_sub(before >> places);
                    let sure = before & mask <= mask - bound;
                    *slot = segment.start + if sure { guess } else { segment.locate(edge, guess).index };
                }
            }
        }
    }
}

/// A place in the table.
#[expect(clippy::cast_possible_truncation, reason = "below the length of the table")]
const fn place(index: u64) -> usize {
    index as usize
}

/// Ticks to the first edge: `mantissa / 2^(places + 6)`, rounded down.
#[derive(Clone, Copy, Debug)]
struct Scale {
    mantissa: u64,
    places: u32,
    bound: u64,
}

impl Scale {
    /// `√(unit / over)`; nothing if it is out of the range that serves.
    fn square(unit: i128, over: i128) -> Option<Self> {
        let (quotient, places) = quotient(unit, over)?;
        let odd = places % 2;
        let mantissa = root_128(quotient >> odd);
        Self::checked(mantissa, (places - odd) / 2, SQUARE_BOUND)
    }

    /// `∛(unit / over)`, the same.
    fn cubic(unit: i128, over: i128) -> Option<Self> {
        let (quotient, places) = quotient(unit, over)?;
        // What is left has 122 to 124 bits, and its root 41 or 42.
        let spare = 4 + places.checked_sub(4)? % 3;
        let root = ceil_cbrt((quotient >> spare) + 1) - 1;
        Self::checked(root << 22, (places - spare) / 3 + 22, CUBE_BOUND)
    }

    fn checked(mantissa: u64, fraction: u32, bound: u64) -> Option<Self> {
        let places = fraction.checked_sub(6)?;
        (FEWEST_PLACES..=MOST_PLACES).contains(&places).then_some(Self { mantissa, places, bound })
    }
}

/// `⌊2^places unit / over⌋` with 128 bits, and the places; nothing if `over` has more than 64 bits once
/// reduced by powers of two.
fn quotient(unit: i128, over: i128) -> Option<(u128, u32)> {
    let common = (unit | over).trailing_zeros();
    let [unit, over] = [unit >> common, over >> common].map(i128::unsigned_abs);
    let over = u128::from(u64::try_from(over).ok()?);
    let up = unit.leading_zeros();
    let (high, rest) = divide_128(unit << up, over);
    let low = divide_128(rest << 64, over).0;
    let more = high.leading_zeros();
    Some(((high << more) | ((low << more) >> 64), up + more))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A ramp whose edge number `m` from rest is due on, or a hair after, a half tick: `half` half ticks
    /// from rest. Also the number of its steps, if it comes to rest.
    fn ramp(m: u64, half: i128, cubic: bool, to_rest: bool) -> (Segment<i128>, u64) {
        let odd = i128::from(2 * m - 1);
        let power = if cubic { half.pow(3) } else { half.pow(2) };
        let length = u64::try_from(half).unwrap() + 9;
        if !to_rest {
            let coefficients = if cubic { [0, 0, 0, odd] } else { [0, 0, odd, 0] };
            return (Segment { start: 0, length, unit: 2 * power, coefficients }, 0);
        }
        let (end, steps, unit) = (2 * i128::from(length), m + 2, 2 * power + 2);
        let last = i128::from(steps) * unit;
        let coefficients = if cubic {
            [last - odd * end.pow(3), 3 * odd * end * end, -3 * odd * end, odd]
        } else {
            [last - odd * end * end, 2 * odd * end, -odd, 0]
        };
        (Segment { start: 0, length, unit, coefficients }, steps)
    }

    /// How many of some thousand such edges the roots decide wrongly, with their bound lowered.
    fn wrong(cubic: bool, to_rest: bool, lowered: impl Fn(u64) -> u64) -> usize {
        let mut draw = 1_u64;
        let mut wrong = 0;
        for round in 0..4_000_u64 {
            draw = draw.wrapping_mul(0x5851_f42d_4c95_7f2d).wrapping_add(round);
            let m = 1 + (draw >> 33) % TABLE as u64;
            let half = i128::from(draw >> (28 + round % 24)) | 1;
            let (segment, steps) = ramp(m, half, cubic, to_rest);
            let ramp = Ramp::of(&segment, steps).unwrap();
            assert_eq!((ramp.cubic, ramp.end.is_some()), (cubic, to_rest));
            let Some(mut roots) = Roots::on(ramp, &segment) else { continue };
            roots.scale.bound = lowered(roots.scale.bound);
            let edge = if to_rest { steps + 1 - m } else { m };
            let mut tick = [0];
            roots.work(&segment, edge, steps, &mut tick);
            wrong += usize::from(tick[0] != segment.locate(edge, 0).index);
        }
        wrong
    }

    #[test]
    fn edges_on_the_border_of_a_tick_are_decided_and_a_bound_one_bit_lower_is_too_low() {
        for (cubic, to_rest) in [(false, false), (false, true), (true, false), (true, true)] {
            assert_eq!(wrong(cubic, to_rest, |bound| bound), 0, "{cubic} {to_rest}");
            assert!(wrong(cubic, to_rest, |bound| bound / 2) > 0, "{cubic} {to_rest}");
        }
        assert!(wrong(false, false, |bound| bound - 1) > 0);
    }

    #[test]
    fn tables_hold_the_roots_rounded_down() {
        for (index, (&square, &cube)) in SQUARE_ROOTS.iter().zip(&CUBE_ROOTS).enumerate() {
            let odd = 2 * index as u128 + 1;
            let square = u128::from(square);
            assert!(square * square <= odd << 116);
            assert!((square + 1).checked_mul(square + 1).is_none_or(|next| next > odd << 116));
            let cube = u128::from(cube >> 20);
            assert!(cube.pow(3) <= odd << 114 && (cube + 1).pow(3) > odd << 114);
        }
    }
}
