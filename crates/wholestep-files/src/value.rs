//! The types that a file's values are read into, and what each takes.

use std::borrow::Cow;

use super::given::{FromToml, Given};
use super::location::{Node, Units};
use super::suggest::listed;
use crate::messages;
use wholestep::axis::{Approach, MotorDirection};
use wholestep::carriage::{End, Wiring};
use wholestep::error::{self, Error, ErrorKind, Result};
use wholestep::measure::{
    Acceleration, Angle, AngleUnit, Jerk, Length, LengthUnit, Measure, Speed, Time, Unit,
};
use wholestep::mechanism::{ScrewMotion, StepMode, Thread};
use wholestep::{Exact, Rounding};

impl Given<'_> {
    fn integer<T: FromToml>(&self, least: i128, most: i128) -> Result<i64> {
        let Node::Integer(number) = self.node else { return Err(self.wrong_type::<T>()) };
        if (least..=most).contains(&i128::from(number)) {
            return Ok(number);
        }
        let error = messages::WHOLE_NUMBER
            .error()
            .given(error::Value::Integer(number.into()))
            .between(error::Value::Integer(least), error::Value::Integer(most));
        Err(self.blame(error))
    }

    /// Reads a text of a type that has units; a bare number is refused with the text that is exact.
    fn with_unit<T: FromToml>(&self, wanted: &WithUnit, read: impl FnOnce(&str) -> Result<T>) -> Result<T> {
        let kind = match self.node {
            Node::Text(text) => return read(text).map_err(|error| self.blame(error)),
            Node::Integer(_) => ErrorKind::MissingUnit,
            Node::Decimal => ErrorKind::InexactNumber,
            _ => return Err(self.wrong_type::<T>()),
        };
        // A unit is never guessed.
        let advice = match &wanted.declared {
            Some(unit) => format!("write it in quotes: {}", quoted(self.place.written(), unit)),
            None => format!("write it in quotes and with its unit, such as {}", wanted.choices),
        };
        Err(self.blame(Error::new(kind, wanted.subject).given(self.place.quoted()).advice(advice)))
    }
}

/// What is said of a number without its unit.
struct WithUnit {
    subject: &'static str,
    declared: Option<String>,
    choices: String,
}

fn quoted(number: &str, unit: &str) -> String {
    format!("\"{number} {unit}\"")
}

/// A measure that files know: a length or an angle.
pub trait FileMeasure: Measure + FromToml {
    /// Some units to choose from.
    const CHOICES: &'static [&'static str];

    /// Returns the unit of the measure that a file declares.
    fn declared(units: Units) -> Option<Self::Unit>;
}

impl FileMeasure for Length {
    const CHOICES: &'static [&'static str] = &["mm", "in"];

    fn declared(units: Units) -> Option<LengthUnit> {
        units.length
    }
}

impl FileMeasure for Angle {
    const CHOICES: &'static [&'static str] = &["deg"];

    fn declared(units: Units) -> Option<AngleUnit> {
        units.angle
    }
}

const PER_TIME: [&str; 4] = ["", "/s", "/s²", "/s³"];

fn rate_example<M: FileMeasure>(units: Units, order: usize) -> String {
    let unit = M::declared(units).unwrap_or(M::BASE).symbol();
    quoted("10", &format!("{unit}{}", PER_TIME[order]))
}

fn rate_unit<M: FileMeasure>(units: Units, order: usize) -> WithUnit {
    let per_time = PER_TIME[order];
    let choices: Vec<String> = M::CHOICES.iter().map(|unit| format!("{unit}{per_time}")).collect();
    WithUnit {
        subject: [M::NAME, "speed", "acceleration", "jerk"][order],
        declared: M::declared(units).map(|unit| format!("{}{per_time}", unit.symbol())),
        choices: choices.join(" or "),
    }
}

macro_rules! measures {
    ($([$($m:ident)?] $type:ty, $measure:ty, $order:literal, $noun:literal;)*) => { $(
        impl<$($m: FileMeasure)?> FromToml for $type {
            fn value() -> Cow<'static, str> {
                $noun.into()
            }

            fn example(units: Units) -> String {
                rate_example::<$measure>(units, $order)
            }

            fn from_toml(given: &Given<'_>) -> Result<Self> {
                let units = given.place.units;
                given.with_unit(&rate_unit::<$measure>(units, $order), |text| {
                    Self::read(text, <$measure>::declared(units))
                })
            }
        }
    )* };
}

measures! {
    [] Length, Length, 0, "length";
    [] Angle, Angle, 0, "angle";
    [M] Speed<M>, M, 1, "speed";
    [M] Acceleration<M>, M, 2, "acceleration";
    [M] Jerk<M>, M, 3, "jerk";
}

impl FromToml for Time {
    fn value() -> Cow<'static, str> {
        "time".into()
    }

    fn example(_: Units) -> String {
        quoted("10", "µs")
    }

    fn from_toml(given: &Given<'_>) -> Result<Self> {
        let wanted = WithUnit { subject: "time", declared: None, choices: "ms or s".into() };
        given.with_unit(&wanted, Self::read)
    }
}

