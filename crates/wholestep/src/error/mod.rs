//! The one error: a kind for programs, and what was given, what is allowed and a way forward for
//! people.
//!
//! An error is one word. With a heap it is a box; without one it points to its [`Message`], so that its
//! kind, its parameter and its words remain, but not the values that were quoted.

mod excerpt;
#[macro_use]
mod kind;
pub(crate) mod messages;
mod value;

use core::fmt;

use crate::bounds::{DECIMALS_MAX, WIDTH_DECIMALS_MAX};
use crate::exact::ArithmeticError;

pub use excerpt::Excerpt;
pub use kind::{ErrorKind, Message};
pub(crate) use value::per_time;
pub use value::{Quoted, QuotedUnit, Value};

#[cfg(feature = "alloc")]
use alloc::boxed::Box;
#[cfg(feature = "alloc")]
use alloc::string::String;

/// The result of every fallible operation of the library.
pub type Result<T> = core::result::Result<T, Error>;

/// Why something was refused.
///
/// Shown to people as one line: what it is about, what was given, what is allowed, and a way
/// forward. Programs ask for the [`kind`](Error::kind).
///
/// ```
/// use wholestep::{Error, ErrorKind, Length};
/// let error = "3/8 furlong".parse::<Length>().unwrap_err();
/// assert_eq!(error.kind(), ErrorKind::Unit);
/// assert_eq!(
///     error.to_string(),
///     "length “3/8 furlong”, at character 5: write it like 23/32 in or 18.25 mm; \
///      give a length in mm, cm, m, µm, in, ft, yd or thou"
/// );
/// assert_eq!(size_of::<Error>(), size_of::<usize>());
/// ```
#[derive(Clone, PartialEq, Eq)]
pub struct Error {
    #[cfg(feature = "alloc")]
    report: Box<Report>,
    #[cfg(not(feature = "alloc"))]
    message: &'static Message,
}

const _: () = assert!(size_of::<Error>() == size_of::<usize>());

/// Everything there is to say.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Report {
    kind: ErrorKind,
    subject: &'static str,
    given: Option<Value>,
    excess: Option<Value>,
    allowed: Allowed,
    /// Where in the given text the trouble begins.
    place: Option<Place>,
    parameter: Option<&'static str>,
    remedy: &'static str,
    #[cfg(feature = "alloc")]
    file: Option<String>,
    #[cfg(feature = "alloc")]
    line: Option<usize>,
    #[cfg(feature = "alloc")]
    key: Option<String>,
    #[cfg(feature = "alloc")]
    entry: Option<String>,
    #[cfg(feature = "alloc")]
    advice: Option<String>,
    #[cfg(feature = "alloc")]
    os_error: Option<(i32, String)>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(not(feature = "alloc"), expect(dead_code, reason = "without a heap nothing holds it"))]
enum Allowed {
    Unstated,
    AtLeast(Value),
    AtMost(Value),
    Between(Value, Value),
    Only(Value),
    Spelling(&'static str),
}

/// A place in a text: in bytes from its start for programs, in characters from 1 for people.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Place {
    offset: u32,
    character: u32,
}

/// What an error quotes. Without a heap these do nothing, as there is no room for values.
impl Error {
    /// Says what was given.
    #[must_use]
    pub fn given(self, value: Value) -> Self {
        self.with(|report| report.given = Some(value))
    }

    /// Says by how much a limit was exceeded.
    #[must_use]
    pub fn excess(self, value: Value) -> Self {
        self.with(|report| report.excess = Some(value))
    }

    /// Says that at least `low` is allowed.
    #[must_use]
    pub fn at_least(self, low: Value) -> Self {
        self.with(|report| report.allowed = Allowed::AtLeast(low))
    }

    /// Says that at most `high` is allowed.
    #[must_use]
    pub fn at_most(self, high: Value) -> Self {
        self.with(|report| report.allowed = Allowed::AtMost(high))
    }

    /// Says that `low` to `high` is allowed.
    #[must_use]
    pub fn between(self, low: Value, high: Value) -> Self {
        self.with(|report| report.allowed = Allowed::Between(low, high))
    }

    /// Says that only `value` is allowed.
    #[must_use]
    pub fn only(self, value: Value) -> Self {
        self.with(|report| report.allowed = Allowed::Only(value))
    }

    /// Says how it is spelled.
    #[must_use]
    pub fn spelling(self, example: &'static str) -> Self {
        self.with(|report| report.allowed = Allowed::Spelling(example))
    }

    /// Quotes the `text` that was given and says where in it the trouble begins, in bytes from its
    /// start.
    #[must_use]
    pub fn in_text(self, text: &str, offset: usize) -> Self {
        self.with(|report| {
            report.given = Some(Value::Text(Excerpt::about(text, offset)));
            let character = text.char_indices().take_while(|(at, _)| *at < offset).count() + 1;
            report.place = u32::try_from(offset)
                .and_then(|offset| Ok(Place { offset, character: u32::try_from(character)? }))
                .ok();
        })
    }

    /// Says what it is about, more closely than its message does.
    #[must_use]
    pub fn of(self, subject: &'static str) -> Self {
        self.with(|report| report.subject = subject)
    }

