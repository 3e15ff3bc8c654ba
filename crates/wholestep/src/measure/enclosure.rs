//! Arithmetic on the enclosure of a measure: rounded outward, so that it is refused for its size and
//! never for its fineness.

use num_integer::Integer;

use super::Measure;
use crate::bounds::RECKONED_PARTS;
use crate::error::Result;
use crate::exact::{Enclosure, Exact, Rounding};

impl<M: Measure> Enclosure<M> {
    /// Returns the bounds in base units (millimetres, degrees).
    pub fn base(&self) -> Enclosure<Exact> {
        Enclosure::raw(self.low().base(), self.high().base())
    }

    /// Returns the enclosure of `self + other`.
    ///
    /// Exact where both are and a measure can hold the sum; otherwise the bounds move outward to
    /// multiples of 2^-62 of the base unit, by less than 2^-61.
    ///
    /// ```
    /// use wholestep::{Enclosure, Length, Measure};
    /// let fine: Length = "1/9223372036854775783 mm".parse()?;
    /// let third: Length = "1/3 in".parse()?;
    /// assert!(fine.checked_add(third).is_err(), "no measure holds it");
    /// let sum = Enclosure::exact(fine).checked_add(Enclosure::exact(third))?;
    /// assert!(sum.low() <= "8.466666666666667 mm".parse()? && !sum.is_exact());
    /// let half = Enclosure::exact(third).checked_add(Enclosure::exact("1/6 in".parse()?))?;
    /// assert_eq!(half, Enclosure::exact("1/2 in".parse()?));
    /// # Ok::<(), wholestep::Error>(())
    /// ```
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a sum larger than a measure can be.
    pub fn checked_add(self, other: Self) -> Result<Self> {
        Self::held(self.base().checked_add(other.base())?)
    }

    /// Returns the enclosure of `self - other`, rounded as by [`checked_add`](Self::checked_add).
    ///
    /// # Errors
    /// As [`checked_add`](Self::checked_add).
    pub fn checked_sub(self, other: Self) -> Result<Self> {
        Self::held(self.base().checked_sub(other.base())?)
    }

    /// Returns the enclosure of `self × factor`, rounded as by [`checked_add`](Self::checked_add).
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) or
    /// [`ErrorKind::Overflow`](crate::ErrorKind::Overflow) for a product larger than a measure can be.
    pub fn checked_mul(self, factor: Exact) -> Result<Self> {
        Self::held(self.base().checked_mul(Enclosure::exact(factor))?)
    }

    /// Returns the enclosure of `self ÷ divisor`, rounded as by [`checked_add`](Self::checked_add).
    ///
    /// # Errors
    /// [`ErrorKind::DivisionByZero`](crate::ErrorKind::DivisionByZero), and as
    /// [`checked_mul`](Self::checked_mul).
    pub fn checked_div(self, divisor: Exact) -> Result<Self> {
        Self::held(self.base().checked_div(Enclosure::exact(divisor))?)
    }

    /// Returns the measure to go on with: the value if it is exact, otherwise the middle of the bounds,
    /// rounded to 1e-12 of a millimetre or degree.
    ///
    /// A bound has so many digits that hardly any dimension could be added to it; a measure from here
    /// can be added to any that people write.
    ///
    /// ```
    /// use wholestep::{Enclosure, Length};
    /// let near = Enclosure::<Length>::new("0.333333333333333333 mm".parse()?, "1/3 mm".parse()?)?;
    /// assert_eq!(near.to_measure()?, "0.333333333333 mm".parse()?);
    /// assert_eq!(Enclosure::<Length>::exact("1/3 mm".parse()?).to_measure()?, "1/3 mm".parse()?);
    /// # Ok::<(), wholestep::Error>(())
    /// ```
    ///
    /// # Errors
    /// None: the middle of two measures is in range.
    pub fn to_measure(self) -> Result<M> {
        if self.is_exact() {
            return Ok(self.low());
        }
        let (low, high) = (self.base().low(), self.base().high());
        let twice = Enclosure::exact(low).checked_add(Enclosure::exact(high))?.outward()?.low();
        // The whole part apart, so that the product stays short.
        let (whole, rest) = twice.numerator().div_mod_floor(&(2 * twice.denominator()));
        let (parts, _) = Rounding::Nearest.split(rest * RECKONED_PARTS, 2 * twice.denominator());
        M::from_base(Exact::new(whole * RECKONED_PARTS + parts, RECKONED_PARTS)?)
    }

    /// The enclosure of `self + distance` base units, rounded as by
    /// [`checked_add`](Self::checked_add).
    ///
    /// # Errors
    /// As [`checked_add`](Self::checked_add).
    pub(crate) fn shifted(self, distance: Exact) -> Result<Self> {
        Self::held(self.base().checked_add(Enclosure::exact(distance))?)
    }

    /// The enclosure of `there - self`, rounded alike.
    ///
    /// # Errors
    /// As [`shifted`](Self::shifted).
    pub(crate) fn distance_to(self, there: Self) -> Result<Self> {
        there.checked_sub(self)
    }

    /// Bounds that a measure can hold around `bounds`.
    fn held(bounds: Enclosure<Exact>) -> Result<Self> {
        bounds.outward()?.map(M::from_base)
    }
}
