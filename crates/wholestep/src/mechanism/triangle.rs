//! A triangle of two fixed sides and a screw: the law of cosines.
//!
//! Sides a and b meet at a pivot; the screw, of length s between its own two pivots, closes the
//! triangle opposite it. The angle γ at the pivot follows from s² = a² + b² − 2·a·b·cos γ (the law of
//! cosines, Euclid II.12 and II.13). Where s is rational, so is 2·a·b·cos γ.

use num_rational::Ratio;

use super::affine::{Affine, too_fine};
use crate::bounds::{DEAD_CENTRE_DEGREES, LINKAGE_MILLIMETRES, STEP_MAX};
use crate::error::{Error, Result, messages};
use crate::exact::Interval;
use crate::exact::{Enclosure, Exact, Width};
use crate::measure::{Length, LengthUnit, Measure, Unit};

/// Which way of the screw moves the carriage towards greater measures.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum ScrewMotion {
    /// The screw pushes: its two pivots move apart.
    Lengthening,
    /// The screw pulls: its two pivots move together.
    Shortening,
}

impl ScrewMotion {
    /// Returns the word for it, as files, Python and the command line spell it.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Lengthening => "lengthening",
            Self::Shortening => "shortening",
        }
    }

    /// Both, in the order in which they are documented.
    pub const ALL: [Self; 2] = [Self::Lengthening, Self::Shortening];
}

/// The screw's length as it turns, and the two fixed sides.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Triangle {
    screw: Affine,
    /// a² + b², in squared parts of the ramp.
    squares: i128,
    /// a² and b², in mm².
    sides_squared: [Exact; 2],
    /// a·b, in mm².
    product: Interval,
}

impl Triangle {
    /// Each side by the two legs of a right angle (0 for one of them where it is given outright).
    pub(super) fn new(sides: [[Exact; 2]; 2], length: Exact, travel: Exact) -> Result<Self> {
        let screw = Affine::new(length, travel, sides.as_flattened())?;
        let mut squares = 0_i128;
        for leg in sides.as_flattened() {
            let parts = screw.parts(*leg)?;
            let square = parts.checked_mul(parts);
            squares = square.and_then(|square| squares.checked_add(square)).ok_or_else(too_fine)?;
        }
        let square =
            |[along, across]: [Exact; 2]| along.checked_mul(along)?.checked_add(across.checked_mul(across)?);
        let sides_squared = [square(sides[0])?, square(sides[1])?];
        let product = (Interval::sqrt_of(sides_squared[0]) * Interval::sqrt_of(sides_squared[1])).known()?;
        Ok(Self { screw, squares, sides_squared, product })
    }

    /// a·b, in mm².
    pub(super) const fn product(&self) -> Interval {
        self.product
    }

    /// a²·b², in mm⁴.
    pub(super) fn product_squared(&self) -> Result<Exact> {
        Ok(self.sides_squared[0].checked_mul(self.sides_squared[1])?)
    }

    /// a·b·cos γ at `step`, in mm²: (a² + b² − s²) / 2.
    pub(super) fn across(&self, step: i64) -> Result<Ratio<i128>> {
        let length = self.screw.at(step)?;
        let parts = || {
            let difference = self.squares.checked_sub(length.checked_mul(length)?)?;
            Some(Ratio::new_raw(
                difference,
                self.screw.unit().checked_mul(self.screw.unit())?.checked_mul(2)?,
            ))
        };
        parts().ok_or_else(too_fine)
    }

    pub(super) fn cosine(&self, step: i64) -> Result<Interval> {
        Ok(Interval::of_ratio(self.across(step)?) / self.product)
    }

    /// The step before γ has this cosine, by the law of cosines.
    pub(super) fn step_before(&self, cosine: Interval) -> Result<i64> {
        let [a, b] = self.sides_squared;
        let across = self.product * cosine;
        self.screw.step_before((Interval::of(a.checked_add(b)?) - (across + across)).sqrt())
    }

    /// How much γ turns a step, in radians, anywhere between two steps: travel · s / (a·b·sin γ),
    /// which is the derivative of the law of cosines.
    pub(super) fn turn_between(&self, first: i64, last: i64) -> Result<Interval> {
        let length = Interval::spanning_ratios(self.screw.value_at(first)?, self.screw.value_at(last)?);
        let travel = Interval::of_ratio(self.screw.travel());
        let sine = sine_of(self.cosine(first)?.hull(self.cosine(last)?));
        Ok(travel * length / (self.product * sine))
    }

