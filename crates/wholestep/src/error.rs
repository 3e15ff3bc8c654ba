//! The one error: a kind for programs, and what was given, what is allowed and a way forward for
//! people.

use core::fmt;

use crate::bounds::{DECIMALS_MAX, WIDTH_DECIMALS_MAX};
use crate::exact::{ArithmeticError, Exact};
use crate::measure::{AngleUnit, LengthUnit, write_quantity};

/// The result of every fallible operation of the library.
pub type Result<T> = core::result::Result<T, Error>;

/// What went wrong, for a program to tell apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum ErrorKind {
    /// The text is not a number or a measure.
    Syntax,
    /// A number stands without a unit where none was declared.
    MissingUnit,
    /// The unit is not known, is ambiguous, or measures something else.
    Unit,
    /// A binary float, or an unquoted decimal in a file; neither is exact.
    InexactNumber,
    /// A denominator of zero.
    DivisionByZero,
    /// A value outside the range the library states for it.
    OutOfRange,
    /// Exact arithmetic that does not fit its integers.
    Overflow,
    /// A target past a soft limit, or past the span of the mechanism.
    BeyondLimit,
    /// The nearest step could not be decided at the finest width, and the caller was strict.
    Undecided,
    /// A mechanism that contradicts itself, or that failed.
    Mechanism,
    /// A speed, acceleration or timing that the plan cannot keep.
    Plan,
    /// A file that could not be read or written.
    File,
    /// A key in a file that is unknown, missing, or of the wrong type.
    Key,
    /// A kind of mechanism that is not registered.
    UnknownKind,
    /// Something asked of a carriage that its state does not allow.
    Refused,
    /// A job that cannot be done as written.
    Job,
    /// A placement of another machine's axis.
    OtherAxis,
}

impl ErrorKind {
    /// The kind's name, as Python and `--json` spell it.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Syntax => "syntax",
            Self::MissingUnit => "missing_unit",
            Self::Unit => "unit",
            Self::InexactNumber => "inexact_number",
            Self::DivisionByZero => "division_by_zero",
            Self::OutOfRange => "out_of_range",
            Self::Overflow => "overflow",
            Self::BeyondLimit => "beyond_limit",
            Self::Undecided => "undecided",
            Self::Mechanism => "mechanism",
            Self::Plan => "plan",
            Self::File => "file",
            Self::Key => "key",
            Self::UnknownKind => "unknown_kind",
            Self::Refused => "refused",
            Self::Job => "job",
            Self::OtherAxis => "other_axis",
        }
    }
}

/// A value quoted in an error.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Value {
    /// A few words of text, as given.
    Text(Excerpt),
    /// A word of our own.
    Word(&'static str),
    /// A whole number.
    Integer(i128),
    /// A whole number of things, named in the plural.
    Count(i128, &'static str),
    /// A number without a unit.
    Exact(Exact),
    /// A length in millimetres, to be shown in the unit.
    Length(Exact, LengthUnit),
    /// An angle in degrees, to be shown in the unit.
    Angle(Exact, AngleUnit),
    /// A rate: the quantity in millimetres per second to the given power.
    LengthRate(Exact, LengthUnit, u32),
    /// A rate: the quantity in degrees per second to the given power.
    AngleRate(Exact, AngleUnit, u32),
    /// Which machine something belongs to, in hexadecimal.
    Fingerprint(u64),
}

impl Value {
    /// Quotes `text`, shortened where it is long.
    pub fn text(text: &str) -> Self {
        Self::Text(Excerpt::of(text))
    }
}

impl Value {
    /// The same, a length or a rate of one being shown in `unit`.
    const fn told_in(self, unit: LengthUnit) -> Self {
        match self {
            Self::Length(value, _) => Self::Length(value, unit),
            Self::LengthRate(value, _, order) => Self::LengthRate(value, unit, order),
            other => other,
        }
    }
}

impl fmt::Display for Value {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            Self::Text(text) => write!(f, "“{text}”"),
            Self::Word(word) => f.write_str(word),
            Self::Integer(value) => write!(f, "{value}"),
            Self::Count(value, things) => write!(f, "{value} {things}"),
            Self::Exact(value) => write!(f, "{value}"),
            Self::Length(value, unit) => write_quantity(f, value, &unit, 0),
            Self::Angle(value, unit) => write_quantity(f, value, &unit, 0),
            Self::LengthRate(value, unit, order) => write_quantity(f, value, &unit, order),
            Self::AngleRate(value, unit, order) => write_quantity(f, value, &unit, order),
            Self::Fingerprint(bits) => write!(f, "{bits:016x}"),
        }
    }
}

