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

#[cfg(test)]
mod tests {
    use wholestep_files::AxisFile;

    use super::*;

    const FIGURES: &str = r#"
[machine]
upright = true
load_mass = "4 to 5 kg"
guide_friction = "8 to 12 N"
screw_friction = "0.10 to 0.20"
collar_friction = "0.1 to 0.3"
collar_diameter = "10 mm"
holding_torque = "0.4 to 0.5 N·m"
supply = "23 to 25 V"
current = "1 to 1.1 A"
inductance = "2 to 4 mH"
resistance = "1 to 2 ohm"
rotor_inertia = "50 to 70 g·cm²"
shaft_inertia = "1 to 2 g·cm²"
switch_scatter = "2 to 6 µm"
travel_error = "0.05 %"

[springs]
count = 2
rate = "0.2 to 0.4 N/mm"
preload = "20 to 30 N"
toward = "low"

[effort]
push_low = "90 to 100 N"
push_high = "120 to 140 N"
sink_low = "70 to 80 N"
sink_high = "100 to 110 N"
crank_pull = "3 to 4 N"
crank_arm = "60 mm"
"#;

    fn data(figures: &str) -> MachineData {
        let lift = std::fs::read_to_string("../../examples/axes/plunge_lift.toml").unwrap();
        let text = format!("{}{figures}", lift.split("[machine]").next().unwrap());
        let file = AxisFile::from_toml(&text, &wholestep_files::Registry::standard()).unwrap();
        file.machine_data().clone()
    }

    /// Every key that takes a range; a figure that is told in another way takes the place of one.
    #[test]
    fn every_range_of_the_files_is_drawn() {
        let speeds = FIGURES.replace("supply = \"23 to 25 V\"\ncurrent = \"1 to 1.1 A\"\ninductance = \"2 to 4 mH\"\nresistance = \"1 to 2 ohm\"", "full_torque_to = \"250 to 350 rev/min\"\nno_torque_at = \"1400 to 1600 rev/min\"");
        let points = FIGURES.replace("supply = \"23 to 25 V\"\ncurrent = \"1 to 1.1 A\"\ninductance = \"2 to 4 mH\"\nresistance = \"1 to 2 ohm\"", "torque_points = [\"0.4 to 0.5 N·m at 300 rev/min\", \"0.1 to 0.2 N·m at 1000 rev/min\"]");
        let efficiency = FIGURES.replace("screw_friction = \"0.10 to 0.20\"", "efficiency = \"0.3 to 0.4\"");
        let mut keys: Vec<&str> = [FIGURES, &speeds, &points, &efficiency]
            .iter()
            .flat_map(|figures| open(&data(figures)))
            .collect();
        keys.sort_unstable();
        keys.dedup();
        let page = std::fs::read_to_string("../../docs/files.md").unwrap();
        let sections = page.split("\n### ");
        let mut ranges = Vec::new();
        for section in sections {
            let name = section.trim_start_matches("`[").split(']').next().unwrap();
            for line in section
                .lines()
                .filter(|line| line.contains("or a range") || line.contains("torque at a speed"))
            {
                ranges.push(format!("{name}.{}", line.trim_start_matches("- `").split('`').next().unwrap()));
            }
        }
        ranges.sort_unstable();
        assert_eq!(keys, ranges);
    }

    #[test]
    fn figures_are_drawn_evenly_from_their_ranges() {
        let known = data(FIGURES);
        let mut sums = vec![0.0; ranges(&mut known.clone()).len()];
        let machines = 500_u32;
        for number in 0..machines {
            let (mut known, mut drawn) = (known.clone(), machine(&known, 3, number.into()).unwrap());
            for ((sum, (key, range)), (_, figure)) in
                sums.iter_mut().zip(ranges(&mut known)).zip(ranges(&mut drawn))
            {
                assert!(
                    figure.is_exact() && range.low() <= figure.low() && figure.high() <= range.high(),
                    "{key}"
                );
                let width = range.high().checked_sub(range.low()).unwrap();
                let part = figure.low().checked_sub(range.low()).unwrap().checked_div(width).unwrap();
                *sum += part.numerator() as f64 / part.denominator() as f64;
            }
        }
        // The mean of 500 even parts: 1/2, four standard deviations of 1/√12/√500 about it.
        for sum in sums {
            assert!((sum / f64::from(machines) - 0.5).abs() < 0.052, "{sum}");
        }
    }
}
