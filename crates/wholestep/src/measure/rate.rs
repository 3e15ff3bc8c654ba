//! Speed, acceleration and jerk.

use core::fmt;
use core::marker::PhantomData;

use super::format::{ExactForm, NearestFraction, RoundedDecimal};
use super::parse;
use super::quantity::Measure;
use super::unit::Unit;
use crate::bounds::{MEASURE_DENOMINATOR_MAX, RATE_MAX};
use crate::error::{Result, messages};
use crate::exact::Exact;

/// A measure per second to the power `ORDER`, held exactly in base units (mm or deg, and seconds).
///
/// Never negative: the direction of a motion is not part of its rate.
///
/// # What is read
/// A number as [`Exact::read`] reads it and a unit of the measure, per second or minute to the
/// power `ORDER`: `10 mm/s`, `300 mm/min`, `1-1/2 in/s`, `30°/s`, `300 rev/min`, `50 mm/s²`,
/// `50 mm/s^2`, `1000 mm / s³`. A number alone is in the declared unit per second to that power.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Rate<M, const ORDER: u32>(Exact, PhantomData<M>);

/// A measure per second.
pub type Speed<M> = Rate<M, 1>;
/// A measure per second squared.
pub type Acceleration<M> = Rate<M, 2>;
/// A measure per second cubed.
pub type Jerk<M> = Rate<M, 3>;

impl<M: Measure, const ORDER: u32> Rate<M, ORDER> {
    /// Zero.
    pub const ZERO: Self = Self(Exact::ZERO, PhantomData);

    /// `speed`, `acceleration` or `jerk`.
    pub const NAME: &'static str = ["speed", "acceleration", "jerk"][Self::INDEX - 1];

    pub(super) const EXAMPLE: &'static str = M::EXAMPLES[Self::INDEX];

    #[cfg(feature = "serde")]
    pub(super) const PER_TIME: &'static str = crate::error::per_time(ORDER);

    const INDEX: usize = match ORDER {
        1 => 1,
        2 => 2,
        3 => 3,
        _ => panic!("a rate is a speed, an acceleration or a jerk"),
    };

    /// Returns the rate of `value` base units per second to the power `ORDER`.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) when it is negative, larger, or finer than the range holds.
    pub fn from_base(value: Exact) -> Result<Self> {
        let quote = |value| M::quoted_rate(value, M::Unit::BASE, ORDER);
        if value.denominator() > MEASURE_DENOMINATOR_MAX {
            return Err(messages::DENOMINATOR_TOO_FINE.error().of(Self::NAME).given(quote(value)));
        }
        let max = Exact::reduced(RATE_MAX, 1);
        if value.signum() < 0 || value > max {
            return Err(messages::VALUE
                .error()
                .of(Self::NAME)
                .given(quote(value))
                .between(quote(Exact::ZERO), quote(max)));
        }
        Ok(Self(value, PhantomData))
    }

    /// Makes the rate of `value` units per second to the power `ORDER`.
    ///
    /// # Errors
    /// As [`from_base`](Self::from_base), and [`ErrorKind::Overflow`](crate::ErrorKind::Overflow).
    pub fn new(value: Exact, unit: M::Unit) -> Result<Self> {
        Self::from_base(value.checked_mul(unit.in_base())?)
    }

    /// Reads what people write; a number without a unit is in the `declared` one per second to the
    /// power `ORDER`.
    ///
    /// # Errors
    /// As [`Measure::read`].
    ///
    /// ```
    /// use wholestep::{Acceleration, Angle, Length, LengthUnit, Speed};
    /// let feed = Speed::<Length>::read("300 mm/min", None)?;
    /// assert_eq!(feed, Speed::read("5", Some(LengthUnit::Millimetre))?);
    /// let error = Acceleration::<Angle>::read("90 deg/s", None).unwrap_err();
    /// assert_eq!(
    ///     error.to_string(),
    ///     "acceleration “90 deg/s”, at character 9: write it like 90 deg/s²; give the time its power"
    /// );
    /// # Ok::<(), wholestep::Error>(())
    /// ```
    pub fn read(text: &str, declared: Option<M::Unit>) -> Result<Self> {
        parse::rate(text, declared)
    }

    /// Written exactly, as [`Measure::to_text`]; [`read`](Self::read) gives the same value back.
    ///
    /// ```
    /// use wholestep::{Length, LengthUnit, Speed};
    /// let speed: Speed<Length> = "25.4 mm/s".parse()?;
    /// assert_eq!(speed.to_text(LengthUnit::Inch).to_string(), "1 in/s");
    /// # Ok::<(), wholestep::Error>(())
    /// ```
    pub fn to_text(self, unit: M::Unit) -> ExactForm<M::Unit> {
        ExactForm::new(self.0, unit, ORDER)
    }

    /// Returns the nearest fraction and what is left, as [`Measure::fraction_in`].
    ///
    /// # Errors
    /// As [`Measure::fraction_in`], and [`ErrorKind::Overflow`](crate::ErrorKind::Overflow) for a value both immense and fine.
    ///
    /// ```
    /// use wholestep::{Length, LengthUnit, Speed};
    /// let speed: Speed<Length> = "0.77 in/s".parse()?;
    /// assert_eq!(speed.fraction_in(LengthUnit::Inch, 4)?.to_string(), "3/4 in/s + 0.02 in/s");
    /// # Ok::<(), wholestep::Error>(())
    /// ```
    pub fn fraction_in(self, unit: M::Unit, denominator: u32) -> Result<NearestFraction<M::Unit>> {
        NearestFraction::new(self.0, unit, ORDER, denominator)
    }

    /// Returns a decimal that says when it is rounded, as [`Measure::decimal_in`].
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) above 18 places.
    ///
    /// ```
    /// use wholestep::{Length, LengthUnit, Speed};
    /// let speed: Speed<Length> = "20 in/min".parse()?;
    /// assert_eq!(speed.decimal_in(LengthUnit::Millimetre, 2)?.to_string(), "≈ 8.47 mm/s");
    /// # Ok::<(), wholestep::Error>(())
    /// ```
    pub fn decimal_in(self, unit: M::Unit, places: u8) -> Result<RoundedDecimal<M::Unit>> {
        RoundedDecimal::new(self.0, unit, ORDER, places)
    }

    /// Returns the number of base units per second to the power `ORDER`.
    pub const fn base(self) -> Exact {
        self.0
    }
}

impl<M: Measure, const ORDER: u32> fmt::Display for Rate<M, ORDER> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        M::quoted_rate(self.0, M::Unit::BASE, ORDER).fmt(f)
    }
}

impl<M: Measure, const ORDER: u32> fmt::Debug for Rate<M, ORDER> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Rate({self})")
    }
}
