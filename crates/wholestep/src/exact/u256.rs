//! Whole numbers of 256 bits: what a product of two of 128 comes to, and what a plan is worked out in.
//!
//! Everything is `const`, so that limits can be constants; nothing is unrolled, so that it is small.

use core::ops::{Add, AddAssign, BitOr, Div, Mul, Rem, Shl, Shr, ShrAssign, Sub};

use super::ArithmeticError;
use super::long_division::{divide_128, divide_256};

/// The lower half of a `u128`.
const HALF: u128 = (1 << 64) - 1;

/// A whole number from 0 to 2^256 - 1: `high`·2^128 + `low`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct U256 {
    pub(super) high: u128,
    pub(super) low: u128,
}

impl U256 {
    /// Zero.
    pub(crate) const ZERO: Self = Self::new(0);
    /// One.
    pub(crate) const ONE: Self = Self::new(1);
    /// 2^256 - 1.
    pub(crate) const MAX: Self = Self { high: u128::MAX, low: u128::MAX };

    /// The number `value`.
    pub(crate) const fn new(value: u128) -> Self {
        Self { high: 0, low: value }
    }

    /// The whole part of self / 2^`bits` and whether nothing was cut off, for 0 < `bits` < 128;
    /// `None` if the whole part needs more than 128 bits.
    pub(super) const fn shifted_right(self, bits: u32) -> Option<(u128, bool)> {
        if self.high >> bits != 0 {
            return None;
        }
        let whole = (self.high << (128 - bits)) | (self.low >> bits);
        Some((whole, self.low << (128 - bits) == 0))
    }

    /// self·2^`bits`; what passes 2^256 is lost.
    pub(crate) const fn shl(self, bits: u32) -> Self {
        match bits {
            0 => self,
            1..128 => Self { high: (self.high << bits) | (self.low >> (128 - bits)), low: self.low << bits },
            128..256 => Self { high: self.low << (bits - 128), low: 0 },
            _ => Self::ZERO,
        }
    }

    /// The whole part of self / 2^`bits`.
    pub(crate) const fn shr(self, bits: u32) -> Self {
        match bits {
            0 => self,
            1..128 => Self { high: self.high >> bits, low: (self.high << (128 - bits)) | (self.low >> bits) },
            128..256 => Self { high: 0, low: self.high >> (bits - 128) },
            _ => Self::ZERO,
        }
    }

    /// Whether it is zero; `==` is not const.
    pub(crate) const fn is_zero(self) -> bool {
        self.high | self.low == 0
    }

    /// The bits of either.
    pub(crate) const fn or(self, other: Self) -> Self {
        Self { high: self.high | other.high, low: self.low | other.low }
    }

    /// Every bit turned over.
    pub(crate) const fn not(self) -> Self {
        Self { high: !self.high, low: !self.low }
    }

    /// Whether self > other; `>` is not const.
    pub(crate) const fn exceeds(self, other: Self) -> bool {
        self.high > other.high || (self.high == other.high && self.low > other.low)
    }

    /// How many zeros stand before the first one, of 256 digits.
    pub(crate) const fn leading_zeros(self) -> u32 {
        if self.high == 0 { 128 + self.low.leading_zeros() } else { self.high.leading_zeros() }
    }

    /// How many zeros stand behind the last one; 256 for zero.
    pub(crate) const fn trailing_zeros(self) -> u32 {
        if self.low == 0 { 128 + self.high.trailing_zeros() } else { self.low.trailing_zeros() }
    }

    /// self + other modulo 2^256, and whether it passed 2^256.
    pub(crate) const fn overflowing_add(self, other: Self) -> (Self, bool) {
        let (low, carry) = self.low.overflowing_add(other.low);
        let (high, first) = self.high.overflowing_add(other.high);
        let (high, second) = high.overflowing_add(carry as u128);
        (Self { high, low }, first | second)
    }

    /// self - other modulo 2^256, and whether it passed zero.
    pub(crate) const fn overflowing_sub(self, other: Self) -> (Self, bool) {
        let (low, borrow) = self.low.overflowing_sub(other.low);
        let (high, first) = self.high.overflowing_sub(other.high);
        let (high, second) = high.overflowing_sub(borrow as u128);
        (Self { high, low }, first | second)
    }

