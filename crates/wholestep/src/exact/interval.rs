//! Arithmetic and trigonometry whose answers are two bounds with the truth between them.
//!
//! An [`Interval`] holds its bounds in fixed point, as whole multiples of 2^-96 in an `i128`, so
//! every value below 2^31 in size is held to 1.3e-29, and a handful of operations on dimensions of
//! 10,000 mm leaves a width near 1e-24, far inside the finest 1e-18 that is handed out. Every
//! operation rounds its lower bound down and its upper bound up, and each series states the error
//! it may make; no answer wraps, nothing panics, and what leaves the range is refused.
//!
//! **Why our own.** Only three steps need more than 128 bits: a product, a quotient and a square
//! root, about a hundred lines. A ready 256-bit type would do (`ethnum` 1.5 was tried:
//! `no_std`, MIT or Apache-2.0, and quick), but its product is no wider than its operands, so twice
//! the storage would hold no more than this, and it has no square root. Arbitrary-precision crates
//! need `alloc`. There is no working precision to choose: on a desk computer every function takes
//! well under a microsecond as it is.
//!
//! Exact results stay exact: bounds meet when an answer is a multiple of 2^-96, and degrees keep
//! every angle whose sine, cosine or tangent is rational (multiples of 30° and 45° only, by Niven's
//! theorem).

use num_rational::Ratio;

use super::u256::{Wide, product, quotient};
use super::{ArithmeticError, Enclosure, Exact, Width};
use crate::bounds::MEASURE_DENOMINATOR_MAX;

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
/// use wholestep::exact::Interval;
///
/// // The height under a 5 in sine bar set to 27°.
/// let height = Interval::from_ratio(Ratio::from_integer(27))?
///     .sin_degrees()
///     .times(Interval::from_ratio(Ratio::from_integer(5))?)?;
/// let (low, high) = height.bounds_within(Ratio::new(1, 1_000_000_000))?;
/// assert!(high - low <= Ratio::new(1, 1_000_000_000));
/// assert!(Ratio::new(2_269_952, 1_000_000) < low && high < Ratio::new(2_269_953, 1_000_000));
/// # Ok::<(), wholestep::exact::ArithmeticError>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Interval {
    pub(super) low: i128,
    pub(super) high: i128,
}

impl Interval {
    /// Returns the narrowest interval around a rational, of zero width if it is a multiple of 2^-96.
    ///
    /// # Errors
    /// [`ArithmeticError::Overflow`] at 2^31 in size or more; [`ArithmeticError::DivisionByZero`] for a
    /// denominator of zero or less.
    pub fn from_ratio(value: Ratio<i128>) -> Result<Self, ArithmeticError> {
        let denominator = positive(*value.denom())?;
        let scaled = product(value.numer().unsigned_abs(), 1 << FRACTION_BITS);
        rounded_outward(scaled, denominator, *value.numer() < 0)
    }

    /// Returns the narrowest interval around all rationals from `low` to `high`.
    ///
    /// # Errors
    /// As [`Interval::from_ratio`]; also [`ArithmeticError::CrossedBounds`] if `low` is above `high`.
    pub fn spanning(low: Ratio<i128>, high: Ratio<i128>) -> Result<Self, ArithmeticError> {
        let (from, to) = (Self::from_ratio(low)?, Self::from_ratio(high)?);
        if low > high {
            return Err(ArithmeticError::CrossedBounds);
        }
        Ok(Self { low: from.low, high: to.high })
    }

