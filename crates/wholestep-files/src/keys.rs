//! Keys of a file, declared once: what reads them and what the reference says of them come from the same
//! lines.

use std::borrow::Cow;

use wholestep::axis::{Approach, MotorDirection};
use wholestep::carriage::{End, Wiring};
use wholestep::measure::{Acceleration, Jerk, Speed, Time};
use wholestep::mechanism::{ScrewMotion, StepMode, Thread};
use wholestep::{Angle, Exact, Length, Measure};

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
pub trait Keys {
    /// Returns the keys, in the order of their declaration.
    fn keys() -> Vec<Key>;
}

/// What a value of a file is, for the reference.
pub trait FileValue {
    /// Whether a file may leave it out.
    const OPTIONAL: bool = false;

    /// Returns what stands behind the key: `length`, or the words it may be.
    fn value() -> Cow<'static, str>;
}

/// Declares the keys of a section: the structure they are read into, how it is read, and its rows in the
/// reference of the files (`docs/files.md`, `wholestep help files`).
///
/// The doc comment of a key is its sentence in the reference. A key of an [`Option`] may be left out, and
/// so may one with `= "…"`, which says in words what is taken then.
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
/// # Ok::<(), wholestep::Error>(())
/// ```
#[macro_export]
macro_rules! keys {
    ($(#[$meta:meta])* $vis:vis struct $name:ident $(<$m:ident: $bound:path>)? {
        $($(#[doc = $doc:literal])+ $(#[serde($serde:ident)])? $field:vis $key:ident: $type:ty $(= $default:literal)?),*
        $(,)?
    }) => {
        #[derive(serde::Deserialize)]
        $(#[$meta])*
        $vis struct $name $(<$m: $bound>)? {
            $($(#[doc = $doc])+ $(#[serde($serde)])? $field $key: $type,)*
        }

        impl $(<$m: $bound + $crate::FileValue>)? $crate::Keys for $name $(<$m>)? {
            fn keys() -> Vec<$crate::Key> {
                $crate::keys!(@rows $($(#[doc = $doc])+ $key: $type $(= $default)?),*)
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
                value: <$type as $crate::FileValue>::value(),
                about: concat!($($doc),+).trim().into(),
                optional: <$type as $crate::FileValue>::OPTIONAL || default.is_some(),
                default: default.map(Into::into),
            }
        }),*]
    };
}

impl<T: FileValue> FileValue for Option<T> {
    const OPTIONAL: bool = true;

    fn value() -> Cow<'static, str> {
        T::value()
    }
}

impl<T: FileValue> FileValue for Vec<T> {
    const OPTIONAL: bool = true;

    fn value() -> Cow<'static, str> {
        format!("{}, or a list of them", T::value()).into()
    }
}

macro_rules! values {
    ($($type:ty: $words:literal;)*) => { $(
        impl FileValue for $type {
            fn value() -> Cow<'static, str> {
                $words.into()
            }
        }
    )* };
}

values! {
    String: "text";
    bool: "`true` or `false`";
    i64: "whole number";
    u32: "whole number";
    u64: "whole number";
    Exact: "number";
    Length: "length";
    Angle: "angle";
    Time: "time";
    StepMode: "step mode, such as `\"1/16\"`";
    Thread: "thread, such as `\"Tr12x3\"`";
    End: "`\"low\"` or `\"high\"`";
    Wiring: "`\"normally_closed\"` or `\"normally_open\"`";
    MotorDirection: "`\"normal\"` or `\"reversed\"`";
    Approach: "`\"either\"`, `\"from_below\"` or `\"from_above\"`";
    ScrewMotion: "`\"lengthening\"` or `\"shortening\"`";
}

impl<M: Measure> FileValue for Speed<M> {
    fn value() -> Cow<'static, str> {
        "speed".into()
    }
}

impl<M: Measure> FileValue for Acceleration<M> {
    fn value() -> Cow<'static, str> {
        "acceleration".into()
    }
}

impl<M: Measure> FileValue for Jerk<M> {
    fn value() -> Cow<'static, str> {
        "jerk".into()
    }
}
