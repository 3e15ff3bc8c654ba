//! Arithmetic and trigonometry on bounds with the truth between them: formulas are written as they are
//! read, and asked once, at the end, whether they held.

use core::ops::{Add, Div, Mul, Neg, Sub};

use num_rational::Ratio;

#[cfg(doc)]
use super::ArithmeticError;
use super::fixed::{self, Fixed};
use super::{Enclosure, Exact, Result, Width};

/// A real number known to lie between two bounds, each a multiple of 2^-96 and below 2^31 in size.
///
/// Every operation rounds its lower bound down and its upper bound up. It is closed: what leaves the range,
/// or has no value, is *everything*, of which only the first cause is known; every result made with it is
/// everything too. [`within`](Self::within), [`enclosed`](Self::enclosed), [`bounds`](Self::bounds) and
/// [`known`](Self::known) tell that cause. Results that are exact stay exact: degrees keep every angle whose
/// sine, cosine or tangent is rational.
///
/// ```
/// use wholestep::exact::{ArithmeticError, Interval};
/// use wholestep::{Exact, Width};
///
/// let whole = |number| Interval::of(Exact::integer(number));
/// // The height under a 5 in sine bar set to 27°.
/// let height = whole(5) * whole(27).sin_degrees();
/// let bounds = height.within(Width::decimals(9)?)?;
/// assert!(bounds.low() > Exact::new(2_269_952, 1_000_000)?);
/// assert!(bounds.high() < Exact::new(2_269_953, 1_000_000)?);
///
/// let nowhere = (whole(1) / (whole(2) - whole(2))).sqrt() + whole(1);
/// assert_eq!(nowhere.bounds(), Err(ArithmeticError::DivisionByZero));
/// # Ok::<(), wholestep::Error>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Interval(Result<Fixed>);

impl Interval {
    /// Returns the narrowest interval around `value`, which has no width if it is a multiple of 2^-96;
    /// everything at 2^31 in size or more.
    pub fn of(value: Exact) -> Self {
        Self::of_ratio(ratio(value))
    }

    /// Returns the narrowest interval around all numbers of an enclosure.
    pub fn around(enclosure: Enclosure<Exact>) -> Self {
        Self::spanning(enclosure.low(), enclosure.high())
    }

    /// Returns the narrowest interval around all numbers from `low` to `high`; everything if the bounds are
    /// crossed.
    pub fn spanning(low: Exact, high: Exact) -> Self {
        Self::spanning_ratios(ratio(low), ratio(high))
    }

    /// The interval around a rational that need not be reduced.
    pub(crate) fn of_ratio(value: Ratio<i128>) -> Self {
        Self(Fixed::from_ratio(value))
    }

    /// The interval around the numbers between two rationals that need not be reduced.
    pub(crate) fn spanning_ratios(low: Ratio<i128>, high: Ratio<i128>) -> Self {
        Self(Fixed::spanning(low, high))
    }

    /// Returns π, to 2^-96.
    pub fn pi() -> Self {
        Self(Ok(Fixed::pi()))
    }

    /// Returns the square root of a number, to 2^-96 however small it is.
    ///
    /// ```
    /// use wholestep::Exact;
    /// use wholestep::exact::Interval;
    /// let side = Interval::sqrt_of(Exact::new(49, 64)?);
    /// assert_eq!(side, Interval::of(Exact::new(7, 8)?));
    /// # Ok::<(), wholestep::Error>(())
    /// ```
    pub fn sqrt_of(square: Exact) -> Self {
        Self(Fixed::sqrt_of_ratio(ratio(square)))
    }

    /// Returns the arc sine of a number in degrees, close however near to ±1 it is.
    pub fn asin_degrees_of(sine: Exact) -> Self {
        Self(Fixed::asin_degrees_of_ratio(ratio(sine)))
    }

