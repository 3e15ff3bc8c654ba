//! The certified search: which step stands nearest, below or above, when positions are enclosures.

use core::cmp::Ordering;
use core::ops::RangeInclusive;

use super::interpolator::Interpolator;
use super::step_bounds::{Side, StepBounds, checked_span, ends, position_at};
use super::{Mechanism, StepSizes, Trend};
use crate::error::{Error, Result, Value, messages};
use crate::exact::{Enclosure, Rounding};
use crate::measure::Measure;

/// A step, and whether the bounds told it apart from its neighbours.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Located {
    /// The step.
    pub step: i64,
    /// False if the target lies so close to a tie, or to a step, that even the finest width left
    /// two steps possible; `step` is then one of the two.
    pub is_decided: bool,
}

/// How many steps are sampled for the finest and coarsest travel.
const SAMPLES: i64 = 256;

pub(super) fn locate<M: Mechanism + ?Sized>(
    mechanism: &M,
    target: M::Measure,
    rounding: Rounding,
) -> Result<Located> {
    match (Bracket::around(mechanism, target)?, rounding) {
        (Bracket::On(known, exact), _) => on(mechanism, target, rounding, known, exact),
        (Bracket::Between(lower, upper), Rounding::Nearest) => nearer(mechanism, target, lower, upper),
        (Bracket::Between(known, _), Rounding::Below)
        | (Bracket::Between(_, known), Rounding::Above)
        | (Bracket::BelowAll(known), Rounding::Nearest | Rounding::Above)
        | (Bracket::AboveAll(known), Rounding::Nearest | Rounding::Below) => {
            Ok(Located { step: known.step, is_decided: true })
        }
        (Bracket::BelowAll(end), Rounding::Below) => {
            Err(off_span(target).at_least(end.position.high().quoted(M::Measure::BASE)))
        }
        (Bracket::AboveAll(end), Rounding::Above) => {
            Err(off_span(target).at_most(end.position.low().quoted(M::Measure::BASE)))
        }
    }
}

/// Where a target lies among the steps, lower and upper taken by measure.
enum Bracket<Q> {
    /// On a step, exactly (`true`), or so near that no width tells which side of it.
    On(StepBounds<Q>, bool),
    /// Between two neighbouring steps.
    Between(StepBounds<Q>, StepBounds<Q>),
    /// Short of the lowest step.
    BelowAll(StepBounds<Q>),
    /// Beyond the highest step.
    AboveAll(StepBounds<Q>),
}

impl<Q: Measure> Bracket<Q> {
    fn around<M: Mechanism<Measure = Q> + ?Sized>(mechanism: &M, target: Q) -> Result<Self> {
        if let Some(bracket) = Self::hinted(mechanism, target)? {
            return Ok(bracket);
        }
        let [mut lower, mut upper] = ends(mechanism)?;
        match lower.side(mechanism, target)? {
            Side::On(exact) => return Ok(Self::On(lower, exact)),
            Side::Above => return Ok(Self::BelowAll(lower)),
            Side::Below => {}
        }
        match upper.side(mechanism, target)? {
            Side::On(exact) => return Ok(Self::On(upper, exact)),
            Side::Below => return Ok(Self::AboveAll(upper)),
            Side::Above => {}
        }
        let mut interpolator = Interpolator::between(lower.step.abs_diff(upper.step));
        while lower.step.abs_diff(upper.step) > 1 {
            let step = interpolator.next((lower.step, lower.position), (upper.step, upper.position), target);
            let mut middle = StepBounds::of(mechanism, step)?;
            match middle.side(mechanism, target)? {
                Side::On(exact) => return Ok(Self::On(middle, exact)),
                Side::Below if middle.position.high() <= lower.position.low() => return Err(turns(step)),
                Side::Above if middle.position.low() >= upper.position.high() => return Err(turns(step)),
                Side::Below => lower = middle,
                Side::Above => upper = middle,
            }
        }
        Ok(Self::Between(lower, upper))
    }

    /// By the step that the mechanism itself expects, where it and the next do enclose the target.
    fn hinted<M: Mechanism<Measure = Q> + ?Sized>(mechanism: &M, target: Q) -> Result<Option<Self>> {
        let Some(step) = mechanism.step_before(target) else { return Ok(None) };
        let (first, last) = checked_span(mechanism)?;
        if !(first..last).contains(&step) {
            return Ok(None);
        }
        let (mut here, mut next) = (StepBounds::of(mechanism, step)?, StepBounds::of(mechanism, step + 1)?);
        Ok(match (here.side(mechanism, target)?, next.side(mechanism, target)?) {
            (Side::On(exact), _) => Some(Self::On(here, exact)),
            (_, Side::On(exact)) => Some(Self::On(next, exact)),
            (Side::Below, Side::Above) => Some(Self::Between(here, next)),
            (Side::Above, Side::Below) => Some(Self::Between(next, here)),
            _ => None,
        })
    }
}

