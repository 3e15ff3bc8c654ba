//! No move within the limits is refused: every axis file we ship, from every side of arrival, measured
//! from the datum, from a zero unlike the axis's own unit, and after a touch-off.

use std::path::{Path, PathBuf};

use wholestep::axis::AnyAxis;
use wholestep::axis::Approach;
use wholestep::plan::Planner;
use wholestep::{Axis, Enclosure, Exact, Length, Measure, Mechanism, Rounding};
use wholestep_files::{AxisFile, Registry};

/// Moves on each axis from each zero; from six zeros it makes the 2,000 that are required of each.
const MOVES: u32 = 334;

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

/// Every axis file we ship, with the kinds it needs.
fn files() -> Vec<(PathBuf, AxisFile)> {
    let standard = Registry::standard();
    let mut paths: Vec<_> = std::fs::read_dir(root().join("examples/axes"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|extension| extension == "toml"))
        .collect();
    paths.sort();
    let mut files: Vec<_> = paths
        .into_iter()
        .map(|path| {
            let file = AxisFile::load(&path, &standard).unwrap();
            (path, file)
        })
        .collect();
    let scissor = root().join("examples/scissor_table/axis.toml");
    let file = AxisFile::load(&scissor, &scissor_table::registry().unwrap()).unwrap();
    files.push((scissor, file));
    assert!(files.len() >= 8);
    files
}

/// Numbers that only look random, so that a failure can be run again.
struct Dice(u64);

impl Dice {
    fn below(&mut self, limit: u64) -> i128 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 33) % limit).into()
    }

    /// A measure between two others, by dimensions as people write them and finer.
    fn between<Q: Measure>(&mut self, low: Q, high: Q) -> Q {
        const PARTS: [i128; 8] = [1, 10, 1_000, 64 * 5, 3, 7, 1_000_000_000_000, 1_000_000_000_000_000_000];
        let parts = PARTS[usize::try_from(self.below(8)).unwrap()];
        let share = Exact::new(self.below(1_000_001), 1_000_000).unwrap();
        let [low, high] = [low.base(), high.base()];
        let exactly = low.checked_add(high.checked_sub(low).unwrap().checked_mul(share).unwrap()).unwrap();
        let rounded = exactly.checked_mul(Exact::new(parts, 1).unwrap()).unwrap().round(Rounding::Nearest);
        Q::from_base(Exact::new(rounded, parts).unwrap().clamp(low, high)).unwrap()
    }
}

/// The targets of an axis that leave room for its approach, seen from its zero.
fn room<M: Mechanism>(axis: &Axis<M>) -> (M::Measure, M::Measure) {
    let settings = axis.config();
    // Two steps and the backlash, at the coarsest step.
    let (lowest, highest) = (axis.lowest_step(), axis.highest_step());
    let sizes = axis.mechanism().step_sizes(lowest.min(highest)..=lowest.max(highest)).unwrap();
    let margin = Enclosure::exact(sizes.coarsest)
        .checked_mul(Exact::integer(3))
        .and_then(|steps| steps.checked_add(Enclosure::exact(settings.backlash)))
        .unwrap();
    let from_zero =
        |limit: M::Measure| Enclosure::exact(limit).checked_sub(Enclosure::exact(axis.zero())).unwrap();
    let low = from_zero(settings.low).checked_add(margin).unwrap().to_measure().unwrap();
    let high = from_zero(settings.high).checked_sub(margin).unwrap().to_measure().unwrap();
    (low, high)
}

