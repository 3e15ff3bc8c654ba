//! What is right, recomputed in integers of any size from where the mechanism says its steps stand.

use std::cmp::Ordering;

use num_bigint::BigInt;
use num_integer::Integer as _;
use wholestep::axis::Approach;
use wholestep::mechanism::Trend;
use wholestep::plan::Plan;
use wholestep::{Axis, Enclosure, Error, ErrorKind, Exact, Measure, Mechanism, Placement, Rounding, Width};

/// A fraction of integers of any size, never reduced.
#[derive(Clone, Debug)]
pub(crate) struct Big {
    numerator: BigInt,
    denominator: BigInt,
}

impl Big {
    pub(crate) fn of(value: Exact) -> Self {
        Self { numerator: value.numerator().into(), denominator: value.denominator().into() }
    }

    pub(crate) fn of_measure<Q: Measure>(value: Q) -> Self {
        Self::of(value.base())
    }

    fn ratio(numerator: i64, denominator: i64) -> Self {
        Self { numerator: numerator.into(), denominator: denominator.into() }
    }

    pub(crate) fn add(&self, other: &Self) -> Self {
        Self {
            numerator: &self.numerator * &other.denominator + &other.numerator * &self.denominator,
            denominator: &self.denominator * &other.denominator,
        }
    }

    pub(crate) fn sub(&self, other: &Self) -> Self {
        self.add(&Self { numerator: -&other.numerator, denominator: other.denominator.clone() })
    }

    fn abs(&self) -> Self {
        Self { numerator: self.numerator.magnitude().clone().into(), denominator: self.denominator.clone() }
    }

    /// The whole number of `part`s just below, and the one just above.
    pub(crate) fn in_parts_of(&self, part: Exact) -> Option<(i64, i64)> {
        let numerator = &self.numerator * BigInt::from(part.denominator());
        let denominator = &self.denominator * BigInt::from(part.numerator());
        let (below, above) = (numerator.div_floor(&denominator), numerator.div_ceil(&denominator));
        Some((i64::try_from(below).ok()?, i64::try_from(above).ok()?))
    }
}

impl PartialEq for Big {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other).is_eq()
    }
}

impl Eq for Big {}

impl PartialOrd for Big {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Big {
    fn cmp(&self, other: &Self) -> Ordering {
        (&self.numerator * &other.denominator).cmp(&(&other.numerator * &self.denominator))
    }
}

/// Two bounds with the truth between them.
#[derive(Clone, Debug)]
pub(crate) struct Between {
    pub(crate) low: Big,
    pub(crate) high: Big,
}

impl Between {
    fn of<Q: Measure>(enclosure: Enclosure<Q>) -> Self {
        Self { low: Big::of_measure(enclosure.low()), high: Big::of_measure(enclosure.high()) }
    }

    fn less(&self, by: &Big) -> Self {
        Self { low: self.low.sub(by), high: self.high.sub(by) }
    }

    fn distance(&self, other: &Self) -> Self {
        let (low, high) = (self.low.sub(&other.high), self.high.sub(&other.low));
        let zero = Big::ratio(0, 1);
        let nearest = if low <= zero && zero <= high { zero } else { low.abs().min(high.abs()) };
        Self { low: nearest, high: low.abs().max(high.abs()) }
    }

    /// Whether the truth lies above `value`; bounds that are not exact stand beside the truth, never on it.
    fn above(&self, value: &Big) -> bool {
        self.low > *value || (self.low == *value && self.low < self.high)
    }

    fn below(&self, value: &Big) -> bool {
        self.high < *value || (self.high == *value && self.low < self.high)
    }