/// A target that is on a step, or within the finest width of it: that step is the nearest unless a
/// neighbour is as near, but whether it stands above or below stays open.
fn on<M: Mechanism + ?Sized>(
    mechanism: &M,
    target: M::Measure,
    rounding: Rounding,
    known: StepBounds<M::Measure>,
    exact: bool,
) -> Result<Located> {
    let step = known.step;
    if exact || rounding != Rounding::Nearest {
        return Ok(Located { step, is_decided: exact });
    }
    let [lowest, _] = ends(mechanism)?;
    let (first, last) = checked_span(mechanism)?;
    for neighbour in [step - 1, step + 1] {
        if !(first..=last).contains(&neighbour) {
            continue;
        }
        let other = StepBounds::of(mechanism, neighbour)?;
        let rising = (lowest.step == first) == (neighbour > step);
        let (lower, upper) = if rising { (known, other) } else { (other, known) };
        let located = nearer(mechanism, target, lower, upper)?;
        if located != (Located { step, is_decided: true }) {
            return Ok(located);
        }
    }
    Ok(Located { step, is_decided: true })
}

/// The nearer of two neighbours, of equally near ones the even.
fn nearer<M: Mechanism + ?Sized>(
    mechanism: &M,
    target: M::Measure,
    mut lower: StepBounds<M::Measure>,
    mut upper: StepBounds<M::Measure>,
) -> Result<Located> {
    let twice = target.base().checked_add(target.base())?;
    loop {
        let both = lower.position.base().checked_add(upper.position.base())?;
        let step = match (twice.cmp(&both.low()), twice.cmp(&both.high())) {
            (Ordering::Less, _) => lower.step,
            (_, Ordering::Greater) => upper.step,
            (Ordering::Equal, Ordering::Equal) => even(lower.step, upper.step),
            _ => {
                let [vaguer, other] = if upper.is_vaguer_than(&lower) {
                    [&mut upper, &mut lower]
                } else {
                    [&mut lower, &mut upper]
                };
                if vaguer.tighten(mechanism)? || other.tighten(mechanism)? {
                    continue;
                }
                return Ok(Located { step: even(lower.step, upper.step), is_decided: false });
            }
        };
        return Ok(Located { step, is_decided: true });
    }
}

const fn even(one: i64, other: i64) -> i64 {
    if one & 1 == 0 { one } else { other }
}

pub(super) fn trend<M: Mechanism + ?Sized>(mechanism: &M) -> Result<Trend> {
    let [lower, upper] = ends(mechanism)?;
    Ok(if lower.step < upper.step { Trend::Rising } else { Trend::Falling })
}

/// From `step` to the next, or to the one before it where it is the last.
pub(super) fn travel_at<M: Mechanism + ?Sized>(mechanism: &M, step: i64) -> Result<Enclosure<M::Measure>> {
    let (first, last) = checked_span(mechanism)?;
    if !(first..=last).contains(&step) {
        return Err(messages::STEP_OFF_SPAN
            .error()
            .given(Value::Integer(step.into()))
            .between(Value::Integer(first.into()), Value::Integer(last.into())));
    }
    let from = step.min(last - 1);
    let width = mechanism.finest_width();
    let here = position_at(mechanism, from, width)?;
    let next = position_at(mechanism, from + 1, width)?;
    if here.low() <= next.low() { here.distance_to(next) } else { next.distance_to(here) }
}

pub(super) fn sampled_step_sizes<M: Mechanism + ?Sized>(
    mechanism: &M,
    steps: RangeInclusive<i64>,
) -> Result<StepSizes<M::Measure>> {
    let (first, last) = checked_range(mechanism, &steps)?;
    let count = SAMPLES.min(last - 1 - first);
    let size = travel_at(mechanism, first)?;
    let mut sizes = StepSizes { finest: size.low(), coarsest: size.high(), certified: false };
    for sample in 1..=count {
        let offset = i128::from(last - 1 - first) * i128::from(sample) / i128::from(count);
        let size = travel_at(mechanism, first + i64::try_from(offset).unwrap_or(0))?;
        sizes.finest = sizes.finest.min(size.low());
        sizes.coarsest = sizes.coarsest.max(size.high());
    }
    Ok(sizes)
}

/// The ends of `steps`, which must be at least two steps of the span.
pub(super) fn checked_range<M: Mechanism + ?Sized>(
    mechanism: &M,
    steps: &RangeInclusive<i64>,
) -> Result<(i64, i64)> {
    let (first, last) = checked_span(mechanism)?;
    let (from, to) = (*steps.start(), *steps.end());
    if from < first || to > last || from >= to {
        let given = if from < first || from >= to { from } else { to };
        return Err(messages::RANGE_OF_STEPS
            .error()
            .given(Value::Integer(given.into()))
            .between(Value::Integer(first.into()), Value::Integer(last.into())));
    }
    Ok((from, to))
}

fn turns(step: i64) -> Error {
    messages::TURNS_BACK.error().given(Value::Integer(step.into()))
}

fn off_span<Q: Measure>(target: Q) -> Error {
    messages::BEYOND_SPAN.error().given(target.quoted(Q::BASE))
}
