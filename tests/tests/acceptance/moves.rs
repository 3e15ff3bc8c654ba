//! Random moves on every axis file, from every side of arrival, at full speed and slower.

use wholestep::axis::AnyAxis;
use wholestep::axis::Approach;
use wholestep::plan::Planner;
use wholestep::{Axis, Exact, Mechanism, Rounding, Speed};
use wholestep_files::AxisFile;

use crate::cells::Cells;
use crate::chance::{Chance, moves};
use crate::dimension::target;
use crate::shipped::axes;
use crate::truth::{Move, planned};
use crate::zeros::zeros;

#[test]
fn moves_within_the_limits_are_never_refused() {
    let mut cells = Cells::new("plan");
    for shipped in axes() {
        match shipped.file.axis() {
            AnyAxis::Length(axis) => plan(&mut cells, &shipped.name, &shipped.file, axis),
            AnyAxis::Angle(axis) => plan(&mut cells, &shipped.name, &shipped.file, axis),
        }
    }
    cells.finish();
}

fn plan<M: Mechanism + Clone>(cells: &mut Cells, name: &str, file: &AxisFile, axis: &Axis<M>) {
    let mut chance = Chance::of("plan", name);
    let (timer_hz, timing) = (file.pulse().timer_hz, file.pulse().timing().expect("the file's own timing"));
    let zeros = zeros(cells, &mut chance, name, axis);
    let planners: Vec<_> = zeros
        .iter()
        .map(|zeroed| (zeroed, Planner::new(&zeroed.axis, timer_hz, timing).expect("the file's own rates")))
        .collect();
    for _ in 0..moves() {
        let (zeroed, planner) = chance.of_these(&planners);
        let (axis, how) = (&zeroed.axis, &zeroed.how);
        let (Some(from), Some(to)) = (target(&mut chance, axis), target(&mut chance, axis)) else { continue };
        let arrived = *chance.of_these(&Approach::ALL);
        // At full speed mostly: a slower one has the coarsest step looked up anew.
        let part = if chance.once_in(8) { chance.between(1, 15) } else { 16 };
        let ends = axis
            .place(from.value, Rounding::Nearest)
            .and_then(|start| Ok((start, axis.place(to.value, Rounding::Nearest)?)));
        let outcome = match ends {
            Err(error) => Err(format!("an end is refused: {error}")),
            Ok((start, end)) => {
                let answer = match part {
                    16 => planner.plan(&start, arrived, &end),
                    _ => slower(axis, planner, part).and_then(|planner| planner.plan(&start, arrived, &end)),
                };
                planned(axis, Move { from: start.step(), arrived, to: end.step() }, &answer)
            }
        };
        cells.case(name, outcome, || {
            format!("{} to {}, arrived {arrived:?}, {part}/16 of the speed, {how}", from.text, to.text)
        });
    }
}

/// The same planner at a part of its speed.
fn slower<'a, M: Mechanism>(
    axis: &Axis<M>,
    planner: &Planner<'a, M>,
    part: i64,
) -> wholestep::Result<Planner<'a, M>> {
    let speed = axis.config().rates.speed.base().checked_mul(Exact::new(part.into(), 16)?)?;
    planner.at_speed(Speed::<M::Measure>::from_base(speed)?)
}
