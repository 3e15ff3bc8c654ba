//! The right step for a target, by looking at every step about it.

use std::cmp::Ordering;

use wholestep::mechanism::Located;
use wholestep::{Measure, Rounding};

use super::samples::Sample;

/// The step for `target` among `steps`, which are in the order of their positions, follow one
/// another without a gap, and have the target between the first and the last of them.
///
/// `decided` is false where the bounds leave two possible.
pub(super) fn locate<Q: Measure>(steps: &[Sample<Q>], target: Q, rounding: Rounding) -> Option<Located> {
    let on = steps.iter().find(|sample| sample.position.contains(target));
    if let Some(exact) = on.filter(|sample| sample.position.is_exact()) {
        return Some(Located { step: exact.step, decided: true });
    }
    if rounding == Rounding::Nearest {
        return nearest(steps, target);
    }
    if let Some(near) = on {
        return Some(Located { step: near.step, decided: false });
    }
    let found = match rounding {
        Rounding::Below => steps.iter().rev().find(|sample| sample.position.high() < target),
        _ => steps.iter().find(|sample| sample.position.low() > target),
    };
    found.map(|sample| Located { step: sample.step, decided: true })
}

fn nearest<Q: Measure>(steps: &[Sample<Q>], target: Q) -> Option<Located> {
    let twice = target.base().add(target.base()).ok()?;
    for pair in steps.windows(2) {
        let [lower, upper] = [pair[0], pair[1]];
        let even = if lower.step & 1 == 0 { lower.step } else { upper.step };
        let least = lower.position.low().base().add(upper.position.low().base()).ok()?;
        let most = lower.position.high().base().add(upper.position.high().base()).ok()?;
        match (twice.cmp(&least), twice.cmp(&most)) {
            (Ordering::Less, _) => return Some(Located { step: lower.step, decided: true }),
            (_, Ordering::Greater) => {}
            (Ordering::Equal, Ordering::Equal) => return Some(Located { step: even, decided: true }),
            _ => return Some(Located { step: even, decided: false }),
        }
    }
    steps.last().map(|sample| Located { step: sample.step, decided: true })
}
