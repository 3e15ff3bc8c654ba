//! Certified bisection: which step stands nearest, below or above, when positions are enclosures.

use core::cmp::Ordering;
use core::ops::RangeInclusive;

use super::{Mechanism, StepSizes, Trend};
use crate::bounds::STEP_MAX;
use crate::error::{Error, ErrorKind, Result, Value};
use crate::exact::{Enclosure, Rounding, Width};
use crate::measure::Measure;

/// A step, and whether the bounds told it apart from its neighbours.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Located {
    /// The step.
    pub step: i64,
    /// False where the target lies so close to a tie, or to a step, that even the finest width left
    /// two steps possible; `step` is then one of the two.
    pub decided: bool,
}

/// How many steps are sampled for the finest and coarsest travel.
const SAMPLES: i64 = 256;

type Position<M> = Enclosure<<M as Mechanism>::Measure>;

pub(super) fn locate<M: Mechanism + ?Sized>(
    mechanism: &M,
    target: M::Measure,
    rounding: Rounding,
) -> Result<Located> {
    let bracket = Bracket::around(mechanism, target)?;
    match (bracket, rounding) {
        (Bracket::On(located), _) => Ok(located),
        (Bracket::Between { lower, .. }, Rounding::Below) => Ok(Located { step: lower, decided: true }),
        (Bracket::Between { upper, .. }, Rounding::Above) => Ok(Located { step: upper, decided: true }),
        (Bracket::Between { lower, upper }, Rounding::Nearest) => nearer(mechanism, target, lower, upper),
        (Bracket::BelowAll(step), Rounding::Nearest | Rounding::Above)
        | (Bracket::AboveAll(step), Rounding::Nearest | Rounding::Below) => {
            Ok(Located { step, decided: true })
        }
        (Bracket::BelowAll(step), Rounding::Below) => Err(off_span(mechanism, target, step, false)?),
        (Bracket::AboveAll(step), Rounding::Above) => Err(off_span(mechanism, target, step, true)?),
    }
}

/// Where a target lies among the steps, lower and upper taken by measure.
enum Bracket {
    /// On a step, exactly, or so near that no width tells which side of it.
    On(Located),
    /// Between two neighbouring steps.
    Between { lower: i64, upper: i64 },
    /// Short of the lowest step.
    BelowAll(i64),
    /// Beyond the highest step.
    AboveAll(i64),
}

impl Bracket {
    fn around<M: Mechanism + ?Sized>(mechanism: &M, target: M::Measure) -> Result<Self> {
        let (first, last) = checked_span(mechanism)?;
        let (mut lower, mut upper) = match mechanism.trend()? {
            Trend::Rising => (first, last),
            Trend::Falling => (last, first),
        };
        let mut low = match side(mechanism, lower, target)? {
            Side::On(exact) => return Ok(Self::On(Located { step: lower, decided: exact })),
            Side::Above(_) => return Ok(Self::BelowAll(lower)),
            Side::Below(position) => position,
        };
        let mut high = match side(mechanism, upper, target)? {
            Side::On(exact) => return Ok(Self::On(Located { step: upper, decided: exact })),
            Side::Below(_) => return Ok(Self::AboveAll(upper)),
            Side::Above(position) => position,
        };
        while lower.abs_diff(upper) > 1 {
            let middle = i64::midpoint(lower, upper);
            match side(mechanism, middle, target)? {
                Side::On(exact) => return Ok(Self::On(Located { step: middle, decided: exact })),
                Side::Below(position) if position.high() < low.low() => return Err(not_monotone(middle)),
                Side::Above(position) if position.low() > high.high() => return Err(not_monotone(middle)),
                Side::Below(position) => (lower, low) = (middle, position),
                Side::Above(position) => (upper, high) = (middle, position),
            }
        }
        Ok(Self::Between { lower, upper })
    }
}

/// On which side of the target a step stands.
enum Side<M> {
    Below(Enclosure<M>),
    Above(Enclosure<M>),
    /// On it: exactly (`true`), or as far as the finest width can tell.
    On(bool),
}

fn side<M: Mechanism + ?Sized>(mechanism: &M, step: i64, target: M::Measure) -> Result<Side<M::Measure>> {
    let mut width = Width::COARSE;
    loop {
        let position = stands_at(mechanism, step, width)?;
        if position.high() < target {
            return Ok(Side::Below(position));
        }
        if position.low() > target {
            return Ok(Side::Above(position));
        }
        if position.is_exact() {
            return Ok(Side::On(true));
        }
        match width.finer() {
            Some(finer) => width = finer,
            None => return Ok(Side::On(false)),
        }
    }
}

