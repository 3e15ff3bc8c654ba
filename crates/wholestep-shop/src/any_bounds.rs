//! Bounds of a length or of an angle, as the axis has it.

use wholestep::{Angle, AngleUnit, Enclosure, Length, LengthUnit, Measure};

/// Bounds of a length or an angle, and the unit to tell them in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AnyBounds {
    /// Of a length.
    Length(Enclosure<Length>, LengthUnit),
    /// Of an angle.
    Angle(Enclosure<Angle>, AngleUnit),
}

/// A measure whose bounds are told.
pub(crate) trait Told: Measure {
    fn told(bounds: Enclosure<Self>, unit: Self::Unit) -> AnyBounds;
}

impl Told for Length {
    fn told(bounds: Enclosure<Self>, unit: LengthUnit) -> AnyBounds {
        AnyBounds::Length(bounds, unit)
    }
}

impl Told for Angle {
    fn told(bounds: Enclosure<Self>, unit: AngleUnit) -> AnyBounds {
        AnyBounds::Angle(bounds, unit)
    }
}
