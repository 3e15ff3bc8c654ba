//! A controller's loop: a timer, three output pins, and a carriage that goes where it is sent.
//!
//! The timer here is a number and the pins are a list, so that the loop runs anywhere and prints the
//! same. On a machine the same loop waits for its timer and sets real pins; see `gpio.rs`.
//!
//! CAUTION: on a machine this starts a motor beside a cutter. Try a controller with the motor off its
//! screw and the tool unplugged. The enable input, the soft limits and the switches are not safety
//! devices; an emergency stop is wired, after the makers' manuals and your local rules.

use std::error::Error;

use wholestep::axis::AnyAxis;
use wholestep::carriage::{Carriage, CarriageConfig, Detent, Event, Inputs};
use wholestep::{Length, Rounding};
use wholestep_files::{AxisFile, Registry};

/// The output pins, and every change of their levels.
#[derive(Default)]
struct Pins {
    levels: [bool; 3],
    changes: Vec<(u64, Pin, bool)>,
}

#[derive(Clone, Copy)]
enum Pin {
    Step,
    Direction,
    Enable,
}

impl Pins {
    fn set(&mut self, tick: u64, pin: Pin, level: bool) {
        if self.levels[pin as usize] != level {
            self.levels[pin as usize] = level;
            self.changes.push((tick, pin, level));
        }
    }

    /// FNV-1a over the changes written one a line.
    fn digest(&self) -> u64 {
        let lines = self.changes.iter().map(|&(tick, pin, level)| {
            let pin = ["step", "direction", "enable"][pin as usize];
            format!("{tick} {pin} {}\n", u8::from(level))
        });
        lines.collect::<String>().bytes().fold(0xcbf2_9ce4_8422_2325, |digest, byte| {
            (digest ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3)
        })
    }
}

struct Controller<'c> {
    carriage: Carriage<&'c CarriageConfig>,
    inputs: Inputs,
    now: u64,
    pins: Pins,
}

impl Controller<'_> {
    /// Polls whenever the carriage asks for it, until it waits for an input or a request.
    fn run(&mut self) {
        let width = self.carriage.config().parts().timing.pulse_high();
        loop {
            let output = self.carriage.poll(self.now, &self.inputs);
            self.pins.set(self.now, Pin::Enable, output.drive);
            self.pins.set(self.now, Pin::Direction, output.direction);
            if output.edge.is_some() {
                self.pins.set(self.now, Pin::Step, true);
                self.pins.set(self.now + width, Pin::Step, false);
            }
            for event in output.events.iter() {
                if let Event::Stopped { step, .. } = event {
                    println!("tick {}: stands on step {step}", self.now);
                }
            }
            match output.poll_again_at {
                Some(tick) => self.now = tick,
                None => return,
            }
        }
    }
}

fn main() -> Result<(), Box<dyn Error>> {
    let file = AxisFile::from_toml(include_str!("axes/router_lift.toml"), &Registry::standard())?;
    let AnyAxis::Length(axis) = file.axis() else { return Err("a lift moves along a line".into()) };
    let place = |target: &str| axis.place(target.parse::<Length>()?, Rounding::Nearest);

    // Switches are normally closed, so released reads low; the probe is normally open, so it reads high.
    let mut controller = Controller {
        carriage: Carriage::commissioned(file.carriage_config()),
        inputs: Inputs { probe: true, enable: true, ..Inputs::default() },
        now: 0,
        pins: Pins::default(),
    };
    controller.run();

    let target = place("12.7 mm")?;
    if let Err(refusal) = controller.carriage.go_to(target.step()) {
        println!("{refusal}");
    }

    // A person raises the cutter to a gauge block with the dial, and states the height.
    controller.carriage.jog(Some(Detent::of(axis, "0.05 mm".parse()?)?))?;
    controller.run();
    // Four detents up, of four counts each, take up the play of 0.15 mm; the drive has settled by then.
    controller.inputs.dial += 16;
    controller.run();
    controller.carriage.confirm_position(place("10 mm")?.step())?;
    controller.carriage.go_to(target.step())?;
    controller.run();
    println!("{}: {} off", target.position().low(), target.remainder().low());

    let rising = controller.pins.changes.iter().filter(|change| matches!(change, (_, Pin::Step, true)));
    println!("{} pulses in {} changes of a pin", rising.count(), controller.pins.changes.len());
    println!("digest {:016x}", controller.pins.digest());
    Ok(())
}
