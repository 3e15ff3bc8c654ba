//! The exact scalar.

use core::cmp::Ordering;
use core::fmt;
use core::ops::Neg;

use num_integer::Roots;
use num_rational::Ratio;

use super::I256;
use super::gcd::gcd;
use super::long_division::{divide_128, divide_down, divide_towards_zero};
use super::{ArithmeticError, Result, Rounding};
use crate::bounds::EXACT_PART_MAX;

/// An exact rational number.
///
/// A reduced fraction with a positive denominator; numerator and denominator are at most 2^126 in
/// magnitude. There is no operator that could wrap or saturate: the arithmetic methods return an
/// error when a result does not fit.
///
/// ```
/// use wholestep::Exact;
/// let third = Exact::new(1, 3)?;
/// assert_eq!(third.checked_add(third)?.checked_add(third)?, Exact::ONE);
/// assert_eq!(third.to_string(), "1/3");
/// # Ok::<(), wholestep::Error>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Exact(Ratio<i128>);

/// Makes an [`Exact`] of a fraction of two literals when the program is compiled.
///
/// ```
/// use wholestep::{Exact, exact};
/// const TOLERANCE: Exact = exact!(1 / 50);
/// assert_eq!(TOLERANCE, "0.02".parse()?);
/// assert_eq!(exact!(-6 / 4), exact!(-3 / 2));
/// # Ok::<(), wholestep::Error>(())
/// ```
///
/// A denominator of 0 does not compile:
///
/// ```compile_fail
/// let nothing = wholestep::exact!(1 / 0);
/// ```
#[macro_export]
macro_rules! exact {
    (- $numerator:literal / $denominator:literal) => {
        $crate::exact!(@ -$numerator, $denominator)
    };
    ($numerator:literal / $denominator:literal) => {
        $crate::exact!(@ $numerator, $denominator)
    };
    (@ $numerator:expr, $denominator:expr) => {
        const {
            match $crate::Exact::new($numerator, $denominator) {
                Ok(value) => value,
                Err(_) => panic!("the fraction has a denominator of 0, or a part above 2^126"),
            }
        }
    };
}

impl Neg for Exact {
    type Output = Self;

    fn neg(self) -> Self {
        Self(Ratio::new_raw(-self.numerator(), self.denominator()))
    }
}

impl Exact {
    /// Zero.
    pub const ZERO: Self = Self(Ratio::new_raw(0, 1));
    /// One.
    pub const ONE: Self = Self(Ratio::new_raw(1, 1));

    /// Makes the fraction `numerator / denominator`, reduced.
    ///
    /// # Errors
    /// [`ArithmeticError::DivisionByZero`] for a zero denominator, [`ArithmeticError::Overflow`] when a part is
    /// above 2^126 in magnitude.
    pub const fn new(numerator: i128, denominator: i128) -> Result<Self> {
        if denominator == 0 {
            return Err(ArithmeticError::DivisionByZero);
        }
        let (above, below) = (numerator.unsigned_abs(), denominator.unsigned_abs());
        let common = gcd(above, below);
        let (above, below) = (divide_128(above, common).0, divide_128(below, common).0);
        if above > EXACT_PART_MAX.unsigned_abs() || below > EXACT_PART_MAX.unsigned_abs() {
            return Err(ArithmeticError::Overflow);
        }
        let (above, below) = (above.cast_signed(), below.cast_signed());
        let above = if (numerator < 0) == (denominator < 0) { above } else { -above };
        Ok(Self(Ratio::new_raw(above, below)))
    }

    /// Returns the whole number `value`.
    pub const fn integer(value: i64) -> Self {
        // Lossless; `i128::from` cannot be called in a const fn.
        Self(Ratio::new_raw(value as i128, 1))
    }

    /// A fraction known at compile time to be reduced, with a positive denominator.
    pub(crate) const fn reduced(numerator: i128, denominator: i128) -> Self {
        Self(Ratio::new_raw(numerator, denominator))
    }

    /// The fraction `numerator / denominator`, reduced, where the caller has checked that both are in
    /// range and the denominator is positive.
    pub(crate) fn reduced_from(numerator: i128, denominator: i128) -> Self {
        let common = common(numerator, denominator);
        Self::reduced(divide_towards_zero(numerator, common), divide_towards_zero(denominator, common))
    }

    /// Returns the numerator; it carries the sign.
    pub const fn numerator(self) -> i128 {
        *self.0.numer()
    }

    /// Returns the denominator; always positive.
    pub const fn denominator(self) -> i128 {
        *self.0.denom()
    }

    /// Tells whether the number is whole.
    pub const fn is_integer(self) -> bool {
        self.denominator() == 1
    }

