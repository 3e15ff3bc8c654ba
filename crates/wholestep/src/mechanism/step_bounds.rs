//! What is known of where a step stands, and how it is learned.

use super::Mechanism;
use crate::bounds::STEP_MAX;
use crate::error::{Result, Value, messages};
use crate::exact::{Enclosure, Width};
use crate::measure::Measure;

/// A step, the bounds its position is known between, and the width they were asked for.
#[derive(Clone, Copy)]
pub(super) struct StepBounds<Q> {
    pub(super) step: i64,
    pub(super) position: Enclosure<Q>,
    width: Width,
}

/// On which side of a target a step stands.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Side {
    Below,
    Above,
    /// On it: exactly (`true`), or as far as the finest width can tell.
    On(bool),
}

impl<Q: Measure> StepBounds<Q> {
    /// Asks where `step` stands, to a first look.
    pub(super) fn of<M: Mechanism<Measure = Q> + ?Sized>(mechanism: &M, step: i64) -> Result<Self> {
        let width = Width::COARSE.min(mechanism.finest_width());
        Ok(Self { step, position: position_at(mechanism, step, width)?, width })
    }

    /// Asks more closely; `false` if it is known as closely as it can be.
    ///
    /// Closer bounds that have nothing in common with the earlier ones are refused.
    pub(super) fn tighten<M: Mechanism<Measure = Q> + ?Sized>(&mut self, mechanism: &M) -> Result<bool> {
        let finer = self.width.finer().filter(|finer| *finer <= mechanism.finest_width());
        let Some(width) = finer.filter(|_| !self.position.is_exact()) else { return Ok(false) };
        let closer = position_at(mechanism, self.step, width)?;
        let (low, high) = (closer.low().max(self.position.low()), closer.high().min(self.position.high()));
        if low > high {
            return Err(messages::CONTRADICTS_ITSELF.error().given(Value::Integer(self.step.into())));
        }
        *self = Self { position: Enclosure::raw(low, high), width, ..*self };
        Ok(true)
    }

    /// On which side of `target` the step stands, asking as closely as it takes.
    pub(super) fn side<M: Mechanism<Measure = Q> + ?Sized>(
        &mut self,
        mechanism: &M,
        target: Q,
    ) -> Result<Side> {
        loop {
            if self.position.high() < target {
                return Ok(Side::Below);
            }
            if self.position.low() > target {
                return Ok(Side::Above);
            }
            if !self.tighten(mechanism)? {
                return Ok(Side::On(self.position.is_exact()));
            }
        }
    }

    /// Whether the bounds are further apart than those of `other`.
    pub(super) fn is_vaguer_than(&self, other: &Self) -> bool {
        self.width < other.width
    }
}

/// Both ends of the span, the one that stands lower first.
pub(super) fn ends<M: Mechanism + ?Sized>(mechanism: &M) -> Result<[StepBounds<M::Measure>; 2]> {
    let (first, last) = checked_span(mechanism)?;
    let (mut first, mut last) = (StepBounds::of(mechanism, first)?, StepBounds::of(mechanism, last)?);
    loop {
        if first.position.high() < last.position.low() {
            return Ok([first, last]);
        }
        if first.position.low() > last.position.high() {
            return Ok([last, first]);
        }
        if !(first.tighten(mechanism)? | last.tighten(mechanism)?) {
            return Err(messages::STANDS_STILL.error().given(Value::Integer(first.step.into())));
        }
    }
}

/// Asks the mechanism, and refuses bounds further apart than it was asked for.
pub(super) fn position_at<M: Mechanism + ?Sized>(
    mechanism: &M,
    step: i64,
    width: Width,
) -> Result<Enclosure<M::Measure>> {
    let position = mechanism.position_at(step, width)?;
    let [low, high] = [position.low(), position.high()].map(|bound| Enclosure::exact(bound.base()));
    if high.checked_sub(low)?.low() > width.as_exact() {
        return Err(messages::TOO_WIDE_AT.error().given(Value::Integer(step.into())));
    }
    Ok(position)
}

/// The first and the last step of the span.
pub(super) fn checked_span<M: Mechanism + ?Sized>(mechanism: &M) -> Result<(i64, i64)> {
    let (first, last) = mechanism.span().into_inner();
    if first >= last || first < -STEP_MAX || last > STEP_MAX {
        let given = if first < -STEP_MAX { first } else { last };
        return Err(messages::SPAN
            .error()
            .given(Value::Integer(given.into()))
            .between(Value::Integer((-STEP_MAX).into()), Value::Integer(STEP_MAX.into())));
    }
    Ok((first, last))
}
