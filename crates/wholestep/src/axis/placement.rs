//! A step, where it stands, and what is left over.

use crate::bounds::{EXACT_PART_MAX, MEASURE_DENOMINATOR_MAX, STEP_MAX};
use crate::error::{Error, ErrorKind, Result};
use crate::exact::{Enclosure, Exact, Rounding, product};
use crate::measure::Measure;

/// The step for a target, the position at which it stands, and the residual: position minus target.
#[derive(Clone, Copy, Debug)]
pub struct Placement<Q> {
    step: i64,
    decided: bool,
    target: Q,
    position: Position<Q>,
}

/// A position and a residual.
#[derive(Clone, Copy, Debug)]
enum Position<Q> {
    /// Exact, as fractions not yet reduced: most callers want the step and nothing else, and reducing
    /// costs more than the rest of a placement.
    Uniform {
        position: Unreduced,
        residual: Unreduced,
    },
    Enclosed {
        position: Enclosure<Q>,
        residual: Enclosure<Q>,
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
    pub(super) fn enclosed(target: Q, step: i64, decided: bool, position: Enclosure<Q>) -> Result<Self> {
        let residual = position.shifted(target.base().negated())?;
        Ok(Self { step, decided, target, position: Position::Enclosed { position, residual } })
    }

    /// The step.
    pub const fn step(&self) -> i64 {
        self.step
    }

    /// What was asked for.
    pub const fn target(&self) -> Q {
        self.target
    }

    /// Where the step stands.
    pub fn position(&self) -> Enclosure<Q> {
        match self.position {
            Position::Uniform { position, .. } => position.measure(),
            Position::Enclosed { position, .. } => position,
        }
    }

    /// Position minus target: positive where the step stands beyond the target.
    pub fn residual(&self) -> Enclosure<Q> {
        match self.position {
            Position::Uniform { residual, .. } => residual.measure(),
            Position::Enclosed { residual, .. } => residual,
        }
    }

    /// Whether the bounds told the step apart from its neighbours; always true of exact mechanisms.
    pub const fn decided(&self) -> bool {
        self.decided
    }

    /// The distance from this placement to `other`; of the same step, exactly nought.
    ///
    /// # Errors
    /// [`ErrorKind::Overflow`] where the difference does not fit.
    pub fn distance_to(&self, other: &Self) -> Result<Enclosure<Q>> {
        if self.step == other.step {
            return Ok(Enclosure::exact(Q::ZERO));
        }
        self.position().distance_to(other.position())
    }
}

impl<Q: Measure> PartialEq for Placement<Q> {
    fn eq(&self, other: &Self) -> bool {
        self.step == other.step
            && self.decided == other.decided
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
    pub(super) fn new(travel: Exact, offset: Exact) -> Result<Self> {
        // One denominator for both: that of their sum before it is reduced, so the product over the
        // common divisor. Every position then has it, and positions are checked once, here.
        let common = Exact::reduced_from(travel.denominator(), offset.denominator());
        let scale = || {
            let denominator = travel.denominator().checked_mul(common.denominator())?;
            let scale = Self {
                travel: travel.numerator().checked_mul(denominator / travel.denominator())?,
                offset: offset.numerator().checked_mul(denominator / offset.denominator())?,
                denominator,
            };
            let farthest =
                scale.travel.checked_mul(STEP_MAX.into())?.checked_add(scale.offset.checked_abs()?)?;
            (denominator <= MEASURE_DENOMINATOR_MAX && farthest < EXACT_PART_MAX).then_some(scale)
        };
        scale().ok_or_else(|| {
            Error::new(ErrorKind::Overflow, "travel per step and datum")
                .remedy("give them with fewer digits; their common denominator is finer than 2^64")
        })
    }

    pub(super) fn place<Q: Measure>(&self, target: Q, rounding: Rounding) -> Result<Placement<Q>> {
        let value = target.base();
        let (numerator, denominator) = (value.numerator(), value.denominator());
        let parts = || {
            let wanted =
                product(numerator, self.denominator)?.checked_sub(product(self.offset, denominator)?)?;
            Some((wanted, product(self.travel, denominator)?, product(self.denominator, denominator)?))
        };
        let (wanted, travel, fineness) = parts().filter(fits).ok_or_else(|| too_fine(target))?;
        // A negative travel turns the division round; the rule stays one by measure.
        let (step, rest) = if travel > 0 {
            rounding.split(wanted, travel)
        } else {
            rounding.mirrored().split(-wanted, -travel)
        };
        let rest = if travel > 0 { -rest } else { rest };
        self.with_residual(target, step, Unreduced { numerator: rest, denominator: fineness })
    }

    /// The placement of `target` at a step that was chosen otherwise.
    pub(super) fn placement<Q: Measure>(&self, target: Q, step: i64) -> Result<Placement<Q>> {
        let residual = self.position(step).measure::<Q>().low().sub(target)?.base();
        let residual = Unreduced { numerator: residual.numerator(), denominator: residual.denominator() };
        self.with_residual(target, step.into(), residual)
    }

    pub(super) fn at_step<Q: Measure>(&self, step: i64) -> Result<Placement<Q>> {
        self.placement(Q::from_base(self.position(step).measure::<Q>().low().base())?, step)
    }

    fn with_residual<Q: Measure>(&self, target: Q, step: i128, residual: Unreduced) -> Result<Placement<Q>> {
        let step =
            i64::try_from(step).ok().filter(|step| step.abs() <= STEP_MAX).ok_or_else(|| too_fine(target))?;
        let position = Position::Uniform { position: self.position(step), residual };
        Ok(Placement { step, decided: true, target, position })
    }

    fn position(&self, step: i64) -> Unreduced {
        Unreduced { numerator: i128::from(step) * self.travel + self.offset, denominator: self.denominator }
    }
}

/// Whether the integers of a placement stay in range, so that its fractions can be reduced later
/// without a check.
fn fits(&(wanted, travel, fineness): &(i128, i128, i128)) -> bool {
    wanted.abs() < EXACT_PART_MAX && travel.abs() < EXACT_PART_MAX && fineness <= MEASURE_DENOMINATOR_MAX
}

fn too_fine<Q: Measure>(target: Q) -> Error {
    Error::new(ErrorKind::OutOfRange, "target")
        .given(target.quoted(Q::BASE))
        .remedy("give it with fewer digits; with the travel of a step it has no common denominator in range")
}
