//! Parts, and what each takes of the stock and of the stop.

use wholestep::error::Value;
use wholestep::{Angle, Enclosure, Exact, Length, LengthUnit, Measure, Result, Rounding};

use super::check::positive;
use super::{CutList, check_quantity, mitre};
use crate::bounds::PARTS_MAX;
use crate::messages;

/// Something to be cut, a number of times.
///
/// Each end is given by its angle from square. A positive angle has its long point on the edge that
/// lies against the fence, a negative one on the edge away from it; so `45 deg` at both ends makes
/// the side of a frame, and `45 deg` with `-45 deg` a parallelogram.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Part {
    /// What it is called.
    pub name: String,
    /// Its length along the stock.
    pub length: Length,
    /// How many are wanted.
    pub quantity: u32,
    /// The end at the stop: its angle from square.
    pub left: Angle,
    /// The end at the blade: its angle from square.
    pub right: Angle,
    /// Between which points of mitred ends the length is measured.
    pub measured_to: MeasuredTo,
}

/// Between which points of mitred ends a length is measured, along the stock.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum MeasuredTo {
    /// From the long point of one end to the long point of the other: the overall length.
    #[default]
    LongPoint,
    /// From the short point of one end to the short point of the other.
    ShortPoint,
}

impl MeasuredTo {
    /// Returns the name, as files, Python and the command line spell it.
    pub const fn name(self) -> &'static str {
        match self {
            Self::LongPoint => "long_point",
            Self::ShortPoint => "short_point",
        }
    }

    /// Both, in the order in which they are documented.
    pub const ALL: [Self; 2] = [Self::LongPoint, Self::ShortPoint];
}

impl Part {
    /// Returns a part with square ends.
    pub fn square(name: &str, length: Length, quantity: u32) -> Self {
        Self {
            name: name.into(),
            length,
            quantity,
            left: Angle::ZERO,
            right: Angle::ZERO,
            measured_to: MeasuredTo::LongPoint,
        }
    }

    /// Tells whether an end is mitred.
    pub fn is_mitred(&self) -> bool {
        self.left != Angle::ZERO || self.right != Angle::ZERO
    }

    /// The part, as an error names it.
    pub(crate) fn quoted(&self) -> String {
        format!("part {}", Value::text(&self.name))
    }

    /// Refuses what no saw could cut; lengths are quoted in `unit`.
    pub(crate) fn check(&self, unit: LengthUnit) -> Result<()> {
        positive("length", "length", self.length, unit)?;
        mitre::check(self.left, "left")?;
        mitre::check(self.right, "right")?;
        check_quantity(self.quantity, PARTS_MAX)
    }
}

/// What one copy of a part takes of the stock and of the stop, as it is laid.
#[derive(Clone, Copy, Debug)]
pub(super) struct Extent {
    /// From the stop's face to the near side of the kerf, along the fence.
    pub(super) stop: Enclosure<Length>,
    /// The overall length, from the outermost point to the outermost.
    pub(super) overall: Enclosure<Length>,
    /// No more than the shorter of the two edges: what there is to hold.
    pub(super) holdable: Length,
}

impl Extent {
    /// The fractions of a millimetre to which lengths known only between bounds are rounded: stop
    /// distances, and lengths on the stock.
    const STOP_PARTS: i128 = 1_000_000_000_000;
    const PARTS: i128 = 1_000_000_000;

    /// Of a part that is laid with its ends at these angles, left and right.
    pub(super) fn of(part: &Part, (left, right): (Angle, Angle), list: &CutList) -> Result<Self> {
        let (left, right) = (End::of(left, list)?, End::of(right, list)?);
        let length = Enclosure::exact(part.length.base());
        let overall = match part.measured_to {
            MeasuredTo::LongPoint => length,
            MeasuredTo::ShortPoint => length.checked_add(left.along)?.checked_add(right.along)?,
        };
        let at_fence = overall.checked_sub(left.if_away())?.checked_sub(right.if_away())?;
        let away = overall.checked_sub(left.if_at_fence())?.checked_sub(right.if_at_fence())?;
        let holdable = if at_fence.low() < away.low() { at_fence } else { away };
        if holdable.low().signum() <= 0 {
            return Err(messages::LENGTH_OF_A_MITRED_PART.error().given(part.length.quoted(list.unit)));
        }
        Ok(Self {
            stop: known_to(overall.checked_sub(right.if_away())?, Self::STOP_PARTS)?,
            overall: known_to(overall, Self::PARTS)?,
            holdable: known_to(holdable, Self::PARTS)?.low(),
        })
    }
}

/// How far an end at an angle reaches along the stock, and what its kerf takes there, to fractions
/// that whole units can count.
pub(super) struct Reach {
    pub(super) along: Enclosure<Length>,
    pub(super) kerf: Enclosure<Length>,
}

impl Reach {
    pub(super) fn of(angle: Angle, list: &CutList) -> Result<Self> {
        let secant = mitre::secant(mitre::tangent(angle)?)?;
        Ok(Self {
            along: known_to(End::of(angle, list)?.along, Extent::PARTS)?,
            kerf: secant.map(|bound| list.kerf.checked_mul(bound))?,
        })
    }
}

/// How far the long point of an end lies beyond its short point.
struct End {
    along: Enclosure<Exact>,
    at_fence: bool,
}

impl End {
    fn of(angle: Angle, list: &CutList) -> Result<Self> {
        let tangent = mitre::tangent(angle)?;
        let along = match (angle == Angle::ZERO, list.width) {
            (true, _) => tangent,
            (false, Some(width)) => tangent.map(|bound| bound.checked_mul(width.base()))?,
            (false, None) => {
                return Err(messages::WIDTH_OF_THE_STOCK.error());
            }
        };
        Ok(Self { along, at_fence: angle > Angle::ZERO })
    }

    fn if_at_fence(&self) -> Enclosure<Exact> {
        if self.at_fence { self.along } else { Enclosure::exact(Exact::ZERO) }
    }

    fn if_away(&self) -> Enclosure<Exact> {
        if self.at_fence { Enclosure::exact(Exact::ZERO) } else { self.along }
    }
}

/// An exact length as it is, and bounds moved outward to a fraction of a millimetre.
fn known_to(length: Enclosure<Exact>, parts: i128) -> Result<Enclosure<Length>> {
    if length.is_exact() {
        return length.map(Length::from_base);
    }
    let low = length.low().round_to(parts, Rounding::Below)?;
    let high = length.high().round_to(parts, Rounding::Above)?;
    Ok(Enclosure::new(Length::from_base(low)?, Length::from_base(high)?)?)
}
