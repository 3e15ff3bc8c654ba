//! The two signed widths in which a segment is evaluated exactly, and the few
//! roots and products planning needs.

use core::ops::{Add, Mul, Shr, Sub};

use crate::exact::{I256, U256, divide_towards_zero, gcd_256, root_128};

/// A signed integer wide enough for a segment's values: `i128` for usual
/// moves, `I256` for any move the limits allow.
pub(crate) trait Wide:
    Copy
    + Ord
    + From<u64>
    + From<i64>
    + Add<Output = Self>
    + Sub<Output = Self>
    + Mul<Output = Self>
    + Shr<u32, Output = Self>
{
    /// Bits of the magnitude.
    fn bits(self) -> u32;
    /// The lowest 64 bits.
    fn low(self) -> u64;
    /// The magnitude, in the widest form.
    fn magnitude(self) -> U256;
    /// The quotient, rounded towards zero.
    fn over(self, divisor: Self) -> Self;
}

impl Wide for i128 {
    #[inline]
    fn bits(self) -> u32 {
        128 - self.unsigned_abs().leading_zeros()
    }

    #[inline]
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "the low half is what is asked for"
    )]
    fn low(self) -> u64 {
        self as u64
    }

    fn magnitude(self) -> U256 {
        U256::from(self.unsigned_abs())
    }

    #[inline]
    fn over(self, divisor: Self) -> Self {
        divide_towards_zero(self, divisor)
    }
}

impl Wide for I256 {
    fn bits(self) -> u32 {
        256 - self.unsigned_abs().leading_zeros()
    }

    fn low(self) -> u64 {
        self.as_u64()
    }

    fn magnitude(self) -> U256 {
        self.unsigned_abs()
    }

    fn over(self, divisor: Self) -> Self {
        self / divisor
    }
}

/// The product of whole numbers, out of line where a product of 128 bits is long.
#[cfg_attr(target_pointer_width = "64", inline)]
#[cfg_attr(not(target_pointer_width = "64"), inline(never))]
pub(crate) fn product<W: Wide>(factors: &[u64]) -> W {
    let mut factors = factors.iter().map(|&factor| W::from(factor));
    let first = factors.next().unwrap_or(W::from(1_u64));
    factors.fold(first, |product, factor| product * factor)
}

/// Bits of an unsigned 64-bit value.
#[inline]
pub(crate) const fn bits(value: u64) -> u32 {
    64 - value.leading_zeros()
}

/// The lowest 64 bits.
#[inline]
#[expect(clippy::cast_possible_truncation, reason = "the low half is what is asked for")]
pub(crate) const fn low(value: u128) -> u64 {
    value as u64
}

/// The least whole number whose square is at least `value`.
#[inline]
pub(crate) fn ceil_sqrt(value: u128) -> u64 {
    if let Ok(small) = u64::try_from(value) {
        let root = small.isqrt();
        return root + u64::from(root * root < small);
    }
    // The last root of 64 bits stands for the one beyond it, which no plan may take anyway.
    let root = root_128(value);
    root.saturating_add(u64::from(u128::from(root) * u128::from(root) < value))
}

/// The least whole number whose cube is at least `value` (below 2^124).
pub(crate) fn ceil_cbrt(value: u128) -> u64 {
    if value <= 1 {
        return i128::low(value.cast_signed());
    }
    // The root of the leading bits is off by half of its last digit at most, and one round of Newton doubles
    // its digits; the cube itself has the last word.
    let length = 128 - value.leading_zeros();
    let places = length.saturating_sub(61).div_ceil(3);
    let root = floor_cbrt(low(value >> (3 * places)));
    let mut guess = (u128::from(root) << places) | ((1 << places) >> 1);
    if places > 0 {
        let square = (guess * guess).cast_signed();
        let off = divide_towards_zero(value.cast_signed() - square * guess.cast_signed(), 3 * square);
        guess = guess.saturating_add_signed(off).max(1);
    }
    while guess * guess * guess < value {
        guess += 1;
    }
    while (guess - 1) * (guess - 1) * (guess - 1) >= value {
        guess -= 1;
    }
    i128::low(guess.cast_signed())
}