/// The characters of a text that was given, or those about one place in it, kept without a heap.
#[derive(Clone, Copy, PartialEq, Eq)]
pub struct Excerpt {
    bytes: [u8; Self::CAPACITY],
    length: u8,
}

impl Excerpt {
    const CAPACITY: usize = 40;
    const ELLIPSIS: &'static str = "…";

    /// The text, or its beginning and an ellipsis.
    pub fn of(text: &str) -> Self {
        Self::about(text, 0)
    }

    /// The text, or as much of it as fits about the byte `offset`, with an ellipsis for what is
    /// left out.
    pub fn about(text: &str, offset: usize) -> Self {
        let mut excerpt = Self { bytes: [0; Self::CAPACITY], length: 0 };
        if text.len() <= Self::CAPACITY {
            excerpt.push(text);
            return excerpt;
        }
        let room = Self::CAPACITY - 2 * Self::ELLIPSIS.len();
        let start = offset.saturating_sub(room / 2).min(text.len() - room);
        let boundary = |at: &usize| text.is_char_boundary(*at);
        let start = (start..=text.len()).find(boundary).unwrap_or(0);
        let end = (start..=text.len().min(start + room)).rfind(boundary).unwrap_or(start);
        if start > 0 {
            excerpt.push(Self::ELLIPSIS);
        }
        excerpt.push(&text[start..end]);
        if end < text.len() {
            excerpt.push(Self::ELLIPSIS);
        }
        excerpt
    }

    fn push(&mut self, text: &str) {
        let start = usize::from(self.length);
        let end = start + text.len();
        self.bytes[start..end].copy_from_slice(text.as_bytes());
        self.length = u8::try_from(end).unwrap_or(u8::MAX);
    }

    /// The text.
    pub fn as_str(&self) -> &str {
        core::str::from_utf8(&self.bytes[..usize::from(self.length)]).unwrap_or_default()
    }
}

impl fmt::Display for Excerpt {
    /// Control characters are written as escapes, so that a hostile text cannot steer a terminal.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for next in self.as_str().chars() {
            if next.is_control() {
                write!(f, "{}", next.escape_default())?;
            } else {
                write!(f, "{next}")?;
            }
        }
        Ok(())
    }
}

impl fmt::Debug for Excerpt {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Debug::fmt(self.as_str(), f)
    }
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Allowed {
    Unstated,
    AtLeast(Value),
    AtMost(Value),
    Between(Value, Value),
    Only(Value),
    Spelling(&'static str),
}

/// Why something was refused.
///
/// Shown to people as one line: what it is about, what was given, what is allowed, and a way
/// forward. Programs ask for the [`kind`](Error::kind).
///
/// ```
/// use wholestep::{ErrorKind, Exact};
/// let error = Exact::new(1, 0).unwrap_err();
/// assert_eq!(error.kind(), ErrorKind::DivisionByZero);
/// assert_eq!(error.to_string(), "fraction: write a denominator other than 0");
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Error {
    kind: ErrorKind,
    subject: &'static str,
    given: Option<Value>,
    excess: Option<Value>,
    allowed: Allowed,
    /// Where in the given text the trouble begins.
    place: Option<Place>,
    /// The parameter it is about, as files name it.
    parameter: Option<&'static str>,
    remedy: &'static str,
    #[cfg(feature = "alloc")]
    context: Option<alloc::boxed::Box<Context>>,
}

/// A place in a text: in bytes from its start for programs, in characters from 1 for people.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Place {
    offset: u32,
    character: u32,
}

/// Where in a file an error stands, and words that had to be composed.
#[cfg(feature = "alloc")]
#[derive(Clone, Debug, Default, PartialEq, Eq)]
struct Context {
    file: Option<alloc::string::String>,
    line: Option<usize>,
    key: Option<alloc::string::String>,
    entry: Option<alloc::string::String>,
    advice: Option<alloc::string::String>,
    os_error: Option<(i32, alloc::string::String)>,
}

