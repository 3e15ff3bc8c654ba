//! The kinds of mechanism that axis files may name.

use std::borrow::Cow;
use std::collections::BTreeMap;
use std::sync::Arc;

use super::builtin;
use super::keys::{Key, Keys};
use super::section::Section;
use super::suggest::instead;
use crate::messages;
use wholestep::axis::AnyMechanism;
use wholestep::error::{Result, Value};
use wholestep::mechanism::DriveTrain;

type Factory = dyn Fn(&mut Section<'_>, DriveTrain) -> Result<AnyMechanism> + Send + Sync;

/// The kinds of mechanism that axis files may name, each with what makes one from a file's
/// `[mechanism]` section and the drive of its `[motor]`.
///
/// Pass a registry to [`AxisFile::load`](crate::AxisFile::load) to choose which kinds the file may use.
///
/// ```
/// use wholestep::axis::AnyMechanism;
/// use wholestep::mechanism::Linear;
/// use wholestep::{Exact, Length, Measure};
/// use wholestep_files::{AxisFile, Registry, keys};
///
/// keys! {
///     /// A rope over a movable pulley: the carriage travels half of what the drum winds.
///     struct Hoist {
///         /// Rope that a turn of the drum winds.
///         rope_per_turn: Length,
///     }
/// }
///
/// let registry = Registry::standard().with_parameters("hoist", |hoist: Hoist, drive| {
///     let travel = hoist.rope_per_turn.checked_mul(Exact::new(1, 2)?)?;
///     Ok(AnyMechanism::length(Linear::measured(drive, travel)?))
/// })?;
/// let file = AxisFile::from_toml(
///     r#"
///     version = 1
///     name = "Lumber hoist"
///     kind = "hoist"
///     unit = "mm"
///     [motor]
///     step_angle = "1.8 deg"
///     step_mode = "1/8"
///     [mechanism]
///     rope_per_turn = "160"
///     [limits]
///     low = "0"
///     high = "900"
///     [motion]
///     speed = "40"
///     acceleration = "100"
///     [pulse]
///     timer_hz = 1000000
///     direction_setup = "10 us"
///     pulse_high = "5 us"
///     pulse_low = "5 us"
///     "#,
///     &registry,
/// )?;
/// assert_eq!(file.description(), "hoist: rope per turn 160");
/// assert_eq!(file.length_axis().unwrap().highest_step(), 18_000);
/// # Ok::<(), wholestep::Error>(())
/// ```
#[derive(Clone)]
pub struct Registry {
    kinds: BTreeMap<String, Kind>,
}

/// What is known of a kind.
#[derive(Clone)]
struct Kind {
    factory: Arc<Factory>,
    about: Cow<'static, str>,
    keys: Vec<Key>,
}

impl Registry {
    /// Returns a registry without any kind.
    pub const fn empty() -> Self {
        Self { kinds: BTreeMap::new() }
    }

    /// Returns the built-in kinds: `lead_screw`, `belt`, `rack`, `drum`, `measured`, `rotary`,
    /// `swing_arm` and `screw_tilt`.
    pub fn standard() -> Self {
        let mut registry = Self::empty();
        for builtin::Kind { name, about, keys, factory } in builtin::BUILT_IN {
            let kind = Kind { factory: Arc::new(factory), about: about.into(), keys: keys() };
            registry.kinds.insert(name.into(), kind);
        }
        registry
    }

    /// Returns the same registry with one more kind, which takes its parameters from the section by hand.
    ///
    /// Keys of the section that `factory` does not ask for are refused after it.
    ///
    /// # Errors
    /// [`ErrorKind::Syntax`](wholestep::ErrorKind::Syntax) for a name that is not one word, [`ErrorKind::Refused`](wholestep::ErrorKind::Refused) for that of a
    /// kind that is known already.
    pub fn with(
        mut self,
        kind: &str,
        factory: impl Fn(&mut Section<'_>, DriveTrain) -> Result<AnyMechanism> + Send + Sync + 'static,
    ) -> Result<Self> {
        if kind.is_empty() || kind.chars().any(|next| next.is_whitespace() || next.is_control()) {
            return Err(messages::NAME_OF_A_KIND.error().given(Value::text(kind)));
        }
        if self.kinds.contains_key(kind) {
            return Err(messages::REGISTERED_ALREADY.error().given(Value::text(kind)));
        }
        let factory = Arc::new(factory);
        self.kinds.insert(kind.into(), Kind { factory, about: "".into(), keys: Vec::new() });
        Ok(self)
    }

    /// Returns the same registry with one more kind, whose parameters are a structure that [`keys!`](crate::keys)
    /// declares.
    ///
    /// # Errors
    /// As [`with`](Self::with).
    pub fn with_parameters<P: Keys>(
        self,
        kind: &str,
        factory: impl Fn(P, DriveTrain) -> Result<AnyMechanism> + Send + Sync + 'static,
    ) -> Result<Self> {
        let with = self.with(kind, move |section, drive| factory(section.read()?, drive))?;
        Ok(with.describing(kind, "", P::keys()))
    }

    /// Returns the same registry, saying in the reference of the files what `kind` is and which keys it takes.
    #[must_use]
    pub fn describing(mut self, kind: &str, about: impl Into<Cow<'static, str>>, keys: Vec<Key>) -> Self {
        if let Some(known) = self.kinds.get_mut(kind) {
            (known.about, known.keys) = (about.into(), keys);
        }
        self
    }

    /// What `kind` is, in a sentence; empty if nobody said.
    pub(super) fn about(&self, kind: &str) -> &str {
        self.kinds.get(kind).map_or("", |known| &known.about)
    }

    /// The keys of the `[mechanism]` section of `kind`, as far as they were declared.
    pub(super) fn keys_of(&self, kind: &str) -> &[Key] {
        self.kinds.get(kind).map_or(&[], |known| &known.keys)
    }

    /// Returns the same registry without `kind`, which a file may then name no more unless it is added again.
    #[must_use]
    pub fn without(mut self, kind: &str) -> Self {
        self.kinds.remove(kind);
        self
    }

    /// Returns the names of the kinds, sorted.
    pub fn kinds(&self) -> impl Iterator<Item = &str> + Clone {
        self.kinds.keys().map(String::as_str)
    }

    /// Makes a mechanism of `kind` from a file's section.
    ///
    /// # Errors
    /// [`ErrorKind::UnknownKind`](wholestep::ErrorKind::UnknownKind), or whatever the kind finds wrong with its parameters, placed in
    /// the file.
    pub fn mechanism(
        &self,
        kind: &str,
        section: &mut Section<'_>,
        drive: DriveTrain,
    ) -> Result<AnyMechanism> {
        let factory = self.factory(kind)?;
        let mechanism = factory(section, drive).map_err(|error| section.blame(error))?;
        section.finish()?;
        Ok(mechanism)
    }

    pub(super) fn factory(&self, kind: &str) -> Result<&Factory> {
        self.kinds.get(kind).map(|known| &*known.factory).ok_or_else(|| {
            messages::UNKNOWN_KIND.error().given(Value::text(kind)).advice(instead(
                kind,
                self.kinds(),
                "register the kind before reading the file",
            ))
        })
    }
}

impl Default for Registry {
    /// The built-in kinds.
    fn default() -> Self {
        Self::standard()
    }
}

impl core::fmt::Debug for Registry {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        f.debug_set().entries(self.kinds()).finish()
    }
}
