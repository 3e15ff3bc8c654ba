//! The right step for a target, by looking at every step about it.

use std::cmp::Ordering;

use wholestep::mechanism::Located;
use wholestep::{Enclosure, Measure, Rounding};

use super::samples::Sample;

/// What the bounds of the steps about a target say of it.
#[derive(Clone, Copy, Debug)]
pub(super) enum Right {
    /// This step, and no other.
    Step(i64),
    /// One of two. A mechanism that searches has to leave it open; one with a closed form may know.
    Open([i64; 2]),
}

impl Right {
    /// Whether a mechanism that answers so keeps its promise.
    pub(super) fn allows(self, found: Located) -> bool {
        match self {
            Self::Step(step) => found == Located { step, is_decided: true },
            Self::Open(either) => either.contains(&found.step),
        }
    }
}

/// The step for `target` among `steps`, which are in the order of their positions, follow one
/// another without a gap, and have the target between the first and the last of them.
pub(super) fn locate<Q: Measure>(steps: &[Sample<Q>], target: Q, rounding: Rounding) -> Option<Right> {
    let on = steps.iter().position(|sample| sample.position.contains(target));
    if let Some(on) = on
        && steps[on].position.is_exact()
    {
        return Some(Right::Step(steps[on].step));
    }
    if rounding == Rounding::Nearest {
        return nearest(steps, target);
    }
    if let Some(near) = on {
        let other = match rounding {
            Rounding::Below => near.saturating_sub(1),
            _ => (near + 1).min(steps.len() - 1),
        };
        return Some(Right::Open([steps[near].step, steps[other].step]));
    }
    let found = match rounding {
        Rounding::Below => steps.iter().rev().find(|sample| sample.position.high() < target),
        _ => steps.iter().find(|sample| sample.position.low() > target),
    };
    found.map(|sample| Right::Step(sample.step))
}

fn nearest<Q: Measure>(steps: &[Sample<Q>], target: Q) -> Option<Right> {
    let twice = Enclosure::exact(target.base()).checked_add(Enclosure::exact(target.base())).ok()?.low();
    for pair in steps.windows(2) {
        let [lower, upper] = [pair[0], pair[1]];
        let even = if lower.step & 1 == 0 { lower.step } else { upper.step };
        let sum = lower.position.base().checked_add(upper.position.base()).ok()?;
        match (twice.cmp(&sum.low()), twice.cmp(&sum.high())) {
            (Ordering::Less, _) => return Some(Right::Step(lower.step)),
            (_, Ordering::Greater) => {}
            (Ordering::Equal, Ordering::Equal) => return Some(Right::Step(even)),
            _ => return Some(Right::Open([lower.step, upper.step])),
        }
    }
    steps.last().map(|sample| Right::Step(sample.step))
}