    /// self·other modulo 2^256.
    pub(crate) const fn wrapping_mul(self, other: Self) -> Self {
        let mut whole = product(self.low, other.low);
        // Most factors are short, and a product of halves costs as much as all else.
        if self.high | other.high != 0 {
            let cross = self.high.wrapping_mul(other.low).wrapping_add(other.high.wrapping_mul(self.low));
            whole.high = whole.high.wrapping_add(cross);
        }
        whole
    }

    /// self·other; nothing from 2^256 on.
    pub(crate) const fn checked_mul(self, other: Self) -> Option<Self> {
        let whole = product(self.low, other.low);
        if self.high | other.high == 0 {
            return Some(whole);
        }
        if self.high != 0 && other.high != 0 {
            return None;
        }
        let cross = product(self.high | other.high, if self.high == 0 { self.low } else { other.low });
        let (high, carry) = whole.high.overflowing_add(cross.low);
        if cross.high != 0 || carry { None } else { Some(Self { high, low: whole.low }) }
    }

    /// Quotient and remainder; zero and self for a divisor of zero.
    pub(crate) const fn div_rem(self, divisor: Self) -> (Self, Self) {
        if self.high | divisor.high == 0 {
            let (quotient, rest) = divide_128(self.low, divisor.low);
            return (Self::new(quotient), Self::new(rest));
        }
        let [quotient, rest] = divide_256((self.high, self.low), (divisor.high, divisor.low));
        (Self { high: quotient.0, low: quotient.1 }, Self { high: rest.0, low: rest.1 })
    }
}

macro_rules! operators {
    ($($trait:ident, $method:ident, |$a:ident, $b:ident: $right:ty| $body:expr;)+) => {$(
        impl $trait<$right> for U256 {
            type Output = Self;

            #[inline]
            fn $method(self, other: $right) -> Self {
                let ($a, $b) = (self, other);
                $body
            }
        }
    )+};
}

// As those of the integers of Rust: what overflows is a mistake of the caller, found where tests run.
operators! {
    Add, add, |a, b: Self| {
        let (sum, over) = a.overflowing_add(b);
        debug_assert!(!over, "a sum above 2^256");
        sum
    };
    Sub, sub, |a, b: Self| {
        let (difference, below) = a.overflowing_sub(b);
        debug_assert!(!below, "a difference below zero");
        difference
    };
    Mul, mul, |a, b: Self| {
        debug_assert!(a.checked_mul(b).is_some(), "a product above 2^256");
        a.wrapping_mul(b)
    };
    Div, div, |a, b: Self| {
        debug_assert!(b != Self::ZERO, "a division by zero");
        a.div_rem(b).0
    };
    Rem, rem, |a, b: Self| {
        debug_assert!(b != Self::ZERO, "a division by zero");
        a.div_rem(b).1
    };
    BitOr, bitor, |a, b: Self| a.or(b);
    Shl, shl, |a, bits: u32| Self::shl(a, bits);
    Shr, shr, |a, bits: u32| Self::shr(a, bits);
}

impl AddAssign for U256 {
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}

impl ShrAssign<u32> for U256 {
    fn shr_assign(&mut self, bits: u32) {
        *self = *self >> bits;
    }
}

macro_rules! from {
    ($($short:ty),+) => {$(
        impl From<$short> for U256 {
            #[inline]
            fn from(value: $short) -> Self {
                Self::new(value.into())
            }
        }
    )+};
}
from!(u8, u64, u128);

impl TryFrom<U256> for u128 {
    type Error = ArithmeticError;

    fn try_from(value: U256) -> Result<Self, ArithmeticError> {
        if value.high == 0 { Ok(value.low) } else { Err(ArithmeticError::Overflow) }
    }
}

impl TryFrom<U256> for u64 {
    type Error = ArithmeticError;

    fn try_from(value: U256) -> Result<Self, ArithmeticError> {
        Self::try_from(u128::try_from(value)?).map_err(|_| ArithmeticError::Overflow)
    }
}

