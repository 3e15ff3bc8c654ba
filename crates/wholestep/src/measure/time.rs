//! Short times: how long a driver wants a pulse or a direction to stand.

use core::fmt;
use core::str::FromStr;

use crate::bounds::{MEASURE_DENOMINATOR_MAX, TIME_MAX_SECONDS};
use crate::error::{Error, ErrorKind, Result, Value, messages};
use crate::exact::Exact;
use crate::exact::format::write_exact;
use crate::measure::scanner::Cursor;

/// An exact time.
///
/// Held as a rational number of seconds, 0 to an hour, with a denominator of at most 2^64.
///
/// Read from a number and `s`, `ms`, `µs` (or `us`) or `ns`; a time has no declared unit. Printed
/// in microseconds, and read back as the same value.
///
/// ```
/// use wholestep::measure::Time;
/// let setup = Time::read("0.002 ms")?;
/// assert_eq!(setup, Time::read("2 us")?);
/// assert_eq!(setup.to_string(), "2 µs");
/// assert!(Time::read("2").is_err());
/// # Ok::<(), wholestep::Error>(())
/// ```
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Time(Exact);

impl Time {
    /// Zero.
    pub const ZERO: Self = Self(Exact::ZERO);

    /// Returns a time of `seconds`.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] when it is negative, above an hour, or finer than the range holds.
    pub fn from_seconds(seconds: Exact) -> Result<Self> {
        let most = Exact::integer(TIME_MAX_SECONDS);
        if seconds.signum() < 0 || seconds > most || seconds.denominator() > MEASURE_DENOMINATOR_MAX {
            return Err(messages::TIME
                .error()
                .given(Value::Exact(seconds))
                .between(Value::Exact(Exact::ZERO), Value::Exact(most)));
        }
        Ok(Self(seconds))
    }

    /// Returns the number of seconds.
    pub const fn seconds(self) -> Exact {
        self.0
    }

    /// Reads what people write, such as `5 us`, `0.002 ms` or `800 ns`.
    ///
    /// # Errors
    /// [`ErrorKind::MissingUnit`], [`ErrorKind::Unit`], [`ErrorKind::Syntax`] or
    /// [`ErrorKind::OutOfRange`], each with the place in the text.
    pub fn read(text: &str) -> Result<Self> {
        const UNITS: &str = "give a time in s, ms, µs or ns";
        let mut cursor = Cursor::new(text, "time", "5 µs or 0.002 ms");
        let start = cursor.at();
        let negative = cursor.sign();
        let number = cursor.number()?.value;
        cursor.skip_spaces();
        let at = cursor.at();
        let parts_per_second = match cursor.unit_word() {
            "s" => 1,
            "ms" => 1_000,
            // The micro sign, the Greek letter mu, and what people type for them.
            "µs" | "μs" | "us" => 1_000_000,
            "ns" => 1_000_000_000,
            "" => {
                cursor.end()?;
                return Err(cursor.error_at(at, ErrorKind::MissingUnit, UNITS));
            }
            _ => return Err(cursor.error_at(at, ErrorKind::Unit, UNITS)),
        };
        cursor.skip_spaces();
        cursor.end()?;
        let seconds =
            number.checked_div(Exact::integer(parts_per_second)).map_err(|_| cursor.out_of_range(start))?;
        let seconds = if negative { -seconds } else { seconds };
        Self::from_seconds(seconds).map_err(|error| error.in_text(text, start))
    }
}

impl FromStr for Time {
    type Err = Error;

    /// As [`Time::read`].
    fn from_str(text: &str) -> Result<Self> {
        Self::read(text)
    }
}

impl fmt::Display for Time {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        // At most an hour with a denominator of at most 2^64: the product always fits.
        let microseconds = self.0.checked_mul(Exact::integer(1_000_000)).map_err(|_| fmt::Error)?;
        write_exact(f, microseconds)?;
        f.write_str(" µs")
    }
}

impl fmt::Debug for Time {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Time({self})")
    }
}

#[cfg(feature = "serde")]
impl<'de> serde::Deserialize<'de> for Time {
    /// From text with its unit; a bare number is refused.
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> core::result::Result<Self, D::Error> {
        let visitor = crate::measure::text_visitor::TextVisitor {
            subject: "time",
            unit: "µs",
            time: "",
            value: core::marker::PhantomData,
        };
        visitor.read(deserializer)
    }
}

#[cfg(feature = "serde")]
impl serde::Serialize for Time {
    /// As text, `5 µs`.
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> core::result::Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::string::ToString;

    #[test]
    fn every_spelling_is_read_and_printed_again() {
        for (text, nanoseconds) in [
            ("5 us", 5_000),
            ("5 µs", 5_000),
            ("5μs", 5_000),
            ("0.002 ms", 2_000),
            ("800 ns", 800),
            ("1/2 s", 500_000_000),
            ("3600 s", 3_600_000_000_000),
            ("0 s", 0),
        ] {
            let time = Time::read(text).unwrap();
            assert_eq!(time.seconds(), Exact::new(nanoseconds, 1_000_000_000).unwrap(), "{text}");
            assert_eq!(Time::read(&time.to_string()), Ok(time), "{text}");
        }
    }

    #[test]
    fn other_texts_are_refused() {
        for (text, kind, offset) in [
            ("5", ErrorKind::MissingUnit, 1),
            ("5 min", ErrorKind::Unit, 2),
            ("5 mm", ErrorKind::Unit, 2),
            ("-1 us", ErrorKind::OutOfRange, 0),
            ("3601 s", ErrorKind::OutOfRange, 0),
            ("1e-18 ns", ErrorKind::OutOfRange, 0),
            ("", ErrorKind::Syntax, 0),
            ("soon", ErrorKind::Syntax, 0),
            ("5 us 2 ns", ErrorKind::Syntax, 5),
        ] {
            let error = Time::read(text).unwrap_err();
            assert_eq!((error.kind(), error.text_offset()), (kind, Some(offset)), "{text}");
        }
    }
}
