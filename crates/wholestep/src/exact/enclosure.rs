//! Two exact bounds with the truth between them.

use super::{ArithmeticError, Exact, Result};
use crate::bounds::{MEASURE_DENOMINATOR_MAX, WIDTH_DECIMALS_MAX};

/// A closed interval that holds the truth: `low ≤ truth ≤ high`.
///
/// Where `low == high` the value is exact.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Enclosure<T> {
    low: T,
    high: T,
}

impl<T: Copy + Ord> Enclosure<T> {
    /// Returns the enclosure of a value that is known exactly.
    pub const fn exact(value: T) -> Self {
        Self { low: value, high: value }
    }

    /// An enclosure whose bounds the caller has put in order.
    pub(crate) const fn raw(low: T, high: T) -> Self {
        Self { low, high }
    }

    /// Makes the enclosure from `low` to `high`, both included.
    ///
    /// # Errors
    /// [`ArithmeticError::CrossedBounds`] when the bounds are crossed.
    pub fn new(low: T, high: T) -> Result<Self> {
        if low > high {
            return Err(ArithmeticError::CrossedBounds);
        }
        Ok(Self { low, high })
    }

    /// Returns the lower bound.
    pub const fn low(&self) -> T {
        self.low
    }

    /// Returns the upper bound.
    pub const fn high(&self) -> T {
        self.high
    }

    /// Tells whether both bounds are the same.
    pub fn is_exact(&self) -> bool {
        self.low == self.high
    }

    /// Tells whether `value` lies between the bounds, bounds included.
    pub fn contains(&self, value: T) -> bool {
        self.low <= value && value <= self.high
    }

    /// Returns the same enclosure through a strictly increasing or decreasing map.
    ///
    /// # Errors
    /// Whatever `map` returns.
    pub fn map<U: Copy + Ord, E>(
        &self,
        map: impl Fn(T) -> core::result::Result<U, E>,
    ) -> core::result::Result<Enclosure<U>, E> {
        let low = map(self.low)?;
        let high = if self.is_exact() { low } else { map(self.high)? };
        Ok(if low <= high { Enclosure { low, high } } else { Enclosure { low: high, high: low } })
    }
}

impl Enclosure<Exact> {
    /// The same enclosure with bounds that a measure can hold: unless it is exact and short enough,
    /// each moves outward, by less than 2^-62, to a multiple of 2^-62.
    ///
    /// # Errors
    /// [`ArithmeticError::Overflow`] from a magnitude of 2^62.
    pub(crate) fn outward(self) -> Result<Self> {
        if self.is_exact() && self.low.denominator() <= MEASURE_DENOMINATOR_MAX {
            return Ok(self);
        }
        Ok(Self { low: self.low.dyadic_below()?, high: -(-self.high).dyadic_below()? })
    }
}

/// How wide an enclosure may be: `10^-decimals` of the unit (a millimetre, a degree).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Width(u8);

impl Width {
    /// The finest width there is: 1e-18.
    pub const FINEST: Self = Self(WIDTH_DECIMALS_MAX);
    /// A width for first looks, 1e-6: a nanometre, or a four-thousandth of an arc second.
    pub const COARSE: Self = Self(6);

    /// Returns the width `10^-decimals`, for 0 to 18 decimals.
    ///
    /// # Errors
    /// [`ArithmeticError::WidthDecimals`] above 18.
    pub fn decimals(decimals: u8) -> Result<Self> {
        if decimals > WIDTH_DECIMALS_MAX {
            return Err(ArithmeticError::WidthDecimals(decimals));
        }
        Ok(Self(decimals))
    }

    /// Returns the number of decimals.
    pub const fn as_decimals(self) -> u8 {
        self.0
    }

    /// Returns the width as a number: `10^-decimals`.
    pub const fn as_exact(self) -> Exact {
        let mut denominator = 1;
        let mut left = self.0;
        while left > 0 {
            denominator *= 10;
            left -= 1;
        }
        Exact::reduced(1, denominator)
    }

    /// Returns a width three decimals finer, or `None` at the finest.
    pub fn finer(self) -> Option<Self> {
        (self != Self::FINEST).then(|| Self((self.0 + 3).min(WIDTH_DECIMALS_MAX)))
    }
}
