//! The error while a value is deserialized: the library's own, and what may still be learned about
//! a missing key.

use core::fmt;
use std::boxed::Box;

use serde::de::{Expected, Unexpected};

use super::location::Place;
use super::suggest::instead;
use wholestep::error::{Error, ErrorKind, Value};

/// An error while a value is deserialized.
#[derive(Debug)]
pub(super) struct Trouble {
    pub(super) error: Box<Error>,
    pub(super) missing: Option<Missing>,
}

/// A key that a structure wants and its section lacks.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Missing {
    pub(super) field: &'static str,
    /// Where the section begins that lacks it, once known.
    pub(super) section: Option<usize>,
}

impl Trouble {
    fn new(kind: ErrorKind, subject: &'static str, message: impl fmt::Display) -> Self {
        Error::new(kind, subject).advice(message.to_string()).into()
    }

    /// The same trouble, which arose in the section at `place`.
    pub(super) fn within(mut self, place: &Place<'_>) -> Self {
        if let Some(missing) = &mut self.missing {
            missing.section.get_or_insert(place.span.start);
        }
        *self.error = place.blame(*self.error);
        self
    }
}

impl From<Error> for Trouble {
    fn from(error: Error) -> Self {
        Self { error: Box::new(error), missing: None }
    }
}

impl serde::de::Error for Trouble {
    fn custom<T: fmt::Display>(message: T) -> Self {
        Self::new(ErrorKind::Key, "value refused", message)
    }

    fn invalid_type(given: Unexpected<'_>, expected: &dyn Expected) -> Self {
        Self::new(ErrorKind::Key, "wrong type", format_args!("{given} given; give {expected}"))
    }

    fn invalid_value(given: Unexpected<'_>, expected: &dyn Expected) -> Self {
        Self::new(ErrorKind::OutOfRange, "value", format_args!("{given} given; give {expected}"))
    }

    fn invalid_length(length: usize, expected: &dyn Expected) -> Self {
        Self::new(ErrorKind::Key, "list", format_args!("{length} entries given; give {expected}"))
    }

    fn unknown_variant(word: &str, known: &'static [&'static str]) -> Self {
        let advice = instead(word, known.iter().copied(), "write one of the known words");
        Error::new(ErrorKind::Key, "unknown word").given(Value::text(word)).advice(advice).into()
    }

    fn unknown_field(key: &str, known: &'static [&'static str]) -> Self {
        Error::new(ErrorKind::Key, "unknown key")
            .given(Value::text(key))
            .advice(instead(key, known.iter().copied(), "take it out"))
            .into()
    }

    fn missing_field(field: &'static str) -> Self {
        let error = Error::new(ErrorKind::Key, "missing key").given(Value::Word(field));
        Self { missing: Some(Missing { field, section: None }), ..error.into() }
    }
}

impl fmt::Display for Trouble {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.error.fmt(f)
    }
}

impl core::error::Error for Trouble {}
