//! Counts instructions of a live axis: its configuration, and its polls.
#![no_std]
#![no_main]

use cortex_m_rt::entry;
use wholestep::carriage::{Carriage, CarriageConfig, Inputs};
use wholestep_chip::clock::{Clock, Tally};
use wholestep_chip::machine::{self, millimetres};
use wholestep_chip::{must, report, stack};

#[entry]
fn main() -> ! {
    let clock = must(Clock::start());
    report::about("carriage");
    configuration(&clock);
    polls(&clock);
    report::about("values");
    report::bytes("CarriageConfig", size_of::<CarriageConfig>());
    report::bytes("Carriage", size_of::<Carriage<&CarriageConfig>>());
    report::end()
}

/// Working out the configuration on the chip.
#[inline(never)]
fn configuration(clock: &Clock) {
    let axis = machine::axis(millimetres(1, 10));
    report::once("configuration", clock.time(|| machine::carriage(&axis)).0);
    report::bytes("configuration, stack", stack::depth_of(|| machine::carriage(&axis)).0);
}

/// A move of 10,000 steps, poll by poll.
#[inline(never)]
fn polls(clock: &Clock) {
    let axis = machine::axis(millimetres(0, 1));
    let config = machine::carriage(&axis);
    let mut carriage = Carriage::commissioned(&config);
    let held = Inputs { enable: true, ..Inputs::default() };
    let mut now = 0;
    let mut run = |carriage: &mut Carriage<_>| {
        let (mut resting, mut stepping) = (Tally::default(), Tally::default());
        loop {
            let (ticks, output) = clock.time(|| carriage.poll(now, &held));
            if output.edge.is_some() { &mut stepping } else { &mut resting }.add(ticks);
            match output.poll_again_at {
                Some(tick) => now = tick,
                None => return (resting, stepping),
            }
        }
    };
    run(&mut carriage);
    must(carriage.hold());
    run(&mut carriage);
    must(carriage.confirm_position(4_000));
    must(carriage.go_to(14_000));
    let (_, stepping) = run(&mut carriage);
    report::count("poll with an edge", &stepping);
    let mut resting = Tally::default();
    for _ in 0..100 {
        resting.add(run(&mut carriage).0.worst);
    }
    report::count("poll at rest", &resting);
    if carriage.step() != 14_000 {
        panic!();
    }
}
