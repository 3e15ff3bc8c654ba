//! Dimensions as people write them.

use wholestep::measure::Unit;
use wholestep::{Axis, Exact, Measure, Mechanism};

use crate::chance::Chance;
use crate::truth::{Big, limits};

/// A measure and how it was written.
#[derive(Clone, Debug)]
pub(crate) struct Dimension<Q> {
    pub(crate) text: String,
    pub(crate) value: Q,
}

impl<Q: Measure> Dimension<Q> {
    fn read(text: String) -> Self {
        let value = Q::read(&text, None).unwrap_or_else(|error| panic!("{error}"));
        Self { text, value }
    }

    /// Exactly as the axis would write it.
    pub(crate) fn exactly(value: Q, unit: Q::Unit) -> Self {
        let written = Self::read(value.to_text(unit).to_string());
        assert_eq!(written.value, value, "{}", written.text);
        written
    }
}

/// Parts that people write: fractions of carpenters, thirds and sevenths, decimals.
const PARTS: [i64; 16] = [1, 2, 4, 8, 16, 32, 64, 3, 6, 7, 12, 10, 100, 1_000, 10_000, 100_000];
/// Parts that are no decimal and no binary fraction.
pub(crate) const ODD_PARTS: [i64; 4] = [3, 6, 7, 12];

/// A dimension from `low` to `high` in any unit.
pub(crate) fn written<Q: Measure>(
    chance: &mut Chance,
    (low, high): &(Big, Big),
    units: &[Q::Unit],
    parts: &[i64],
) -> Option<Dimension<Q>> {
    // A yard's third may be longer than the whole travel.
    for _ in 0..100 {
        let (unit, parts) = (*chance.of_these(units), *chance.of_these(parts));
        let part = unit.in_base().checked_div(Exact::integer(parts)).ok()?;
        let (Some((_, least)), Some((most, _))) = (low.in_parts_of(part), high.in_parts_of(part)) else {
            continue;
        };
        if least > most {
            continue;
        }
        let count = chance.between(least, most);
        let spelling = chance.of_these(unit.spellings());
        let dimension = Dimension::read(format!("{} {spelling}", number(count, parts)));
        let meant = part.checked_mul(Exact::integer(count)).ok().and_then(|value| Q::from_base(value).ok());
        assert_eq!(Some(dimension.value), meant, "{} is misread", dimension.text);
        return Some(dimension);
    }
    None
}

/// `count` parts: a decimal of a power of ten, otherwise a mixed number.
fn number(count: i64, parts: i64) -> String {
    let sign = if count < 0 { "-" } else { "" };
    let (whole, rest) = (count.abs() / parts, count.abs() % parts);
    match (whole, rest) {
        (whole, 0) => format!("{sign}{whole}"),
        (whole, rest) if [10, 100, 1_000, 10_000, 100_000].contains(&parts) => {
            let places = usize::try_from(parts.ilog10()).unwrap_or(0);
            format!("{sign}{whole}.{rest:0places$}")
        }
        (0, rest) => format!("{sign}{rest}/{parts}"),
        (whole, rest) => format!("{sign}{whole}-{rest}/{parts}"),
    }
}

/// A target within the soft limits: mostly as people write them, sometimes a limit itself, a step, or
/// the middle between two.
pub(crate) fn target<M: Mechanism>(chance: &mut Chance, axis: &Axis<M>) -> Option<Dimension<M::Measure>> {
    if chance.once_in(8)
        && let Some(value) = special(chance, axis)
        && inside(axis, value)
    {
        return Some(Dimension::exactly(value, axis.unit()));
    }
    written(chance, &limits(axis), <M::Measure as Measure>::Unit::ALL, &PARTS)
}

/// Whether a measure on the axis's scale lies within the soft limits.
pub(crate) fn inside<M: Mechanism>(axis: &Axis<M>, value: M::Measure) -> bool {
    let (low, high) = limits(axis);
    let value = Big::of_measure(value);
    low <= value && value <= high
}

fn special<M: Mechanism>(chance: &mut Chance, axis: &Axis<M>) -> Option<M::Measure> {
    let (low, high) = (axis.config().low, axis.config().high);
    match chance.between(0, 3) {
        0 => low.checked_sub(axis.zero()).ok(),
        1 => high.checked_sub(axis.zero()).ok(),
        2 => Some(axis.at_step(allowed_step(chance, axis)).ok()?.target()),
        _ => {
            let step = allowed_step(chance, axis);
            let (here, next) = (axis.at_step(step).ok()?.target(), axis.at_step(step + 1).ok()?.target());
            here.checked_add(next).ok()?.checked_mul(Exact::new(1, 2).ok()?).ok()
        }
    }
}

/// A step that the soft limits allow.
pub(crate) fn allowed_step<M: Mechanism>(chance: &mut Chance, axis: &Axis<M>) -> i64 {
    let (one, other) = (axis.lowest_step(), axis.highest_step());
    chance.between(one.min(other), one.max(other))
}

/// A distance that leads from `from` to somewhere within the limits.
pub(crate) fn distance<M: Mechanism>(
    chance: &mut Chance,
    axis: &Axis<M>,
    from: M::Measure,
) -> Option<Dimension<M::Measure>> {
    let (low, high) = limits(axis);
    let from = Big::of_measure(from);
    written(chance, &(low.sub(&from), high.sub(&from)), <M::Measure as Measure>::Unit::ALL, &PARTS)
}
