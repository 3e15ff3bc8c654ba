//! How play is taken up: a move goes past its target by the backlash and comes back, so that the drive
//! always rests on the same flank.

use super::Direction;
use crate::axis::{Approach, Axis};
use crate::error::{Error, Result, messages};
use crate::exact::{Enclosure, Rounding};
use crate::measure::Measure;
use crate::mechanism::{Mechanism, Trend};

/// The step past the target at which a plan turns, if the backlash has to be taken up.
pub(super) fn turning_step<M: Mechanism>(
    axis: &Axis<M>,
    from: i64,
    arrived: Approach,
    target: i64,
) -> Result<Option<i64>> {
    let settings = axis.config();
    let Some(direction) = direction_of(axis, settings.approach) else { return Ok(None) };
    if settings.backlash == M::Measure::ZERO {
        return Ok(None);
    }
    let position = axis.at_step(target)?.position();
    let backlash = Enclosure::exact(settings.backlash);
    let (edge, rounding) = if settings.approach == Approach::FromBelow {
        (position.checked_sub(backlash)?.low(), Rounding::Below)
    } else {
        (position.checked_add(backlash)?.high(), Rounding::Above)
    };
    // Steps from the turn to the target, in the direction of approach.
    let toward = direction.sign();
    let turn = axis.step_for(edge, rounding)?.step;
    let travelled = (target - from) * toward;
    let taken_up = travelled >= (target - turn) * toward || (travelled >= 0 && arrived == settings.approach);
    if taken_up {
        return Ok(None);
    }
    if axis.allows(turn) { Ok(Some(turn)) } else { Err(past_limit(axis, turn)) }
}

/// The direction of the steps of an approach from that side; nothing if there is no side.
pub(super) fn direction_of<M: Mechanism>(axis: &Axis<M>, approach: Approach) -> Option<Direction> {
    let rising = axis.trend() == Trend::Rising;
    match approach {
        Approach::Either => None,
        Approach::FromBelow => Some(if rising { Direction::Forward } else { Direction::Backward }),
        Approach::FromAbove => Some(if rising { Direction::Backward } else { Direction::Forward }),
    }
}

/// The error for a move whose end, or turning point, lies past a soft limit.
pub(super) fn past_limit<M: Mechanism>(axis: &Axis<M>, step: i64) -> Error {
    let settings = axis.config();
    let error = messages::MOVE_PAST_LIMIT.error();
    let (Ok(there), Ok((low, high))) = (axis.at_step(step), axis.limits()) else {
        return error;
    };
    error
        .given(settings.quote(there.target()))
        .between(settings.quote(low), settings.quote(high))
        .remedy("leave room for the approach beyond the target, or approach from either side")
}
