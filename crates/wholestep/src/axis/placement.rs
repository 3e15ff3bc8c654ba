//! A step, where it stands, and what is left over.

use super::Fingerprint;
use crate::bounds::{EXACT_PART_MAX, MEASURE_DENOMINATOR_MAX, STEP_MAX};
use crate::error::{Result, Value, messages};
use crate::exact::{Enclosure, Exact, Rounding, divide_towards_zero, product};
use crate::measure::Measure;

/// The step for a target, the position at which it stands, and the remainder: position minus target.
///
/// It knows of which machine it is; another machine's carriage, planner or axis refuses it.
#[derive(Clone, Copy, Debug)]
pub struct Placement<Q> {
    step: i64,
    is_decided: bool,
    axis: Fingerprint,
    target: Q,
    position: Position<Q>,
}

/// A position and a remainder.
#[derive(Clone, Copy, Debug)]
enum Position<Q> {
    /// Exact, as fractions not yet reduced: most callers want the step and nothing else, and reducing
    /// costs more than the rest of a placement.
    Uniform {
        position: Unreduced,
        remainder: Unreduced,
    },
    Enclosed {
        position: Enclosure<Q>,
        remainder: Enclosure<Q>,
    },
}

#[derive(Clone, Copy, Debug)]
struct Unreduced {
    numerator: i128,
    denominator: i128,
}

impl Unreduced {
    fn measure<Q: Measure>(self) -> Enclosure<Q> {
        Enclosure::exact(Q::from_checked(Exact::reduced_from(self.numerator, self.denominator)))
    }
}

impl<Q: Measure> Placement<Q> {
    pub(super) fn enclosed(
        axis: Fingerprint,
        target: Q,
        step: i64,
        is_decided: bool,
        position: Enclosure<Q>,
    ) -> Result<Self> {
        let remainder = position.checked_sub(Enclosure::exact(target))?;
        Ok(Self { step, is_decided, axis, target, position: Position::Enclosed { position, remainder } })
    }

    /// Returns the step.
    pub const fn step(&self) -> i64 {
        self.step
    }

    /// Of which machine it is.
    pub const fn fingerprint(&self) -> Fingerprint {
        self.axis
    }

    /// Returns what was asked for.
    pub const fn target(&self) -> Q {
        self.target
    }

    /// Returns where the step stands.
    pub fn position(&self) -> Enclosure<Q> {
        match self.position {
            Position::Uniform { position, .. } => position.measure(),
            Position::Enclosed { position, .. } => position,
        }
    }

    /// Position minus target: positive if the step stands beyond the target.
    pub fn remainder(&self) -> Enclosure<Q> {
        match self.position {
            Position::Uniform { remainder, .. } => remainder.measure(),
            Position::Enclosed { remainder, .. } => remainder,
        }
    }

    /// Tells whether the bounds told the step apart from its neighbours; always true of exact mechanisms,
    /// unless target, zero and datum have too many digits for their sum.
    pub const fn is_decided(&self) -> bool {
        self.is_decided
    }

    /// Returns the same placement if its step is decided.
    ///
    /// # Errors
    /// [`ErrorKind::Undecided`](crate::ErrorKind::Undecided) if the bounds could not tell the step from its neighbour.
    pub fn require_decided(self) -> Result<Self> {
        if self.is_decided {
            return Ok(self);
        }
        Err(messages::UNDECIDED.error().given(Value::Integer(self.step.into())))
    }

    /// Returns the distance from this placement to `other`; of the same step, exactly zero.
    ///
    /// # Errors
    /// [`ErrorKind::OtherAxis`](crate::ErrorKind::OtherAxis) for a placement of another machine,
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a distance larger than a measure
    /// can be.
    pub fn distance_to(&self, other: &Self) -> Result<Enclosure<Q>> {
        self.axis.check(other.axis)?;
        if self.step == other.step {
            return Ok(Enclosure::exact(Q::ZERO));
        }
        self.position().distance_to(other.position())
    }
}

