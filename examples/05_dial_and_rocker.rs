//! A dial and a held rocker lead a carriage by hand.
//!
//! The dial's two contacts bounce, its detents are worth an exact size, and the motion stops when the
//! hand does. The rocker runs the carriage while it is held.
//!
//! CAUTION: on a machine this moves a cutter by hand. Unplug the tool before you reach near it. A
//! hand moves the carriage without the enable input being held and before the datum is found, so
//! nothing but the switches keeps it from an end; they are not safety devices.

use std::error::Error;

use wholestep::axis::AnyAxis;
use wholestep::carriage::{Carriage, CarriageConfig, Detent, End, Event, Inputs, Quadrature};
use wholestep_files::{AxisFile, Registry};

struct Lift<'c> {
    carriage: Carriage<&'c CarriageConfig>,
    contacts: Quadrature,
    inputs: Inputs,
    now: u64,
    detents_dropped: u32,
}

impl Lift<'_> {
    /// Lets time pass, polling whenever the carriage asks for it.
    fn wait(&mut self, ticks: u64) {
        let until = self.now + ticks;
        loop {
            let output = self.carriage.poll(self.now, &self.inputs);
            for event in output.events.iter() {
                match event {
                    Event::DetentsDropped(detents) => self.detents_dropped += detents,
                    Event::AtSwitch(end) => println!("  the {} switch stops it", end.name()),
                    _ => {}
                }
            }
            match output.poll_again_at.filter(|&tick| tick <= until) {
                Some(tick) => self.now = tick,
                None => break,
            }
        }
        self.now = until;
    }

    /// Turns the dial by detents of four changes, every first contact bouncing once.
    fn turn(&mut self, detents: u32, ticks_between: u64) {
        for _ in 0..detents {
            let up =
                [(true, false), (false, false), (true, false), (true, true), (false, true), (false, false)];
            for (a, b) in up {
                self.contacts.read(a, b);
                self.inputs.dial = self.contacts.count();
                self.wait(ticks_between / 6);
            }
        }
    }

    fn report(&self, what: &str) {
        println!("{what}: step {}", self.carriage.step());
    }
}

fn main() -> Result<(), Box<dyn Error>> {
    let file = AxisFile::from_toml(include_str!("axes/router_lift.toml"), &Registry::standard())?;
    let AnyAxis::Length(axis) = file.axis() else { return Err("a lift moves along a line".into()) };
    let mut lift = Lift {
        carriage: Carriage::commissioned(file.carriage_config()),
        contacts: Quadrature::new(false, false),
        inputs: Inputs { probe: true, ..Inputs::default() },
        now: 0,
        detents_dropped: 0,
    };
    lift.wait(20_000);

    // A thousandth of an inch is 27 7/75 of these steps. A hundred detents are rounded once.
    lift.carriage.jog(Some(Detent::of(axis, "0.001 in".parse()?)?))?;
    lift.wait(200_000);
    lift.turn(100, 60_000);
    lift.wait(500_000);
    lift.report("a hundred detents of 0.001 in");

    // Coarse, and faster than the lift may go: what the dial is ahead is bounded.
    lift.carriage.jog(Some(Detent::of(axis, "0.25 mm".parse()?)?))?;
    lift.turn(40, 12_000);
    lift.wait(1_000_000);
    lift.report("forty detents of 0.25 mm, turned too fast");
    println!("  {} of them dropped", lift.detents_dropped);

    // The rocker must be seen at rest first; then it runs the lift for as long as it is held.
    lift.carriage.jog(None)?;
    lift.wait(1_000);
    lift.inputs.rocker = Some(End::Low);
    lift.wait(1_000_000);
    lift.report("the rocker held for a second");
    lift.inputs.rocker = None;
    lift.wait(500_000);
    lift.report("and let go");

    // Held again until the switch at the low end stops it.
    lift.inputs.rocker = Some(End::Low);
    lift.wait(300_000);
    lift.inputs.low_switch = true;
    lift.wait(500_000);
    lift.report("at the switch");
    Ok(())
}
