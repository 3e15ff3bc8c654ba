//! Bounds in fixed point: what [`Interval`](super::Interval) is made of.
//!
//! A [`Fixed`] holds its bounds in fixed point, as whole multiples of 2^-96 in an `i128`, so
//! every value below 2^31 in size is held to 1.3e-29, and a handful of operations on dimensions of
//! 10,000 mm leaves a width near 1e-24, far inside the finest 1e-18 that is handed out. Every
//! operation rounds its lower bound down and its upper bound up, and each series states the error
//! it may make; no answer wraps, nothing panics, and what leaves the range is refused.
//!
//! **Why our own.** Only three steps need more than 128 bits: a product, a quotient and a square root.
//! A ready 256-bit type (`ethnum` 1.5 was tried: `no_std`, MIT or Apache-2.0, and quick) has a product no
//! wider than its operands, no square root, and no arithmetic in a `const fn`. Arbitrary-precision crates
//! need `alloc`. There is no working precision to choose: on a desk computer every function takes
//! well under a microsecond as it is.
//!
//! Exact results stay exact: bounds meet when an answer is a multiple of 2^-96, and degrees keep
//! every angle whose sine, cosine or tangent is rational (multiples of 30° and 45° only, by Niven's
//! theorem).

use num_rational::Ratio;

use super::u256::{U256, product, quotient};
use super::{ArithmeticError, Enclosure, Exact, Width};
use crate::bounds::{EXACT_PART_MAX, MEASURE_DENOMINATOR_MAX};

/// Bounds are whole multiples of 2^-96.
pub(super) const FRACTION_BITS: u32 = 96;
/// One, in multiples of 2^-96.
pub(super) const ONE: i128 = 1 << FRACTION_BITS;

/// A real number known to lie between two bounds, both included, each a multiple of 2^-96 and
/// below 2^31 in size.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(super) struct Fixed {
    pub(super) low: i128,
    pub(super) high: i128,
}

impl Fixed {
    /// Returns the narrowest interval around a rational, of zero width if it is a multiple of 2^-96.
    pub(super) fn from_ratio(value: Ratio<i128>) -> Result<Self, ArithmeticError> {
        let denominator = positive(*value.denom())?;
        let scaled = product(value.numer().unsigned_abs(), 1 << FRACTION_BITS);
        rounded_outward(scaled, denominator, *value.numer() < 0)
    }

    /// Returns the narrowest interval around all rationals from `low` to `high`.
    pub(super) fn spanning(low: Ratio<i128>, high: Ratio<i128>) -> Result<Self, ArithmeticError> {
        let (from, to) = (Self::from_ratio(low)?, Self::from_ratio(high)?);
        if low > high {
            return Err(ArithmeticError::CrossedBounds);
        }
        Ok(Self { low: from.low, high: to.high })
    }

    /// Returns what this interval and another have in common: the way to say that a value is known to lie
    /// in a domain that its computed bounds overstep.
    pub(super) fn intersection(self, other: Self) -> Result<Self, ArithmeticError> {
        let common = Self { low: self.low.max(other.low), high: self.high.min(other.high) };
        if common.low > common.high {
            return Err(ArithmeticError::Domain);
        }
        Ok(common)
    }

    /// Both bounds; exactly, or rounded outward to a multiple of 2^-94 if a number has no room for more.
    pub(super) fn bounds(self) -> Result<(Exact, Exact), ArithmeticError> {
        let fits = self.low.unsigned_abs().max(self.high.unsigned_abs()) <= EXACT_PART_MAX.unsigned_abs();
        let cut = if fits { 0 } else { 2 };
        let bits = FRACTION_BITS - cut;
        Ok((exact(dyadic(self.low >> cut, bits))?, exact(dyadic(-(-self.high >> cut), bits))?))
    }