    fn overlaps(&self, other: &Self) -> bool {
        self.low <= other.high && other.low <= self.high
    }
}

/// Where `step` stands on the axis's scale; nothing off the span.
pub(crate) fn position<M: Mechanism>(axis: &Axis<M>, step: i64) -> Option<Between> {
    if !axis.mechanism().span().contains(&step) {
        return None;
    }
    let stands = axis.mechanism().position_at(step, Width::FINEST).ok()?;
    let offset = Big::of_measure(axis.zero()).sub(&Big::of_measure(axis.config().step_zero_at));
    Some(Between::of(stands).less(&offset))
}

/// Where the soft limits stand on the axis's scale.
pub(crate) fn limits<M: Mechanism>(axis: &Axis<M>) -> (Big, Big) {
    let zero = Big::of_measure(axis.zero());
    (Big::of_measure(axis.config().low).sub(&zero), Big::of_measure(axis.config().high).sub(&zero))
}

/// The step `by` steps higher by measure.
fn up<M: Mechanism>(axis: &Axis<M>, step: i64, by: i64) -> i64 {
    if axis.trend() == Trend::Rising { step + by } else { step - by }
}

/// More than any two bounds of the finest width stand apart: 1e-17 of a millimetre or a degree.
fn wide() -> Big {
    Big::ratio(1, 100_000_000_000_000_000)
}

fn must(right: bool, complaint: &str) -> Result<(), String> {
    if right { Ok(()) } else { Err(complaint.into()) }
}

/// Whether the answer to a target within the soft limits is right.
pub(crate) fn placed<M: Mechanism>(
    axis: &Axis<M>,
    target: M::Measure,
    rounding: Rounding,
    answer: &Result<Placement<M::Measure>, Error>,
) -> Result<(), String> {
    let wanted = Big::of_measure(target);
    match answer {
        Err(error) if no_step_that_way(axis, &wanted, rounding) && error.kind() == ErrorKind::BeyondLimit => {
            Ok(())
        }
        Err(error) => Err(format!("refused: {error}")),
        Ok(placed) => {
            must(placed.target() == target, "its target is not what was asked")?;
            must(axis.allows(placed.step()), "its step is past a soft limit")?;
            told(axis, placed)?;
            rounded(axis, &wanted, rounding, placed)
        }
    }
}

/// Whether no allowed step may stand on the side of the target to which it is rounded.
fn no_step_that_way<M: Mechanism>(axis: &Axis<M>, target: &Big, rounding: Rounding) -> bool {
    match rounding {
        Rounding::Nearest => false,
        Rounding::Below => position(axis, axis.lowest_step()).is_none_or(|first| first.high > *target),
        Rounding::Above => position(axis, axis.highest_step()).is_none_or(|last| last.low < *target),
    }
}

/// Whether position and remainder are what the mechanism says, less the target.
pub(crate) fn told<M: Mechanism>(axis: &Axis<M>, placed: &Placement<M::Measure>) -> Result<(), String> {
    let truth = position(axis, placed.step()).ok_or("its step is off the span")?;
    let wanted = Big::of_measure(placed.target());
    let (stands, remainder) = (Between::of(placed.position()), Between::of(placed.remainder()));
    must(stands.overlaps(&truth), "its position is not that of its step")?;
    must(remainder.overlaps(&truth.less(&wanted)), "its remainder is not position minus target")?;
    must(stands.high.sub(&stands.low) <= wide(), "its position is wider than 1e-17")?;
    must(remainder.high.sub(&remainder.low) <= wide(), "its remainder is wider than 1e-17")?;
    if truth.low == truth.high {
        must(stands.low == truth.low && stands.high == truth.low, "its position is not exact")?;
        must(
            remainder.low == truth.low.sub(&wanted) && remainder.high == remainder.low,
            "its remainder is not exact",
        )?;
    }
    Ok(())
}

/// Whether no allowed step keeps the rule better.
fn rounded<M: Mechanism>(
    axis: &Axis<M>,
    target: &Big,
    rounding: Rounding,
    placed: &Placement<M::Measure>,
) -> Result<(), String> {
    let step = placed.step();
    let there = position(axis, step).ok_or("its step is off the span")?;
    let neighbour = |by: i64| {
        let beside = up(axis, step, by);
        if axis.allows(beside) { position(axis, beside) } else { None }
    };
    let at = Between { low: target.clone(), high: target.clone() };
    let sure = placed.is_decided();
    match rounding {
        Rounding::Nearest => {
            let off = there.distance(&at);
            for beside in [neighbour(-1), neighbour(1)].into_iter().flatten() {
                let other = beside.distance(&at);
                let nearest = if sure { off.high <= other.low } else { off.low <= other.high };
                must(nearest, "its neighbour is nearer")?;
                let tie = off.low == off.high && other.low == other.high && off.low == other.low;
                must(!tie || step % 2 == 0, "of two equally near it is not the even one")?;
            }
            Ok(())
        }
        Rounding::Below => {
            must(if sure { there.high <= *target } else { there.low <= *target }, "it stands above")?;
            let next = neighbour(1);
            must(
                next.is_none_or(|next| if sure { next.above(target) } else { next.high >= *target }),
                "one more stands below",
            )
        }
        Rounding::Above => {
            must(if sure { there.low >= *target } else { there.high >= *target }, "it stands below")?;
            let next = neighbour(-1);
            must(
                next.is_none_or(|next| if sure { next.below(target) } else { next.low <= *target }),
                "one less stands above",
            )
        }
    }
}

/// A move of an axis.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Move {
    pub(crate) from: i64,
    pub(crate) arrived: Approach,
    pub(crate) to: i64,
}

