//! The steps that are looked at, with their positions.

use wholestep::{Enclosure, Measure, Mechanism, Width};

use super::failure::Failure;

/// Where a step stands, at the finest width.
#[derive(Clone, Copy, Debug)]
pub(super) struct Sample<Q> {
    pub(super) step: i64,
    pub(super) position: Enclosure<Q>,
}

impl<Q: Measure> Sample<Q> {
    /// Asks at several widths and for the finest twice, and compares what is said.
    pub(super) fn of<M: Mechanism<Measure = Q> + ?Sized>(mechanism: &M, step: i64) -> Result<Self, Failure> {
        let finest = mechanism.finest_width();
        let ask = |width| mechanism.position_at(step, width).map_err(|error| Failure::error(step, &error));
        let position = ask(finest)?;
        if ask(finest)? != position {
            return Err(Failure::at(
                "the same step stands at the same place every time it is asked",
                step,
                format!("{} and then something else", shown(&position)),
            ));
        }
        for decimals in [0, 3, 6, 9, 12, 15, 18] {
            let Some(width) = Width::decimals(decimals).ok().filter(|width| *width <= finest) else {
                continue;
            };
            let wider = ask(width)?;
            let apart = wider.high().base().checked_sub(wider.low().base());
            if apart.is_ok_and(|apart| apart > width.as_exact()) {
                return Err(Failure::at(
                    "bounds are no further apart than the width that was asked for",
                    step,
                    format!("{} at a width of 1e-{decimals}", shown(&wider)),
                ));
            }
            if wider.low() > position.high() || wider.high() < position.low() {
                return Err(Failure::at(
                    "bounds at every width hold the true position",
                    step,
                    format!(
                        "{} at a width of 1e-{decimals}, {} at the finest",
                        shown(&wider),
                        shown(&position)
                    ),
                ));
            }
        }
        Ok(Self { step, position })
    }
}

/// An enclosure as a person reads it.
pub(super) fn shown<Q: Measure>(position: &Enclosure<Q>) -> String {
    let decimal =
        |bound: Q| bound.decimal_in(Q::BASE, 18).map_or_else(|_| bound.to_string(), |d| d.to_string());
    if position.is_exact() {
        return position.low().to_string();
    }
    format!("{} to {}", decimal(position.low()), decimal(position.high()))
}

/// Steps spread over the whole span, both ends and their neighbours among them, each with the one
/// after it; sorted.
pub(super) fn steps(first: i64, last: i64, count: u32, mut dice: impl FnMut() -> u64) -> Vec<i64> {
    let length = i128::from(last) - i128::from(first);
    let parts = i128::from(count.max(1));
    let mut steps: Vec<i64> = (0..parts)
        .flat_map(|part| {
            let (from, to) = (length * part / parts, length * (part + 1) / parts);
            let offset = from + i128::from(dice()) % (to - from).max(1);
            let step = i64::try_from(i128::from(first) + offset).unwrap_or(first);
            [step, step + 1]
        })
        .chain([first, first + 1, last - 1, last])
        .filter(|step| (first..=last).contains(step))
        .collect();
    steps.sort_unstable();
    steps.dedup();
    steps
}
