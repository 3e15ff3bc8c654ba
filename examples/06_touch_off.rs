//! Touching off, and two heights that belong together, kept through a change of cutter.
//!
//! A small workshop cuts lap joints in boards of 18.3 mm on the router table: one half is cut to 9 mm
//! and the other to 9.3 mm, so both heights must hang on one zero. Then the cutter is changed, and one
//! touch-off makes both heights right again. The machine is a twin, so where the tip really is can be
//! looked at.
//!
//! CAUTION: the lift creeps toward the gauge block by itself. Touch off with the router unplugged and
//! the cutter at rest, and take block and clip away before it is plugged in again. Change cutters
//! unplugged, as the maker's manual says. Enable input, soft limits and switches are not safety
//! devices.

use std::error::Error;
use std::sync::Arc;

use wholestep::axis::{AnyAxis, LengthMechanism};
use wholestep::carriage::{Event, TouchMode};
use wholestep::{Axis, Length, Measure, Rounding};
use wholestep_files::{AxisFile, Registry};
use wholestep_twin::{Hand, Input, Rehearsable, Twin, TwinCarriage};

type Lift = Axis<LengthMechanism>;

/// Lays the block in place, touches off, takes it away, and returns the step of first contact.
fn touch_off(twin: &mut Twin) -> Result<i64, Box<dyn Error>> {
    twin.hand(twin.now(), Hand::Plate(true))?;
    twin.request(|carriage| carriage.touch_off(TouchMode::Stop, None))?;
    twin.run_until_still(120_000_000);
    twin.hand(twin.now(), Hand::Plate(false))?;
    let touched = twin.events().iter().rev().find_map(|(_, event)| match event {
        Event::Touched { step, .. } => Some(*step),
        _ => None,
    });
    touched.ok_or_else(|| format!("no contact: {:?}", twin.carriage().fault()).into())
}

/// Goes to a height above the zero and says where the cutter's tip really is.
fn recall(twin: &mut Twin, lift: &Lift, height: &str, cutter: f64) -> Result<(), Box<dyn Error>> {
    let placed = lift.place(height.parse::<Length>()?, Rounding::Nearest)?;
    twin.request(|carriage| carriage.go_to(placed.step()))?;
    twin.run_until_still(120_000_000);
    let tip = (twin.ground_truth().carriage_position + cutter) * 1e3;
    println!("  {height}: step {}, the tip at {tip:.2} mm", placed.step());
    Ok(())
}

fn main() -> Result<(), Box<dyn Error>> {
    let file = AxisFile::from_toml(include_str!("axes/router_lift.toml"), &Registry::standard())?;
    let AnyAxis::Length(axis) = file.axis() else { return Err("a lift moves along a line".into()) };
    let machine = Rehearsable::new(&file, 6)?;
    let mut twin = Twin::commissioned(Arc::new(machine.configuration), machine.machine, 6)?;
    twin.hand(twin.now(), Hand::Press(Input::Enable, true))?;
    twin.run_until_still(1_000_000);
    twin.request(TwinCarriage::find_datum)?;
    twin.run_until_still(120_000_000);
    println!("datum found: {}", twin.carriage().is_proven());

    // The block is 12.7 mm thick and lies on the table, so the tip touches it at 12.7 mm.
    let gauge: Length = "12.7 mm".parse()?;
    twin.hand(twin.now(), Hand::PlateAt(12.7e-3))?;
    twin.hand(twin.now(), Hand::Plate(false))?;
    for cutter in [0.4e-3, -3.1e-3] {
        let table = axis.place(Length::ZERO, Rounding::Nearest)?.step();
        twin.request(|carriage| carriage.go_to(table))?;
        twin.run_until_still(120_000_000);
        twin.hand(twin.now(), Hand::Cutter(cutter))?;
        let contact = touch_off(&mut twin)?;
        let lift = axis.clone().with_step_at(contact, gauge)?;
        println!("touched at step {contact}; zero at {}", lift.zero());
        recall(&mut twin, &lift, "9 mm", cutter)?;
        recall(&mut twin, &lift, "9.3 mm", cutter)?;
    }
    println!("{} steps lost", twin.lost_steps());
    Ok(())
}