    /// −1, 0 or 1.
    pub const fn signum(self) -> i128 {
        self.numerator().signum()
    }

    /// `self + other`.
    ///
    /// # Errors
    /// [`ArithmeticError::Overflow`] when the sum does not fit.
    pub fn checked_add(self, other: Self) -> Result<Self> {
        let (a, b) = (self.denominator(), other.denominator());
        let common = common(a, b);
        let sum = || {
            let (other_part, own_part) = (divide_towards_zero(b, common), divide_towards_zero(a, common));
            let left = product(self.numerator(), other_part)?;
            let right = product(other.numerator(), own_part)?;
            Some((left.checked_add(right)?, product(own_part, b)?))
        };
        let (numerator, denominator) = sum().ok_or(ArithmeticError::Overflow)?;
        Self::new(numerator, denominator)
    }

    /// `self - other`.
    ///
    /// # Errors
    /// [`ArithmeticError::Overflow`] when the difference does not fit.
    pub fn checked_sub(self, other: Self) -> Result<Self> {
        self.checked_add(-other)
    }

    /// `self × other`.
    ///
    /// # Errors
    /// [`ArithmeticError::Overflow`] when the product does not fit.
    pub fn checked_mul(self, other: Self) -> Result<Self> {
        // Cancelling crosswise first keeps every product that fits from overflowing on the way.
        let left = common(self.numerator(), other.denominator()).max(1);
        let right = common(other.numerator(), self.denominator()).max(1);
        let parts = || {
            let numerator = product(
                divide_towards_zero(self.numerator(), left),
                divide_towards_zero(other.numerator(), right),
            )?;
            let denominator = product(
                divide_towards_zero(self.denominator(), right),
                divide_towards_zero(other.denominator(), left),
            )?;
            Some((numerator, denominator))
        };
        let (numerator, denominator) = parts().ok_or(ArithmeticError::Overflow)?;
        Self::new(numerator, denominator)
    }

    /// `self ÷ other`.
    ///
    /// # Errors
    /// [`ArithmeticError::DivisionByZero`], or [`ArithmeticError::Overflow`] when the quotient does not fit.
    pub fn checked_div(self, other: Self) -> Result<Self> {
        self.checked_mul(Self::new(other.denominator(), other.numerator())?)
    }

    /// Returns the magnitude.
    #[must_use]
    pub const fn abs(self) -> Self {
        Self(Ratio::new_raw(self.numerator().abs(), self.denominator()))
    }

    /// Returns the square root, if it is a rational number.
    ///
    /// ```
    /// use wholestep::Exact;
    /// assert_eq!(Exact::new(9, 16)?.square_root(), Some(Exact::new(3, 4)?));
    /// assert_eq!(Exact::integer(2).square_root(), None);
    /// # Ok::<(), wholestep::Error>(())
    /// ```
    pub fn square_root(self) -> Option<Self> {
        let root = |part: i128| Some(part.sqrt()).filter(|root| root * root == part);
        (self.signum() >= 0)
            .then(|| Some(Self::reduced(root(self.numerator())?, root(self.denominator())?)))
            .flatten()
    }

    /// Rounds to a whole number.
    pub fn round(self, rounding: Rounding) -> i128 {
        rounding.split(self.numerator(), self.denominator()).0
    }

    /// Returns the number as a decimal of `places`, with `≈` in front if that rounds it; of two equally
    /// near, the even last digit.
    ///
    /// ```
    /// use wholestep::Exact;
    /// assert_eq!(Exact::new(1, 3)?.decimal(4)?.to_string(), "≈ 0.3333");
    /// assert_eq!(Exact::new(1, 4)?.decimal(2)?.to_string(), "0.25");
    /// # Ok::<(), wholestep::Error>(())
    /// ```
    ///
    /// # Errors
    /// [`ArithmeticError::Decimals`] above 18 places.
    pub fn decimal(self, places: u8) -> Result<impl core::fmt::Display> {
        super::format::rounded(self, places)
    }

    /// Returns the nearest multiple of `1 / denominator` by `rounding`.
    ///
    /// # Errors
    /// [`ArithmeticError::DivisionByZero`] or [`ArithmeticError::Overflow`].
    pub fn round_to(self, denominator: i128, rounding: Rounding) -> Result<Self> {
        let scaled = self.checked_mul(Self::new(denominator, 1)?)?;
        Self::new(scaled.round(rounding), denominator)
    }

