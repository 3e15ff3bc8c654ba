//! What is wanted at a key, and how it is spelled.

use super::location::{Place, Units};
use super::suggest::listed;
use wholestep::error::{Error, ErrorKind, Result, Value};
use wholestep::exact::Exact;
use wholestep::measure::{Acceleration, Angle, Jerk, Length, Measure, Speed, Time, Unit};
use wholestep::mechanism::{StepMode, Thread};

/// What is wanted at a key.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Wanted {
    Anything,
    /// A measure per second to the power.
    Length(usize),
    Angle(usize),
    Time,
    StepMode,
    Thread,
    /// An exact number, whole or in quotes.
    Number,
    Whole,
    Boolean,
    Text,
    Word(&'static [&'static str]),
    List,
    Section,
    /// Sections of one name, each with two brackets.
    Sections,
}

impl Wanted {
    /// The type that asks for a newtype of this name, where its text is read here.
    pub(super) fn named(name: &str) -> Option<Self> {
        let position = |names: [&str; 4]| names.iter().position(|known| *known == name);
        position(Length::TYPE_NAMES)
            .map(Self::Length)
            .or_else(|| position(Angle::TYPE_NAMES).map(Self::Angle))
            .or(match name {
                Time::TYPE_NAME => Some(Self::Time),
                StepMode::TYPE_NAME => Some(Self::StepMode),
                Thread::TYPE_NAME => Some(Self::Thread),
                Exact::TYPE_NAME => Some(Self::Number),
                _ => None,
            })
    }

    /// The noun an error begins with.
    pub(super) const fn subject(self) -> &'static str {
        const RATES: [&str; 3] = ["speed", "acceleration", "jerk"];
        match self {
            Self::Length(0) => Length::NAME,
            Self::Angle(0) => Angle::NAME,
            Self::Length(order) | Self::Angle(order) => RATES[order - 1],
            Self::Time => "time",
            Self::StepMode => "step mode",
            Self::Thread => "thread",
            _ => "number",
        }
    }

    /// Reads `text` and writes it again with its unit, for a type that knows of no declared one.
    pub(super) fn with_unit(self, text: &str, units: Units) -> Result<String> {
        match self {
            Self::Length(order) => measure::<Length>(text, order, units.length),
            Self::Angle(order) => measure::<Angle>(text, order, units.angle),
            Self::Time => Ok(Time::read(text)?.to_string()),
            Self::StepMode => Ok(StepMode::read(text)?.to_string()),
            Self::Thread => Ok(Thread::read(text)?.to_string()),
            Self::Number => Ok(Exact::read(text)?.to_string()),
            _ => Ok(text.to_string()),
        }
    }

    /// The quoted form of a bare `number`, with the unit that the file declares; `None` if it declares
    /// none, because a unit is never guessed.
    pub(super) fn exactly(self, number: &str, units: Units) -> Option<String> {
        let declared = match self {
            Self::Length(_) => units.length.is_some(),
            Self::Angle(_) => units.angle.is_some(),
            Self::Time => false,
            _ => true,
        };
        declared.then(|| self.quoted(number, units))
    }

    /// Some units to choose from.
    pub(super) const fn units_to_choose(self) -> &'static str {
        match self {
            Self::Length(0) => "mm or in",
            Self::Length(1) => "mm/s or in/s",
            Self::Length(2) => "mm/s² or in/s²",
            Self::Length(_) => "mm/s³ or in/s³",
            Self::Angle(0) => "deg",
            Self::Angle(1) => "deg/s",
            Self::Angle(2) => "deg/s²",
            Self::Angle(_) => "deg/s³",
            _ => "ms or s",
        }
    }

    /// An example of `number` with a unit.
    pub(super) fn quoted(self, number: &str, units: Units) -> String {
        match self.unit(units) {
            unit if unit.is_empty() => format!("\"{number}\""),
            unit => format!("\"{number} {unit}\""),
        }
    }

    fn unit(self, units: Units) -> String {
        let time = |order: usize| ["", "/s", "/s²", "/s³"][order.min(3)];
        match self {
            Self::Length(order) => {
                format!("{}{}", units.length.unwrap_or(Unit::BASE).symbol(), time(order))
            }
            Self::Angle(order) => {
                format!("{}{}", units.angle.unwrap_or(Unit::BASE).symbol(), time(order))
            }
            Self::Time => "µs".into(),
            _ => String::new(),
        }
    }

    /// An example of how `key` is given.
    pub(super) fn spelling(self, place: &Place<'_>) -> String {
        let (section, key) = place.key.rsplit_once('.').unwrap_or(("", &place.key));
        let value = match self {
            Self::Section => return format!("write a section [{}]", place.key),
            Self::Sections => return format!("write [[{}]], with two brackets, before each", place.key),
            Self::Anything => return "give it a value".into(),
            Self::Word(words) => {
                return format!("write one of these in quotes: {}", listed(words.iter().copied()));
            }
            Self::StepMode => "\"1/16\"".into(),
            Self::Thread => "\"Tr12x3\"".into(),
            Self::Whole => {
                return format!("write a whole number without quotes or point, like {key} = 1");
            }
            Self::Number => "1".into(),
            Self::Boolean => "true".into(),
            Self::Text => "\"text\"".into(),
            Self::List => "[…]".into(),
            measure => measure.quoted("10", place.units),
        };
        let under = match section {
            "" => String::new(),
            section if place.listed => format!(" under [[{section}]]"),
            section => format!(" under [{section}]"),
        };
        format!("write it like {key} = {value}{under}")
    }

    /// The error where nothing stands at the key.
    pub(super) fn missing(self, place: &Place<'_>) -> Error {
        place.blame(Error::new(ErrorKind::Key, "missing").advice(self.spelling(place)))
    }

    /// The error where something else stands at the key.
    pub(super) fn wrong_type(self, place: &Place<'_>, given: Value) -> Error {
        place.blame(Error::new(ErrorKind::Key, "wrong type").given(given).advice(self.spelling(place)))
    }
}

fn measure<M: Measure>(text: &str, order: usize, declared: Option<M::Unit>) -> Result<String> {
    Ok(match order {
        0 => M::read(text, declared)?.to_string(),
        1 => Speed::<M>::read(text, declared)?.to_string(),
        2 => Acceleration::<M>::read(text, declared)?.to_string(),
        _ => Jerk::<M>::read(text, declared)?.to_string(),
    })
}
