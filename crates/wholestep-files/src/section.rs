//! A section of a file, which hands out its values by key.

use toml_edit::TableLike;

use super::given::{FromToml, Given, example};
use super::location::{Node, Place, look_up};
use super::suggest::{instead, listed, nearest};
use crate::messages;
use wholestep::error::{Error, Result, Value};
use wholestep::measure::{AngleUnit, LengthUnit, Unit};

/// The version of the file formats that this library reads.
pub const VERSION: i64 = 1;

/// A section of a file, which hands out its values by key and remembers which were asked for.
///
/// Values are of any type that is [`FromToml`], and [`keys!`](crate::keys) reads a section whole. Measures stand in quotes with their unit, or
/// without where the file declares one; a bare number is refused with the spelling that is exact.
/// A key that nobody asked for is refused by [`finish`](Section::finish) with the nearest one that
/// somebody did. Every error carries file, line and key.
///
/// ```
/// use wholestep::Length;
/// use wholestep_files::{Document, keys};
///
/// keys! {
///     struct Clamp {
///         /// From the screw to the throat.
///         reach: Length,
///         /// How many pairs of jaws.
///         jaws: u32,
///         /// Thickness of the padding.
///         padding: Option<Length> = "none",
///     }
/// }
///
/// let document = Document::from_toml("unit = \"in\"\n[clamp]\nreach = \"6\"\njaws = 2\n")?;
/// let mut root = document.root();
/// root.declare_unit()?;
/// let clamp: Clamp = root.section("clamp")?.read()?;
/// assert_eq!((clamp.reach.to_string(), clamp.jaws, clamp.padding), ("152.4 mm".to_string(), 2, None));
///
/// let document = Document::from_toml("[clamp]\nreach = \"6 in\"\njws = 2\n")?;
/// let error = document.root().section("clamp")?.read::<Clamp>().err().unwrap();
/// assert_eq!(
///     error.to_string(),
///     "line 3: `clamp.jws`: unknown key: write `jaws`; known here: reach, jaws, padding"
/// );
/// # Ok::<(), wholestep::Error>(())
/// ```
pub struct Section<'d> {
    pub(super) place: Place<'d>,
    table: &'d dyn TableLike,
    asked: Vec<String>,
    missing: Vec<Missing<'d>>,
}

/// A key that a section lacks, and how it is written.
struct Missing<'d> {
    place: Place<'d>,
    example: String,
}

impl<'d> Section<'d> {
    pub(super) const fn new(place: Place<'d>, table: &'d dyn TableLike) -> Self {
        Self { place, table, asked: Vec::new(), missing: Vec::new() }
    }

    /// Returns the value at `key`.
    ///
    /// # Errors
    /// [`ErrorKind::Key`](wholestep::ErrorKind::Key) if it is missing or of another type; as its type reads it.
    pub fn required<T: FromToml>(&mut self, key: &str) -> Result<T> {
        if let Some(value) = self.take(key)? {
            return Ok(value);
        }
        self.refuse_near_miss(key)?;
        Err(self.missing())
    }

    /// Returns the value at `key`, if there is one.
    ///
    /// # Errors
    /// As [`required`](Self::required), but for a missing key.
    pub fn optional<T: FromToml>(&mut self, key: &str) -> Result<Option<T>> {
        self.required(key)
    }

    /// Returns the value at `key`, or remembers that it is missing; [`missing`](Self::missing) tells of all
    /// at once.
    ///
    /// # Errors
    /// As [`required`](Self::required), but for a missing key.
    pub fn take<T: FromToml>(&mut self, key: &str) -> Result<Option<T>> {
        if let Some((place, node)) = self.look_up(key) {
            return T::from_toml(&Given::new(place, node)).map(Some);
        }
        let absent = T::absent();
        if absent.is_none() {
            let place = self.place.child(key, None);
            let example = example::<T>(&place);
            self.missing.push(Missing { place, example });
        }
        Ok(absent)
    }