    /// Returns the arc cosine of a number in degrees, close however near to ±1 it is.
    ///
    /// ```
    /// use wholestep::Exact;
    /// use wholestep::exact::Interval;
    /// // The angle between sides of 3 and 5 opposite a side of 7, by the law of cosines.
    /// let cosine = Exact::new(3 * 3 + 5 * 5 - 7 * 7, 2 * 3 * 5)?;
    /// assert_eq!(Interval::acos_degrees_of(cosine), Interval::of(Exact::integer(120)));
    /// # Ok::<(), wholestep::Error>(())
    /// ```
    pub fn acos_degrees_of(cosine: Exact) -> Self {
        Self::acos_degrees_of_ratio(ratio(cosine))
    }

    /// The arc cosine of a rational that need not be reduced.
    pub(crate) fn acos_degrees_of_ratio(cosine: Ratio<i128>) -> Self {
        Self(Fixed::acos_degrees_of_ratio(cosine))
    }

    /// Returns self × self, which knows that both factors are the same number.
    #[must_use]
    pub fn square(self) -> Self {
        self.then(Fixed::square)
    }

    /// Returns the square root; everything if the interval reaches below zero.
    ///
    /// Near zero the width of the root is as large as the root of the width;
    /// [`sqrt_of`](Self::sqrt_of) does not suffer from that.
    #[must_use]
    pub fn sqrt(self) -> Self {
        self.then(Fixed::sqrt)
    }

    /// Returns radians, from degrees.
    #[must_use]
    pub fn to_radians(self) -> Self {
        self.then(|known| Ok(known.to_radians()))
    }

    /// Returns degrees, from radians; everything above 37,000,000 radians (2^31 / 58) in size.
    #[must_use]
    pub fn to_degrees(self) -> Self {
        self.then(Fixed::to_degrees)
    }

    /// Returns the sine of an angle in degrees, exactly if it is 0, ±1/2 or ±1.
    ///
    /// ```
    /// use wholestep::Exact;
    /// use wholestep::exact::Interval;
    /// let sine = Interval::of(Exact::integer(360_030)).sin_degrees();
    /// assert_eq!(sine, Interval::of(Exact::new(1, 2)?));
    /// # Ok::<(), wholestep::Error>(())
    /// ```
    #[must_use]
    pub fn sin_degrees(self) -> Self {
        self.then(|known| Ok(known.sin_degrees()))
    }

    /// Returns the cosine of an angle in degrees, exactly if it is 0, ±1/2 or ±1.
    #[must_use]
    pub fn cos_degrees(self) -> Self {
        self.then(|known| Ok(known.cos_degrees()))
    }

    /// Returns the tangent of an angle in degrees, exactly if it is 0 or ±1; everything if a pole may lie
    /// within.
    ///
    /// ```
    /// use wholestep::Exact;
    /// use wholestep::exact::{ArithmeticError, Interval};
    /// let tangent = |degrees| Interval::of(Exact::integer(degrees)).tan_degrees();
    /// assert_eq!(tangent(225), Interval::of(Exact::ONE));
    /// assert_eq!(tangent(-90).known(), Err(ArithmeticError::DivisionByZero));
    /// ```
    #[must_use]
    pub fn tan_degrees(self) -> Self {
        self.then(Fixed::tan_degrees)
    }

    /// Returns the arc sine in degrees, from -90 to 90, exactly if it is a multiple of 30; everything if
    /// the interval reaches beyond 1 in size.
    ///
    /// If the number is known not to, say so by [`intersection`](Self::intersection), or give it to
    /// [`asin_degrees_of`](Self::asin_degrees_of).
    #[must_use]
    pub fn asin_degrees(self) -> Self {
        self.then(Fixed::asin_degrees)
    }

    /// Returns the arc cosine in degrees, from 0 to 180, as [`asin_degrees`](Self::asin_degrees).
    #[must_use]
    pub fn acos_degrees(self) -> Self {
        self.then(Fixed::acos_degrees)
    }

    /// Returns the arc tangent in degrees, from -90 to 90, exactly if it is a multiple of 45.
    #[must_use]
    pub fn atan_degrees(self) -> Self {
        self.then(|known| Ok(known.atan_degrees()))
    }

    /// Returns the narrowest interval around this one and `other`.
    #[must_use]
    pub fn hull(self, other: Self) -> Self {
        self.with(other, |one, other| Ok(one.hull(other)))
    }

