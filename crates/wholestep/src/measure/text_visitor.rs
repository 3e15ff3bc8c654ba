//! Exact values in files: written as their exact text, and read from text.

use alloc::format;
use alloc::string::String;
use core::fmt;
use core::marker::PhantomData;
use core::str::FromStr;

use serde::de::{Deserialize, Deserializer, Error as DeserializeError, Visitor};
use serde::ser::{Serialize, Serializer};

use crate::error::{Error, ErrorKind};
use crate::exact::Exact;

impl Serialize for Exact {
    /// As text, `3/8`.
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for Exact {
    /// From text as [`Exact::read`] reads it, or from a whole number; a float is refused.
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let visitor = TextVisitor { subject: "number", unit: "", time: "", value: PhantomData };
        visitor.read(deserializer)
    }
}

/// Takes a text, and says of a bare number how it is written instead.
pub(crate) struct TextVisitor<T> {
    pub(crate) subject: &'static str,
    /// The unit a number is shown with, or nothing for a number without one.
    pub(crate) unit: &'static str,
    pub(crate) time: &'static str,
    pub(crate) value: PhantomData<T>,
}

impl<T: FromStr<Err = Error>> TextVisitor<T> {
    pub(crate) fn read<'de, D: Deserializer<'de>>(self, deserializer: D) -> Result<T, D::Error> {
        if deserializer.is_human_readable() {
            // A bare number is met here rather than in the format, whose message would not help.
            deserializer.deserialize_any(self)
        } else {
            deserializer.deserialize_str(self)
        }
    }

    fn quoted(&self, number: impl fmt::Display) -> String {
        let space = if self.unit.is_empty() { "" } else { " " };
        format!("\"{number}{space}{}{}\"", self.unit, self.time)
    }

    fn bare<E: DeserializeError>(&self, kind: ErrorKind, number: impl fmt::Display) -> E {
        let why = if kind == ErrorKind::InexactNumber {
            "a number with a point is not exact outside quotes"
        } else {
            "a bare number has no unit"
        };
        // A unit is never guessed.
        let quoted = if self.unit.is_empty() && self.time.is_empty() {
            format!(", like {}", self.quoted(number))
        } else {
            " and with its unit".into()
        };
        E::custom(Error::new(kind, self.subject).advice(format!("{why}; write it in quotes{quoted}")))
    }

    fn whole<E: DeserializeError>(&self, number: i128) -> Result<T, E> {
        if self.unit.is_empty() {
            // Nothing is missing, and a whole number is exact as it stands.
            return format!("{number}").parse().map_err(E::custom);
        }
        Err(self.bare(ErrorKind::MissingUnit, number))
    }
}

impl<T: FromStr<Err = Error>> Visitor<'_> for TextVisitor<T> {
    type Value = T;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "a {} in quotes, like {}", self.subject, self.quoted("3/8"))
    }

    fn visit_str<E: DeserializeError>(self, text: &str) -> Result<T, E> {
        text.parse().map_err(E::custom)
    }

    fn visit_i64<E: DeserializeError>(self, number: i64) -> Result<T, E> {
        self.whole(number.into())
    }

    fn visit_u64<E: DeserializeError>(self, number: u64) -> Result<T, E> {
        self.whole(number.into())
    }

    fn visit_f64<E: DeserializeError>(self, number: f64) -> Result<T, E> {
        Err(self.bare(ErrorKind::InexactNumber, number))
    }
}
