//! Counts instructions of placing targets and of planning moves between them.
#![no_std]
#![no_main]

use core::hint::black_box;

use cortex_m_rt::entry;
use wholestep::axis::Approach;
use wholestep::mechanism::Linear;
use wholestep::plan::{Plan, Planner};
use wholestep::{Axis, Length, Placement, Rounding};
use wholestep_chip::clock::{Clock, Tally};
use wholestep_chip::machine::{self, millimetres};
use wholestep_chip::{must, report, stack};

#[entry]
fn main() -> ! {
    let clock = must(Clock::start());
    report::about("axis");
    let axis = machine::axis(millimetres(0, 1));
    place(&clock, &axis);
    plan(&clock, ["plan without play", "plan without play, stack"], &axis);
    plan(&clock, ["plan with play", "plan with play, stack"], &machine::axis(millimetres(1, 10)));
    report::about("values");
    report::bytes("Axis", size_of::<Axis<Linear<Length>>>());
    report::bytes("Plan", size_of::<Plan>());
    report::end()
}

/// Targets that a step meets, and others.
fn place(clock: &Clock, axis: &Axis<Linear<Length>>) {
    let mut tally = Tally::default();
    for (numerator, denominator) in [(0, 1), (127, 10), (127, 8), (1_000, 3), (34_567, 89), (600, 1)] {
        let target = millimetres(numerator, denominator);
        tally.add(clock.time(|| axis.place(black_box(target), Rounding::Nearest)).0);
    }
    report::count("place", &tally);
    let target = millimetres(127, 8);
    report::bytes("place, stack", stack::depth_of(|| axis.place(target, Rounding::Nearest)).0);
}

/// Moves up, down, and short; each was reached from below.
fn plan(clock: &Clock, [name, stacked]: [&str; 2], axis: &Axis<Linear<Length>>) {
    let planner = must(Planner::new(axis, machine::TIMER_HZ, machine::timing()));
    let at = |length| must(axis.place(millimetres(length, 1), Rounding::Nearest));
    let plan = |start: &Placement<Length>, to: &Placement<Length>| {
        planner.plan(black_box(start), Approach::FromBelow, to)
    };
    let mut tally = Tally::default();
    for (start, to) in [(10, 300), (300, 10), (10, 11)] {
        let (start, to) = (at(start), at(to));
        tally.add(clock.time(|| plan(&start, &to)).0);
    }
    report::count(name, &tally);
    let (start, to) = (at(300), at(10));
    report::bytes(stacked, stack::depth_of(|| plan(&start, &to)).0);
}