    /// Says what to do (an imperative, without a full stop).
    #[must_use]
    pub fn remedy(self, remedy: &'static str) -> Self {
        self.with(|report| report.remedy = remedy)
    }

    /// Says which parameter it is about, by section and key of an axis file: `motion.speed`.
    ///
    /// The file's reader places the error there, so that no line is found by matching words.
    #[must_use]
    pub fn about(self, parameter: &'static str) -> Self {
        self.with(|report| report.parameter = Some(parameter))
    }

    /// Shows every measure of the same sort in `unit`, for a person who did not write them in the
    /// unit of the axis.
    #[must_use]
    pub(crate) fn quoted_in(self, unit: QuotedUnit) -> Self {
        self.with(|report| {
            let told = |value: Option<Value>| value.map(|value| value.told_in(unit));
            (report.given, report.excess) = (told(report.given), told(report.excess));
            report.allowed = match report.allowed {
                Allowed::AtLeast(low) => Allowed::AtLeast(low.told_in(unit)),
                Allowed::AtMost(high) => Allowed::AtMost(high.told_in(unit)),
                Allowed::Between(low, high) => Allowed::Between(low.told_in(unit), high.told_in(unit)),
                Allowed::Only(value) => Allowed::Only(value.told_in(unit)),
                allowed @ (Allowed::Unstated | Allowed::Spelling(_)) => allowed,
            };
        })
    }
}

#[cfg(feature = "alloc")]
impl Error {
    /// Makes an error of `kind` about `subject` (a noun, without a full stop).
    ///
    /// It needs a heap; without one, let a [`Message`] make it.
    pub fn new(kind: ErrorKind, subject: &'static str) -> Self {
        Self::from(&Message::new(kind, subject))
    }

    fn with(mut self, change: impl FnOnce(&mut Report)) -> Self {
        change(&mut self.report);
        self
    }

    /// Returns the kind of error.
    pub const fn kind(&self) -> ErrorKind {
        self.report.kind
    }

    /// Returns what the error is about.
    pub const fn subject(&self) -> &'static str {
        self.report.subject
    }

    /// Returns the parameter it is about, by section and key of an axis file, if it is about one.
    pub const fn parameter(&self) -> Option<&'static str> {
        self.report.parameter
    }

    /// Returns what was given, if it was quoted.
    pub const fn given_value(&self) -> Option<Value> {
        self.report.given
    }

    /// By how much a limit was exceeded, if one was.
    pub const fn excess_value(&self) -> Option<Value> {
        self.report.excess
    }

    /// Returns where in the given text the trouble begins, in bytes from its start.
    pub const fn text_offset(&self) -> Option<u32> {
        match self.report.place {
            Some(place) => Some(place.offset),
            None => None,
        }
    }

    /// Says in which file it stands; a file named before is kept.
    #[must_use]
    pub fn in_file(self, file: &str) -> Self {
        self.with(|report| {
            report.file.get_or_insert_with(|| file.into());
        })
    }

    /// Says on which line it stands, counted from 1; a line named before is kept.
    #[must_use]
    pub fn on_line(self, line: usize) -> Self {
        self.with(|report| {
            report.line.get_or_insert(line);
        })
    }

    /// Says at which key it stands; a key named before is kept.
    #[must_use]
    pub fn at_key(self, key: &str) -> Self {
        self.with(|report| {
            report.key.get_or_insert_with(|| key.into());
        })
    }

    /// Says which of several things it is about, such as `part “rail”`; the first said is kept.
    ///
    /// ```
    /// use wholestep::{Error, ErrorKind};
    /// let error = Error::new(ErrorKind::OutOfRange, "quantity").of_entry("part “rail”");
    /// assert_eq!(error.to_string(), "part “rail”: quantity");
    /// ```
    #[must_use]
    pub fn of_entry(self, which: impl Into<String>) -> Self {
        self.with(|report| {
            report.entry.get_or_insert_with(|| which.into());
        })
    }

    /// Says what to do in words composed for the case; shown instead of the remedy.
    #[must_use]
    pub fn advice(self, advice: impl Into<String>) -> Self {
        self.with(|report| report.advice = Some(advice.into()))
    }

    /// Says which file the operating system refused, and with which number, if it gave one.
    #[must_use]
    pub fn os_error(self, file: impl Into<String>, number: Option<i32>) -> Self {
        self.with(|report| report.os_error = number.map(|number| (number, file.into())))
    }

    /// Returns the number with which the operating system refused a file, such as 2 for one that is missing,
    /// and that file, which need not be the one the error stands in.
    pub fn os_error_of_file(&self) -> Option<(i32, &str)> {
        self.report.os_error.as_ref().map(|(number, file)| (*number, file.as_str()))
    }

    /// Returns the file it stands in.
    pub fn file(&self) -> Option<&str> {
        self.report.file.as_deref()
    }

    /// Returns the line it stands on, counted from 1.
    pub const fn line(&self) -> Option<usize> {
        self.report.line
    }

    /// Returns the key it stands at.
    pub fn key(&self) -> Option<&str> {
        self.report.key.as_deref()
    }
}

