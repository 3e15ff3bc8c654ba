//! Sine, cosine and tangent of angles in degrees, and degrees as radians and back.

use super::ArithmeticError;
use super::fixed::{Fixed, ONE};
use super::fixed_arithmetic::ratio_of;
use super::taylor::{GRAIN_BITS, GUARD_BITS, ONE_IN_GRAINS, QUARTER_TURN, WAVE_ERROR, cosine, sine};
use super::u256::{U256, product};

/// π/180 in multiples of 2^-127, rounded down.
const RADIANS_IN_DEGREE: u128 = 0x023b_e8d4_4a53_a722_b83b_17d9_ba52_1713;
/// 180/π in multiples of 2^-120, rounded down.
const DEGREES_IN_RADIAN: u128 = 0x394b_b834_c783_ef70_c2a5_d4df_d034_95f5;
/// 45 degrees, and 90, in multiples of 2^-96.
const EIGHTH_IN_DEGREES: i128 = 45 * ONE;
const QUARTER_IN_DEGREES: i128 = 90 * ONE;

impl Fixed {
    /// π, to 2^-96.
    pub(super) fn pi() -> Self {
        outward(2 * QUARTER_TURN, 2 * QUARTER_TURN + 2)
    }

    /// Radians, from degrees.
    #[must_use]
    pub(super) fn to_radians(self) -> Self {
        let at = |end| scaled(end, RADIANS_IN_DEGREE, 127);
        Self { low: at(self.low).0, high: at(self.high).1 }
    }

    /// Degrees, from radians.
    pub(super) fn to_degrees(self) -> Result<Self, ArithmeticError> {
        if self.high.max(-self.low) > i128::MAX / 58 {
            return Err(ArithmeticError::Overflow);
        }
        Ok(self.in_degrees())
    }

    /// Degrees, from radians not above 2^31 / 58 in size.
    pub(super) fn in_degrees(self) -> Self {
        let at = |end| scaled(end, DEGREES_IN_RADIAN, 120);
        Self { low: at(self.low).0, high: at(self.high).1 }
    }

    /// Returns the sine of an angle in degrees, exactly if it is 0, ±1/2 or ±1.
    #[must_use]
    pub(super) fn sin_degrees(self) -> Self {
        wave(self.each_reduced(), 0)
    }

    /// Returns the cosine of an angle in degrees, exactly if it is 0, ±1/2 or ±1.
    #[must_use]
    pub(super) fn cos_degrees(self) -> Self {
        wave(self.each_reduced(), 1)
    }

    /// Returns the tangent of an angle in degrees, exactly if it is 0 or ±1.
    pub(super) fn tan_degrees(self) -> Result<Self, ArithmeticError> {
        tangent(self.each_reduced())
    }

    fn each_reduced(self) -> (Reduced, Reduced) {
        let low = Reduced::new(self.low);
        (low, if self.low == self.high { low } else { Reduced::new(self.high) })
    }
}

/// The interval around bounds in grains.
pub(super) fn outward(low: i128, high: i128) -> Fixed {
    Fixed { low: low >> GUARD_BITS, high: -(-high >> GUARD_BITS) }
}

/// Bounds of `end` times a positive constant given in multiples of 2^-`bits`, rounded down, where
/// the product is below 2^31 in size.
fn scaled(end: i128, constant: u128, bits: u32) -> (i128, i128) {
    let size = |constant| {
        let U256 { high, low } = product(end.unsigned_abs(), constant);
        ((high << (128 - bits)) | (low >> bits)).cast_signed()
    };
    // Rounded down, then up: the true constant is not a multiple, so neither product but 0 is exact.
    let (near, far) = (size(constant), size(constant + 1) + end.signum().abs());
    if end < 0 { (-far, -near) } else { (near, far) }
}

/// An angle as the nearest whole number of quarter turns and the rest of it.
#[derive(Clone, Copy)]
struct Reduced {
    quarters: i128,
    /// In grains, not above 0.79 in size.
    rest: i128,
    /// How many grains the rest may be off; 0 only for a rest of exactly 0.
    slack: i128,
    /// The rest in degrees, in multiples of 2^-96.
    degrees: i128,
}

impl Reduced {
    /// Whole quarters are taken off exactly. The rest, at most 45, makes the constant's error 45/128
    /// of a grain at most, and rounding adds less than one: together less than two.
    fn new(angle: i128) -> Self {
        let (mut quarters, mut degrees) =
            (angle.div_euclid(QUARTER_IN_DEGREES), angle.rem_euclid(QUARTER_IN_DEGREES));
        if degrees > EIGHTH_IN_DEGREES {
            quarters += 1;
            degrees -= QUARTER_IN_DEGREES;
        }
        let U256 { high, low } = product(degrees.unsigned_abs(), RADIANS_IN_DEGREE);
        let size = ((high << 25) | (low >> 103)).cast_signed();
        let rest = if degrees < 0 { -size } else { size };
        let slack = if degrees == 0 { 0 } else { 2 };
        Self { quarters, rest, slack, degrees }
    }

