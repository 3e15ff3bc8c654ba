//! A machine drawn from what its axis file leaves open.

use rand_pcg::Pcg32;
use rand_pcg::rand_core::Rng as _;
use wholestep::{Enclosure, Exact, Result};
use wholestep_files::{MachineData, Range};

/// Returns the keys that `data` gives as ranges.
pub(super) fn open(data: &MachineData) -> Vec<&'static str> {
    let mut data = data.clone();
    let ranges = ranges(&mut data).into_iter().filter(|(_, range)| !range.is_exact());
    let mut keys: Vec<&str> = ranges.map(|(key, _)| key).collect();
    keys.dedup();
    keys
}

/// Draws machine `number` of the study of `seed`: each figure evenly from its range, all apart from one another.
///
/// # Errors
/// [`ErrorKind::Overflow`](wholestep::ErrorKind::Overflow) for a figure of too many digits.
pub(super) fn machine(data: &MachineData, seed: u64, number: u64) -> Result<MachineData> {
    let mut chance = Pcg32::new(seed, number);
    let mut data = data.clone();
    for (_, range) in ranges(&mut data) {
        let part = Exact::new(chance.next_u32().into(), u32::MAX.into())?;
        let width = range.high().checked_sub(range.low())?;
        *range = Enclosure::exact(range.low().checked_add(width.checked_mul(part)?)?);
    }
    Ok(data)
}

/// Every range there is, with its key, in one order.
fn ranges(data: &mut MachineData) -> Vec<(&'static str, &mut Range)> {
    let mut found = Vec::new();
    let figures = [
        ("machine.load_mass", &mut data.load_mass),
        ("machine.guide_friction", &mut data.guide_friction),
        ("machine.efficiency", &mut data.efficiency),
        ("machine.screw_friction", &mut data.screw.friction),
        ("machine.holding_torque", &mut data.holding_torque),
        ("machine.full_torque_to", &mut data.full_torque_to),
        ("machine.no_torque_at", &mut data.no_torque_at),
        ("machine.rotor_inertia", &mut data.rotor_inertia),
        ("machine.shaft_inertia", &mut data.shaft_inertia),
        ("machine.switch_scatter", &mut data.switch_scatter),
        ("machine.travel_error", &mut data.travel_error),
        ("effort.crank_pull", &mut data.cranked),
    ];
    found.extend(figures.into_iter().filter_map(|(key, range)| Some((key, range.as_mut()?))));
    found.extend(data.screw.collar.iter_mut().map(|(_, range)| ("machine.collar_friction", range)));
    for (speed, torque) in &mut data.torque_points {
        found.extend([("machine.torque_points", speed), ("machine.torque_points", torque)]);
    }
    if let Some(winding) = &mut data.winding {
        found.extend([
            ("machine.supply", &mut winding.supply),
            ("machine.current", &mut winding.current),
            ("machine.inductance", &mut winding.inductance),
        ]);
        found.extend(winding.resistance.iter_mut().map(|range| ("machine.resistance", range)));
    }
    if let Some(springs) = &mut data.springs {
        found.extend([("springs.rate", &mut springs.rate), ("springs.preload", &mut springs.preload)]);
    }
    if let Some(pushed) = &mut data.pushed {
        let [low, high] = &mut pushed.push;
        found.extend([("effort.push_low", low), ("effort.push_high", high)]);
        if let Some([low, high]) = &mut pushed.sink {
            found.extend([("effort.sink_low", low), ("effort.sink_high", high)]);
        }
    }
    found
}