fn moves<M: Mechanism>(name: &str, axis: &Axis<M>, file: &AxisFile, dice: &mut Dice) {
    let pulse = file.pulse();
    let planner = Planner::new(axis, pulse.timer_hz, pulse.timing().unwrap()).unwrap();
    let (low, high) = room(axis);
    let mut refused = 0;
    let mut first = None;
    for turn in 0..MOVES {
        let [from, to] = [(); 2].map(|()| dice.between(low, high));
        let arrived = Approach::ALL[usize::try_from(dice.below(3)).unwrap()];
        let rounding = Rounding::ALL[usize::try_from(dice.below(3)).unwrap()];
        let planned = axis.place(from, rounding).and_then(|start| {
            let end = axis.place(to, rounding)?;
            // By a distance from where a step stands.
            let there = axis.at_step(start.step())?;
            let distance = Enclosure::exact(to).checked_sub(Enclosure::exact(there.target()))?;
            axis.place_by(&there, distance.to_measure()?, Rounding::Nearest)?;
            planner.plan(&start, arrived, &end)?;
            // Back by the same way, from the position of a step.
            planner.plan(&axis.at_step(end.step())?, Approach::Either, &there)
        });
        if let Err(error) = planned {
            refused += 1;
            first.get_or_insert(format!("turn {turn}, {from} to {to}: {error}"));
        }
    }
    assert_eq!(refused, 0, "{name} from {}: of {MOVES}; {}", axis.zero(), first.unwrap_or_default());
}

fn from_every_zero<M: Mechanism + Clone>(name: &str, axis: &Axis<M>, file: &AxisFile) {
    let mut dice = Dice(7);
    moves(name, axis, file, &mut dice);
    // Thirds of an inch, or of a degree, and their like; at the finest that a measure can be.
    let settings = axis.config();
    let (low, high) = (settings.low.base(), settings.high.base());
    let within = |value: Exact| M::Measure::from_base(value.clamp(low, high)).unwrap();
    let thirds = within(Exact::new(127, 15).unwrap());
    moves(name, &axis.clone().with_zero(thirds).unwrap(), file, &mut dice);
    let finest = within(Exact::new(5 * ((1 << 61) - 1) + 1, (1 << 61) - 1).unwrap());
    moves(name, &axis.clone().with_zero(finest).unwrap(), file, &mut dice);
    let contact = i64::midpoint(axis.lowest_step(), axis.highest_step());
    for gauge in [Exact::new(127, 10), Exact::new(23 * 127, 64 * 5), Exact::new(127, 15)] {
        let gauge = M::Measure::from_base(gauge.unwrap()).unwrap();
        let zeroed = axis.clone().with_step_at(contact, gauge).unwrap();
        // The step of contact stands where the gauge says, to 1e-12.
        let off = zeroed.at_step(contact).unwrap().target().checked_sub(gauge).unwrap().abs();
        assert!(off.base() <= Exact::new(1, 1_000_000_000_000).unwrap(), "{name}: {off}");
        moves(name, &zeroed, file, &mut dice);
    }
}

#[test]
fn moves_within_the_limits_are_never_refused() {
    for (path, file) in files() {
        let name = path.display().to_string();
        match file.axis() {
            AnyAxis::Length(axis) => from_every_zero(&name, axis, &file),
            AnyAxis::Angle(axis) => from_every_zero(&name, axis, &file),
        }
    }
}

#[test]
fn a_target_taken_from_a_step_is_short_enough_to_go_on_with() {
    for (path, file) in files() {
        let AnyAxis::Length(axis) = file.axis() else { continue };
        let middle = i64::midpoint(axis.lowest_step(), axis.highest_step());
        for step in middle..middle + 50 {
            let there = axis.at_step(step).unwrap();
            let off = there.remainder();
            let least = Exact::new(1, 1_000_000_000_000).unwrap();
            assert!(off.low().base().abs() < least && off.high().base().abs() < least, "{}", path.display());
            for distance in ["1/64 in", "1/3 in", "0.000001 mm", "1/7 mm"] {
                let distance: Length = distance.parse().unwrap();
                // Exactly the sum: nothing is rounded on the way.
                let moved = axis.place_by(&there, distance, Rounding::Nearest).unwrap();
                assert_eq!(moved.target(), there.target().checked_add(distance).unwrap());
            }
        }
    }
}
