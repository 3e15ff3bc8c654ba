//! A value of a file, where it stands, and the trait of what it is read into.

use std::borrow::Cow;

use super::location::{Node, Place, Units};
use super::suggest::instead;
use crate::messages;
use wholestep::error::{Error, Result, Value};

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
    pub(super) place: Place<'d>,
    pub(super) node: Node<'d>,
}

impl<'d> Given<'d> {
    pub(super) const fn new(place: Place<'d>, node: Node<'d>) -> Self {
        Self { place, node }
    }

    /// Returns the text that was given in quotes.
    ///
    /// # Errors
    /// [`ErrorKind::Key`](wholestep::ErrorKind::Key) if something else was given.
    pub fn text<T: FromToml>(&self) -> Result<&'d str> {
        match self.node {
            Node::Text(text) => Ok(text),
            _ => Err(self.wrong_type::<T>()),
        }
    }

    /// Returns the value of the word that was given.
    ///
    /// # Errors
    /// [`ErrorKind::Key`](wholestep::ErrorKind::Key) if something else was given, with the nearest of the words.
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
        let error = messages::UNKNOWN_WORD.error().given(Value::text(given));
        Err(self.blame(error.advice(advice)))
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

    fn quoted(&self) -> Value {
        match self.node {
            Node::Table(_) | Node::Tables(_) => Value::Word("[section]"),
            _ => self.place.quoted(),
        }
    }
}

/// How a `T` is written at a place: `pitch = "10 mm"`.
pub(super) fn example<T: FromToml>(place: &Place<'_>) -> String {
    format!("{} = {}", place.key.rsplit('.').next().unwrap_or_default(), T::example(place.units))
}