    /// Whether `step` is certainly clear of both dead centres.
    pub(super) fn is_clear_at(&self, step: i64) -> bool {
        let clear = || {
            let limit = Interval::of(Exact::integer(DEAD_CENTRE_DEGREES)).cos_degrees();
            let cosine = self.cosine(step)?;
            let within = cosine.is_at_most(limit) && (-limit).is_at_most(cosine);
            Ok::<_, Error>(self.screw.at(step)? > 0 && within)
        };
        clear().unwrap_or(false)
    }

    /// Refuses a triangle that cannot be, or is too near a dead centre, at step 0.
    pub(super) fn check_at_rest(&self) -> Result<()> {
        if self.is_clear_at(0) {
            return Ok(());
        }
        let bound = |degrees: i64| {
            let cosine = Interval::of(Exact::integer(degrees)).cos_degrees();
            let [a, b] = self.sides_squared;
            let square =
                Interval::of(a.checked_add(b)?) - self.product * Interval::of(Exact::integer(2)) * cosine;
            let rounded = square.sqrt().enclosed()?.low().round_to(100, crate::exact::Rounding::Nearest)?;
            Ok::<_, Error>(LengthUnit::Millimetre.quoted(rounded))
        };
        let given = self.screw.value_at(0)?;
        Err(messages::SCREW_LENGTH
            .error()
            .given(LengthUnit::Millimetre.quoted(Exact::new(*given.numer(), *given.denom())?))
            .between(bound(DEAD_CENTRE_DEGREES)?, bound(180 - DEAD_CENTRE_DEGREES)?))
    }
}

/// √(1 − cosine²), of an angle from 0 to 180 degrees.
pub(super) fn sine_of(cosine: Interval) -> Interval {
    (Interval::of(Exact::ONE) - cosine.square()).sqrt()
}

/// The steps about step 0 for which `holds`, which is true at 0 and turns false once at most on
/// either side.
pub(super) fn reach(holds: impl Fn(i64) -> bool) -> (i64, i64) {
    let farthest = |sign: i64| {
        let (mut within, mut beyond) = (0, STEP_MAX + 1);
        while beyond - within > 1 {
            let middle = i64::midpoint(within, beyond);
            if holds(sign * middle) { within = middle } else { beyond = middle }
        }
        sign * within
    };
    (farthest(-1), farthest(1))
}

/// A part of a linkage, at least one millimetre and at most ten metres long.
pub(super) fn part(subject: &'static str, parameter: &'static str, length: Length) -> Result<Exact> {
    let (least, most) = LINKAGE_MILLIMETRES.into_inner();
    let (least, most) = (Exact::integer(least), Exact::integer(most));
    if length.base() < least || length.base() > most {
        return Err(messages::VALUE
            .error()
            .of(subject)
            .about(parameter)
            .given(length.quoted(LengthUnit::Millimetre))
            .between(LengthUnit::Millimetre.quoted(least), LengthUnit::Millimetre.quoted(most)));
    }
    Ok(length.base())
}

/// The finest and the coarsest of the rates that `rate` encloses piece by piece.
pub(super) fn step_sizes<M: Measure>(
    (first, last): (i64, i64),
    rate: impl Fn(i64, i64) -> Result<Interval>,
) -> Result<super::StepSizes<M>> {
    const PIECES: i64 = 64;
    let mark = |piece: i64| {
        let offset = i128::from(last - first) * i128::from(piece) / i128::from(PIECES);
        first + i64::try_from(offset).unwrap_or(0)
    };
    let mut whole = rate(mark(0), mark(1))?;
    for piece in 1..PIECES {
        whole = whole.hull(rate(mark(piece), mark(piece + 1))?);
    }
    let whole: Enclosure<Exact> = whole.enclosed()?;
    Ok(super::StepSizes {
        finest: M::from_base(whole.low())?,
        coarsest: M::from_base(whole.high())?,
        certified: true,
    })
}

/// The enclosure of an interval in base units.
pub(super) fn enclosure<M: Measure>(interval: Interval, width: Width) -> Result<Enclosure<M>> {
    interval.within(width)?.map(M::from_base)
}
