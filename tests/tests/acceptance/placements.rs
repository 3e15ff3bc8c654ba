//! Placements on every axis file: every rounding, target, zero and unit.

use wholestep::axis::AnyAxis;
use wholestep::axis::GridFit;
use wholestep::carriage::Detent;
use wholestep::{Axis, ErrorKind, Measure, Mechanism, Rounding};

use crate::cells::Cells;
use crate::chance::{Chance, moves};
use crate::dimension::{allowed_step, distance, inside, target};
use crate::shipped::axes;
use crate::truth::{placed, told};
use crate::zeros::zeros;

const ROUNDINGS: [Rounding; 3] = [Rounding::Nearest, Rounding::Below, Rounding::Above];

#[test]
fn targets_within_the_limits_are_never_refused_a_step() {
    let mut cells = Cells::new("place");
    for shipped in axes() {
        match shipped.file.axis() {
            AnyAxis::Length(axis) => place(&mut cells, &shipped.name, axis),
            AnyAxis::Angle(axis) => place(&mut cells, &shipped.name, axis),
        }
    }
    cells.finish();
}

fn place<M: Mechanism + Clone>(cells: &mut Cells, file: &str, axis: &Axis<M>) {
    let mut chance = Chance::of("place", file);
    let zeros = zeros(cells, &mut chance, file, axis);
    for _ in 0..moves() {
        let zeroed = chance.of_these(&zeros);
        let axis = &zeroed.axis;
        let Some(asked) = target(&mut chance, axis) else { continue };
        let rounding = *chance.of_these(&ROUNDINGS);
        let answer = axis.place(asked.value, rounding);
        let which = || format!("{} by {rounding:?}, {}", asked.text, zeroed.how);
        cells.case(file, placed(axis, asked.value, rounding, &answer), which);
        let strict = axis.place(asked.value, rounding).and_then(wholestep::Placement::require_decided);
        let agrees = match (&answer, &strict) {
            (Ok(free), Err(error)) if !free.is_decided() => error.kind() == ErrorKind::Undecided,
            (Ok(free), Ok(strict)) => free == strict && free.is_decided(),
            (Err(free), Err(strict)) => free.to_string() == strict.to_string(),
            _ => false,
        };
        cells.case(file, agrees.then_some(()).ok_or_else(|| format!("strictly {strict:?}")), which);
    }
}

#[test]
fn a_step_is_placed_on_itself_and_gone_on_from() {
    let mut cells = Cells::new("at_step and place_by");
    for shipped in axes() {
        match shipped.file.axis() {
            AnyAxis::Length(axis) => go_on(&mut cells, &shipped.name, axis),
            AnyAxis::Angle(axis) => go_on(&mut cells, &shipped.name, axis),
        }
    }
    cells.finish();
}

fn go_on<M: Mechanism + Clone>(cells: &mut Cells, file: &str, axis: &Axis<M>) {
    let mut chance = Chance::of("at_step", file);
    let zeros = zeros(cells, &mut chance, file, axis);
    for _ in 0..moves() / 4 {
        let zeroed = chance.of_these(&zeros);
        let axis = &zeroed.axis;
        let step = allowed_step(&mut chance, axis);
        let at = match axis.at_step(step) {
            Ok(at) => at,
            Err(error) => {
                cells.case(file, Err(format!("refused: {error}")), || format!("step {step}, {}", zeroed.how));
                continue;
            }
        };
        let itself = told(axis, &at)
            .and_then(|()| if at.step() == step { Ok(()) } else { Err("another step".into()) });
        cells.case(file, itself, || format!("step {step}, {}", zeroed.how));
        if inside(axis, at.target()) {
            let again = axis.place(at.target(), Rounding::Nearest);
            let same = again.map_err(|error| format!("refused: {error}")).and_then(|again| {
                if again.step() == step { Ok(()) } else { Err(format!("placed on {}", again.step())) }
            });
            cells.case(file, same, || format!("the position of step {step}, {}", zeroed.how));
        }
        let Some(by) = distance(&mut chance, axis, at.target()) else { continue };
        let rounding = *chance.of_these(&ROUNDINGS);
        let answer = axis.place_by(&at, by.value, rounding);
        let outcome = match at.target().checked_add(by.value) {
            Ok(sum) => placed(axis, sum, rounding, &answer),
            Err(error) => Err(format!("refused: {error}")),
        };
        cells.case(file, outcome, || {
            format!("by {} from step {step} by {rounding:?}, {}", by.text, zeroed.how)
        });
    }
}

#[test]
fn every_axis_says_what_it_holds_and_what_a_detent_is() {
    let mut cells = Cells::new("holding and detents");
    for shipped in axes() {
        match shipped.file.axis() {
            AnyAxis::Length(axis) => {
                grids(&mut cells, &shipped.name, axis, &["1/64 in", "0.1 mm", "1/3 in", "1 thou"]);
            }
            AnyAxis::Angle(axis) => grids(&mut cells, &shipped.name, axis, &["1 deg", "1'", "1/7 deg"]),
        }
    }
    cells.finish();
}

fn grids<M: Mechanism>(cells: &mut Cells, file: &str, axis: &Axis<M>, sizes: &[&str]) {
    for text in sizes {
        let size = M::Measure::read(text, None).unwrap_or(M::Measure::ZERO);
        let held = axis.grid_fit(size).map_err(|error| format!("holding refused: {error}"));
        let outcome = held.and_then(|held| match (held, axis.mechanism().uniform_travel()) {
            (None, None) => Ok(()),
            (Some(GridFit { every, worst }), Some(travel)) => holds(every, worst, size, travel.abs()),
            _ => Err("a holding of steps that are not uniform, or none of steps that are".into()),
        });
        cells.case(file, outcome, || format!("a grid of {text}"));
        let detent = match (Detent::of(axis, size), axis.mechanism().uniform_travel()) {
            (Ok(_), Some(_)) => Ok(()),
            (Err(error), None) if error.to_string().contains("give the detent in steps") => Ok(()),
            (answer, _) => Err(format!("{answer:?}")),
        };
        cells.case(file, detent, || format!("a detent of {text}"));
    }
}

/// Whether mark `every` is the first of the grid that lands on a step, and `worst` the farthest off.
fn holds<Q: Measure>(every: i128, worst: Q, grid: Q, travel: wholestep::Exact) -> Result<(), String> {
    let mut farthest = wholestep::Exact::ZERO;
    for mark in 1..=every.min(2_000) {
        let steps = wholestep::Exact::new(mark, 1)
            .and_then(|mark| grid.base().checked_mul(mark)?.checked_div(travel))
            .map_err(|error| error.to_string())?;
        let nearest =
            wholestep::Exact::new(steps.round(Rounding::Nearest), 1).map_err(|error| error.to_string())?;
        let off = steps
            .checked_sub(nearest)
            .and_then(|off| off.abs().checked_mul(travel))
            .map_err(|error| error.to_string())?;
        if (off == wholestep::Exact::ZERO) != (mark == every) {
            return Err(format!("mark {mark} and not {every} is the first that lands"));
        }
        farthest = farthest.max(off);
    }
    let right = if every <= 2_000 { worst.base() == farthest } else { worst.base() >= farthest };
    if right { Ok(()) } else { Err(format!("the worst is {farthest} and not {worst}")) }
}