impl FromToml for Exact {
    fn value() -> Cow<'static, str> {
        "number".into()
    }

    fn example(_: Units) -> String {
        "1".into()
    }

    fn from_toml(given: &Given<'_>) -> Result<Self> {
        match given.node {
            Node::Integer(number) => Ok(Self::integer(number)),
            Node::Text(text) => Self::read(text).map_err(|error| given.blame(error)),
            Node::Decimal => {
                let error = messages::NUMBER.error().given(given.place.quoted());
                Err(given.blame(error.advice(format!("write it in quotes: \"{}\"", given.place.written()))))
            }
            _ => Err(given.wrong_type::<Self>()),
        }
    }
}

impl FromToml for StepMode {
    fn value() -> Cow<'static, str> {
        "step mode, such as `\"1/16\"`".into()
    }

    fn example(_: Units) -> String {
        "\"1/16\"".into()
    }

    fn from_toml(given: &Given<'_>) -> Result<Self> {
        let read = |text: &str| Self::read(text).map_err(|error| given.blame(error));
        match given.node {
            Node::Integer(number) => read(&number.to_string()),
            _ => read(given.text::<Self>()?),
        }
    }
}

impl FromToml for Thread {
    fn value() -> Cow<'static, str> {
        "thread, such as `\"Tr12x3\"`".into()
    }

    fn example(_: Units) -> String {
        "\"Tr12x3\"".into()
    }

    fn from_toml(given: &Given<'_>) -> Result<Self> {
        Self::read(given.text::<Self>()?).map_err(|error| given.blame(error))
    }
}

impl FromToml for String {
    fn value() -> Cow<'static, str> {
        "text".into()
    }

    fn example(_: Units) -> String {
        "\"text\"".into()
    }

    fn from_toml(given: &Given<'_>) -> Result<Self> {
        given.text::<Self>().map(Into::into)
    }
}

impl FromToml for bool {
    fn value() -> Cow<'static, str> {
        "`true` or `false`".into()
    }

    fn example(_: Units) -> String {
        "true".into()
    }

    fn from_toml(given: &Given<'_>) -> Result<Self> {
        match given.node {
            Node::Boolean(value) => Ok(value),
            _ => Err(given.wrong_type::<Self>()),
        }
    }
}

macro_rules! whole_numbers {
    ($($type:ty),*) => { $(
        impl FromToml for $type {
            fn value() -> Cow<'static, str> {
                "whole number".into()
            }

            fn example(_: Units) -> String {
                "1".into()
            }

            fn from_toml(given: &Given<'_>) -> Result<Self> {
                let number = given.integer::<Self>(Self::MIN.into(), Self::MAX.into())?;
                Self::try_from(number).map_err(|_| given.wrong_type::<Self>())
            }
        }
    )* };
}

whole_numbers!(i64, u32, u64);

/// Reads a word by its names, all of which `name` tells.
#[macro_export]
macro_rules! words {
    ($($type:ty: $all:expr;)*) => { $(
        impl $crate::FromToml for $type {
            fn value() -> std::borrow::Cow<'static, str> {
                $crate::either($all.map(Self::name)).into()
            }

            fn example(_: $crate::Units) -> String {
                $all.map(|word| format!("\"{}\"", word.name())).join(" or ")
            }

            fn from_toml(given: &$crate::Given<'_>) -> wholestep::Result<Self> {
                given.one_of($all.map(|word| (word.name(), word)))
            }
        }
    )* };
}

words! {
    End: Self::BOTH;
    Wiring: Self::ALL;
    MotorDirection: Self::ALL;
    Approach: Self::ALL;
    ScrewMotion: Self::ALL;
    Rounding: Self::ALL;
}

/// Returns the words as a sentence names them: `` `"low"` or `"high"` ``.
pub fn either<const N: usize>(words: [&str; N]) -> String {
    let quoted = words.map(|word| format!("`\"{word}\"`"));
    match quoted.split_last() {
        Some((last, rest)) if !rest.is_empty() => {
            format!("{} or {last}", listed(rest.iter().map(String::as_str)))
        }
        _ => quoted.concat(),
    }
}

impl<T: FromToml> FromToml for Option<T> {
    fn value() -> Cow<'static, str> {
        T::value()
    }

    fn example(units: Units) -> String {
        T::example(units)
    }

    fn from_toml(given: &Given<'_>) -> Result<Self> {
        T::from_toml(given).map(Some)
    }

    fn absent() -> Option<Self> {
        Some(None)
    }
}

impl<T: FromToml> FromToml for Vec<T> {
    fn value() -> Cow<'static, str> {
        format!("{}, or a list of them", T::value()).into()
    }

    fn example(units: Units) -> String {
        format!("[{}]", T::example(units))
    }

    fn from_toml(given: &Given<'_>) -> Result<Self> {
        given.entries().iter().map(T::from_toml).collect()
    }

    fn absent() -> Option<Self> {
        Some(Self::new())
    }
}
