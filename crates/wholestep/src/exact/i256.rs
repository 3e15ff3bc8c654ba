//! Signed whole numbers of 256 bits, in two's complement.

use core::cmp::Ordering;
use core::ops::{Add, Div, Mul, Shr, Sub};

use super::{ArithmeticError, U256};

/// A whole number from -2^255 to 2^255 - 1.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct I256(U256);

impl I256 {
    /// The number `value`.
    pub(crate) const fn new(value: i128) -> Self {
        let high = if value < 0 { u128::MAX } else { 0 };
        Self(U256 { high, low: value.cast_unsigned() })
    }

    /// Whether it is below zero.
    pub(crate) const fn is_negative(self) -> bool {
        self.0.high >> 127 != 0
    }

    /// The magnitude.
    pub(crate) const fn unsigned_abs(self) -> U256 {
        if self.is_negative() { U256::ZERO.overflowing_sub(self.0).0 } else { self.0 }
    }

    /// The lowest 64 bits.
    #[expect(clippy::cast_possible_truncation, reason = "the low bits are what is asked for")]
    pub(crate) const fn as_u64(self) -> u64 {
        self.0.low as u64
    }

    /// The number of a magnitude with a sign; nothing from 2^255 on.
    pub(crate) const fn of(magnitude: U256, is_negative: bool) -> Option<Self> {
        if magnitude.high >> 127 != 0 {
            return None;
        }
        Some(Self(if is_negative { U256::ZERO.overflowing_sub(magnitude).0 } else { magnitude }))
    }

    /// self + other; nothing out of range.
    pub(crate) const fn checked_add(self, other: Self) -> Option<Self> {
        let sum = Self(self.0.overflowing_add(other.0).0);
        let over = self.is_negative() == other.is_negative() && sum.is_negative() != self.is_negative();
        if over { None } else { Some(sum) }
    }

    /// self · other; nothing out of range.
    pub(crate) const fn checked_mul(self, other: Self) -> Option<Self> {
        match self.unsigned_abs().checked_mul(other.unsigned_abs()) {
            Some(magnitude) => Self::of(magnitude, self.is_negative() != other.is_negative()),
            None => None,
        }
    }

    /// self / 2^`bits`, rounded down, for `bits` < 256.
    pub(crate) const fn shr(self, bits: u32) -> Self {
        if self.is_negative() { Self(self.0.not().shr(bits).not()) } else { Self(self.0.shr(bits)) }
    }
}

impl U256 {
    /// The same bits as a signed number: below zero from 2^255 on.
    pub(crate) const fn as_i256(self) -> I256 {
        I256(self)
    }
}

impl Add for I256 {
    type Output = Self;

    #[inline]
    fn add(self, other: Self) -> Self {
        debug_assert!(self.checked_add(other).is_some(), "a sum of 256 bits");
        Self(self.0.overflowing_add(other.0).0)
    }
}

impl Sub for I256 {
    type Output = Self;

    #[inline]
    fn sub(self, other: Self) -> Self {
        let difference = Self(self.0.overflowing_sub(other.0).0);
        debug_assert!(
            self.is_negative() == other.is_negative() || difference.is_negative() == self.is_negative(),
            "a difference of 256 bits"
        );
        difference
    }
}

impl Mul for I256 {
    type Output = Self;

    #[inline]
    fn mul(self, other: Self) -> Self {
        debug_assert!(self.checked_mul(other).is_some(), "a product of 256 bits");
        Self(self.0.wrapping_mul(other.0))
    }
}

impl Div for I256 {
    type Output = Self;

    /// Rounds towards zero, as Rust does.
    fn div(self, other: Self) -> Self {
        let quotient = self.unsigned_abs() / other.unsigned_abs();
        let is_negative = self.is_negative() != other.is_negative();
        Self(if is_negative { U256::ZERO.overflowing_sub(quotient).0 } else { quotient })
    }
}

impl Shr<u32> for I256 {
    type Output = Self;

    fn shr(self, bits: u32) -> Self {
        Self::shr(self, bits)
    }
}

impl PartialOrd for I256 {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for I256 {
    fn cmp(&self, other: &Self) -> Ordering {
        // Of two with the same sign, two's complement is in order.
        other.is_negative().cmp(&self.is_negative()).then(self.0.cmp(&other.0))
    }
}

macro_rules! from {
    ($($short:ty),+) => {$(
        impl From<$short> for I256 {
            #[inline]
            fn from(value: $short) -> Self {
                Self::new(value.into())
            }
        }
    )+};
}
from!(u64, i64, i128);

impl TryFrom<I256> for i128 {
    type Error = ArithmeticError;

    fn try_from(value: I256) -> Result<Self, ArithmeticError> {
        let short = value.0.low.cast_signed();
        if I256::new(short) == value { Ok(short) } else { Err(ArithmeticError::Overflow) }
    }
}

#[cfg(test)]
mod tests {
    use super::{I256, U256};
    use num_bigint::BigInt;
    use proptest::prelude::*;

    fn big(number: I256) -> BigInt {
        let U256 { high, low } = number.unsigned_abs();
        let magnitude: BigInt = (BigInt::from(high) << 128_u32) + low;
        if number.is_negative() { -magnitude } else { magnitude }
    }

    fn fits(number: &BigInt) -> bool {
        let least: BigInt = -(BigInt::from(1) << 255_u32);
        *number >= least && *number < -least
    }

    /// Numbers of every length and either sign, and those at the ends of the range.
    fn any_number() -> impl Strategy<Value = I256> {
        let ends = [
            I256::new(0),
            I256::new(-1),
            I256::new(i128::MAX),
            I256::new(i128::MIN),
            I256(U256 { high: 1 << 127, low: 0 }),
            I256(U256 { high: u128::MAX >> 1, low: u128::MAX }),
        ];
        let any = (any::<u128>(), any::<u128>(), 0_u32..256)
            .prop_map(|(high, low, bits)| I256(U256 { high, low }).shr(bits));
        prop_oneof![1 => proptest::sample::select(ends.to_vec()), 9 => any]
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(20_000))]

        #[test]
        fn arithmetic_is_that_of_num_bigint(a in any_number(), b in any_number(), bits in 0_u32..256) {
            let (x, y) = (big(a), big(b));
            prop_assert_eq!(a.cmp(&b), x.cmp(&y));
            prop_assert_eq!(big(a.shr(bits)), &x >> bits);
            let (sum, product) = (&x + &y, &x * &y);
            prop_assert_eq!(a.checked_add(b).map(big), fits(&sum).then_some(sum));
            if let Some(found) = a.checked_mul(b) {
                prop_assert_eq!(&big(found), &product);
                prop_assert_eq!(big(a * b), product);
            } else {
                // The least number itself is given up.
                prop_assert!(!fits(&product) || product == -(BigInt::from(1) << 255_u32));
            }
            let difference = &x - &y;
            if fits(&difference) {
                prop_assert_eq!(big(a - b), difference);
            }
            if b != I256::new(0) && fits(&(&x / &y)) {
                prop_assert_eq!(big(a / b), &x / &y);
            }
            prop_assert_eq!(i128::try_from(a).ok(), i128::try_from(x).ok());
        }
    }
}