impl Error {
    /// An error of `kind` about `subject` (a noun, without a full stop).
    pub const fn new(kind: ErrorKind, subject: &'static str) -> Self {
        Self {
            kind,
            subject,
            given: None,
            excess: None,
            allowed: Allowed::Unstated,
            place: None,
            parameter: None,
            remedy: "",
            #[cfg(feature = "alloc")]
            context: None,
        }
    }

    /// Says what was given.
    #[must_use]
    pub const fn given(mut self, value: Value) -> Self {
        self.given = Some(value);
        self
    }

    /// Says by how much a limit was exceeded.
    #[must_use]
    pub const fn excess(mut self, value: Value) -> Self {
        self.excess = Some(value);
        self
    }

    /// Says that at least `low` is allowed.
    #[must_use]
    pub const fn at_least(mut self, low: Value) -> Self {
        self.allowed = Allowed::AtLeast(low);
        self
    }

    /// Says that at most `high` is allowed.
    #[must_use]
    pub const fn at_most(mut self, high: Value) -> Self {
        self.allowed = Allowed::AtMost(high);
        self
    }

    /// Says that `low` to `high` is allowed.
    #[must_use]
    pub const fn between(mut self, low: Value, high: Value) -> Self {
        self.allowed = Allowed::Between(low, high);
        self
    }

    /// Says that only `value` is allowed.
    #[must_use]
    pub const fn only(mut self, value: Value) -> Self {
        self.allowed = Allowed::Only(value);
        self
    }

    /// Says how it is spelled.
    #[must_use]
    pub const fn spelling(mut self, example: &'static str) -> Self {
        self.allowed = Allowed::Spelling(example);
        self
    }

    /// Quotes the `text` that was given and says where in it the trouble begins, in bytes from its
    /// start.
    #[must_use]
    pub fn in_text(mut self, text: &str, offset: usize) -> Self {
        self.given = Some(Value::Text(Excerpt::about(text, offset)));
        let character = text.char_indices().take_while(|(at, _)| *at < offset).count() + 1;
        self.place = u32::try_from(offset)
            .and_then(|offset| Ok(Place { offset, character: u32::try_from(character)? }))
            .ok();
        self
    }

    /// Says what to do (an imperative, without a full stop).
    #[must_use]
    pub const fn remedy(mut self, remedy: &'static str) -> Self {
        self.remedy = remedy;
        self
    }

    /// The same error with its lengths told in `unit`, for a person who did not write them in the
    /// axis's unit.
    ///
    /// ```
    /// use wholestep::{Error, ErrorKind, Exact, Length, LengthUnit, Measure};
    /// let gauge = Length::new(Exact::new(-127, 20)?, LengthUnit::Millimetre)?;
    /// let error = Error::new(ErrorKind::OutOfRange, "gauge").given(gauge.quoted(LengthUnit::Millimetre));
    /// assert_eq!(error.told_in(LengthUnit::Inch).to_string(), "gauge -0.25 in");
    /// # Ok::<(), wholestep::Error>(())
    /// ```
    #[must_use]
    pub fn told_in(mut self, unit: LengthUnit) -> Self {
        let told = |value: Option<Value>| value.map(|value| value.told_in(unit));
        (self.given, self.excess) = (told(self.given), told(self.excess));
        self.allowed = match self.allowed {
            Allowed::AtLeast(low) => Allowed::AtLeast(low.told_in(unit)),
            Allowed::AtMost(high) => Allowed::AtMost(high.told_in(unit)),
            Allowed::Between(low, high) => Allowed::Between(low.told_in(unit), high.told_in(unit)),
            Allowed::Only(value) => Allowed::Only(value.told_in(unit)),
            allowed @ (Allowed::Unstated | Allowed::Spelling(_)) => allowed,
        };
        self
    }

    /// Says which parameter it is about, by section and key of an axis file: `motion.speed`.
    ///
    /// The file's reader places the error there, so that no line is found by matching words.
    #[must_use]
    pub const fn about(mut self, parameter: &'static str) -> Self {
        self.parameter = Some(parameter);
        self
    }