    /// Bounds in grains of the sine of this angle and `more` quarter turns.
    fn sine(self, more: i128) -> (i128, i128) {
        let turned = (self.quarters + more).rem_euclid(4);
        let size = self.rest.unsigned_abs();
        let (value, error) = if turned % 2 == 1 {
            (cosine(size).cast_signed(), self.error())
        } else if self.degrees.abs() == 30 * ONE {
            (self.rest.signum() << (GRAIN_BITS - 1), 0)
        } else {
            (self.rest.signum() * sine(size).cast_signed(), self.error())
        };
        let value = if turned < 2 { value } else { -value };
        let one = ONE_IN_GRAINS.cast_signed();
        ((value - error).max(-one), (value + error).min(one))
    }

    /// The sine and the cosine of a rest of 0 are exact.
    fn error(self) -> i128 {
        if self.slack == 0 { 0 } else { self.slack + WAVE_ERROR }
    }

    /// The tangent of this angle.
    fn tangent(self) -> Result<Fixed, ArithmeticError> {
        if self.degrees.abs() == EIGHTH_IN_DEGREES {
            let one = Fixed { low: ONE, high: ONE };
            return Ok(if (self.degrees > 0) == (self.quarters % 2 == 0) { one } else { -one });
        }
        ratio_of(self.sine(0), self.sine(1))
    }
}

/// Whether a whole number of quarter turns, equal to `wanted` modulo `modulus`, may lie between two
/// angles.
fn passes((low, high): (Reduced, Reduced), wanted: i128, modulus: i128) -> bool {
    let first = if low.rest <= low.slack { low.quarters } else { low.quarters + 1 };
    let last = if high.rest >= -high.slack { high.quarters } else { high.quarters - 1 };
    first + (wanted - first).rem_euclid(modulus) <= last
}

/// The sine of every angle between two, `more` quarter turns added: what it is at the ends, and 1
/// or -1 where it turns between them.
fn wave(ends: (Reduced, Reduced), more: i128) -> Fixed {
    let (at_low, at_high) = (ends.0.sine(more), ends.1.sine(more));
    let one = ONE_IN_GRAINS.cast_signed();
    outward(
        if passes(ends, 3 - more, 4) { -one } else { at_low.0.min(at_high.0) },
        if passes(ends, 1 - more, 4) { one } else { at_low.1.max(at_high.1) },
    )
}

/// The tangent of every angle between two, which rises as long as it passes no pole.
fn tangent(ends: (Reduced, Reduced)) -> Result<Fixed, ArithmeticError> {
    if passes(ends, 1, 2) {
        return Err(ArithmeticError::DivisionByZero);
    }
    Ok(Fixed { low: ends.0.tangent()?.low, high: ends.1.tangent()?.high })
}

#[cfg(test)]
mod tests {
    use super::super::u256::{U256, quotient};
    use super::{DEGREES_IN_RADIAN, QUARTER_TURN, RADIANS_IN_DEGREE};

    fn divided(a: U256, by: u128) -> U256 {
        let (low, _) = quotient(U256 { high: a.high % by, low: a.low }, by).unwrap();
        U256 { high: a.high / by, low }
    }

    fn sum(a: U256, b: U256) -> U256 {
        let (low, carry) = a.low.overflowing_add(b.low);
        U256 { high: a.high + b.high + u128::from(carry), low }
    }

    fn difference(a: U256, b: U256) -> U256 {
        let (low, borrow) = a.low.overflowing_sub(b.low);
        U256 { high: a.high - b.high - u128::from(borrow), low }
    }

    /// `times`·atan(1/`of`) in multiples of 2^-200, off by a few hundred.
    fn arc_tangent(times: u128, of: u128) -> U256 {
        let zero = U256 { high: 0, low: 0 };
        let (mut added, mut taken) = (zero, zero);
        let mut term = divided(U256 { high: times << 72, low: 0 }, of);
        for odd in (1..).step_by(2) {
            if term == zero {
                break;
            }
            if odd % 4 == 1 {
                added = sum(added, divided(term, odd));
            } else {
                taken = sum(taken, divided(term, odd));
            }
            term = divided(term, of * of);
        }
        difference(added, taken)
    }

    #[test]
    fn pi_by_machin_s_formula() {
        let pi = difference(arc_tangent(16, 5), arc_tangent(4, 239));
        let quarter = U256 { high: pi.high >> 17, low: (pi.high << 111) | (pi.low >> 17) };
        assert_eq!((quarter.high << 64) | (quarter.low >> 64), QUARTER_TURN.cast_unsigned());
        assert_eq!(divided(pi, 180).shifted_right(73), Some((RADIANS_IN_DEGREE, false)));
    }

    #[test]
    fn degrees_in_a_radian_are_rounded_down() {
        let pi = difference(arc_tangent(16, 5), arc_tangent(4, 239));
        let pi = (pi.high << 54) | (pi.low >> 74); // in multiples of 2^-126, rounded down
        for pi in [pi, pi + 1] {
            let degrees = quotient(U256 { high: 180 << 118, low: 0 }, pi).unwrap().0;
            assert_eq!(degrees, DEGREES_IN_RADIAN);
        }
    }
}
