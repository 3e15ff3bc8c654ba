//! Kinds of errors, and the words that an error begins with.

use super::Error;

/// What went wrong, for a program to tell apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum ErrorKind {
    /// The text is not a number or a measure.
    Syntax,
    /// A number stands without a unit if none was declared.
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
    /// Returns the kind's name, as Python and `--json` spell it.
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

/// What does not change from one error to the next: its kind, what it is about and what to do.
///
/// ```
/// use wholestep::ErrorKind;
/// use wholestep::error::{Message, Value};
/// static TOO_FEW_STAGES: Message =
///     Message::new(ErrorKind::OutOfRange, "stages").remedy("count the crossings of the scissors");
/// let error = TOO_FEW_STAGES.error().given(Value::Integer(0));
/// assert_eq!(error.to_string(), "stages 0: count the crossings of the scissors");
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Message {
    pub(super) kind: ErrorKind,
    pub(super) subject: &'static str,
    pub(super) parameter: Option<&'static str>,
    pub(super) remedy: &'static str,
}

impl Message {
    /// Makes the message of an error of `kind` about `subject` (a noun, without a full stop).
    pub const fn new(kind: ErrorKind, subject: &'static str) -> Self {
        Self { kind, subject, parameter: None, remedy: "" }
    }

    /// Says which parameter it is about, by section and key of an axis file: `motion.speed`.
    #[must_use]
    pub const fn about(self, parameter: &'static str) -> Self {
        Self { parameter: Some(parameter), ..self }
    }

    /// Says what to do (an imperative, without a full stop).
    #[must_use]
    pub const fn remedy(self, remedy: &'static str) -> Self {
        Self { remedy, ..self }
    }

    /// Makes the error that says so.
    pub fn error(&'static self) -> Error {
        Error::from(self)
    }
}

/// Declares messages: a name, the kind of the error, what it is about, and if there are such, the key it is about
/// and what to do.
///
/// ```
/// wholestep::messages! {
///     LOOSE_ROPE = OutOfRange "slack of the rope", about "rope_per_turn", do "wind the drum up first";
/// }
/// let error = LOOSE_ROPE.error();
/// assert_eq!(error.to_string(), "slack of the rope: wind the drum up first");
/// assert_eq!(error.parameter(), Some("rope_per_turn"));
/// ```
#[macro_export]
macro_rules! messages {
    ($($name:ident = $kind:ident $subject:literal $(, about $key:literal)? $(, do $remedy:literal)?;)*) => {$(
        pub(crate) static $name: $crate::error::Message =
            $crate::error::Message::new($crate::ErrorKind::$kind, $subject)$(.about($key))?$(.remedy($remedy))?;
    )*};
}