    /// Returns the error for the keys that were missed since the last.
    #[must_use]
    pub fn missing(&mut self) -> Error {
        let missing = core::mem::take(&mut self.missing);
        let under = missing.first().map_or_else(String::new, |missing| missing.place.under());
        let examples = listed(missing.iter().map(|missing| &*missing.example));
        let error = messages::MISSING.error();
        match &*missing {
            [Missing { place, .. }] => place.blame(error.advice(format!("write it like {examples}{under}"))),
            _ => self.place.blame(error.advice(format!("write them like {examples}{under}"))),
        }
    }

    /// Returns the section at `key`.
    ///
    /// # Errors
    /// [`ErrorKind::Key`](wholestep::ErrorKind::Key) if it is missing or not a section.
    pub fn section(&mut self, key: &str) -> Result<Self> {
        if let Some(section) = self.optional_section(key)? {
            return Ok(section);
        }
        Err(self.missing_section(key, ""))
    }

    /// Returns the section at `key`, if there is one.
    ///
    /// # Errors
    /// [`ErrorKind::Key`](wholestep::ErrorKind::Key) if it is not a section.
    pub fn optional_section(&mut self, key: &str) -> Result<Option<Self>> {
        match self.look_up(key) {
            None => Ok(None),
            Some((place, node)) => Given::new(place, node).section().map(Some),
        }
    }

    /// Returns the section at `key`, or one without any keys.
    ///
    /// # Errors
    /// [`ErrorKind::Key`](wholestep::ErrorKind::Key) if it is not a section.
    pub fn section_or_empty(&mut self, key: &str) -> Result<Self> {
        let section = self.optional_section(key)?;
        Ok(section.unwrap_or_else(|| Self::new(self.place.child(key, None), self.place.document().no_keys())))
    }

