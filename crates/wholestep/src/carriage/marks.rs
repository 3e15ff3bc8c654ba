//! The marks a dial goes by: exact, and rounded once.

use super::Refusal;
use crate::axis::Axis;
use crate::bounds::STEP_MAX;
use crate::error::{Result as AxisResult, Value, messages};
use crate::exact::{Exact, Rounding};
use crate::measure::Measure;
use crate::mechanism::Mechanism;

/// How many steps a detent of the dial is worth, as an exact fraction.
///
/// Positive if turning up raises the step number. Detents are counted and the whole count is
/// rounded once, so any number of them ends on the step nearest to their exact sum.
///
/// ```
/// use wholestep::carriage::Detent;
/// let third = Detent::new(1, 3)?;
/// assert_eq!((third.steps(1)?, third.steps(2)?, third.steps(300)?), (0, 1, 100));
/// # Ok::<(), wholestep::Error>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Detent {
    numerator: i64,
    denominator: i64,
}

impl Detent {
    /// `numerator / denominator` steps.
    ///
    /// # Errors
    /// [`Refusal::OutOfRange`] for a value of 0, a denominator below 1, or parts above 2^62.
    pub const fn new(numerator: i64, denominator: i64) -> Result<Self, Refusal> {
        const MOST: i64 = 1 << 62;
        if numerator == 0 || numerator > MOST || numerator < -MOST || denominator < 1 || denominator > MOST {
            return Err(Refusal::OutOfRange);
        }
        Ok(Self { numerator, denominator })
    }

    /// Returns a detent of `size` on an axis of uniform steps.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a size of 0 or one whose fraction of a step is too fine,
    /// [`ErrorKind::Mechanism`](crate::ErrorKind::Mechanism) if the travel per step is no fraction, as on a rack by module or a swing arm.
    pub fn of<M: Mechanism>(axis: &Axis<M>, size: M::Measure) -> AxisResult<Self> {
        let travel = axis.mechanism().uniform_travel().ok_or_else(|| messages::DETENT_ON_CURVE.error())?;
        let steps = size.base().checked_div(travel)?;
        let parts = i64::try_from(steps.numerator()).ok().zip(i64::try_from(steps.denominator()).ok());
        parts
            .and_then(|(numerator, denominator)| Self::new(numerator, denominator).ok())
            .ok_or_else(|| messages::DETENT.error().given(size.quoted(axis.unit())))
    }

    /// Returns the steps of so many detents, rounded once to the nearest, ties to the even step.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) if they are more than 64 bits hold.
    pub fn steps(self, detents: i64) -> AxisResult<i64> {
        i64::try_from(self.exact_steps(detents)).map_err(|_| {
            messages::STEPS_OF_DETENTS
                .error()
                .given(Value::Count(detents.into(), "detents"))
                .between(Value::Integer(i64::MIN.into()), Value::Integer(i64::MAX.into()))
        })
    }

    fn exact_steps(self, detents: i64) -> i128 {
        let exact = i128::from(detents) * i128::from(self.numerator);
        Rounding::Nearest.split(exact, self.denominator.into()).0
    }

    /// The same, but past the range of steps its end and a step more: beyond every soft limit.
    fn steps_or_beyond(self, detents: i64) -> i64 {
        let beyond = i128::from(STEP_MAX) + 1;
        i64::try_from(self.exact_steps(detents).clamp(-beyond, beyond)).unwrap_or(STEP_MAX)
    }

    /// The steps of one detent, rounded up.
    pub(super) const fn longest(self) -> u64 {
        self.numerator.unsigned_abs().div_ceil(self.denominator.unsigned_abs())
    }

    /// Returns the size in steps.
    ///
    /// # Errors
    /// Never for a size that could be made.
    pub fn size(self) -> AxisResult<Exact> {
        Ok(Exact::new(self.numerator.into(), self.denominator.into())?)
    }
}

/// Where the dial points: marks a detent apart, counted from the step where the hand took over.
#[derive(Clone, Copy, Debug)]
pub(super) struct Marks {
    detent: Detent,
    base: i64,
    detents: i64,
}

impl Marks {
    pub(super) const fn from(base: i64, detent: Detent) -> Self {
        Self { detent, base, detents: 0 }
    }

    pub(super) const fn detent(&self) -> Detent {
        self.detent
    }

    /// The step of the mark the dial points to.
    pub(super) fn step(&self) -> i64 {
        self.after(0)
    }

    /// The step of the mark `detents` further.
    pub(super) fn after(&self, detents: i64) -> i64 {
        // Rounded as the sum, so that the parity of the base decides ties by the step itself.
        self.base.saturating_add(self.detent.steps_or_beyond(self.detents.saturating_add(detents)))
    }

    /// Turns the dial as far as `allows` says the mark may stand, and returns the detents dropped.
    pub(super) fn turn(&mut self, detents: i64, allows: impl Fn(i64) -> bool) -> u64 {
        if allows(self.after(detents)) {
            self.detents += detents;
            return 0;
        }
        // The marks are in order, so the last one allowed is found by halving.
        let (mut kept, mut refused) = (0, detents);
        while (refused - kept).abs() > 1 {
            let middle = kept + (refused - kept) / 2;
            if allows(self.after(middle)) { kept = middle } else { refused = middle }
        }
        self.detents += kept;
        (detents - kept).unsigned_abs()
    }

    /// Turns the dial back to the mark nearest to `here` that is not before `reach`, on the way from
    /// `here`; returns the detents dropped.
    pub(super) fn fall_back(&mut self, here: i64, reach: i64) -> u64 {
        let there = self.step();
        let beyond = |step: i64| if there >= here { step >= reach } else { step <= reach };
        let toward = if (there >= here) == self.detent.numerator.is_positive() { -1 } else { 1 };
        let mut dropped = 0;
        // The backlog is bounded, so this is.
        while beyond(self.after(toward)) && self.after(toward) != here && dropped < BACKLOG_DETENTS_MAX {
            self.detents += toward;
            dropped += 1;
        }
        dropped
    }
}

/// A dial is never ahead by more detents than this.
pub(super) const BACKLOG_DETENTS_MAX: u64 = 1 << 16;