/// The whole part of a cube root, digit by digit: without a division, which small chips do slowly.
fn floor_cbrt(mut rest: u64) -> u64 {
    let mut root = 0;
    for place in (0..22).rev() {
        // What (2 root + 1)³ exceeds (2 root)³ by.
        let more = 6 * root * (2 * root + 1) + 1;
        root *= 2;
        if rest >> (3 * place) >= more {
            rest -= more << (3 * place);
            root += 1;
        }
    }
    root
}

/// A positive ratio by which a count of steps is multiplied, rounding up.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Scale {
    numerator: u128,
    denominator: u128,
}

impl Scale {
    /// The ratio, exact if both parts fit 128 bits once reduced; otherwise
    /// rounded up by less than one part in 2^60.
    pub(crate) fn at_least(numerator: U256, denominator: U256) -> Option<Self> {
        let common = gcd(numerator, denominator);
        let (mut numerator, mut denominator) = (numerator / common, denominator / common);
        let surplus = (256 - (numerator | denominator).leading_zeros()).saturating_sub(127);
        if surplus > 0 {
            let exact = numerator;
            numerator >>= surplus;
            numerator += U256::from(u8::from((numerator << surplus) < exact));
            denominator >>= surplus;
            if denominator >> 60 == U256::ZERO {
                return None;
            }
        }
        Some(Self {
            numerator: u128::try_from(numerator).ok()?,
            denominator: u128::try_from(denominator).ok()?,
        })
    }

    /// `count` times the ratio, rounded up to a whole number.
    #[inline]
    pub(crate) fn ceil_times(&self, count: u64) -> Option<u128> {
        if let (Ok(numerator), Ok(denominator)) =
            (u64::try_from(self.numerator), u64::try_from(self.denominator))
            && let Some(product) = numerator.checked_mul(count)
        {
            return Some(u128::from(if denominator == 1 { product } else { product.div_ceil(denominator) }));
        }
        self.ceil_times_wide(count)
    }

    #[cold]
    fn ceil_times_wide(&self, count: u64) -> Option<u128> {
        if let Some(product) = self.numerator.checked_mul(u128::from(count)) {
            return Some(product.div_ceil(self.denominator));
        }
        let product = U256::from(self.numerator) * U256::from(count);
        u128::try_from(ceil_div(product, U256::from(self.denominator))).ok()
    }

    pub(crate) fn numerator(&self) -> U256 {
        U256::from(self.numerator)
    }

    pub(crate) fn denominator(&self) -> U256 {
        U256::from(self.denominator)
    }
}

/// Division rounding up.
pub(crate) fn ceil_div(numerator: U256, denominator: U256) -> U256 {
    let quotient = numerator / denominator;
    quotient + U256::from(u8::from(quotient * denominator < numerator))
}

/// Greatest common divisor; of zero and zero it is one.
pub(crate) fn gcd(left: U256, right: U256) -> U256 {
    gcd_256(left, right).max(U256::ONE)
}

#[cfg(test)]
mod tests {
    use super::{ceil_cbrt, ceil_sqrt};
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn roots_are_the_least_that_reach(value in 0_u128..1 << 124, shift in 0_u32..124) {
            let value = value >> shift;
            let square = u128::from(ceil_sqrt(value));
            prop_assert!(square * square >= value);
            prop_assert!(square == 0 || (square - 1) * (square - 1) < value);
            let cube = u128::from(ceil_cbrt(value));
            prop_assert!(cube.pow(3) >= value);
            prop_assert!(cube == 0 || (cube - 1).pow(3) < value);
        }

        #[test]
        fn roots_of_powers_are_exact(root in 1_u64..1 << 41, off in 0_u8..3) {
            let root = u128::from(root);
            let cube = root.pow(3) - 1 + u128::from(off);
            prop_assert_eq!(u128::from(ceil_cbrt(cube)), root + u128::from(off > 1));
            let square = root.pow(2) - 1 + u128::from(off);
            prop_assert_eq!(u128::from(ceil_sqrt(square)), root + u128::from(off > 1));
        }
    }
}