    /// The parameter it is about, by section and key of an axis file, if it is about one.
    pub const fn parameter(&self) -> Option<&'static str> {
        self.parameter
    }

    /// The kind of error.
    pub const fn kind(&self) -> ErrorKind {
        self.kind
    }

    /// What the error is about.
    pub const fn subject(&self) -> &'static str {
        self.subject
    }

    /// What was given, where it was quoted.
    pub const fn given_value(&self) -> Option<Value> {
        self.given
    }

    /// By how much a limit was exceeded, where one was.
    pub const fn excess_value(&self) -> Option<Value> {
        self.excess
    }

    /// Where in the given text the trouble begins, in bytes from its start.
    pub const fn text_offset(&self) -> Option<u32> {
        match self.place {
            Some(place) => Some(place.offset),
            None => None,
        }
    }
}

#[cfg(feature = "alloc")]
impl Error {
    fn context(&mut self) -> &mut Context {
        self.context.get_or_insert_default()
    }

    /// Says in which file it stands; a file named before is kept.
    #[must_use]
    pub fn in_file(mut self, file: &str) -> Self {
        self.context().file.get_or_insert_with(|| file.into());
        self
    }

    /// Says on which line it stands, counted from 1; a line named before is kept.
    #[must_use]
    pub fn on_line(mut self, line: usize) -> Self {
        self.context().line.get_or_insert(line);
        self
    }

    /// Says at which key it stands; a key named before is kept.
    #[must_use]
    pub fn at_key(mut self, key: &str) -> Self {
        self.context().key.get_or_insert_with(|| key.into());
        self
    }

    /// Says which of several things it is about, such as `part “rail”`; the first said is kept.
    ///
    /// ```
    /// use wholestep::{Error, ErrorKind};
    /// let error = Error::new(ErrorKind::OutOfRange, "quantity").of_entry("part “rail”");
    /// assert_eq!(error.to_string(), "part “rail”: quantity");
    /// ```
    #[must_use]
    pub fn of_entry(mut self, which: impl Into<alloc::string::String>) -> Self {
        self.context().entry.get_or_insert_with(|| which.into());
        self
    }

    /// Says what to do in words composed for the case; shown instead of the remedy.
    #[must_use]
    pub fn advice(mut self, advice: impl Into<alloc::string::String>) -> Self {
        self.context().advice = Some(advice.into());
        self
    }

    /// Says which file the operating system refused, and with which number, if it gave one.
    #[must_use]
    pub fn os_error(mut self, file: impl Into<alloc::string::String>, number: Option<i32>) -> Self {
        self.context().os_error = number.map(|number| (number, file.into()));
        self
    }

    /// The number with which the operating system refused a file, such as 2 for one that is missing,
    /// and that file, which need not be the one the error stands in.
    pub fn os_error_of_file(&self) -> Option<(i32, &str)> {
        self.context.as_ref()?.os_error.as_ref().map(|(number, file)| (*number, file.as_str()))
    }

    /// The file it stands in.
    pub fn file(&self) -> Option<&str> {
        self.context.as_ref()?.file.as_deref()
    }

    /// The line it stands on, counted from 1.
    pub fn line(&self) -> Option<usize> {
        self.context.as_ref()?.line
    }

    /// The key it stands at.
    pub fn key(&self) -> Option<&str> {
        self.context.as_ref()?.key.as_deref()
    }

    fn write_place(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Some(context) = &self.context else { return Ok(()) };
        if let Some(file) = &context.file {
            write!(f, "{file}: ")?;
        }
        if let Some(line) = context.line {
            write!(f, "line {line}: ")?;
        }
        if let Some(key) = &context.key {
            write!(f, "`{key}`: ")?;
        }
        if let Some(entry) = &context.entry {
            write!(f, "{entry}: ")?;
        }
        Ok(())
    }

    fn way_forward(&self) -> &str {
        self.context.as_ref().and_then(|c| c.advice.as_deref()).unwrap_or(self.remedy)
    }
}

