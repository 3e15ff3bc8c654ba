//! Length and angle.

use core::fmt;
use core::hash::Hash;

use super::unit::{AngleUnit, LengthUnit, Unit};
use crate::bounds::{ANGLE_MAX_DEGREES, LENGTH_MAX_MILLIMETRES, MEASURE_DENOMINATOR_MAX};
use crate::error::{Error, ErrorKind, Result, Value};
use crate::exact::Exact;

/// A measure along an axis: [`Length`] or [`Angle`]. No other type implements it.
pub trait Measure:
    Copy + Ord + Hash + fmt::Debug + fmt::Display + Send + Sync + 'static + sealed::Sealed
{
    /// The units it can be written in.
    type Unit: Unit + Eq + Hash + Send + Sync;

    /// The unit it is held in: the millimetre, the degree.
    const BASE: Self::Unit = <Self::Unit as Unit>::BASE;
    /// `length` or `angle`.
    const NAME: &'static str;
    /// Nought.
    const ZERO: Self;
    /// The largest there is.
    const MAX: Self;

    /// The measure of `value` base units (millimetres, degrees).
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] when it is larger, or its denominator finer, than the range holds.
    fn from_base(value: Exact) -> Result<Self>;

    /// The number of base units.
    fn base(self) -> Exact;

    /// The value as an error quotes it.
    fn quoted(self, unit: Self::Unit) -> Value;

    /// A rate per second to the power `order`, given in base units, as an error quotes it.
    fn quoted_rate(value: Exact, unit: Self::Unit, order: u32) -> Value;

    /// The measure of `value` units.
    ///
    /// # Errors
    /// As [`from_base`](Measure::from_base).
    fn new(value: Exact, unit: Self::Unit) -> Result<Self> {
        Self::from_base(value.mul(unit.in_base())?)
    }

    /// The number of `unit`s.
    ///
    /// # Errors
    /// [`ErrorKind::Overflow`] when the number does not fit.
    fn value_in(self, unit: Self::Unit) -> Result<Exact> {
        self.base().div(unit.in_base())
    }

    /// `self + other`.
    ///
    /// # Errors
    /// [`ErrorKind::Overflow`] or [`ErrorKind::OutOfRange`].
    fn add(self, other: Self) -> Result<Self> {
        Self::from_base(self.base().add(other.base())?)
    }

    /// `self - other`.
    ///
    /// # Errors
    /// [`ErrorKind::Overflow`] or [`ErrorKind::OutOfRange`].
    fn sub(self, other: Self) -> Result<Self> {
        Self::from_base(self.base().sub(other.base())?)
    }

    /// `self × factor`.
    ///
    /// # Errors
    /// [`ErrorKind::Overflow`] or [`ErrorKind::OutOfRange`].
    fn times(self, factor: Exact) -> Result<Self> {
        Self::from_base(self.base().mul(factor)?)
    }

    /// `-self`.
    #[must_use]
    fn negated(self) -> Self;

    /// The magnitude.
    #[must_use]
    fn abs(self) -> Self {
        if self < Self::ZERO { self.negated() } else { self }
    }
}

mod sealed {
    pub trait Sealed {
        /// The measure of a value whose range the caller has checked.
        fn from_checked(value: crate::exact::Exact) -> Self;
    }
}

macro_rules! measures {
    ($($(#[$meta:meta])* $name:ident, $unit:ident, $noun:literal, $max:expr, $quote:ident, $quote_rate:ident;)*) => { $(
        $(#[$meta])*
        #[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(Exact);

        impl sealed::Sealed for $name {
            fn from_checked(value: Exact) -> Self {
                Self(value)
            }
        }

        impl Measure for $name {
            type Unit = $unit;
            const NAME: &'static str = $noun;
            const ZERO: Self = Self(Exact::ZERO);
            const MAX: Self = Self(Exact::reduced($max, 1));

            fn from_base(value: Exact) -> Result<Self> {
                check_range(value, $noun, $max, |value| Value::$quote(value, $unit::BASE))?;
                Ok(Self(value))
            }

            fn base(self) -> Exact {
                self.0
            }

            fn quoted(self, unit: $unit) -> Value {
                Value::$quote(self.0, unit)
            }

            fn quoted_rate(value: Exact, unit: $unit, order: u32) -> Value {
                Value::$quote_rate(value, unit, order)
            }

            fn negated(self) -> Self {
                Self(self.0.negated())
            }
        }

        impl fmt::Display for $name {
            /// In the base unit: the exact decimal where it is short, otherwise the exact fraction.
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                self.quoted($unit::BASE).fmt(f)
            }
        }

        impl fmt::Debug for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                write!(f, "{}({})", stringify!($name), self)
            }
        }
    )* };
}

measures! {
    /// An exact length.
    ///
    /// Held as a rational number of millimetres, at most ten kilometres either way, with a
    /// denominator of at most 2^64. Equal lengths are equal and hash alike whatever unit they were
    /// written in.
    ///
    /// ```
    /// use wholestep::{Exact, Length, LengthUnit, Measure};
    /// let inch = Length::new(Exact::ONE, LengthUnit::Inch)?;
    /// assert_eq!(inch, Length::new(Exact::new(127, 50)?, LengthUnit::Centimetre)?);
    /// assert_eq!(inch.to_string(), "25.4 mm");
    /// # Ok::<(), wholestep::Error>(())
    /// ```
    Length, LengthUnit, "length", LENGTH_MAX_MILLIMETRES, Length, LengthRate;

    /// An exact angle.
    ///
    /// Held as a rational number of degrees, at most a million either way, with a denominator of
    /// at most 2^64.
    Angle, AngleUnit, "angle", ANGLE_MAX_DEGREES, Angle, AngleRate;
}

fn check_range(value: Exact, subject: &'static str, max: i128, quote: fn(Exact) -> Value) -> Result<()> {
    if value.denominator() > MEASURE_DENOMINATOR_MAX {
        return Err(Error::new(ErrorKind::OutOfRange, subject)
            .given(quote(value))
            .remedy("give it with fewer digits; the denominator is finer than the range holds"));
    }
    // The denominator is at most 2^64, so the product stays far below 2^127.
    if value.numerator().abs() > max * value.denominator() {
        let max = Exact::reduced(max, 1);
        return Err(Error::new(ErrorKind::OutOfRange, subject)
            .given(quote(value))
            .between(quote(max.negated()), quote(max)));
    }
    Ok(())
}
