//! Keys of a file, declared once: what reads them and what the reference says of them come from the same
//! lines.

use std::borrow::Cow;

use super::section::Section;
use super::suggest::listed;
use wholestep::error::Result;

/// A key of a section, as the reference of the files shows it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Key {
    /// The key as it is written.
    pub name: Cow<'static, str>,
    /// What stands behind it: `length`, `whole number`, or the words it may be.
    pub value: Cow<'static, str>,
    /// What it is, in a sentence; empty if whoever added the kind says nothing.
    pub about: Cow<'static, str>,
    /// Whether a file may leave it out.
    pub optional: bool,
    /// What is taken if a file leaves it out.
    pub default: Option<Cow<'static, str>>,
}

/// The keys of a section that is read into a structure; [`keys!`](crate::keys) writes it.
pub trait Keys: Sized {
    /// Returns the keys, in the order of their declaration.
    fn keys() -> Vec<Key>;

    /// Reads the keys from a section; [`Section::read`] refuses those that nobody knows, too.
    ///
    /// # Errors
    /// As each key is read; [`ErrorKind::Key`](wholestep::ErrorKind::Key) with all that are missing.
    fn from_section(section: &mut Section<'_>) -> Result<Self>;
}

impl Section<'_> {
    /// Returns every value that was not asked for yet, as one structure.
    ///
    /// # Errors
    /// As [`Keys::from_section`]; [`ErrorKind::Key`](wholestep::ErrorKind::Key) for keys that the structure does not know.
    pub fn read<T: Keys>(&mut self) -> Result<T> {
        self.expect(T::keys().iter().map(|key| &*key.name));
        self.finish()?;
        T::from_section(self)
    }

    /// Returns the section at `key`, which is read into a `T`; if it is missing, the error names the keys
    /// that it must have.
    ///
    /// # Errors
    /// As [`section`](Self::section).
    pub fn section_of<T: Keys>(&mut self, key: &str) -> Result<Self> {
        if let Some(section) = self.optional_section(key)? {
            return Ok(section);
        }
        let keys = T::keys();
        let needed = listed(keys.iter().filter(|key| !key.optional).map(|key| &*key.name));
        Err(self.missing_section(key, &format!(" with {needed}")))
    }
}

/// Declares the keys of a section: the structure they are read into, how it is read, and its rows in the
/// reference of the files (`docs/files.md`, `wholestep help files`).
///
/// The doc comment of a key is its sentence in the reference. A key of an [`Option`] may be left out;
/// `= "…"` says in words what is taken then. All missing keys are told at once.
///
/// ```
/// use wholestep::Length;
/// use wholestep_files::{Document, Keys, keys};
///
/// keys! {
///     /// A rope over a movable pulley.
///     struct Hoist {
///         /// Rope that a turn of the drum winds.
///         rope_per_turn: Length,
///         /// Layers of rope on the drum.
///         layers: Option<u32> = "1",
///     }
/// }
///
/// let document = Document::from_toml("[mechanism]\nrope_per_turn = \"160 mm\"\n")?;
/// let hoist: Hoist = document.root().section("mechanism")?.read()?;
/// assert_eq!((hoist.rope_per_turn, hoist.layers), ("160 mm".parse()?, None));
/// let layers = &Hoist::keys()[1];
/// assert_eq!((&*layers.name, &*layers.value, layers.optional), ("layers", "whole number", true));
///
/// let error = Document::from_toml("[mechanism]\n")?.root().section("mechanism")?.read::<Hoist>().err().unwrap();
/// assert_eq!(
///     error.to_string(),
///     "line 1: `mechanism.rope_per_turn`: missing: write it like rope_per_turn = \"10 mm\" under [mechanism]"
/// );
/// # Ok::<(), wholestep::Error>(())
/// ```
#[macro_export]
macro_rules! keys {
    ($(#[$meta:meta])* $vis:vis struct $name:ident $(<$m:ident: $bound:path>)? {
        $($(#[doc = $doc:literal])+ $field:vis $key:ident: $type:ty $(= $default:literal)?),*
        $(,)?
    }) => {
        $(#[$meta])*
        $vis struct $name $(<$m: $bound>)? {
            $($(#[doc = $doc])+ $field $key: $type,)*
        }

        $crate::keys! {
            impl $name $(<$m: $bound>)? {
                $($(#[doc = $doc])+ $key: $type $(= $default)?),*
            }
        }
    };
    (impl $name:ident $(<$m:ident: $bound:path>)? {
        $($(#[doc = $doc:literal])+ $key:ident: $type:ty $(= $default:literal)?),* $(,)?
    }) => {
        impl $(<$m: $bound>)? $crate::Keys for $name $(<$m>)? {
            fn keys() -> Vec<$crate::Key> {
                $crate::keys!(@rows $($(#[doc = $doc])+ $key: $type $(= $default)?),*)
            }

            fn from_section(section: &mut $crate::Section<'_>) -> wholestep::Result<Self> {
                $(let $key = section.take::<$type>(stringify!($key))?;)*
                match ($($key,)*) {
                    ($(Some($key),)*) => Ok(Self { $($key),* }),
                    _ => Err(section.missing()),
                }
            }
        }

        impl $(<$m: $bound>)? $crate::FromToml for $name $(<$m>)? {
            fn value() -> std::borrow::Cow<'static, str> {
                "section".into()
            }

            fn example(_: $crate::Units) -> String {
                "{ … }".into()
            }

            fn from_toml(given: &$crate::Given<'_>) -> wholestep::Result<Self> {
                given.section()?.read()
            }
        }
    };
    ($(#[$meta:meta])* $vis:vis fn $name:ident {
        $($(#[doc = $doc:literal])+ $key:ident: $type:ty $(= $default:literal)?),* $(,)?
    }) => {
        $(#[$meta])*
        $vis fn $name() -> Vec<$crate::Key> {
            $crate::keys!(@rows $($(#[doc = $doc])+ $key: $type $(= $default)?),*)
        }
    };
    (@rows $($(#[doc = $doc:literal])+ $key:ident: $type:ty $(= $default:literal)?),*) => {
        vec![$({
            let default: Option<&'static str> = None$(.or(Some($default)))?;
            $crate::Key {
                name: stringify!($key).into(),
                value: <$type as $crate::FromToml>::value(),
                about: concat!($($doc),+).trim().into(),
                optional: <$type as $crate::FromToml>::absent().is_some(),
                default: default.map(Into::into),
            }
        }),*]
    };
}