    /// The largest multiple of 2^-62 that is not above the number.
    ///
    /// # Errors
    /// [`ArithmeticError::Overflow`] from a magnitude of 2^62.
    pub(super) fn dyadic_below(self) -> Result<Self> {
        const BITS: u32 = 62;
        let denominator = self.denominator();
        let (whole, mut rest) = divide_down(self.numerator(), denominator);
        if whole.abs() >= 1 << BITS {
            return Err(ArithmeticError::Overflow);
        }
        // Long division, bit by bit: the rest stays below the denominator, so doubling it cannot
        // overflow.
        let mut bits = whole;
        for _ in 0..BITS {
            rest <<= 1;
            bits <<= 1;
            if rest >= denominator {
                rest -= denominator;
                bits |= 1;
            }
        }
        let spare = bits.trailing_zeros().min(BITS);
        Ok(Self::reduced(bits >> spare, 1 << (BITS - spare)))
    }
}

/// The greatest common divisor of two numbers not above 2^126 in magnitude.
fn common(a: i128, b: i128) -> i128 {
    gcd(a.unsigned_abs(), b.unsigned_abs()).cast_signed()
}

/// `a × b`, unless it overflows.
pub(crate) fn product(a: i128, b: i128) -> Option<i128> {
    match (i64::try_from(a), i64::try_from(b)) {
        // Most factors are short, and a checked 128-bit multiplication is a call.
        (Ok(a), Ok(b)) => Some(i128::from(a) * i128::from(b)),
        _ => a.checked_mul(b),
    }
}

impl PartialOrd for Exact {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Exact {
    fn cmp(&self, other: &Self) -> Ordering {
        let (a, b) = (self.numerator(), other.numerator());
        let (c, d) = (self.denominator(), other.denominator());
        match (product(a, d), product(b, c)) {
            (Some(left), Some(right)) => left.cmp(&right),
            _ => (I256::from(a) * I256::from(d)).cmp(&(I256::from(b) * I256::from(c))),
        }
    }
}

impl From<i64> for Exact {
    fn from(value: i64) -> Self {
        Self::integer(value)
    }
}

impl fmt::Display for Exact {
    /// `numerator/denominator`, or the whole number alone.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(&self.0, f)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_fraction_is_reduced_and_signed_at_the_top() {
        for (n, d, expected) in [(2, 4, (1, 2)), (-2, 4, (-1, 2)), (2, -4, (-1, 2)), (0, -9, (0, 1))] {
            let value = Exact::new(n, d).unwrap();
            assert_eq!((value.numerator(), value.denominator()), expected, "{n}/{d}");
        }
    }

    #[test]
    fn what_does_not_fit_is_refused() {
        let big = Exact::new(EXACT_PART_MAX, 1).unwrap();
        assert_eq!(Exact::new(1, 0).unwrap_err(), ArithmeticError::DivisionByZero);
        for result in [
            Exact::new(EXACT_PART_MAX + 1, 1),
            Exact::new(i128::MIN, 1),
            Exact::new(1, i128::MIN),
            big.checked_add(Exact::ONE),
            big.checked_mul(big),
            big.checked_div(Exact::new(1, 2).unwrap()),
        ] {
            assert_eq!(result.unwrap_err(), ArithmeticError::Overflow);
        }
        assert_eq!(Exact::ONE.checked_div(Exact::ZERO).unwrap_err(), ArithmeticError::DivisionByZero);
        assert_eq!(big.checked_sub(big).unwrap(), Exact::ZERO);
        assert_eq!(big.checked_div(big).unwrap(), Exact::ONE);
    }

    fn any_exact() -> impl Strategy<Value = Exact> {
        (any::<i64>(), 1..=i64::MAX).prop_map(|(n, d)| Exact::new(n.into(), d.into()).unwrap())
    }

    proptest! {
        #[test]
        fn addition_and_multiplication_undo(a in any_exact(), b in any_exact()) {
            if let Ok(sum) = a.checked_add(b) {
                prop_assert_eq!(sum.checked_sub(b), Ok(a));
            }
            if let Ok(product) = a.checked_mul(b) && b.signum() != 0 {
                prop_assert_eq!(product.checked_div(b), Ok(a));
            }
        }

        #[test]
        fn the_order_is_that_of_the_difference(a in any_exact(), b in any_exact()) {
            let difference = i128::from(i64::try_from(a.numerator()).unwrap()) * b.denominator()
                - b.numerator() * a.denominator();
            prop_assert_eq!(a.cmp(&b), difference.cmp(&0));
        }

        #[test]
        fn the_three_roundings_are_ordered(a in any_exact()) {
            let [nearest, below, above] = Rounding::ALL.map(|rule| a.round(rule));
            prop_assert!(below <= nearest && nearest <= above && above - below <= 1);
            prop_assert_eq!(above == below, a.is_integer());
        }
    }
}