impl<Q: Measure> PartialEq for Placement<Q> {
    fn eq(&self, other: &Self) -> bool {
        self.step == other.step
            && self.axis == other.axis
            && self.is_decided == other.is_decided
            && self.target == other.target
            && self.position() == other.position()
    }
}

impl<Q: Measure> Eq for Placement<Q> {}

/// A uniform scale in integers: step `n` stands at `(n × travel + offset) / denominator`.
#[derive(Clone, Copy, Debug)]
pub(super) struct Scale {
    travel: i128,
    offset: i128,
    denominator: i128,
}

impl Scale {
    /// Makes the scale, unless its numbers have too many digits; the axis then goes by bounds.
    pub(super) fn new(travel: Exact, offset: Exact) -> Option<Self> {
        // One denominator for both: that of their sum before it is reduced, so the product over the
        // common divisor. Every position then has it, and positions are checked once, here.
        let common = Exact::reduced_from(travel.denominator(), offset.denominator());
        let denominator = travel.denominator().checked_mul(common.denominator())?;
        let scale = Self {
            travel: travel.numerator().checked_mul(divide_towards_zero(denominator, travel.denominator()))?,
            offset: offset.numerator().checked_mul(divide_towards_zero(denominator, offset.denominator()))?,
            denominator,
        };
        let farthest = scale.travel.checked_mul(STEP_MAX.into())?.checked_add(scale.offset.checked_abs()?)?;
        (denominator <= MEASURE_DENOMINATOR_MAX && farthest < EXACT_PART_MAX).then_some(scale)
    }

    /// The placement, unless the target has too many digits for it.
    pub(super) fn place<Q: Measure>(
        &self,
        axis: Fingerprint,
        target: Q,
        rounding: Rounding,
    ) -> Option<Placement<Q>> {
        let value = target.base();
        let (numerator, denominator) = (value.numerator(), value.denominator());
        let wanted = product(numerator, self.denominator)?.checked_sub(product(self.offset, denominator)?)?;
        let (travel, fineness) =
            (product(self.travel, denominator)?, product(self.denominator, denominator)?);
        if !fits(wanted, travel, fineness) {
            return None;
        }
        // A negative travel turns the division round; the rule stays one by measure.
        let (step, rest) = if travel > 0 {
            rounding.split(wanted, travel)
        } else {
            rounding.mirrored().split(-wanted, -travel)
        };
        let rest = if travel > 0 { -rest } else { rest };
        let mut remainder = Unreduced { numerator: rest, denominator: fineness };
        if fineness > MEASURE_DENOMINATOR_MAX {
            // Most such remainders have a common divisor that makes them fit.
            let reduced = Exact::reduced_from(rest, fineness);
            remainder = Unreduced { numerator: reduced.numerator(), denominator: reduced.denominator() };
            if remainder.denominator > MEASURE_DENOMINATOR_MAX {
                return None;
            }
        }
        let step = i64::try_from(step).ok().filter(|step| step.abs() <= STEP_MAX)?;
        let position = Position::Uniform { position: self.position(step), remainder };
        Some(Placement { step, is_decided: true, axis, target, position })
    }

    /// The placement at a step, whose position is its target.
    pub(super) fn at_step<Q: Measure>(&self, axis: Fingerprint, step: i64) -> Result<Placement<Q>> {
        let position = self.position(step);
        let target = Q::from_base(Exact::reduced_from(position.numerator, position.denominator))?;
        let remainder = Unreduced { numerator: 0, denominator: 1 };
        let position = Position::Uniform { position, remainder };
        Ok(Placement { step, is_decided: true, axis, target, position })
    }

    fn position(&self, step: i64) -> Unreduced {
        Unreduced { numerator: i128::from(step) * self.travel + self.offset, denominator: self.denominator }
    }
}

/// Whether the integers of a placement stay in range, so that its fractions can be reduced later
/// without a check.
fn fits(wanted: i128, travel: i128, fineness: i128) -> bool {
    wanted.abs() < EXACT_PART_MAX && travel.abs() < EXACT_PART_MAX && fineness < EXACT_PART_MAX
}
