//! Sine, cosine and arc tangent of one argument by Taylor series, in grains of 2^-120.
//!
//! The 24 bits beyond an interval's 96 hold the errors, which are proven where they are made; a
//! value with its error is then rounded outward once. Sizes only: the callers see to signs.

use super::fixed::FRACTION_BITS;
use super::u256::{U256, product, quotient};

/// A grain is 2^-120.
pub(super) const GRAIN_BITS: u32 = 120;
/// Bits by which a grain is finer than an interval's bounds.
pub(super) const GUARD_BITS: u32 = GRAIN_BITS - FRACTION_BITS;
/// One, in grains.
pub(super) const ONE_IN_GRAINS: u128 = 1 << GRAIN_BITS;
/// π/2 in grains, rounded down; a test computes it again.
pub(super) const QUARTER_TURN: i128 = 0x0192_1fb5_4442_d184_6989_8cc5_1701_b839;

/// No sine or cosine below is further from the truth than this, in grains.
pub(super) const WAVE_ERROR: i128 = 8;
/// No arc tangent below is further from the truth than this, in grains.
pub(super) const ARC_ERROR: i128 = 520;

/// 1/1!, 1/3!, … 1/29! and 1/0!, 1/2!, … 1/30!, in grains, each rounded down by less than one.
const SINE: [u128; 15] = factorial_reciprocals(1);
const COSINE: [u128; 16] = factorial_reciprocals(0);
/// 1/1, 1/3, … 1/19.
const ARC: [u128; 10] = odd_reciprocals();

/// sin(`rest`) for 0 ≤ `rest` ≤ 0.79, off by less than [`WAVE_ERROR`].
///
/// With z = rest² ≤ 0.6241 off by less than a grain, each of Horner's steps p ← c - z·p adds at
/// most 1 (c) + 1 (its product) + p ≤ 1/6 (z) to z times the error so far: less than
/// 2.17 / (1 - 0.6241) < 5.8 in the end. The last product makes that 0.79·5.8 + 1 < 5.6. The
/// series alternates and falls, so what is left out is below 0.79^31/31! < 2^-123, an eighth.
pub(super) fn sine(rest: u128) -> u128 {
    grain_product(rest, alternating(&SINE, grain_product(rest, rest)))
}

/// cos(`rest`) for 0 ≤ `rest` ≤ 0.79, off by less than [`WAVE_ERROR`].
///
/// As for the sine, with p ≤ 1/2: less than 2.5 / (1 - 0.6241) < 6.7, and what is left out is below
/// 0.79^32/32! < 2^-128.
pub(super) fn cosine(rest: u128) -> u128 {
    alternating(&COSINE, grain_product(rest, rest))
}

/// atan(`rise` / `run`) in grains for 0 ≤ `rise` ≤ `run`, where 0 < `run` and, unless 64·`rise` is
/// below it, `run` ≤ 2^121; off by less than [`ARC_ERROR`], and exactly 0 for 0.
///
/// With i the whole number nearest to 32·rise/run,
/// atan(rise/run) = atan(i/32) + atan((32·rise - i·run) / (32·run + i·rise)),
/// and the last argument is below 1/63 in size. It is off by less than a grain, its series by
/// less than 2.1 grains before the last product and 1.1 after, and what is left out is below
/// 63^-21/21 < 2^-129; the table is off by at most 512.
pub(super) fn arc_tangent(rise: u128, run: u128) -> i128 {
    // 58 leading bits of each decide i as well as all of them: a slip of 2^-50 is inside the 1/63.
    let spare = (128 - run.leading_zeros()).saturating_sub(58);
    let (rise_top, run_top) = (rise >> spare, run >> spare);
    let index = (32 * rise_top + run_top / 2) / run_top;
    let (size, negative, run) = if index == 0 {
        (rise, false, run)
    } else {
        let (reached, wanted) = (index * run, 32 * rise);
        (wanted.abs_diff(reached), wanted < reached, 32 * run + index * rise)
    };
    let scaled = U256 { high: size >> (128 - GRAIN_BITS), low: size << GRAIN_BITS };
    // The quotient is below 2^120 / 63, so it is always there.
    let small = quotient(scaled, run).map_or(0, |(whole, _)| whole);
    let arc = grain_product(small, alternating(&ARC, grain_product(small, small)));
    let base = ARC_TABLE[usize::from(index.to_le_bytes()[0])];
    (if negative { base - arc } else { base + arc }).cast_signed()
}

/// a·b for sizes in grains, rounded down. Both are at most 1 here, so nothing is lost above.
const fn grain_product(a: u128, b: u128) -> u128 {
    let U256 { high, low } = product(a, b);
    (high << (128 - GRAIN_BITS)) | (low >> GRAIN_BITS)
}

/// c₀ - c₁·z + c₂·z² - …
fn alternating(coefficients: &[u128], z: u128) -> u128 {
    coefficients.iter().rev().fold(0, |later, coefficient| coefficient - grain_product(z, later))
}

const fn factorial_reciprocals<const COUNT: usize>(first: u128) -> [u128; COUNT] {
    let mut reciprocals = [ONE_IN_GRAINS; COUNT];
    let (mut index, mut factor, mut factorial) = (1, first, 1);
    while index < COUNT {
        factorial *= (factor + 1) * (factor + 2);
        factor += 2;
        reciprocals[index] = ONE_IN_GRAINS / factorial;
        index += 1;
    }
    reciprocals
}

const fn odd_reciprocals<const COUNT: usize>() -> [u128; COUNT] {
    let mut reciprocals = [ONE_IN_GRAINS; COUNT];
    let (mut index, mut odd) = (1, 3);
    while index < COUNT {
        reciprocals[index] = ONE_IN_GRAINS / odd;
        odd += 2;
        index += 1;
    }
    reciprocals
}

/// atan(i/32) in grains for i = 0 to 32, computed as the crate is compiled; off by at most 16·i.
///
/// atan(i/32) - atan((i-1)/32) = atan(32/b) with b = 1024 + i·(i-1). A term of its series is
/// divided twice, each time rounded down by less than one, and there are at most 12 of them,
/// because (32/b)² ≤ 2^-10: less than 12 + 1.001·(1 + 1/3 + … + 1/23) + 1 < 16 grains a step.
const ARC_TABLE: [u128; 33] = {
    let mut table = [0; 33];
    let (mut index, mut i) = (1, 1);
    while index < 33 {
        let b: u128 = 1024 + i * (i - 1);
        let (mut term, mut odd) = (ONE_IN_GRAINS * 32 / b, 1);
        let (mut added, mut taken) = (0, 0);
        while term > 0 {
            if odd % 4 == 1 {
                added += term / odd;
            } else {
                taken += term / odd;
            }
            term = term * 1024 / (b * b);
            odd += 2;
        }
        table[index] = table[index - 1] + added - taken;
        i += 1;
        index += 1;
    }
    table
};

#[cfg(test)]
mod tests {
    use super::{ARC_TABLE, QUARTER_TURN};

    #[test]
    fn the_table_ends_on_an_eighth_of_a_turn() {
        assert!((2 * ARC_TABLE[32]).abs_diff(QUARTER_TURN.cast_unsigned()) <= 2 * 512);
    }
}