    /// Returns what this interval and another have in common, to say that a value is known to lie in a
    /// domain that its computed bounds overstep; everything if they have nothing in common.
    ///
    /// ```
    /// use wholestep::Exact;
    /// use wholestep::exact::{ArithmeticError, Interval};
    /// let measured = Interval::spanning(Exact::new(99, 100)?, Exact::new(101, 100)?);
    /// assert_eq!(measured.asin_degrees().known(), Err(ArithmeticError::Domain));
    /// let sine = measured.intersection(Interval::spanning(-Exact::ONE, Exact::ONE));
    /// assert_eq!(sine.asin_degrees().bounds()?.1, Exact::integer(90));
    /// # Ok::<(), wholestep::Error>(())
    /// ```
    #[must_use]
    pub fn intersection(self, other: Self) -> Self {
        self.with(other, Fixed::intersection)
    }

    /// Tells whether no number of this interval is above any of `other`; of everything, nothing is certain.
    pub fn is_at_most(self, other: Self) -> bool {
        matches!((self.0, other.0), (Ok(one), Ok(other)) if one.high <= other.low)
    }

    /// Returns the interval if it is not everything.
    ///
    /// # Errors
    /// The first cause for which it is everything: [`ArithmeticError::Overflow`] at 2^31 in size or more,
    /// [`ArithmeticError::DivisionByZero`], [`ArithmeticError::Domain`] outside that of a function,
    /// [`ArithmeticError::CrossedBounds`].
    pub fn known(self) -> Result<Self> {
        self.0.map(|_| self)
    }

    /// Returns both bounds with denominators up to 2^96; above 2^30 in size rounded outward to 2^94. Take
    /// [`within`](Self::within) to calculate further.
    ///
    /// # Errors
    /// As [`known`](Self::known).
    pub fn bounds(self) -> Result<(Exact, Exact)> {
        self.0?.bounds()
    }

    /// Returns bounds no further apart than `width`, which a measure can hold; the same bound twice if the
    /// interval has no width.
    ///
    /// ```
    /// use wholestep::exact::Interval;
    /// use wholestep::{Exact, Width};
    ///
    /// let root = Interval::of(Exact::integer(2)).sqrt().within(Width::FINEST)?;
    /// assert!(root.high().checked_sub(root.low())? <= Width::FINEST.as_exact());
    /// assert!(Interval::of(Exact::new(3, 8)?).within(Width::COARSE)?.is_exact());
    /// # Ok::<(), wholestep::Error>(())
    /// ```
    ///
    /// # Errors
    /// As [`known`](Self::known); [`ArithmeticError::TooWide`] if the interval itself is wider.
    pub fn within(self, width: Width) -> Result<Enclosure<Exact>> {
        self.0?.within(width)
    }

    /// Returns bounds which a measure can hold, as close as such bounds can be.
    ///
    /// # Errors
    /// As [`known`](Self::known).
    pub fn enclosed(self) -> Result<Enclosure<Exact>> {
        self.0?.enclosed()
    }

    /// The greatest whole number that is not above the lower bound.
    pub(crate) fn floor(self) -> Result<i128> {
        Ok(self.0?.low >> fixed::FRACTION_BITS)
    }

    fn then(self, function: impl FnOnce(Fixed) -> Result<Fixed>) -> Self {
        Self(self.0.and_then(function))
    }

    fn with(self, other: Self, function: impl FnOnce(Fixed, Fixed) -> Result<Fixed>) -> Self {
        match (self.0, other.0) {
            (Ok(one), Ok(other)) => Self(function(one, other)),
            (Err(_), _) => self,
            _ => other,
        }
    }
}

macro_rules! operators {
    ($($operator:ident $method:ident $function:ident;)*) => { $(
        impl $operator for Interval {
            type Output = Self;

            fn $method(self, other: Self) -> Self {
                self.with(other, Fixed::$function)
            }
        }
    )* };
}

operators! {
    Add add plus;
    Sub sub minus;
    Mul mul times;
    Div div over;
}

impl Neg for Interval {
    type Output = Self;

    fn neg(self) -> Self {
        self.then(|known| Ok(-known))
    }
}

fn ratio(value: Exact) -> Ratio<i128> {
    Ratio::new_raw(value.numerator(), value.denominator())
}
