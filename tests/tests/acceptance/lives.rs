//! Simulated machines of every axis file that says how its datum is found: from the datum to random steps.

use std::ops::ControlFlow;

use num_rational::Ratio;
use wholestep::axis::AnyAxis;
use wholestep::carriage::Equipment;
use wholestep::plan::Planner;
use wholestep::{Axis, Mechanism, Rounding};
use wholestep_twin::{Conformance, Done, Rehearsal};

use crate::cells::Cells;
use crate::chance::{Chance, moves};
use crate::command::cannot_be_rehearsed;
use crate::dimension::target;
use crate::shipped::{Shipped, axes};
use crate::truth::{Move, planned};

#[test]
fn every_machine_goes_where_it_is_sent() {
    let mut cells = Cells::new("rehearsal");
    for shipped in axes() {
        let name = &shipped.name;
        let mut rehearsal = match (Rehearsal::new(&shipped.file, 1), cannot_be_rehearsed(&shipped.file)) {
            (Ok(rehearsal), None) => rehearsal,
            (Err(error), Some(why)) if error.to_string().contains(why) => continue,
            (answer, _) => {
                let why = answer.err().map_or_else(|| "taken".into(), |error| format!("refused: {error}"));
                cells.case(name, Err(why), || "its machine".into());
                continue;
            }
        };
        let found = rehearsal.find_datum(&mut |_| ControlFlow::Continue(()));
        cells.case(name, came_about(&found), || "the datum".into());
        match shipped.file.axis() {
            AnyAxis::Length(axis) => goes(&mut cells, &shipped, axis, &mut rehearsal),
            AnyAxis::Angle(axis) => goes(&mut cells, &shipped, axis, &mut rehearsal),
        }
    }
    cells.finish();
}

/// To random steps, every other at a speed of its own.
fn goes<M: Mechanism>(cells: &mut Cells, shipped: &Shipped, axis: &Axis<M>, rehearsal: &mut Rehearsal) {
    let name = &shipped.name;
    let mut chance = Chance::of("rehearsal", name);
    let pulse = shipped.file.pulse();
    let timing = pulse.timing().expect("the file's own timing");
    let planner = Planner::new(axis, pulse.timer_hz, timing).expect("the file's own rates");
    for number in 0..moves().div_ceil(100) {
        let Some(asked) = target(&mut chance, axis) else { continue };
        let Ok(to) = axis.place(asked.value, Rounding::Nearest) else { continue };
        let from = rehearsal.twin().carriage().step();
        let Ok(start) = axis.at_step(from) else { continue };
        // Too near a soft limit to take the play up, by the judgement that plans are given.
        let arrived = wholestep::axis::Approach::Either;
        let plan = axis.allows(from).then(|| planner.plan(&start, arrived, &to));
        if plan.is_some_and(|plan| {
            plan.is_err() && planned(axis, Move { from, arrived, to: to.step() }, &plan).is_ok()
        }) {
            continue;
        }
        let slower = Ratio::from_integer(if number % 2 == 0 { 1 } else { 2 });
        let speed = planner.limits().rates().speed / slower;
        let done = match number % 3 {
            0 => rehearsal.go_to(to.step(), &mut |_| ControlFlow::Continue(())),
            _ => rehearsal.go_to_at(to.step(), speed, &mut |_| ControlFlow::Continue(())),
        };
        cells.case(name, came_about(&done), || format!("from step {from} to {}", asked.text));
    }
}

fn came_about(done: &Done) -> Result<(), String> {
    match (&done.stopped, done.off_by) {
        (None, 0) => Ok(()),
        (None, off) => Err(format!("{off} steps off")),
        (Some(why), _) => Err(format!("stopped: {why}")),
    }
}

#[test]
fn every_mechanism_keeps_its_promises_and_every_axis_can_be_bare() {
    let mut cells = Cells::new("conformance and bare equipment");
    for shipped in axes() {
        let (check, bare) = match shipped.file.axis() {
            AnyAxis::Length(axis) => (conforms(axis.mechanism()), Equipment::bare(axis).map(drop)),
            AnyAxis::Angle(axis) => (conforms(axis.mechanism()), Equipment::bare(axis).map(drop)),
        };
        cells.case(&shipped.name, check, || "conformance".into());
        cells.case(&shipped.name, bare.map_err(|error| error.to_string()), || "bare equipment".into());
    }
    cells.finish();
}

fn conforms<M: wholestep::Mechanism>(mechanism: &M) -> Result<(), String> {
    Conformance::new().samples(20).check(mechanism).map(drop).map_err(|failure| failure.to_string())
}