/// Whether a drive's play has to be taken up at the end of a move, as far as bounds can tell.
struct Play {
    surely: bool,
    surely_not: bool,
    /// Whether the turning point may lie past the soft limits.
    may_lack_room: bool,
}

impl Play {
    fn of<M: Mechanism>(axis: &Axis<M>, Move { from, arrived, to }: Move) -> Option<Self> {
        let settings = axis.config();
        let none = Self { surely: false, surely_not: true, may_lack_room: false };
        let backlash = Big::of_measure(settings.backlash);
        if settings.approach == Approach::Either || settings.backlash == M::Measure::ZERO {
            return Some(none);
        }
        let toward = toward(axis);
        let distance = position(axis, to)?.distance(&position(axis, from)?);
        let travelled = (to - from) * toward;
        let known = travelled >= 0 && arrived == settings.approach;
        let behind =
            if settings.approach == Approach::FromBelow { axis.lowest_step() } else { axis.highest_step() };
        let room = position(axis, to)?.distance(&position(axis, behind)?);
        Some(Self {
            surely: !known && (travelled <= 0 || distance.high < backlash),
            surely_not: known || (travelled > 0 && distance.low >= backlash),
            may_lack_room: room.low < backlash,
        })
    }
}

/// The sign of steps that go the way the axis approaches.
fn toward<M: Mechanism>(axis: &Axis<M>) -> i64 {
    up(axis, 0, if axis.config().approach == Approach::FromAbove { -1 } else { 1 })
}

/// Whether the plan of a move between two allowed steps is right.
pub(crate) fn planned<M: Mechanism>(
    axis: &Axis<M>,
    asked: Move,
    answer: &Result<Plan, Error>,
) -> Result<(), String> {
    let play = Play::of(axis, asked).ok_or("an end is off the span")?;
    match answer {
        Err(error) if error.kind() == ErrorKind::BeyondLimit && !play.surely_not && play.may_lack_room => {
            Ok(())
        }
        Err(error) => Err(format!("refused: {error}")),
        Ok(plan) => {
            must(plan.steps() == asked.to - asked.from, "its steps are not those between the ends")?;
            let legs: Vec<i64> = plan
                .legs()
                .map(|leg| leg.direction().sign() * i64::try_from(leg.profile().steps()).unwrap_or(i64::MAX))
                .collect();
            must(legs.iter().sum::<i64>() == plan.steps(), "its legs do not add up")?;
            turned(axis, asked, &play, &legs)?;
            timed(plan, &legs)
        }
    }
}

/// Whether the play is taken up where it has to be, by no more than a step more than it is.
fn turned<M: Mechanism>(axis: &Axis<M>, asked: Move, play: &Play, legs: &[i64]) -> Result<(), String> {
    let [first, last] = legs else {
        must(!play.surely, "it does not take the play up")?;
        return must(legs.len() <= 1, "it has more than two legs");
    };
    must(!play.surely_not, "it takes up what is taken up already")?;
    must(last.signum() == toward(axis), "it ends against the approach")?;
    let turn = asked.from + first;
    must(axis.allows(turn), "it turns past a soft limit")?;
    let backlash = Big::of_measure(axis.config().backlash);
    let end = position(axis, asked.to).ok_or("its end is off the span")?;
    let from = |step| Some(position(axis, step)?.distance(&end));
    let whole = from(turn).ok_or("its turn is off the span")?;
    let short = from(turn + last.signum()).ok_or("its turn is off the span")?;
    must(whole.high >= backlash, "it turns before the play is taken up")?;
    must(short.low < backlash, "it goes further than to the first step past the play")
}

/// Whether every edge falls within the plan and none closer to another than the pulses allow.
fn timed(plan: &Plan, legs: &[i64]) -> Result<(), String> {
    let edges = plan.edge_count();
    must(edges == legs.iter().map(|leg| leg.unsigned_abs()).sum::<u64>(), "it has not an edge a step")?;
    if edges == 0 {
        return must(plan.ticks() == 0, "it takes time to stand still");
    }
    let from = |first: u64| plan.edges_from(first).map_err(|error| format!("its edges are refused: {error}"));
    let last = from(edges)?.last().ok_or("it has no last edge")?.tick;
    must(last <= plan.ticks(), "its last edge falls after its end")?;
    let beginning = from(1)?.take(8);
    let ending = from(edges.saturating_sub(7).max(1))?;
    for some in [beginning.collect::<Vec<_>>(), ending.collect()] {
        let apart = some.windows(2).all(|pair| pair[1].tick >= pair[0].tick + plan.timing().least_interval());
        must(apart, "two of its edges are closer than the pulses allow")?;
    }
    Ok(())
}
