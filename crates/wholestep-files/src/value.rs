//! Values of a file: what each type takes, and what is said if something else stands there.

use std::borrow::Cow;

use super::location::{Node, Place, Units};
use super::section::Section;
use super::suggest::{instead, listed};
use wholestep::axis::{Approach, MotorDirection};
use wholestep::carriage::{End, Wiring};
use wholestep::error::{self, Error, ErrorKind, Result};
use wholestep::measure::{
    Acceleration, Angle, AngleUnit, Jerk, Length, LengthUnit, Measure, Speed, Time, Unit,
};
use wholestep::mechanism::{ScrewMotion, StepMode, Thread};
use wholestep::{Exact, Rounding};

/// A type that a file's value is read into.
///
/// ```
/// use std::borrow::Cow;
/// use wholestep::Result;
/// use wholestep_files::{Document, FromToml, Given, Units};
///
/// #[derive(Debug, PartialEq)]
/// enum Side { Left, Right }
///
/// impl FromToml for Side {
///     fn value() -> Cow<'static, str> {
///         "`\"left\"` or `\"right\"`".into()
///     }
///     fn example(_: Units) -> String {
///         "\"left\"".into()
///     }
///     fn from_toml(given: &Given<'_>) -> Result<Self> {
///         given.one_of([("left", Self::Left), ("right", Self::Right)])
///     }
/// }
///
/// let document = Document::from_toml("side = \"rigth\"")?;
/// let error = document.root().required::<Side>("side").unwrap_err();
/// assert_eq!(
///     error.to_string(),
///     "line 1: `side`: unknown word “rigth”: write `right`; known here: left, right"
/// );
/// # Ok::<(), wholestep::Error>(())
/// ```
pub trait FromToml: Sized {
    /// Returns what stands behind the key, as the reference says it: `length`, or the words it may be.
    fn value() -> Cow<'static, str>;

    /// Returns an example as the file would have it, with the unit that the file declares.
    fn example(units: Units) -> String;

    /// Reads what was given.
    ///
    /// # Errors
    /// As the type says; with file, line and key.
    fn from_toml(given: &Given<'_>) -> Result<Self>;

    /// Returns what a missing key stands for; nothing if it must not be missing.
    fn absent() -> Option<Self> {
        None
    }
}

/// One value of a file, and where it stands.
#[derive(Clone)]
pub struct Given<'d> {
    place: Place<'d>,
    node: Node<'d>,
}

impl<'d> Given<'d> {
    pub(super) const fn new(place: Place<'d>, node: Node<'d>) -> Self {
        Self { place, node }
    }

    pub(super) const fn place(&self) -> &Place<'d> {
        &self.place
    }

    /// Returns the text that was given in quotes.
    ///
    /// # Errors
    /// [`ErrorKind::Key`] if something else was given.
    pub fn text<T: FromToml>(&self) -> Result<&'d str> {
        match self.node {
            Node::Text(text) => Ok(text),
            _ => Err(self.wrong_type::<T>()),
        }
    }

    /// Returns the value of the word that was given.
    ///
    /// # Errors
    /// [`ErrorKind::Key`] if something else was given, with the nearest of the words.
    pub fn one_of<T: FromToml>(&self, words: impl IntoIterator<Item = (&'static str, T)>) -> Result<T> {
        let given = self.text::<T>()?;
        let mut known = Vec::new();
        for (word, value) in words {
            if word == given {
                return Ok(value);
            }
            known.push(word);
        }
        let advice = instead(given, known, "write one of the known words");
        let error = Error::new(ErrorKind::Key, "unknown word").given(error::Value::text(given));
        Err(self.blame(error.advice(advice)))
    }

    /// Returns the section that was given.
    ///
    /// # Errors
    /// [`ErrorKind::Key`] if something else was given.
    pub fn section(&self) -> Result<Section<'d>> {
        match self.node {
            Node::Table(table) => Ok(Section::new(self.place.clone(), table)),
            _ => Err(self
                .place
                .wrong_type(self.place.quoted(), format!("write a section [{}]", self.place.key))),
        }
    }

    /// Returns the entries of the list that was given, or what was given alone.
    pub fn entries(&self) -> Vec<Self> {
        let entry = |span, node| Self::new(self.place.entry(span), node);
        match self.node {
            Node::Values(list) => list.iter().map(|v| entry(v.span(), Node::of_value(v))).collect(),
            Node::Tables(tables) => tables.iter().map(|t| entry(t.span(), Node::Table(t))).collect(),
            _ => vec![self.clone()],
        }
    }

    /// Returns the error with file, line and key.
    #[must_use]
    pub fn blame(&self, error: Error) -> Error {
        self.place.blame(error)
    }

    /// Returns the error that something else stands where a `T` is wanted.
    pub fn wrong_type<T: FromToml>(&self) -> Error {
        let example = example::<T>(&self.place);
        self.place.wrong_type(self.quoted(), format!("write it like {example}{}", self.place.under()))
    }

    fn quoted(&self) -> error::Value {
        match self.node {
            Node::Table(_) | Node::Tables(_) => error::Value::Word("[section]"),
            _ => self.place.quoted(),
        }
    }

    fn integer<T: FromToml>(&self, least: i128, most: i128) -> Result<i64> {
        let Node::Integer(number) = self.node else { return Err(self.wrong_type::<T>()) };
        if (least..=most).contains(&i128::from(number)) {
            return Ok(number);
        }
        let error = Error::new(ErrorKind::OutOfRange, "whole number")
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

/// How a `T` is written at a place: `pitch = "10 mm"`.
pub(super) fn example<T: FromToml>(place: &Place<'_>) -> String {
    format!("{} = {}", place.key.rsplit('.').next().unwrap_or_default(), T::example(place.units))
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
                let error = Error::new(ErrorKind::InexactNumber, "number").given(given.place.quoted());
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
