//! Arithmetic on enclosures: closed, so that a result is refused for its size and never for its
//! fineness.

use super::{ArithmeticError, Enclosure, Exact, Interval, Result};

impl Enclosure<Exact> {
    /// Returns the enclosure of `self + other`.
    ///
    /// Bounds whose exact sum has too many digits move outward, by less than 2^-61.
    ///
    /// ```
    /// use wholestep::{Enclosure, Exact};
    /// let fine = Exact::new(1, (1 << 100) + 1)?;
    /// let other = Exact::new(1, (1 << 100) - 1)?;
    /// assert!(fine.checked_add(other).is_err());
    /// let sum = Enclosure::exact(fine).checked_add(Enclosure::exact(other))?;
    /// assert!(sum.low() <= fine && fine < sum.high() && !sum.is_exact());
    /// # Ok::<(), wholestep::Error>(())
    /// ```
    ///
    /// # Errors
    /// [`ArithmeticError::Overflow`] for a magnitude out of range.
    pub fn checked_add(self, other: Self) -> Result<Self> {
        closed(
            || Self::new(self.low().checked_add(other.low())?, self.high().checked_add(other.high())?),
            || Interval::around(self) + Interval::around(other),
        )
    }

    /// Returns the enclosure of `self - other`, rounded as by [`checked_add`](Self::checked_add).
    ///
    /// # Errors
    /// As [`checked_add`](Self::checked_add).
    pub fn checked_sub(self, other: Self) -> Result<Self> {
        self.checked_add(Self::raw(-other.high(), -other.low()))
    }

    /// Returns the enclosure of `self × other`, rounded as by [`checked_add`](Self::checked_add).
    ///
    /// # Errors
    /// As [`checked_add`](Self::checked_add).
    pub fn checked_mul(self, other: Self) -> Result<Self> {
        closed(|| self.ends(other, Exact::checked_mul), || Interval::around(self) * Interval::around(other))
    }

    /// Returns the enclosure of `self ÷ divisor`, rounded as by [`checked_add`](Self::checked_add).
    ///
    /// # Errors
    /// [`ArithmeticError::DivisionByZero`] for a divisor that may be 0; otherwise as
    /// [`checked_add`](Self::checked_add).
    pub fn checked_div(self, divisor: Self) -> Result<Self> {
        if divisor.contains(Exact::ZERO) {
            return Err(ArithmeticError::DivisionByZero);
        }
        closed(
            || self.ends(divisor, Exact::checked_div),
            || Interval::around(self) / Interval::around(divisor),
        )
    }

    /// The least and the greatest that `of` makes of the bounds.
    fn ends(self, other: Self, of: fn(Exact, Exact) -> Result<Exact>) -> Result<Self> {
        let first = of(self.low(), other.low())?;
        if self.is_exact() && other.is_exact() {
            return Ok(Self::exact(first));
        }
        let rest =
            [of(self.low(), other.high())?, of(self.high(), other.low())?, of(self.high(), other.high())?];
        let (low, high) = rest.iter().fold((first, first), |(low, high), &one| (low.min(one), high.max(one)));
        Self::new(low, high)
    }
}

/// The exact bounds, or those of the interval where the exact ones have too many digits.
fn closed(
    exactly: impl FnOnce() -> Result<Enclosure<Exact>>,
    within: impl FnOnce() -> Interval,
) -> Result<Enclosure<Exact>> {
    match exactly() {
        Err(ArithmeticError::Overflow) => within().enclosed(),
        bounds => bounds,
    }
}
