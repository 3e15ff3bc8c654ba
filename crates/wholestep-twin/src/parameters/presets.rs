//! Machines of our own to rehearse on. Every value is common practice, not a maker's.

use super::{
    Bounce, Fidelity, Load, MachineParameters, Motor, Normally, Probe, Side, Switch, TorqueCurve,
    Transmission,
};

impl MachineParameters {
    /// Returns an upright router lift: 12 kg on a 4 mm trapezoidal screw that holds itself, 80 mm of travel, a
    /// motor of 1.6 N·m at 16 steps to a full step, and a plate for touching off.
    pub fn router_lift() -> Self {
        Self {
            motor: hybrid_motor(),
            transmission: Transmission {
                travel_per_step: 4e-3 / 3200.0,
                // Efficiency 0.35: raise K/0.35, lower K(1/0.35 − 2), K = 4 mm a turn.
                raise: 1.818_913_6e-3,
                lower: 0.545_674_1e-3,
                drag: 0.03,
                backlash: 0.1e-3,
                inertia: 1.0e-5,
            },
            load: Load {
                mass: 12.0,
                gravity: 9.806_65,
                spring: 0.0,
                spring_rate: 0.0,
                guide_friction: 10.0,
                low_stop: -2e-3,
                high_stop: 82e-3,
                start: 30e-3,
            },
            low_switch: Some(limit_switch(0.0, Side::Below)),
            high_switch: Some(limit_switch(80e-3, Side::Above)),
            probe: Some(Probe {
                plate: 70e-3,
                cutter: 20e-3,
                scatter: 2e-6,
                normally: Normally::Open,
                bounce: Bounce { longest: 1e-3 },
                in_place: false,
            }),
            hand_bounce: Bounce::COMMON,
            fidelity: Fidelity::Quasistatic,
        }
    }

    /// Returns a lying stop block: 1.5 kg on a belt of 40 mm a turn, 2 m of travel, a NEMA 23 size motor at 16
    /// steps to a full step. A hand can push it when the drive is released.
    pub fn stop_block() -> Self {
        Self {
            motor: hybrid_motor(),
            transmission: Transmission {
                travel_per_step: 40e-3 / 3200.0,
                // Efficiency 0.9, K = 40 mm a turn.
                raise: 7.073_554e-3,
                lower: -5.658_843e-3,
                drag: 0.02,
                backlash: 0.05e-3,
                inertia: 0.5e-5,
            },
            load: Load {
                mass: 1.5,
                gravity: 0.0,
                spring: 0.0,
                spring_rate: 0.0,
                guide_friction: 4.0,
                low_stop: -10e-3,
                high_stop: 2.01,
                start: 0.5,
            },
            low_switch: Some(limit_switch(0.0, Side::Below)),
            high_switch: Some(limit_switch(2.0, Side::Above)),
            probe: None,
            hand_bounce: Bounce::COMMON,
            fidelity: Fidelity::Quasistatic,
        }
    }
}

/// A 1.8 degree motor on a 60 mm frame, with 1.6 N·m.
fn hybrid_motor() -> Motor {
    Motor {
        full_steps_per_turn: 200,
        step_mode: 16,
        rotor_inertia: 4.5e-5,
        torque: TorqueCurve::Linear { holding: 1.6, corner: 30.0, zero: 160.0 },
        detent: 0.04,
        viscous: 5e-4,
        shortest_interval: 2e-6,
        keeps_phase: true,
    }
}

fn limit_switch(at: f64, side: Side) -> Switch {
    Switch { at, side, hysteresis: 0.3e-3, scatter: 5e-6, normally: Normally::Closed, bounce: Bounce::COMMON }
}