/// The nearer of two neighbours, of equally near ones the even.
fn nearer<M: Mechanism + ?Sized>(
    mechanism: &M,
    target: M::Measure,
    lower: i64,
    upper: i64,
) -> Result<Located> {
    let even = if lower & 1 == 0 { lower } else { upper };
    let twice = target.base().add(target.base())?;
    let mut width = Width::COARSE;
    loop {
        let below = stands_at(mechanism, lower, width)?;
        let above = stands_at(mechanism, upper, width)?;
        let least = below.low().base().add(above.low().base())?;
        let most = below.high().base().add(above.high().base())?;
        match (twice.cmp(&least), twice.cmp(&most)) {
            (Ordering::Less, _) => return Ok(Located { step: lower, decided: true }),
            (_, Ordering::Greater) => return Ok(Located { step: upper, decided: true }),
            (Ordering::Equal, Ordering::Equal) => return Ok(Located { step: even, decided: true }),
            _ => {}
        }
        match width.finer() {
            Some(finer) => width = finer,
            None => return Ok(Located { step: even, decided: false }),
        }
    }
}

pub(super) fn trend<M: Mechanism + ?Sized>(mechanism: &M) -> Result<Trend> {
    let (first, last) = checked_span(mechanism)?;
    let mut width = Width::COARSE;
    loop {
        let start = stands_at(mechanism, first, width)?;
        let end = stands_at(mechanism, last, width)?;
        if start.high() < end.low() {
            return Ok(Trend::Rising);
        }
        if start.low() > end.high() {
            return Ok(Trend::Falling);
        }
        width = width.finer().ok_or_else(|| {
            Error::new(ErrorKind::Mechanism, "span of the mechanism")
                .remedy("let the two ends of the span stand at different positions")
        })?;
    }
}

pub(super) fn sampled_step_sizes<M: Mechanism + ?Sized>(
    mechanism: &M,
    steps: RangeInclusive<i64>,
) -> Result<StepSizes<M::Measure>> {
    let (first, last) = (*steps.start(), steps.end().saturating_sub(1));
    let count = SAMPLES.min(last.saturating_sub(first)).max(1);
    let mut sizes: Option<(M::Measure, M::Measure)> = None;
    for sample in 0..=count {
        let offset = i128::from(last - first) * i128::from(sample) / i128::from(count);
        let step = first + i64::try_from(offset).unwrap_or(0);
        let here = stands_at(mechanism, step, Width::FINEST)?;
        let next = stands_at(mechanism, step + 1, Width::FINEST)?;
        let size = next.low().sub(here.low())?.abs();
        let (finest, coarsest) = sizes.unwrap_or((size, size));
        sizes = Some((finest.min(size), coarsest.max(size)));
    }
    let (finest, coarsest) = sizes.unwrap_or((M::Measure::ZERO, M::Measure::ZERO));
    Ok(StepSizes { finest, coarsest, certified: false })
}

/// Asks the mechanism, and refuses bounds further apart than it was asked for.
fn stands_at<M: Mechanism + ?Sized>(mechanism: &M, step: i64, width: Width) -> Result<Position<M>> {
    let position = mechanism.stands_at(step, width)?;
    if position.high().base().sub(position.low().base())? > width.as_exact() {
        return Err(Error::new(ErrorKind::Mechanism, "width of the mechanism's bounds at step")
            .given(Value::Integer(step.into()))
            .remedy("return bounds no further apart than the width that was asked for"));
    }
    Ok(position)
}

fn checked_span<M: Mechanism + ?Sized>(mechanism: &M) -> Result<(i64, i64)> {
    let (first, last) = mechanism.span().into_inner();
    if first >= last || first < -STEP_MAX || last > STEP_MAX {
        let given = if first < -STEP_MAX { first } else { last };
        return Err(Error::new(ErrorKind::Mechanism, "span of the mechanism, step")
            .given(Value::Integer(given.into()))
            .between(Value::Integer((-STEP_MAX).into()), Value::Integer(STEP_MAX.into()))
            .remedy("let the span hold at least two steps"));
    }
    Ok((first, last))
}

fn not_monotone(step: i64) -> Error {
    Error::new(ErrorKind::Mechanism, "mechanism that turns back at step")
        .given(Value::Integer(step.into()))
        .remedy("narrow the span to where the position only rises or only falls")
}

fn off_span<M: Mechanism + ?Sized>(
    mechanism: &M,
    target: M::Measure,
    end: i64,
    above: bool,
) -> Result<Error> {
    let unit = M::Measure::BASE;
    let position = stands_at(mechanism, end, Width::COARSE)?;
    let error =
        Error::new(ErrorKind::BeyondLimit, "target beyond the mechanism's span").given(target.quoted(unit));
    Ok(if above {
        error.at_most(position.low().quoted(unit))
    } else {
        error.at_least(position.high().quoted(unit))
    })
}