#[cfg(feature = "alloc")]
impl From<&Message> for Error {
    fn from(message: &Message) -> Self {
        Self {
            report: Box::new(Report {
                kind: message.kind,
                subject: message.subject,
                given: None,
                excess: None,
                allowed: Allowed::Unstated,
                place: None,
                parameter: message.parameter,
                remedy: message.remedy,
                file: None,
                line: None,
                key: None,
                entry: None,
                advice: None,
                os_error: None,
            }),
        }
    }
}

#[cfg(feature = "alloc")]
impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let report = &*self.report;
        if let Some(file) = &report.file {
            write!(f, "{file}: ")?;
        }
        if let Some(line) = report.line {
            write!(f, "line {line}: ")?;
        }
        if let Some(key) = &report.key {
            write!(f, "`{key}`: ")?;
        }
        if let Some(entry) = &report.entry {
            write!(f, "{entry}: ")?;
        }
        f.write_str(report.subject)?;
        if let Some(given) = report.given {
            write!(f, " {given}")?;
            if let Some(place) = report.place {
                write!(f, ", at character {}", place.character)?;
            }
        }
        let mut separator = ": ";
        if let Some(excess) = report.excess {
            write!(f, "{separator}too far by {excess}")?;
            separator = "; ";
        }
        match report.allowed {
            Allowed::Unstated => {}
            Allowed::AtLeast(low) => write!(f, "{separator}at least {low} is allowed")?,
            Allowed::AtMost(high @ Value::Count(..)) => write!(f, "{separator}at most {high} are allowed")?,
            Allowed::AtMost(high) => write!(f, "{separator}at most {high} is allowed")?,
            Allowed::Between(low, high) => write!(f, "{separator}{low} to {high} is allowed")?,
            Allowed::Only(value) => write!(f, "{separator}only {value} is allowed")?,
            Allowed::Spelling(example) => write!(f, "{separator}write it like {example}")?,
        }
        if report.allowed != Allowed::Unstated {
            separator = "; ";
        }
        match report.advice.as_deref().unwrap_or(report.remedy) {
            "" => Ok(()),
            remedy => write!(f, "{separator}{remedy}"),
        }
    }
}

#[cfg(not(feature = "alloc"))]
impl Error {
    fn with(self, _: impl FnOnce(&mut Report)) -> Self {
        self
    }

    /// Returns the kind of error.
    pub const fn kind(&self) -> ErrorKind {
        self.message.kind
    }

    /// Returns what the error is about.
    pub const fn subject(&self) -> &'static str {
        self.message.subject
    }

    /// Returns the parameter it is about, by section and key of an axis file, if it is about one.
    pub const fn parameter(&self) -> Option<&'static str> {
        self.message.parameter
    }
}

#[cfg(not(feature = "alloc"))]
impl From<&'static Message> for Error {
    fn from(message: &'static Message) -> Self {
        Self { message }
    }
}

#[cfg(not(feature = "alloc"))]
impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.message.subject)?;
        match self.message.remedy {
            "" => Ok(()),
            remedy => write!(f, ": {remedy}"),
        }
    }
}

impl fmt::Debug for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Error({}, \"{self}\")", self.kind().name())
    }
}

impl core::error::Error for Error {}

impl fmt::Display for ArithmeticError {
    /// In the words of the error that it becomes.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        Error::from(*self).fmt(f)
    }
}

impl core::error::Error for ArithmeticError {}

impl From<ArithmeticError> for Error {
    fn from(error: ArithmeticError) -> Self {
        let up_to = |error: Self, given: u8, most: u8| {
            error.given(Value::Integer(given.into())).between(Value::Integer(0), Value::Integer(most.into()))
        };
        match error {
            ArithmeticError::DivisionByZero => messages::DIVISION_BY_ZERO.error(),
            ArithmeticError::Overflow => messages::OVERFLOW.error(),
            ArithmeticError::Domain => messages::DOMAIN.error(),
            ArithmeticError::CrossedBounds => messages::CROSSED_BOUNDS.error(),
            ArithmeticError::TooWide => messages::TOO_WIDE.error(),
            ArithmeticError::Decimals(given) => up_to(messages::DECIMALS.error(), given, DECIMALS_MAX),
            ArithmeticError::WidthDecimals(given) => {
                up_to(messages::WIDTH_DECIMALS.error(), given, WIDTH_DECIMALS_MAX)
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::string::ToString;

    #[test]
    fn every_part_has_its_place_in_the_line() {
        let error = Error::new(ErrorKind::OutOfRange, "teeth")
            .given(Value::Integer(0))
            .between(Value::Integer(1), Value::Integer(10_000))
            .remedy("count the teeth again");
        assert_eq!(error.to_string(), "teeth 0: 1 to 10000 is allowed; count the teeth again");
        let error = error.in_file("lift.toml").on_line(7).at_key("driver_teeth").advice("count them");
        assert_eq!(
            error.to_string(),
            "lift.toml: line 7: `driver_teeth`: teeth 0: 1 to 10000 is allowed; count them"
        );
    }
}
