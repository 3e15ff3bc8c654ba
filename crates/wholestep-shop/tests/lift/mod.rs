//! The lift of the worked examples: 4.6 kg on a Tr12x3, and what a test changes of it.

use wholestep_files::{AxisFile, Registry};

/// A plunge router upside down: its springs press it down as it rises.
pub(crate) const LIFT: &str = r#"
version = 1
name = "Plunge router lift"
kind = "lead_screw"
unit = "mm"

[motor]
step_angle = "1.8 deg"
step_mode = "1/16"

[mechanism]
thread = "Tr12x3"

[limits]
low = "0"
high = "50"

[motion]
speed = "6"
acceleration = "40"

[pulse]
timer_hz = 1000000
direction_setup = "5 us"
pulse_high = "2.5 us"
pulse_low = "2.5 us"

[machine]
load_mass = "4.6 kg"
upright = true
guide_friction = "10 N"
screw_friction = "0.10 to 0.20"
holding_torque = "0.45 N·m"
full_torque_to = "300 rev/min"
no_torque_at = "1500 rev/min"
rotor_inertia = "60 g·cm²"

[springs]
count = 2
rate = "0.30 N/mm"
preload = "25 N"
toward = "low"
"#;

/// The lift with every `old` replaced by its `new`.
pub(crate) fn lift(changes: &[(&str, &str)]) -> AxisFile {
    let mut text = LIFT.to_owned();
    for (old, new) in changes {
        assert!(text.contains(old), "nothing to replace: {old}");
        text = text.replacen(old, new, 1);
    }
    AxisFile::from_toml(&text, &Registry::standard()).unwrap_or_else(|error| panic!("{error}\n{text}"))
}