    /// Bounds no further apart than `width`, rounded outward to the coarsest power of two (2^-62 at
    /// the finest) that adds at most half of it.
    fn bounds_within(self, width: Width) -> Result<(Ratio<i128>, Ratio<i128>), ArithmeticError> {
        let width = Ratio::new_raw(width.as_exact().numerator(), width.as_exact().denominator());
        // The least number of bits with 2^-bits ≤ width / 4, because both ends are rounded; 62 at
        // the finest width, because 4e18 < 2^62.
        let parts = width.denom().unsigned_abs().div_ceil(width.numer().unsigned_abs());
        let bits = 2 + (parts - 1).checked_ilog2().map_or(0, |log| log + 1);
        let cut = FRACTION_BITS - bits;
        let (low, high) = (self.low >> cut, -(-self.high >> cut));
        if Ratio::new_raw(high - low, 1 << bits) > width {
            return Err(ArithmeticError::TooWide);
        }
        Ok((dyadic(low, bits), dyadic(high, bits)))
    }

    /// Returns the narrowest interval around this one and `other`.
    #[must_use]
    pub(super) fn hull(self, other: Self) -> Self {
        Self { low: self.low.min(other.low), high: self.high.max(other.high) }
    }

    /// Bounds no further apart than `width`, which a measure can hold; the same bound twice where
    /// the interval has no width.
    pub(super) fn within(self, width: Width) -> Result<Enclosure<Exact>, ArithmeticError> {
        if let Some(exact) = self.exact_value() {
            return Ok(Enclosure::exact(exact));
        }
        let (low, high) = self.bounds_within(width)?;
        Enclosure::new(exact(low)?, exact(high)?)
    }

    /// Bounds which a measure can hold, as close as such bounds can be.
    pub(super) fn enclosed(self) -> Result<Enclosure<Exact>, ArithmeticError> {
        if let Some(exact) = self.exact_value() {
            return Ok(Enclosure::exact(exact));
        }
        let (low, high) = self.bounds()?;
        Enclosure::new(low, high)?.outward()
    }

    /// The number, if both bounds are the same and a measure can hold it.
    fn exact_value(self) -> Option<Exact> {
        let number = dyadic(self.low, FRACTION_BITS);
        let fits = self.low == self.high && *number.denom() <= MEASURE_DENOMINATOR_MAX;
        fits.then(|| exact(number).ok()).flatten()
    }
}

fn exact(value: Ratio<i128>) -> Result<Exact, ArithmeticError> {
    Exact::new(*value.numer(), *value.denom())
}

/// A denominator, which a `Ratio` built raw may have as anything.
pub(super) fn positive(denominator: i128) -> Result<u128, ArithmeticError> {
    u128::try_from(denominator)
        .ok()
        .filter(|denominator| *denominator > 0)
        .ok_or(ArithmeticError::DivisionByZero)
}

/// A numerator over 2^`bits`, reduced.
fn dyadic(numerator: i128, bits: u32) -> Ratio<i128> {
    let common = numerator.trailing_zeros().min(bits);
    Ratio::new_raw(numerator >> common, 1 << (bits - common))
}

/// The interval from below to above ±`dividend` / `divisor`, in multiples of 2^-96.
pub(super) fn rounded_outward(
    dividend: U256,
    divisor: u128,
    negative: bool,
) -> Result<Fixed, ArithmeticError> {
    let (whole, rest) = quotient(dividend, divisor).ok_or(ArithmeticError::Overflow)?;
    around(whole, rest == 0, negative)
}

/// The interval around a number of which the size's whole part, in multiples of 2^-96, is known
/// and whether that is all of it.
///
/// Sizes stay within `i128::MAX`, so that any bound may be negated.
pub(super) fn around(whole: u128, exact: bool, negative: bool) -> Result<Fixed, ArithmeticError> {
    let near = i128::try_from(whole).map_err(|_| ArithmeticError::Overflow)?;
    let far = near.checked_add(i128::from(!exact)).ok_or(ArithmeticError::Overflow)?;
    Ok(if negative { Fixed { low: -far, high: -near } } else { Fixed { low: near, high: far } })
}
