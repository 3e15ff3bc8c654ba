//! A mechanism and an axis of either measure, for files and bindings.

use alloc::sync::Arc;

use super::{Axis, Fingerprint};
use crate::measure::{Angle, Length, Measure};
use crate::mechanism::Mechanism;

/// A mechanism of some measure, whatever its type.
pub type SharedMechanism<M> = Arc<dyn Mechanism<Measure = M> + Send + Sync>;
/// A mechanism that moves along a line.
pub type LengthMechanism = SharedMechanism<Length>;
/// A mechanism that turns.
pub type AngleMechanism = SharedMechanism<Angle>;

/// A mechanism of either measure.
#[derive(Clone)]
pub enum AnyMechanism {
    /// It moves along a line.
    Length(LengthMechanism),
    /// It turns.
    Angle(AngleMechanism),
}

impl AnyMechanism {
    /// Returns a mechanism that moves along a line.
    pub fn length(mechanism: impl Mechanism<Measure = Length> + Send + Sync + 'static) -> Self {
        Self::Length(Arc::new(mechanism))
    }

    /// Returns a mechanism that turns.
    pub fn angle(mechanism: impl Mechanism<Measure = Angle> + Send + Sync + 'static) -> Self {
        Self::Angle(Arc::new(mechanism))
    }
}

impl core::fmt::Debug for AnyMechanism {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        let (measure, span) = match self {
            Self::Length(mechanism) => (Length::NAME, mechanism.span()),
            Self::Angle(mechanism) => (Angle::NAME, mechanism.span()),
        };
        f.debug_struct("AnyMechanism").field("measure", &measure).field("span", &span).finish()
    }
}

/// An axis of either measure.
#[derive(Clone)]
pub enum AnyAxis {
    /// Its positions are lengths.
    Length(Axis<LengthMechanism>),
    /// Its positions are angles.
    Angle(Axis<AngleMechanism>),
}

impl AnyAxis {
    /// Returns which machine its step numbers belong to.
    pub const fn fingerprint(&self) -> Fingerprint {
        match self {
            Self::Length(axis) => axis.fingerprint(),
            Self::Angle(axis) => axis.fingerprint(),
        }
    }

    /// Returns the axis, if its positions are lengths.
    pub const fn as_length(&self) -> Option<&Axis<LengthMechanism>> {
        match self {
            Self::Length(axis) => Some(axis),
            Self::Angle(_) => None,
        }
    }

    /// Returns the axis, if its positions are angles.
    pub const fn as_angle(&self) -> Option<&Axis<AngleMechanism>> {
        match self {
            Self::Angle(axis) => Some(axis),
            Self::Length(_) => None,
        }
    }
}

impl From<Axis<LengthMechanism>> for AnyAxis {
    fn from(axis: Axis<LengthMechanism>) -> Self {
        Self::Length(axis)
    }
}

impl From<Axis<AngleMechanism>> for AnyAxis {
    fn from(axis: Axis<AngleMechanism>) -> Self {
        Self::Angle(axis)
    }
}

impl core::fmt::Debug for AnyAxis {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match self {
            Self::Length(axis) => f.debug_tuple("Length").field(axis.config()).finish(),
            Self::Angle(axis) => f.debug_tuple("Angle").field(axis.config()).finish(),
        }
    }
}
