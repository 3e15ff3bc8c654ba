//! Length and angle.

use core::fmt;
use core::hash::Hash;
use core::ops::Neg;

use super::format::{DegreesMinutesSeconds, ExactForm, NearestFraction, RoundedDecimal};
use super::parse;
use super::unit::{AngleUnit, LengthUnit, Unit};
use crate::bounds::{ANGLE_MAX_DEGREES, LENGTH_MAX_MILLIMETRES, MEASURE_DENOMINATOR_MAX};
use crate::error::{Quoted, Result, Value, messages};
use crate::exact::Exact;

/// A measure along an axis: [`Length`] or [`Angle`]. No other type implements it.
pub trait Measure:
    Copy + Ord + Hash + Neg<Output = Self> + fmt::Debug + fmt::Display + Send + Sync + 'static + sealed::Sealed
{
    /// The units it can be written in.
    type Unit: Unit + Eq + Hash + Send + Sync;

    /// The unit it is held in: the millimetre, the degree.
    const BASE: Self::Unit = <Self::Unit as Unit>::BASE;
    /// `length` or `angle`.
    const NAME: &'static str;
    /// Zero.
    const ZERO: Self;
    /// The largest there is.
    const MAX: Self;
    /// How the measure, its speed, its acceleration and its jerk are written, as errors show it.
    const EXAMPLES: [&'static str; 4];

    /// The measure of `value` base units (millimetres, degrees).
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) when it is larger, or its denominator finer, than the range holds.
    fn from_base(value: Exact) -> Result<Self>;

    /// The number of base units.
    fn base(self) -> Exact;

    /// The value as an error quotes it.
    fn quoted(self, unit: Self::Unit) -> Value {
        unit.quoted(self.base())
    }

    /// The measure that an error quotes, if it is one of this sort and in range.
    fn of_quoted(quoted: Quoted) -> Option<Self> {
        let same = quoted.order == 0 && quoted.unit.base_symbol == Self::BASE.symbol();
        same.then(|| Self::from_base(quoted.base).ok()).flatten()
    }

    /// A rate per second to the power `order`, given in base units, as an error quotes it.
    fn quoted_rate(value: Exact, unit: Self::Unit, order: u32) -> Value {
        unit.quoted_rate(value, order)
    }

    /// The measure of `value` units.
    ///
    /// # Errors
    /// As [`from_base`](Measure::from_base).
    fn new(value: Exact, unit: Self::Unit) -> Result<Self> {
        Self::from_base(value.checked_mul(unit.in_base())?)
    }

    /// The number of `unit`s.
    ///
    /// # Errors
    /// [`ErrorKind::Overflow`](crate::ErrorKind::Overflow) when the number does not fit.
    fn value_in(self, unit: Self::Unit) -> Result<Exact> {
        Ok(self.base().checked_div(unit.in_base())?)
    }

    /// Reads what people write; a number without a unit is in the `declared` one. The type's page
    /// lists what is read.
    ///
    /// # Errors
    /// [`ErrorKind::Syntax`](crate::ErrorKind::Syntax), [`ErrorKind::MissingUnit`](crate::ErrorKind::MissingUnit), [`ErrorKind::Unit`](crate::ErrorKind::Unit),
    /// [`ErrorKind::DivisionByZero`](crate::ErrorKind::DivisionByZero) or [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange), each with the place in the text.
    ///
    /// ```
    /// use wholestep::{Length, LengthUnit, Measure};
    /// let panel = Length::read("23/32 in", None)?;
    /// assert_eq!(panel, Length::read("18.25625", Some(LengthUnit::Millimetre))?);
    /// let error = Length::read("18.25", None).unwrap_err();
    /// assert_eq!(
    ///     error.to_string(),
    ///     "length “18.25”, at character 6: write it like 23/32 in or 18.25 mm; \
    ///      give a length in mm, cm, m, µm, in, ft, yd or thou"
    /// );
    /// # Ok::<(), wholestep::Error>(())
    /// ```
    fn read(text: &str, declared: Option<Self::Unit>) -> Result<Self> {
        parse::measure(text, declared)
    }

    /// Written exactly: the decimal if it has at most twelve places, otherwise the mixed number.
    /// [`read`](Measure::read) gives the same value back.
    ///
    /// ```
    /// use wholestep::{Length, LengthUnit, Measure};
    /// let length = Length::read("18.25 mm", None)?;
    /// assert_eq!(length.to_text(LengthUnit::Centimetre).to_string(), "1.825 cm");
    /// assert_eq!(length.to_text(LengthUnit::Inch).to_string(), "365/508 in");
    /// # Ok::<(), wholestep::Error>(())
    /// ```
    fn to_text(self, unit: Self::Unit) -> ExactForm<Self::Unit> {
        ExactForm::new(self.base(), unit, 0)
    }

    /// The nearest `1 / denominator` of a unit, and what is left; of two equally near, the one with
    /// the even number of them.
    ///
    /// # Errors
    /// [`ErrorKind::DivisionByZero`](crate::ErrorKind::DivisionByZero) or [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a denominator that is not 1 to
    /// 2^20.
    ///
    /// ```
    /// use wholestep::{Exact, Length, LengthUnit, Measure};
    /// let tenon = Length::read("0.7200 in", None)?.fraction_in(LengthUnit::Inch, 32)?;
    /// assert_eq!(tenon.nearest(), Exact::new(23, 32)?);
    /// assert_eq!(tenon.offset(), Exact::new(1, 800)?);
    /// assert_eq!(tenon.to_string(), "23/32 in + 0.00125 in");
    /// let metric = Length::read("18.25 mm", None)?.fraction_in(LengthUnit::Inch, 64)?;
    /// assert_eq!(metric.to_string(), "≈ 23/32 in - 0.000246 in");
    /// # Ok::<(), wholestep::Error>(())
    /// ```
    fn fraction_in(self, unit: Self::Unit, denominator: u32) -> Result<NearestFraction<Self::Unit>> {
        NearestFraction::new(self.base(), unit, 0, denominator)
    }

    /// A decimal of `places` places, with `≈` in front if it is rounded; of two equally near, the
    /// one with the even last digit.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) above 18 places.
    ///
    /// ```
    /// use wholestep::{Length, LengthUnit, Measure};
    /// let length = Length::read("15/32 in", None)?;
    /// assert_eq!(length.decimal_in(LengthUnit::Millimetre, 5)?.to_string(), "11.90625 mm");
    /// assert_eq!(length.decimal_in(LengthUnit::Millimetre, 4)?.to_string(), "≈ 11.9062 mm");
    /// # Ok::<(), wholestep::Error>(())
    /// ```
    fn decimal_in(self, unit: Self::Unit, places: u8) -> Result<RoundedDecimal<Self::Unit>> {
        RoundedDecimal::new(self.base(), unit, 0, places)
    }

    /// `self + other`.
    ///
    /// # Errors
    /// [`ErrorKind::Overflow`](crate::ErrorKind::Overflow) or [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange).
    fn checked_add(self, other: Self) -> Result<Self> {
        Self::from_base(self.base().checked_add(other.base())?)
    }

    /// `self - other`.
    ///
    /// # Errors
    /// [`ErrorKind::Overflow`](crate::ErrorKind::Overflow) or [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange).
    fn checked_sub(self, other: Self) -> Result<Self> {
        Self::from_base(self.base().checked_sub(other.base())?)
    }

    /// `self × factor`.
    ///
    /// # Errors
    /// [`ErrorKind::Overflow`](crate::ErrorKind::Overflow) or [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange).
    fn checked_mul(self, factor: Exact) -> Result<Self> {
        Self::from_base(self.base().checked_mul(factor)?)
    }

    /// The magnitude.
    #[must_use]
    fn abs(self) -> Self {
        if self < Self::ZERO { -self } else { self }
    }
}

