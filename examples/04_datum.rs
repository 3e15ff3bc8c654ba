//! Finding the datum again and again, at a switch whose contact bounces, and how well that repeats.
//!
//! CAUTION: on a machine a search starts a motor and runs it toward an end. Keep clear, hold the
//! enable input, and let go of it when anything is amiss. A switch that gives the datum is not a
//! safety device; an emergency stop is wired, after the makers' manuals and your local rules.

use std::error::Error;

use wholestep::Rounding;
use wholestep::carriage::{Carriage, CarriageConfig, Event, Inputs};
use wholestep::plan::Direction;
use wholestep_files::{AxisFile, Registry};
use wholestep_shop::Repeatability;

/// The normally closed switch at the low end of a lift.
struct Switch {
    /// Presses it at and below this step, give or take one.
    at: i64,
    pressed: bool,
    /// When its contact is going to bounce: it has settled after the last of them.
    bounces: Vec<u64>,
    chance: u64,
}

impl Switch {
    /// The lift has come to `step`.
    fn meet(&mut self, step: i64, now: u64) {
        let at = self.at + if self.pressed { 40 } else { self.draw(3) - 1 };
        if (step <= at) == self.pressed {
            return;
        }
        self.pressed = !self.pressed;
        let mut tick = now;
        for _ in 0..2 * self.draw(4) {
            tick += 1 + self.draw(500).unsigned_abs();
            self.bounces.insert(0, tick);
        }
    }

    /// High while pressed, or while it bounces.
    fn level(&mut self, now: u64) -> bool {
        self.bounces.retain(|&tick| tick > now);
        self.pressed ^ (self.bounces.len() % 2 == 1)
    }

    fn draw(&mut self, below: i64) -> i64 {
        self.chance = self.chance.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
        (self.chance >> 33).cast_signed() % below
    }
}

struct Lift<'c> {
    carriage: Carriage<&'c CarriageConfig>,
    switch: Switch,
    /// Where it really is, of which the carriage knows nothing.
    step: i64,
    now: u64,
    levels_seen: u32,
}

impl Lift<'_> {
    /// Polls whenever the carriage asks for it and whenever the switch changes; returns what happened.
    fn run(&mut self) -> Vec<Event> {
        let mut events = Vec::new();
        let mut seen = false;
        loop {
            let low_switch = self.switch.level(self.now);
            self.levels_seen += u32::from(low_switch != seen);
            seen = low_switch;
            let inputs = Inputs { low_switch, probe: true, enable: true, ..Inputs::default() };
            let output = self.carriage.poll(self.now, &inputs);
            events.extend(output.events.iter());
            if let Some(edge) = output.edge {
                self.step += if edge.direction == Direction::Forward { 1 } else { -1 };
                self.switch.meet(self.step, self.now);
            }
            match output.poll_again_at.into_iter().chain(self.switch.bounces.last().copied()).min() {
                Some(tick) => self.now = tick,
                None => return events,
            }
        }
    }
}

fn main() -> Result<(), Box<dyn Error>> {
    let file = AxisFile::from_toml(include_str!("axes/router_lift.toml"), &Registry::standard())?;
    let mut lift = Lift {
        carriage: Carriage::commissioned(file.carriage_config()),
        switch: Switch { at: -44_800, pressed: false, bounces: Vec::new(), chance: 7 },
        step: -20_000,
        now: 0,
        levels_seen: 0,
    };
    lift.run();

    let mut searches = Repeatability::new();
    let mut deviation = 0;
    for search in 1..=5 {
        lift.carriage.find_datum()?;
        for event in lift.run() {
            match event {
                Event::DatumFound { met_at, off_by: None } => {
                    println!("search {search}: the switch was met at step {met_at}");
                }
                Event::DatumFound { met_at, off_by: Some(off_by) } => {
                    deviation += off_by;
                    println!("search {search}: the switch was met at step {met_at}, off by {off_by}");
                }
                Event::Faulted(fault) => return Err(fault.to_string().into()),
                _ => {}
            }
        }
        searches.add(deviation)?;
        lift.carriage.go_to(-30_000)?;
        lift.run();
    }
    println!("the contact changed {} times", lift.levels_seen);
    println!(
        "the machine stands {} steps from where the carriage believes",
        lift.step - lift.carriage.step()
    );
    println!("mean {} steps, variance {} steps²", searches.mean()?, searches.variance()?);
    let repeatability = searches.repeatability()?.high().round_to(100, Rounding::Above)?;
    println!("repeatability of the searches {repeatability} steps");

    // A wire breaks: a normally closed switch then reads pressed, and the search does not go on for ever.
    lift.switch = Switch { at: i64::MAX - 40, pressed: true, bounces: Vec::new(), chance: 7 };
    lift.carriage.find_datum()?;
    lift.run();
    if let Some(fault) = lift.carriage.fault() {
        println!("{fault}");
    }
    Ok(())
}