    /// Returns the sections at `key`, written `[[key]]` or as a list; none if there are none.
    ///
    /// # Errors
    /// [`ErrorKind::Key`](wholestep::ErrorKind::Key) if something else stands there.
    pub fn sections(&mut self, key: &str) -> Result<Vec<Self>> {
        let Some((place, node)) = self.look_up(key) else { return Ok(Vec::new()) };
        let two_brackets = |place: &Place<'_>| {
            place.wrong_type(
                place.quoted(),
                format!("write [[{}]], with two brackets, before each", place.key),
            )
        };
        match node {
            Node::Tables(_) | Node::Values(_) => Given::new(place, node)
                .entries()
                .iter()
                .map(|entry| entry.section().map_err(|_| two_brackets(&entry.place)))
                .collect(),
            _ => Err(two_brackets(&place)),
        }
    }

    /// Returns the keys of the section, in the order of the file.
    pub fn keys(&self) -> impl Iterator<Item = &'d str> + use<'d> {
        self.table.iter().map(|(key, _)| key)
    }

    /// Returns the value at `key` as it is written in the file; a text without its quotes.
    pub fn written(&self, key: &str) -> Option<&'d str> {
        match look_up(&self.place, self.table, key)? {
            (_, Node::Text(text)) => Some(text),
            (place, _) => Some(place.written()),
        }
    }

    /// Returns the line on which the section begins, counted from 1.
    pub fn line(&self) -> usize {
        self.place.line()
    }

    /// Reads the `version` of the file.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](wholestep::ErrorKind::OutOfRange) unless it is [`VERSION`].
    pub fn check_version(&mut self) -> Result<()> {
        let version: i64 = self.required("version")?;
        if version == VERSION {
            return Ok(());
        }
        let error = messages::VERSION.error().given(Value::Integer(version.into()));
        Err(self.blame_at("version", error))
    }

    /// Reads the `unit` that the file declares once, for the quoted numbers without one in the
    /// values and sections asked for from here on.
    ///
    /// # Errors
    /// [`ErrorKind::Unit`](wholestep::ErrorKind::Unit) if it is neither a unit of length nor of angle.
    pub fn declare_unit(&mut self) -> Result<()> {
        let Some(word) = self.optional::<String>("unit")? else { return Ok(()) };
        match (LengthUnit::read(&word), AngleUnit::read(&word)) {
            // A foot and an arc minute share their marks, and so do an inch and an arc second.
            (Ok(_), Ok(_)) => {
                let error = messages::UNIT.error().given(Value::text(&word));
                Err(self.blame_at("unit", error.remedy("write the unit as a word, such as in or arcmin")))
            }
            (Ok(unit), Err(_)) => {
                self.place.units.length = Some(unit);
                Ok(())
            }
            (Err(_), Ok(unit)) => {
                self.place.units.angle = Some(unit);
                Ok(())
            }
            (Err(error), Err(_)) => Err(self.blame_at("unit", error)),
        }
    }

    /// Returns the unit of length that the file declares.
    pub const fn length_unit(&self) -> Option<LengthUnit> {
        self.place.units.length
    }

    /// Returns the unit of angle that the file declares.
    pub const fn angle_unit(&self) -> Option<AngleUnit> {
        self.place.units.angle
    }

    /// Returns the error with file, line and key of this section.
    ///
    /// An error about a parameter that is a key of this section is placed there.
    #[must_use]
    pub fn blame(&self, error: Error) -> Error {
        match self.key_of(&error) {
            Some(key) => self.blame_at(key, error),
            None => self.place.blame(error),
        }
    }

    /// Returns the error with file and line of `key`.
    #[must_use]
    pub fn blame_at(&self, key: &str, error: Error) -> Error {
        let found = look_up(&self.place, self.table, key);
        found.map_or_else(|| self.place.child(key, None), |(place, _)| place).blame(error)
    }

    /// Counts the keys as asked for, before they are.
    pub(super) fn expect<'k>(&mut self, keys: impl Iterator<Item = &'k str>) {
        self.asked.extend(keys.map(String::from));
    }

    /// Refuses every key that was not asked for.
    ///
    /// # Errors
    /// [`ErrorKind::Key`](wholestep::ErrorKind::Key) with the nearest key that was.
    pub fn finish(&self) -> Result<()> {
        match self.keys().find(|key| !self.was_asked(key)) {
            None => Ok(()),
            Some(key) => Err(self.unknown(key, self.asked.iter().map(String::as_str).collect())),
        }
    }

    /// The key of this section that the error is about.
    fn key_of(&self, error: &Error) -> Option<&'d str> {
        let parameter = error.parameter()?;
        let key = parameter.rsplit('.').next().unwrap_or(parameter);
        self.keys().find(|given| *given == key)
    }

    fn was_asked(&self, key: &str) -> bool {
        self.asked.iter().any(|asked| asked == key)
    }

    fn look_up(&mut self, key: &str) -> Option<(Place<'d>, Node<'d>)> {
        if !self.was_asked(key) {
            self.asked.push(key.into());
        }
        look_up(&self.place, self.table, key)
    }

    /// The error for a section that is missing, with what it would hold.
    pub(super) fn missing_section(&self, key: &str, holding: &str) -> Error {
        if let Err(error) = self.refuse_near_miss(key) {
            return error;
        }
        let place = self.place.child(key, None);
        let advice = format!("write a section [{}]{holding}", place.key);
        place.blame(messages::MISSING.error().advice(advice))
    }

    /// Says of a missing key that a near one was likely meant for it.
    fn refuse_near_miss(&self, key: &str) -> Result<()> {
        match self.keys().find(|given| !self.was_asked(given) && nearest(given, [key]).is_some()) {
            None => Ok(()),
            Some(given) => Err(self.unknown_but(given, format!("write `{key}`"))),
        }
    }

    /// The error for a key that nobody asked for, with the `known` ones.
    fn unknown(&self, key: &str, known: Vec<&str>) -> Error {
        self.unknown_but(key, instead(key, known, "take it out"))
    }

    fn unknown_but(&self, key: &str, advice: String) -> Error {
        let span = self.table.key(key).and_then(toml_edit::Key::span);
        self.place.child(key, span).blame(messages::UNKNOWN_KEY.error().advice(advice))
    }
}

impl<'d> Given<'d> {
    /// Returns the section that was given.
    ///
    /// # Errors
    /// [`ErrorKind::Key`](wholestep::ErrorKind::Key) if something else was given.
    pub fn section(&self) -> Result<Section<'d>> {
        match self.node {
            Node::Table(table) => Ok(Section::new(self.place.clone(), table)),
            _ => Err(self
                .place
                .wrong_type(self.place.quoted(), format!("write a section [{}]", self.place.key))),
        }
    }
}
