//! Between intervals and the exact scalars that callers hold.

use num_rational::Ratio;

use super::error::IntervalError;
use super::interval::Interval;
use crate::bounds::MEASURE_DENOMINATOR_MAX;
use crate::error::{Error, ErrorKind, Result};
use crate::exact::{Enclosure, Exact, Width};

impl Interval {
    /// The narrowest interval around `value`.
    ///
    /// # Errors
    /// [`ErrorKind::Overflow`] at 2^31 in size or more.
    pub fn of(value: Exact) -> Result<Self> {
        Ok(Self::from_ratio(ratio(value))?)
    }

    /// The narrowest interval around all numbers of an enclosure.
    ///
    /// # Errors
    /// [`ErrorKind::Overflow`] at 2^31 in size or more.
    pub fn around(enclosure: Enclosure<Exact>) -> Result<Self> {
        Ok(Self::spanning(ratio(enclosure.low()), ratio(enclosure.high()))?)
    }

    /// The narrowest interval around this one and `other`.
    #[must_use]
    pub fn hull(self, other: Self) -> Self {
        super::arithmetic::hull(self, other)
    }

    /// Bounds no further apart than `width`, which a measure can hold; the same bound twice where
    /// the interval has no width.
    ///
    /// ```
    /// use wholestep::exact::certified::Interval;
    /// use wholestep::{Exact, Width};
    ///
    /// let root = Interval::of(Exact::integer(2))?.sqrt()?.within(Width::FINEST)?;
    /// assert!(root.high().checked_sub(root.low())? <= Width::FINEST.as_exact());
    /// assert!(Interval::of(Exact::new(3, 8)?)?.within(Width::COARSE)?.is_exact());
    /// # Ok::<(), wholestep::Error>(())
    /// ```
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] where the interval itself is wider.
    pub fn within(self, width: Width) -> Result<Enclosure<Exact>> {
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
    pub fn enclosed(self) -> Result<Enclosure<Exact>> {
        if let Some(exact) = self.exact_value() {
            return Ok(Enclosure::exact(exact));
        }
        let (low, high) = self.bounds();
        Enclosure::new(exact(low)?, exact(high)?)?.outward()
    }

    /// The number, where both bounds are the same and a measure can hold it.
    fn exact_value(self) -> Option<Exact> {
        let (low, high) = self.bounds();
        (low == high && *low.denom() <= MEASURE_DENOMINATOR_MAX).then(|| exact(low).ok()).flatten()
    }
}

fn ratio(value: Exact) -> Ratio<i128> {
    Ratio::new_raw(value.numerator(), value.denominator())
}

fn exact(value: Ratio<i128>) -> Result<Exact> {
    Exact::new(*value.numer(), *value.denom())
}

impl From<IntervalError> for Error {
    fn from(error: IntervalError) -> Self {
        match error {
            IntervalError::Range => Self::new(ErrorKind::Overflow, "bounds of a computed value")
                .remedy("use smaller numbers; a bound reaches 2147483648 in size"),
            IntervalError::Domain => Self::new(ErrorKind::OutOfRange, "geometry")
                .remedy("check the lengths; no triangle has these sides"),
            IntervalError::ZeroDivisor => Self::new(ErrorKind::DivisionByZero, "divisor that may be 0")
                .remedy("stay clear of where the divisor is 0 or the tangent has its pole"),
            IntervalError::Width | IntervalError::TooWide => {
                Self::new(ErrorKind::OutOfRange, "width of a computed value")
                    .remedy("ask for a greater width; the value is not known as closely")
            }
        }
    }
}
