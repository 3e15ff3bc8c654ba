//! Two bounds in fixed point, from rationals and back to them.

use super::error::IntervalError;
use super::wide::{Wide, product, quotient};
use num_rational::Ratio;

/// Bounds are whole multiples of 2^-96.
pub(super) const FRACTION_BITS: u32 = 96;
/// One, in multiples of 2^-96.
pub(super) const ONE: i128 = 1 << FRACTION_BITS;
/// 1e18, the reciprocal of the finest width that may be asked for.
const FINEST_WIDTH: i128 = 1_000_000_000_000_000_000;

/// A real number known to lie between two bounds, both included, each a multiple of 2^-96 and
/// below 2^31 in size.
///
/// ```
/// use num_rational::Ratio;
/// use wholestep::exact::certified::Interval;
///
/// // The height under a 5 in sine bar set to 27°.
/// let height = Interval::from_ratio(Ratio::from_integer(27))?
///     .sin_degrees()
///     .times(Interval::from_ratio(Ratio::from_integer(5))?)?;
/// let (low, high) = height.bounds_within(Ratio::new(1, 1_000_000_000))?;
/// assert!(high - low <= Ratio::new(1, 1_000_000_000));
/// assert!(Ratio::new(2_269_952, 1_000_000) < low && high < Ratio::new(2_269_953, 1_000_000));
/// # Ok::<(), wholestep::exact::certified::IntervalError>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Interval {
    pub(super) low: i128,
    pub(super) high: i128,
}

impl Interval {
    /// The narrowest interval around a rational, of zero width where it is a multiple of 2^-96.
    ///
    /// # Errors
    /// [`IntervalError::Range`] at 2^31 in size or more; [`IntervalError::ZeroDivisor`] for a
    /// denominator of zero or less.
    pub fn from_ratio(value: Ratio<i128>) -> Result<Self, IntervalError> {
        let denominator = positive(*value.denom())?;
        let scaled = product(value.numer().unsigned_abs(), 1 << FRACTION_BITS);
        rounded_outward(scaled, denominator, *value.numer() < 0)
    }

    /// The narrowest interval around all rationals from `low` to `high`.
    ///
    /// # Errors
    /// As [`Interval::from_ratio`]; also [`IntervalError::Range`] where `low` is above `high`.
    pub fn spanning(low: Ratio<i128>, high: Ratio<i128>) -> Result<Self, IntervalError> {
        let (from, to) = (Self::from_ratio(low)?, Self::from_ratio(high)?);
        if low > high {
            return Err(IntervalError::Range);
        }
        Ok(Self { low: from.low, high: to.high })
    }

    /// What this interval and another have in common: the way to say that a value is known to lie
    /// in a domain that its computed bounds overstep.
    ///
    /// ```
    /// use num_rational::Ratio;
    /// use wholestep::exact::certified::{Interval, IntervalError};
    ///
    /// let one = Ratio::from_integer(1);
    /// let measured = Interval::spanning(Ratio::new(99, 100), Ratio::new(101, 100))?;
    /// assert_eq!(measured.asin(), Err(IntervalError::Domain));
    /// let sine = measured.intersection(Interval::spanning(-one, one)?)?;
    /// assert_eq!(sine.asin_degrees()?.bounds().1, Ratio::from_integer(90));
    /// # Ok::<(), IntervalError>(())
    /// ```
    ///
    /// # Errors
    /// [`IntervalError::Domain`] where they have nothing in common.
    pub fn intersection(self, other: Self) -> Result<Self, IntervalError> {
        let common = Self { low: self.low.max(other.low), high: self.high.min(other.high) };
        if common.low > common.high {
            return Err(IntervalError::Domain);
        }
        Ok(common)
    }

    /// Both bounds exactly, with denominators up to 2^96. Rational arithmetic over `i128` on these
    /// soon overflows: take [`Interval::bounds_within`] for that.
    pub fn bounds(self) -> (Ratio<i128>, Ratio<i128>) {
        (dyadic(self.low, FRACTION_BITS), dyadic(self.high, FRACTION_BITS))
    }

    /// Bounds no further apart than `width`, rounded outward to the coarsest power of two (2^-62 at
    /// the finest) that adds at most half of it.
    ///
    /// # Errors
    /// [`IntervalError::Width`] for a width below 1e-18; [`IntervalError::TooWide`] where the
    /// interval itself leaves no room.
    pub fn bounds_within(self, width: Ratio<i128>) -> Result<(Ratio<i128>, Ratio<i128>), IntervalError> {
        if positive(*width.denom()).is_err() || width < Ratio::new_raw(1, FINEST_WIDTH) {
            return Err(IntervalError::Width);
        }
        // The least number of bits with 2^-bits ≤ width / 4, because both ends are rounded; 62 at
        // the finest width, because 4e18 < 2^62.
        let parts = width.denom().unsigned_abs().div_ceil(width.numer().unsigned_abs());
        let bits = 2 + (parts - 1).checked_ilog2().map_or(0, |log| log + 1);
        let cut = FRACTION_BITS - bits;
        let (low, high) = (self.low >> cut, -(-self.high >> cut));
        if Ratio::new_raw(high - low, 1 << bits) > width {
            return Err(IntervalError::TooWide);
        }
        Ok((dyadic(low, bits), dyadic(high, bits)))
    }
}

/// A denominator, which a `Ratio` built raw may have as anything.
pub(super) fn positive(denominator: i128) -> Result<u128, IntervalError> {
    u128::try_from(denominator).ok().filter(|denominator| *denominator > 0).ok_or(IntervalError::ZeroDivisor)
}

/// A numerator over 2^`bits`, reduced.
fn dyadic(numerator: i128, bits: u32) -> Ratio<i128> {
    let common = numerator.trailing_zeros().min(bits);
    Ratio::new_raw(numerator >> common, 1 << (bits - common))
}

/// The interval from below to above ±`dividend` / `divisor`, in multiples of 2^-96.
pub(super) fn rounded_outward(
    dividend: Wide,
    divisor: u128,
    negative: bool,
) -> Result<Interval, IntervalError> {
    let (whole, rest) = quotient(dividend, divisor).ok_or(IntervalError::Range)?;
    around(whole, rest == 0, negative)
}

/// The interval around a number of which the size's whole part, in multiples of 2^-96, is known
/// and whether that is all of it.
///
/// Sizes stay within `i128::MAX`, so that any bound may be negated.
pub(super) fn around(whole: u128, exact: bool, negative: bool) -> Result<Interval, IntervalError> {
    let near = i128::try_from(whole).map_err(|_| IntervalError::Range)?;
    let far = near.checked_add(i128::from(!exact)).ok_or(IntervalError::Range)?;
    Ok(if negative { Interval { low: -far, high: -near } } else { Interval { low: near, high: far } })
}