/// a·b, in four products of halves.
pub(super) const fn product(a: u128, b: u128) -> U256 {
    let (a_high, a_low) = (a >> 64, a & HALF);
    let (b_high, b_low) = (b >> 64, b & HALF);
    // No sum here can pass 2^128: (2^64 - 1)² + 2·(2^64 - 1) = 2^128 - 1.
    let bottom = a_low * b_low;
    let first = a_high * b_low + (bottom >> 64);
    let second = a_low * b_high + (first & HALF);
    U256 { high: a_high * b_high + (first >> 64) + (second >> 64), low: (second << 64) | (bottom & HALF) }
}

/// Quotient and remainder of `dividend` / `divisor`; `None` if the quotient needs more than
/// 128 bits, and so also for a divisor of zero.
pub(super) const fn quotient(dividend: U256, divisor: u128) -> Option<(u128, u128)> {
    if dividend.high >= divisor {
        return None;
    }
    let (quotient, rest) = dividend.div_rem(U256::new(divisor));
    Some((quotient.low, rest.low))
}

/// The whole part of the square root, in the same way as [`root`].
#[cfg_attr(not(target_pointer_width = "64"), inline(never))]
#[expect(clippy::cast_possible_truncation, reason = "halves are what is asked for")]
pub(crate) const fn root_128(square: u128) -> u64 {
    if square >> 64 == 0 {
        return (square as u64).isqrt();
    }
    let bits = square.leading_zeros() & !1;
    let scaled = square << bits;
    let high = (scaled >> 64) as u64;
    let upper = high.isqrt();
    // upper ≥ 2^31, rest ≤ 2·upper, so rest·2^31 + 2^31 stays below 2^64.
    let rest = high - upper * upper;
    let mut lower = ((rest << 31) | (scaled as u64 >> 33)) / upper;
    if lower > u32::MAX as u64 {
        lower = u32::MAX as u64;
    }
    let mut root = (upper << 32) | lower;
    if root as u128 * root as u128 > scaled {
        root -= 1;
    }
    root >> (bits / 2)
}

/// The whole part of the square root of `square`, and whether the root is exactly that.
///
/// The upper half's root gives the upper half of the digits and one division the rest, at most
/// one too many (Zimmermann, Karatsuba Square Root, INRIA RR-3805, 1999).
pub(super) const fn root(square: U256) -> (u128, bool) {
    if square.high == 0 {
        let root = root_128(square.low) as u128;
        return (root, root * root == square.low);
    }
    let bits = square.high.leading_zeros() & !1;
    let scaled = square.shl(bits);
    let upper = root_128(scaled.high) as u128;
    // upper ≥ 2^63, rest ≤ 2·upper, so rest·2^63 + 2^63 stays below 2^128.
    let rest = scaled.high - upper * upper;
    let mut lower = divide_128((rest << 63) | (scaled.low >> 65), upper).0;
    if lower > HALF {
        lower = HALF;
    }
    let mut root = (upper << 64) | lower;
    if product(root, root).exceeds(scaled) {
        root -= 1;
    }
    let root = root >> (bits / 2);
    let back = product(root, root);
    (root, back.high == square.high && back.low == square.low)
}

#[cfg(test)]
mod tests {
    use super::{U256, product, quotient, root, root_128};
    use num_bigint::BigUint;
    use proptest::prelude::*;

    const TOP: u128 = u128::MAX;

    /// self + addend, where that stays below 2^256.
    fn sum(wide: U256, addend: u128) -> U256 {
        let (low, carry) = wide.low.overflowing_add(addend);
        U256 { high: wide.high + u128::from(carry), low }
    }

    /// Numbers of every length, with long runs of ones and zeros.
    fn ragged() -> impl Strategy<Value = u128> {
        (any::<u128>(), any::<u128>(), 0_u32..128, 0_u32..128, 0_u8..4).prop_map(|(a, b, s, t, kind)| {
            match kind {
                0 => a >> s,
                1 => TOP << s >> t,
                2 => (TOP >> s) ^ (b >> t),
                _ => (TOP >> s).wrapping_add(b >> 120),
            }
        })
    }