    /// Returns what this interval and another have in common: the way to say that a value is known to lie
    /// in a domain that its computed bounds overstep.
    ///
    /// ```
    /// use num_rational::Ratio;
    /// use wholestep::exact::{ArithmeticError, Interval};
    ///
    /// let one = Ratio::from_integer(1);
    /// let measured = Interval::spanning(Ratio::new(99, 100), Ratio::new(101, 100))?;
    /// assert_eq!(measured.asin_degrees(), Err(ArithmeticError::Domain));
    /// let sine = measured.intersection(Interval::spanning(-one, one)?)?;
    /// assert_eq!(sine.asin_degrees()?.bounds().1, Ratio::from_integer(90));
    /// # Ok::<(), ArithmeticError>(())
    /// ```
    ///
    /// # Errors
    /// [`ArithmeticError::Domain`] if they have nothing in common.
    pub fn intersection(self, other: Self) -> Result<Self, ArithmeticError> {
        let common = Self { low: self.low.max(other.low), high: self.high.min(other.high) };
        if common.low > common.high {
            return Err(ArithmeticError::Domain);
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
    /// [`ArithmeticError::TooWide`] for a width below 1e-18, or if the
    /// interval itself leaves no room.
    pub fn bounds_within(self, width: Ratio<i128>) -> Result<(Ratio<i128>, Ratio<i128>), ArithmeticError> {
        if positive(*width.denom()).is_err() || width < Ratio::new_raw(1, FINEST_WIDTH) {
            return Err(ArithmeticError::TooWide);
        }
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
}

impl Interval {
    /// Returns the narrowest interval around `value`.
    ///
    /// # Errors
    /// [`ArithmeticError::Overflow`] at 2^31 in size or more.
    pub fn of(value: Exact) -> Result<Self, ArithmeticError> {
        Self::from_ratio(ratio(value))
    }

    /// Returns the narrowest interval around all numbers of an enclosure.
    ///
    /// # Errors
    /// [`ArithmeticError::Overflow`] at 2^31 in size or more.
    pub fn around(enclosure: Enclosure<Exact>) -> Result<Self, ArithmeticError> {
        Self::spanning(ratio(enclosure.low()), ratio(enclosure.high()))
    }

    /// Returns the narrowest interval around this one and `other`.
    #[must_use]
    pub fn hull(self, other: Self) -> Self {
        Self { low: self.low.min(other.low), high: self.high.max(other.high) }
    }

    /// Bounds no further apart than `width`, which a measure can hold; the same bound twice where
    /// the interval has no width.
    ///
    /// ```
    /// use wholestep::exact::Interval;
    /// use wholestep::{Exact, Width};
    ///
    /// let root = Interval::of(Exact::integer(2))?.sqrt()?.within(Width::FINEST)?;
    /// assert!(root.high().checked_sub(root.low())? <= Width::FINEST.as_exact());
    /// assert!(Interval::of(Exact::new(3, 8)?)?.within(Width::COARSE)?.is_exact());
    /// # Ok::<(), wholestep::Error>(())
    /// ```
    ///
    /// # Errors
    /// [`ArithmeticError::TooWide`] if the interval itself is wider.
    pub fn within(self, width: Width) -> Result<Enclosure<Exact>, ArithmeticError> {
        if let Some(exact) = self.exact_value() {
            return Ok(Enclosure::exact(exact));
        }
        let (low, high) = self.bounds_within(ratio(width.as_exact()))?;
        Enclosure::new(exact(low)?, exact(high)?)
    }

    /// Bounds which a measure can hold, as close as such bounds can be.
    ///
    /// # Errors
    /// None: every bound is in range.
    pub fn enclosed(self) -> Result<Enclosure<Exact>, ArithmeticError> {
        if let Some(exact) = self.exact_value() {
            return Ok(Enclosure::exact(exact));
        }
        let (low, high) = self.bounds();
        Enclosure::new(exact(low)?, exact(high)?)?.outward()
    }

    /// The number, if both bounds are the same and a measure can hold it.
    fn exact_value(self) -> Option<Exact> {
        let (low, high) = self.bounds();
        (low == high && *low.denom() <= MEASURE_DENOMINATOR_MAX).then(|| exact(low).ok()).flatten()
    }
}

fn ratio(value: Exact) -> Ratio<i128> {
    Ratio::new_raw(value.numerator(), value.denominator())
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
    dividend: Wide,
    divisor: u128,
    negative: bool,
) -> Result<Interval, ArithmeticError> {
    let (whole, rest) = quotient(dividend, divisor).ok_or(ArithmeticError::Overflow)?;
    around(whole, rest == 0, negative)
}

/// The interval around a number of which the size's whole part, in multiples of 2^-96, is known
/// and whether that is all of it.
///
/// Sizes stay within `i128::MAX`, so that any bound may be negated.
pub(super) fn around(whole: u128, exact: bool, negative: bool) -> Result<Interval, ArithmeticError> {
    let near = i128::try_from(whole).map_err(|_| ArithmeticError::Overflow)?;
    let far = near.checked_add(i128::from(!exact)).ok_or(ArithmeticError::Overflow)?;
    Ok(if negative { Interval { low: -far, high: -near } } else { Interval { low: near, high: far } })
}
