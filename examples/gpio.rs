//! The controller's loop of `03_controller_loop` on the pins of a Linux board: finds the datum.
//!
//! Compiled by `cargo check -p wholestep-examples --example gpio --features gpio`. Lines of
//! `/dev/gpiochip0`, by their numbers on that chip (on a Raspberry Pi, its GPIO numbers):
//!
//! | line | way | what |
//! |---|---|---|
//! | 17 | out | step, to the driver |
//! | 27 | out | direction, to the driver |
//! | 22 | out | enable, to a driver that is enabled by a high level |
//! | 5 | in | switch at the low end, normally closed to ground |
//! | 6 | in | switch at the high end, normally closed to ground |
//! | 13 | in | touch probe, normally open to ground |
//! | 19 | in | enable button, which ties the line to 3.3 V while it is held |
//! | 26 | in | the driver's fault output, high while it has one |
//!
//! The switches and the probe are read with pull-ups, the enable button and the fault output with
//! pull-downs, so that a broken wire to a switch reads as pressed and one to the button as let go. Tie
//! the driver's enable low with a resistor: it must be off before this program runs and after it ends.
//!
//! CAUTION: this starts a motor. Unplug the tool and take the cutter out before you wire or run it, and prop
//! a load that could fall: when the drive lets go, nothing holds it. It was compiled, never run on a board:
//! try it with the motor off its screw first, and with the supply's plug in reach. Linux is not a real-time system; a poll that comes
//! too late while moving fast ends the motion as a fault, with the position unproven. The enable button
//! here is an input to a program and not an emergency stop. An emergency stop cuts the power without a
//! program's help, and follows the makers' manuals and your local rules.

use std::error::Error;
use std::hint::spin_loop;
use std::time::{Duration, Instant};

use gpiocdev::Request;
use gpiocdev::line::{Bias, Value};
use wholestep::carriage::{Carriage, Event, Inputs};
use wholestep_files::{AxisFile, Registry};

const CHIP: &str = "/dev/gpiochip0";
const STEP: u32 = 17;
const DIRECTION: u32 = 27;
const ENABLE: u32 = 22;
const LOW_SWITCH: u32 = 5;
const HIGH_SWITCH: u32 = 6;
const PROBE: u32 = 13;
const ENABLE_BUTTON: u32 = 19;
const DRIVE_FAULT: u32 = 26;

struct Pins {
    outputs: Request,
    contacts: Request,
    signals: Request,
}

impl Pins {
    fn request() -> gpiocdev::Result<Self> {
        let lines = |lines: &[u32], bias| {
            let mut builder = Request::builder();
            builder.on_chip(CHIP).with_consumer("wholestep").with_lines(lines).as_input().with_bias(bias);
            builder.request()
        };
        Ok(Self {
            outputs: Request::builder()
                .on_chip(CHIP)
                .with_consumer("wholestep")
                .with_lines(&[STEP, DIRECTION, ENABLE])
                .as_output(Value::Inactive)
                .request()?,
            contacts: lines(&[LOW_SWITCH, HIGH_SWITCH, PROBE], Bias::PullUp)?,
            signals: lines(&[ENABLE_BUTTON, DRIVE_FAULT], Bias::PullDown)?,
        })
    }

    fn read(&self) -> gpiocdev::Result<Inputs> {
        let high = |request: &Request, line| Ok::<_, gpiocdev::Error>(request.value(line)? == Value::Active);
        Ok(Inputs {
            low_switch: high(&self.contacts, LOW_SWITCH)?,
            high_switch: high(&self.contacts, HIGH_SWITCH)?,
            probe: high(&self.contacts, PROBE)?,
            enable: high(&self.signals, ENABLE_BUTTON)?,
            drive_fault: high(&self.signals, DRIVE_FAULT)?,
            ..Inputs::default()
        })
    }

    fn set(&self, line: u32, high: bool) -> gpiocdev::Result<()> {
        self.outputs.set_value(line, if high { Value::Active } else { Value::Inactive })
    }
}

fn main() -> Result<(), Box<dyn Error>> {
    let file = AxisFile::from_toml(include_str!("axes/router_lift.toml"), &Registry::standard())?;
    let hz = file.pulse().timer_hz;
    let pulse = file.carriage_config().parts().timing.pulse_high();
    let width = Duration::from_nanos(pulse.saturating_mul(1_000_000_000).div_ceil(hz));
    let pins = Pins::request()?;
    let mut carriage = Carriage::commissioned(file.carriage_config());

    let (began, mut due, mut before) = (Instant::now(), Some(0), None);
    println!("hold the enable button");
    loop {
        let now = u64::try_from(began.elapsed().as_nanos() * u128::from(hz) / 1_000_000_000)?;
        let inputs = pins.read()?;
        if before == Some(inputs) && due.is_none_or(|tick| now < tick) {
            spin_loop();
            continue;
        }
        before = Some(inputs);
        let output = carriage.poll(now, &inputs);
        pins.set(ENABLE, output.drive)?;
        pins.set(DIRECTION, output.direction)?;
        if output.edge.is_some() {
            pins.set(STEP, true)?;
            let up = Instant::now();
            while up.elapsed() < width {
                spin_loop();
            }
            pins.set(STEP, false)?;
        }
        due = output.poll_again_at;
        for event in output.events.iter() {
            match event {
                Event::DatumFound { met_at, .. } => println!("the switch was met at step {met_at}"),
                Event::Faulted(fault) => {
                    carriage.brake_and_release();
                    due = Some(now);
                    println!("{fault}");
                }
                _ => {}
            }
        }
        // Nothing moves until a person holds the button, and once the datum is found it is done.
        if due.is_none() && !carriage.is_moving() {
            if carriage.is_proven() || carriage.fault().is_some() {
                pins.set(ENABLE, false)?;
                return Ok(());
            }
            if carriage.find_datum().is_ok() {
                due = Some(now);
            }
        }
    }
}