    #[test]
    fn extremes() {
        assert_eq!(product(TOP, TOP), U256 { high: TOP - 1, low: 1 });
        assert_eq!(quotient(U256 { high: 0, low: 7 }, 0), None);
        assert_eq!(quotient(U256 { high: 7, low: 0 }, 7), None);
        assert_eq!(quotient(U256 { high: TOP - 1, low: TOP }, TOP), Some((TOP, TOP - 1)));
        assert_eq!(root(U256 { high: 0, low: 0 }), (0, true));
        assert_eq!(root(U256 { high: TOP, low: TOP }), (TOP, false));
        assert_eq!(root(U256 { high: TOP - 1, low: 1 }), (TOP, true));
        assert_eq!(root(U256 { high: TOP - 1, low: 0 }), (TOP - 1, false));
    }

    fn big(number: U256) -> BigUint {
        (BigUint::from(number.high) << 128) + number.low
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(20_000))]

        #[test]
        fn roots_of_128_bits_are_those_of_the_standard_library(any in ragged(), root in ragged()) {
            let square = (root >> 64) * (root >> 64);
            for value in [any, square, square.wrapping_sub(1), TOP] {
                prop_assert_eq!(u128::from(root_128(value)), value.isqrt());
            }
        }

        #[test]
        fn arithmetic_is_that_of_num_bigint(
            (a, b, c, d) in (ragged(), ragged(), ragged(), ragged()),
            (a_long, b_long) in any::<(bool, bool)>(),
            bits in 0_u32..300,
        ) {
            let a = U256 { high: if a_long { a } else { 0 }, low: b };
            let b = U256 { high: if b_long { c } else { 0 }, low: d };
            let (x, y, end) = (big(a), big(b), BigUint::from(1_u8) << 256);
            prop_assert_eq!(a.cmp(&b), x.cmp(&y));
            prop_assert_eq!(a.exceeds(b), x > y);
            prop_assert_eq!(256 - u64::from(a.leading_zeros()), x.bits());
            prop_assert_eq!(x.trailing_zeros().unwrap_or(256), u64::from(a.trailing_zeros()));
            prop_assert_eq!(a.is_zero(), a == U256::ZERO);
            prop_assert_eq!(big(a | b), &x | &y);
            prop_assert_eq!(big(a << bits), (&x << bits) % &end);
            prop_assert_eq!(big(a >> bits), &x >> bits);
            let (sum, over) = a.overflowing_add(b);
            prop_assert_eq!((big(sum), over), ((&x + &y) % &end, &x + &y >= end));
            let (difference, below) = a.overflowing_sub(b);
            prop_assert_eq!((big(difference), below), ((&end + &x - &y) % &end, x < y));
            let whole = &x * &y;
            prop_assert_eq!(big(a.wrapping_mul(b)), &whole % &end);
            prop_assert_eq!(a.checked_mul(b).map(big), (whole < end).then_some(whole));
            if b != U256::ZERO {
                prop_assert_eq!((big(a / b), big(a % b)), (&x / &y, &x % &y));
            }
            prop_assert_eq!(u128::try_from(a).ok(), u128::try_from(&x).ok());
            prop_assert_eq!(u64::try_from(a).ok(), u64::try_from(&x).ok());
        }

        #[test]
        fn a_product_divides_back(a in ragged(), b in ragged(), c in ragged()) {
            prop_assume!(b != 0);
            let remainder = c % b;
            let dividend = sum(product(a, b), remainder);
            prop_assert_eq!(quotient(dividend, b), Some((a, remainder)));
        }

        #[test]
        fn a_root_is_the_whole_part(high in ragged(), low in ragged(), a in ragged()) {
            let square = U256 { high, low };
            let (whole, exact) = root(square);
            let below = product(whole, whole);
            prop_assert!(!below.exceeds(square));
            prop_assert_eq!(exact, below == square);
            if let Some(next) = whole.checked_add(1) {
                prop_assert!(product(next, next).exceeds(square));
            }
            let square = product(a, a);
            prop_assert_eq!(root(square), (a, true));
            if square.low != 0 {
                let less = U256 { high: square.high, low: square.low - 1 };
                prop_assert_eq!(root(less), (a - 1, a == 1));
            }
        }

        #[test]
        fn a_shift_agrees_with_a_division(a in ragged(), b in ragged(), bits in 1_u32..128) {
            let wide = product(a, b);
            let divided = quotient(wide, 1 << bits).map(|(whole, rest)| (whole, rest == 0));
            prop_assert_eq!(wide.shifted_right(bits), divided);
        }
    }
}