#[cfg(not(feature = "alloc"))]
impl Error {
    #[expect(
        clippy::unused_self,
        clippy::unnecessary_wraps,
        reason = "without a heap there is no file to name"
    )]
    fn write_place(&self, _: &mut fmt::Formatter<'_>) -> fmt::Result {
        Ok(())
    }

    fn way_forward(&self) -> &str {
        self.remedy
    }
}

impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.write_place(f)?;
        f.write_str(self.subject)?;
        let mut separator = ": ";
        if let Some(given) = self.given {
            write!(f, " {given}")?;
            if let Some(place) = self.place {
                write!(f, ", at character {}", place.character)?;
            }
        }
        if let Some(excess) = self.excess {
            write!(f, "{separator}too far by {excess}")?;
            separator = "; ";
        }
        match self.allowed {
            Allowed::Unstated => {}
            Allowed::AtLeast(low) => write!(f, "{separator}at least {low} is allowed")?,
            Allowed::AtMost(high @ Value::Count(..)) => write!(f, "{separator}at most {high} are allowed")?,
            Allowed::AtMost(high) => write!(f, "{separator}at most {high} is allowed")?,
            Allowed::Between(low, high) => write!(f, "{separator}{low} to {high} is allowed")?,
            Allowed::Only(value) => write!(f, "{separator}only {value} is allowed")?,
            Allowed::Spelling(example) => write!(f, "{separator}write it like {example}")?,
        }
        if self.allowed != Allowed::Unstated {
            separator = "; ";
        }
        match self.way_forward() {
            "" => Ok(()),
            remedy => write!(f, "{separator}{remedy}"),
        }
    }
}

impl core::error::Error for Error {}

impl From<ArithmeticError> for Error {
    fn from(error: ArithmeticError) -> Self {
        let decimals = |subject, given: u8, most: u8| {
            Self::new(ErrorKind::OutOfRange, subject)
                .given(Value::Integer(given.into()))
                .between(Value::Integer(0), Value::Integer(most.into()))
        };
        match error {
            ArithmeticError::DivisionByZero => {
                Self::new(ErrorKind::DivisionByZero, "fraction").remedy("write a denominator other than 0")
            }
            ArithmeticError::Overflow => Self::new(ErrorKind::Overflow, "exact arithmetic")
                .remedy("use numbers with fewer digits or a smaller magnitude"),
            ArithmeticError::Domain => Self::new(ErrorKind::OutOfRange, "geometry")
                .remedy("check the lengths; no triangle has these sides"),
            ArithmeticError::CrossedBounds => Self::new(ErrorKind::Mechanism, "enclosure")
                .remedy("give the lower bound first; the bounds were crossed"),
            ArithmeticError::TooWide => Self::new(ErrorKind::OutOfRange, "width of a computed value")
                .remedy("ask for a greater width; the value is not known as closely"),
            ArithmeticError::Decimals(given) => decimals("decimals", given, DECIMALS_MAX),
            ArithmeticError::WidthDecimals(given) => decimals("width in decimals", given, WIDTH_DECIMALS_MAX),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::string::ToString;

    #[test]
    fn a_long_text_is_shortened_between_characters() {
        let long = "ä".repeat(40);
        let excerpt = Excerpt::of(&long);
        assert!(excerpt.as_str().ends_with('…') && excerpt.as_str().len() <= Excerpt::CAPACITY);
        assert_eq!(Excerpt::of("short").as_str(), "short");
    }

    #[test]
    fn a_long_text_is_quoted_about_the_trouble() {
        for (text, sign) in [("0".repeat(200), "0"), ("ä".repeat(100), "ä")] {
            for offset in (0..=200).step_by(2) {
                let mut text = text.clone();
                text.insert(offset, '#');
                let excerpt = Excerpt::about(&text, offset);
                let quoted = excerpt.as_str();
                assert!(quoted.contains('#') && quoted.contains(sign), "{quoted} at {offset}");
                assert!(quoted.starts_with('…') || offset < 20, "{quoted} at {offset}");
                assert!(quoted.ends_with('…') || offset > 180, "{quoted} at {offset}");
            }
        }
    }

    #[test]
    fn a_text_cannot_steer_the_terminal_it_is_quoted_on() {
        assert_eq!(Value::text("a\u{1b}[2J\n").to_string(), "“a\\u{1b}[2J\\n”");
    }

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
