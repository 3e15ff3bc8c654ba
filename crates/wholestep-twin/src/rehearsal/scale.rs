//! Where on the simulated machine a position of the axis lies, and back.

use wholestep::error::Error;
use wholestep::{Axis, Exact, Measure, Mechanism};

/// Positions of an axis, in mm or degrees, against those of its simulated machine, in metres.
///
/// The machine travels alike with every step. If the steps of the axis are unequal, positions are read
/// off its own, straight lines between them; if it turns, they are arcs at [`LEVER`](Self::LEVER).
#[derive(Clone, Debug, PartialEq)]
pub struct Scale {
    /// Metres to a millimetre or a degree.
    factor: f64,
    /// Metres that a step travels on the machine, positive if the measure rises with the step.
    travel: f64,
    /// Positions of the axis with those of the machine, both rising; none if every step is alike.
    knots: Vec<(f64, f64)>,
}

/// Between how many steps positions are read off an axis of unequal ones.
const KNOTS: i64 = 1024;
/// Steps that differ by no more are alike.
const ALIKE: f64 = 1e-6;

impl Scale {
    /// How far from its pivot the load of an axis that turns is assumed, m.
    pub const LEVER: f64 = 0.15;

    /// Makes the scale of `axis`, `factor` metres to a millimetre or degree.
    pub(super) fn new<M: Mechanism>(axis: &Axis<M>, factor: f64) -> Result<Self, Error> {
        let (first, last) = (axis.lowest_step(), axis.highest_step());
        let at = |step: i64| axis.at_step(step).map(|at| float(at.position().low().base()));
        let (low, high) = (at(first)?, at(last)?);
        let travel = factor * (high - low) / (last - first) as f64;
        let mut scale = Self { factor, travel, knots: Vec::new() };
        let sizes = axis.mechanism().step_sizes(first.min(last)..=first.max(last))?;
        let (finest, coarsest) = (float(sizes.finest.base()), float(sizes.coarsest.base()));
        if coarsest - finest > ALIKE * coarsest {
            let span = axis.mechanism().span();
            let beyond = first.abs_diff(last).cast_signed() / 4;
            let from = first.min(last).saturating_sub(beyond).max(*span.start());
            let to = first.max(last).saturating_add(beyond).min(*span.end());
            let apart = ((to - from) / KNOTS).max(1);
            let mut knots = Vec::new();
            for number in 0..=(to - from) / apart {
                let step = from + number * apart;
                knots.push((at(step)?, factor * low + travel * (step - first) as f64));
            }
            knots.sort_by(|one, other| one.0.total_cmp(&other.0));
            scale.knots = knots;
        }
        Ok(scale)
    }

    /// Whether every step is alike.
    pub(crate) const fn is_even(&self) -> bool {
        self.knots.is_empty()
    }

    /// Metres that a step travels on the machine.
    pub(super) const fn travel(&self) -> f64 {
        self.travel
    }

    /// Metres on the machine of a stretch of so many mm or degrees, as at the average of the steps.
    pub(super) fn stretch(&self, base: f64) -> f64 {
        base * self.factor
    }

    /// Mm or degrees of a stretch of so many metres on the machine, as at the average of the steps.
    pub(super) fn stretched(&self, metres: f64) -> f64 {
        metres / self.factor
    }

    /// Returns where on the machine the axis stands at `base`, in mm or degrees.
    pub fn on_machine(&self, base: f64) -> f64 {
        between(&self.knots, base, |knot| *knot).unwrap_or(base * self.factor)
    }

    /// Returns where on the axis, in mm or degrees, the machine stands at `metres`.
    pub fn on_axis(&self, metres: f64) -> f64 {
        between(&self.knots, metres, |(base, metres)| (*metres, *base)).unwrap_or(metres / self.factor)
    }

    /// Returns the speed of the axis, in mm or degrees a second, if the machine at `metres` goes at `speed`, in m/s.
    pub(super) fn rate(&self, metres: f64, speed: f64) -> f64 {
        let near = self.travel.abs();
        speed * (self.on_axis(metres + near) - self.on_axis(metres - near)) / (2.0 * near)
    }
}

/// Where `at` leads on the straight lines between `knots`; past their ends the last line goes on.
fn between(knots: &[(f64, f64)], at: f64, read: impl Fn(&(f64, f64)) -> (f64, f64)) -> Option<f64> {
    let above = knots.partition_point(|knot| read(knot).0 <= at).clamp(1, knots.len().checked_sub(1)?.max(1));
    let ((from, start), (to, end)) = (read(knots.get(above - 1)?), read(knots.get(above)?));
    Some(start + (at - from) / (to - from) * (end - start))
}

/// Nothing exact is decided with it.
pub(crate) fn float(value: Exact) -> f64 {
    value.numerator() as f64 / value.denominator() as f64
}
