//! The ways in which each part may be laid on the stock, and the slants that its ends then have.

use wholestep::{Angle, Enclosure, Length, Measure, Result};

use super::nesting::{Between, Kerfs, Lay, Slant};
use super::part::{Extent, Reach};
use super::turn::Turn;
use super::units::Units;
use super::{CutList, Part};

/// One way of laying a part.
#[derive(Clone, Copy, Debug)]
pub(super) struct Laid {
    pub(super) turn: Turn,
    /// The end at the stop.
    pub(super) left: Angle,
    /// The end at the blade.
    pub(super) right: Angle,
    pub(super) extent: Extent,
}

/// The ways in which the list allows the part to be laid, as drawn first; of two that come to the
/// same, the one that turns it less.
pub(super) fn ways(part: &Part, list: &CutList) -> Result<Vec<Laid>> {
    let mut ways: Vec<Laid> = Vec::new();
    for &turn in list.turning.turns() {
        let (left, right) = turn.ends(part.left, part.right);
        if !ways.iter().any(|known| (known.left, known.right) == (left, right)) {
            ways.push(Laid { turn, left, right, extent: Extent::of(part, (left, right), list)? });
        }
    }
    Ok(ways)
}

/// The mitred slants of a cut list.
pub(super) struct Slants {
    angles: Vec<Angle>,
    reaches: Vec<Reach>,
    /// The width of the stock; 0 if nothing is mitred.
    width: Length,
}

impl Slants {
    pub(super) fn of<'a>(ways: impl IntoIterator<Item = &'a Laid>, list: &CutList) -> Result<Self> {
        let mut angles: Vec<Angle> = Vec::new();
        for way in ways {
            let lay = [at_left(way.left), at_right(way.right)];
            angles.extend(lay.into_iter().filter(|angle| *angle != Angle::ZERO));
        }
        angles.sort_unstable();
        angles.dedup();
        let reaches = angles.iter().map(|&angle| Reach::of(angle, list)).collect::<Result<_>>()?;
        let width = if angles.is_empty() { None } else { list.width };
        Ok(Self { angles, reaches, width: width.unwrap_or(Length::ZERO) })
    }

    pub(super) fn lay(&self, way: &Laid) -> Lay {
        let slant =
            |angle: Angle| self.angles.iter().position(|known| *known == angle).map_or(0, |at| at + 1);
        Lay { left: slant(at_left(way.left)), right: slant(at_right(way.right)) }
    }

    /// Every length of theirs, to find the units that measure them.
    pub(super) fn lengths(&self) -> impl Iterator<Item = Length> {
        let ends =
            |reach: &Reach| [reach.along.low(), reach.along.high(), reach.kerf.low(), reach.kerf.high()];
        self.reaches.iter().flat_map(ends).chain([self.width])
    }

    pub(super) fn kerfs(&self, list: &CutList, units: Units) -> Kerfs {
        let between = |bounds: Enclosure<Length>| Between {
            low: units.count(bounds.low()),
            high: units.count(bounds.high()),
        };
        let slant = |(angle, reach): (&Angle, &Reach)| Slant {
            away: *angle > Angle::ZERO,
            reach: between(reach.along),
            kerf: between(reach.kerf),
        };
        let slants: Vec<Slant> = self.angles.iter().zip(&self.reaches).map(slant).collect();
        Kerfs::new(units.count(self.width), units.count(list.kerf), &slants)
    }

    /// How far an end at this angle reaches along the stock, for people.
    pub(super) fn reach(&self, angle: Angle) -> Enclosure<Length> {
        let at = self.angles.iter().position(|known| known.abs() == angle.abs());
        at.map_or(Enclosure::exact(Length::ZERO), |at| self.reaches[at].along)
    }
}

/// The slant of a left end: away from the stop where its long point lies at the fence.
fn at_left(angle: Angle) -> Angle {
    angle
}

/// The slant of a right end: back towards the stop where its long point lies at the fence.
fn at_right(angle: Angle) -> Angle {
    -angle
}