mod sealed {
    pub trait Sealed {
        /// The measure of a value whose range the caller has checked.
        fn from_checked(value: crate::exact::Exact) -> Self;
    }
}

macro_rules! measures {
    ($($(#[$meta:meta])* $name:ident, $unit:ident, $noun:literal, $max:expr,
        [$($example:literal),*];)*) => { $(
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
            const EXAMPLES: [&'static str; 4] = [$($example),*];

            fn from_base(value: Exact) -> Result<Self> {
                check_range(value, $noun, $max, |value| $unit::BASE.quoted(value))?;
                Ok(Self(value))
            }

            fn base(self) -> Exact {
                self.0
            }

        }

        impl Neg for $name {
            type Output = Self;

            fn neg(self) -> Self {
                Self(-self.0)
            }
        }

        impl fmt::Display for $name {
            /// In the base unit: the exact decimal if it is short, otherwise the exact mixed
            /// number. It is read back as the same value.
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
    /// # What is read
    /// A number as [`Exact::read`] reads it, then a unit, with or without white space between:
    ///
    /// | written | read as |
    /// |---|---|
    /// | `18.25 mm`, `18.25mm`, `1.825 cm`, `0.01825 m` | metric units |
    /// | `35 µm` (U+00B5 or U+03BC), `35 um`, `35 microns` | micrometres |
    /// | `23/32 in`, `1-3/8"`, `1 3/8 in`, `1⅜″`, `.125 in.` | inches: `in`, `inch`, `inches`, `"`, `″`, `”`, `''` |
    /// | `3 ft`, `3'`, `3′`, `3’` | feet |
    /// | `3' 4-1/2"`, `3'-4"`, `3 ft 4.5 in` | whole feet and less than 12 inches; a sign counts for both |
    /// | `2 yd`, `12 thou`, `4 millimetres`, `4 millimeters`, `4 MM` | other units, in words, in capitals |
    /// | `18.25` | the declared unit, if there is one |
    ///
    /// A `mil` is refused: it is a thousandth of an inch to some and an angle to others. So are
    /// two units that do not belong together, a comma, and everything behind a whole measure.
    ///
    /// ```
    /// use wholestep::{Exact, Length, LengthUnit, Measure};
    /// let inch = Length::new(Exact::ONE, LengthUnit::Inch)?;
    /// assert_eq!(inch, Length::new(Exact::new(127, 50)?, LengthUnit::Centimetre)?);
    /// assert_eq!(inch.to_string(), "25.4 mm");
    /// # Ok::<(), wholestep::Error>(())
    /// ```
    Length, LengthUnit, "length", LENGTH_MAX_MILLIMETRES,
        ["23/32 in or 18.25 mm", "10 mm/s", "50 mm/s²", "1000 mm/s³"];

    /// An exact angle.
    ///
    /// Held as a rational number of degrees, at most a million either way, with a denominator of
    /// at most 2^64.
    ///
    /// # What is read
    /// A number as [`Exact::read`] reads it, then a unit, with or without white space between:
    ///
    /// | written | read as |
    /// |---|---|
    /// | `22.5 deg`, `22-1/2°`, `22.5 degrees` | degrees |
    /// | `34°25'`, `34° 25′ 30.5″`, `34°30"`, `34 deg 25 arcmin` | degrees, minutes and seconds below 60, a fraction in the last alone; a sign counts for all |
    /// | `25'30"`, `25 arcmin`, `30 arcsec` | minutes and seconds alone |
    /// | `1/4 turn`, `2 turns`, `2 rev` | turns of 360 degrees |
    /// | `22.5` | the declared unit, if there is one |
    ///
    /// A radian is refused: it has π in it and is not exact.
    ///
    /// ```
    /// use wholestep::{Angle, Exact};
    /// let angle: Angle = "34°25'".parse()?;
    /// assert_eq!(angle, "34-5/12 deg".parse()?);
    /// assert_eq!(angle.to_string(), "34-5/12 deg");
    /// # Ok::<(), wholestep::Error>(())
    /// ```
    Angle, AngleUnit, "angle", ANGLE_MAX_DEGREES,
        ["22.5 deg or 34°25'", "30 deg/s", "90 deg/s²", "360 deg/s³"];
}

impl Angle {
    /// Written in degrees, arc minutes and arc seconds, the seconds to `places` decimals.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) above 18 places.
    ///
    /// ```
    /// use wholestep::Angle;
    /// fn written(text: &str) -> wholestep::Result<String> {
    ///     Ok(text.parse::<Angle>()?.degrees_minutes_seconds(1)?.to_string())
    /// }
    /// assert_eq!(written("34-5/12 deg")?, "34°25'");
    /// assert_eq!(written("-1/8 deg")?, "-0°7'30.0\"");
    /// assert_eq!(written("1/7 deg")?, "≈ 0°8'34.3\"");
    /// # Ok::<(), wholestep::Error>(())
    /// ```
    pub fn degrees_minutes_seconds(self, places: u8) -> Result<DegreesMinutesSeconds> {
        DegreesMinutesSeconds::new(self.base(), places)
    }
}

fn check_range(value: Exact, subject: &'static str, max: i128, quote: fn(Exact) -> Value) -> Result<()> {
    if value.denominator() > MEASURE_DENOMINATOR_MAX {
        return Err(messages::DENOMINATOR_TOO_FINE.error().of(subject).given(quote(value)));
    }
    // The denominator is at most 2^64, so the product stays far below 2^127.
    if value.numerator().abs() > max * value.denominator() {
        let max = Exact::reduced(max, 1);
        return Err(messages::VALUE.error().of(subject).given(quote(value)).between(quote(-max), quote(max)));
    }
    Ok(())
}
