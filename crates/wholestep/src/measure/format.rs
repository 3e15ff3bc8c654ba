//! Writing measures and rates in a chosen unit: exactly, as the nearest fraction with what is left,
//! as a decimal that says when it is rounded, and angles in minutes and seconds.

use core::fmt;

use super::unit::Unit;
use crate::bounds::FRACTION_DENOMINATOR_MAX;
use crate::error::{Result, Value, messages, per_time};
use crate::exact::Exact;
use crate::exact::format::{ABOUT, Decimal, Mixed, check_places, nearest_fraction};

/// Decimals of a offset that is not an exact decimal.
const REMAINDER_PLACES: u8 = 6;

fn write_unit(f: &mut fmt::Formatter<'_>, unit: impl Unit, order: u32) -> fmt::Result {
    write!(f, " {}{}", unit.symbol(), per_time(order))
}

/// A measure or a rate written exactly, made by [`to_text`](crate::Measure::to_text): the decimal
/// where it has at most twelve places, otherwise the mixed number. What it writes is read back as
/// the same value.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ExactForm<U> {
    base: Exact,
    unit: U,
    order: u32,
}

impl<U: Unit> ExactForm<U> {
    pub(super) const fn new(base: Exact, unit: U, order: u32) -> Self {
        Self { base, unit, order }
    }
}

impl<U: Unit> fmt::Display for ExactForm<U> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.unit.quoted_rate(self.base, self.order).fmt(f)
    }
}

/// The nearest fraction of a chosen denominator and what it leaves, made by
/// [`fraction_in`](crate::Measure::fraction_in).
///
/// Written as `23/32 in` if nothing is left, as `23/32 in + 0.0012 in` where what is left is an
/// exact decimal of at most twelve places, and otherwise with what is left rounded to six places
/// and `≈` in front. It is meant for people; [`to_text`](crate::Measure::to_text) is read back.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NearestFraction<U> {
    nearest: Exact,
    offset: Exact,
    unit: U,
    order: u32,
}

impl<U: Unit> NearestFraction<U> {
    pub(super) fn new(base: Exact, unit: U, order: u32, denominator: u32) -> Result<Self> {
        if !(1..=FRACTION_DENOMINATOR_MAX).contains(&denominator) {
            let refused = if denominator == 0 { &messages::DENOMINATOR_ZERO } else { &messages::DENOMINATOR };
            return Err(refused
                .error()
                .given(Value::Integer(denominator.into()))
                .between(Value::Integer(1), Value::Integer(FRACTION_DENOMINATOR_MAX.into())));
        }
        let (nearest, offset) = nearest_fraction(base.checked_div(unit.in_base())?, denominator)?;
        Ok(Self { nearest, offset, unit, order })
    }

    /// Returns the nearest fraction, in the chosen unit and reduced.
    pub const fn nearest(&self) -> Exact {
        self.nearest
    }

    /// Returns what is left, in the chosen unit: the value minus the nearest fraction.
    pub const fn offset(&self) -> Exact {
        self.offset
    }

    /// Tells whether nothing is left.
    pub const fn is_exact(&self) -> bool {
        self.offset.signum() == 0
    }
}

impl<U: Unit> fmt::Display for NearestFraction<U> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let left = self.offset.abs();
        let (left, about) = match Decimal::exact(left) {
            Some(left) => (left, ""),
            None => (Decimal::nearest(left, REMAINDER_PLACES), ABOUT),
        };
        write!(f, "{about}{}", Mixed(self.nearest))?;
        write_unit(f, self.unit, self.order)?;
        if left.is_zero() {
            return Ok(());
        }
        let sign = if self.offset.signum() < 0 { '-' } else { '+' };
        write!(f, " {sign} {left}")?;
        write_unit(f, self.unit, self.order)
    }
}

/// A decimal of a chosen number of places that says when it is rounded, made by
/// [`decimal_in`](crate::Measure::decimal_in).
///
/// Rounded to the nearest; of two equally near, to the even last digit. Where that changed the
/// value, `≈` is written in front, which is not read back: it is meant for people.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct RoundedDecimal<U> {
    value: Exact,
    places: u8,
    unit: U,
    order: u32,
}

impl<U: Unit> RoundedDecimal<U> {
    pub(super) fn new(base: Exact, unit: U, order: u32, places: u8) -> Result<Self> {
        check_places(places)?;
        Ok(Self { value: base.checked_div(unit.in_base())?, places, unit, order })
    }

    /// Tells whether what is written is the value itself.
    pub fn is_exact(&self) -> bool {
        Decimal::nearest(self.value, self.places).is_exact
    }
}

impl<U: Unit> fmt::Display for RoundedDecimal<U> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let decimal = Decimal::nearest(self.value, self.places);
        write!(f, "{}{decimal}", if decimal.is_exact { "" } else { ABOUT })?;
        write_unit(f, self.unit, self.order)
    }
}

/// An angle in degrees, arc minutes and arc seconds, made by
/// [`degrees_minutes_seconds`](crate::Angle::degrees_minutes_seconds).
///
/// Written as `34°25'`, with the seconds if there are any. The seconds are rounded to the chosen
/// number of places, of two equally near to the even last digit; where that changed the value, `≈`
/// is written in front, otherwise what is written is read back as the same angle.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct DegreesMinutesSeconds {
    seconds: Exact,
    places: u8,
}

impl DegreesMinutesSeconds {
    pub(super) fn new(degrees: Exact, places: u8) -> Result<Self> {
        check_places(places)?;
        Ok(Self { seconds: degrees.checked_mul(Exact::integer(3600))?, places })
    }

    /// Tells whether what is written is the value itself.
    pub fn is_exact(&self) -> bool {
        Decimal::nearest(self.seconds, self.places).is_exact
    }
}

impl fmt::Display for DegreesMinutesSeconds {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        // Rounded before it is parted, so that 59.99 seconds carry into the minutes.
        let total = Decimal::nearest(self.seconds, self.places);
        let (minutes, seconds) = total.parted(60);
        let about = if total.is_exact { "" } else { ABOUT };
        let sign = if total.negative { "-" } else { "" };
        write!(f, "{about}{sign}{}°", minutes / 60)?;
        let minutes = minutes % 60;
        if !total.is_exact || !seconds.is_zero() {
            write!(f, "{minutes}'{seconds}\"")
        } else if minutes != 0 {
            write!(f, "{minutes}'")
        } else {
            Ok(())
        }
    }
}
