//! Machines and pulse trains for the tests.
#![allow(dead_code, reason = "each test file uses a part")]

use wholestep_twin::{Fidelity, Load, Machine, MachineParameters, Motor, TorqueCurve, Transmission};

/// Ticks a second.
pub(crate) const HZ: u64 = 1_000_000;
/// A tick of `HZ`, s.
pub(crate) const TICK: f64 = 1e-6;

/// Full steps, no friction, no gravity, no switches: 1 mm a turn, ±1 m.
pub(crate) fn bare() -> MachineParameters {
    let step = core::f64::consts::TAU / 200.0;
    MachineParameters {
        motor: Motor {
            full_steps_per_turn: 200,
            step_mode: 1,
            rotor_inertia: 5e-5,
            torque: TorqueCurve::Linear { holding: 1.0, corner: 20.0, zero: 120.0 },
            detent: 0.0,
            viscous: 0.0,
            shortest_interval: 0.0,
            keeps_phase: true,
        },
        transmission: Transmission::from_efficiency(5e-6, step, 1.0).unwrap(),
        load: Load {
            mass: 0.0,
            gravity: 0.0,
            spring: 0.0,
            spring_rate: 0.0,
            guide_friction: 0.0,
            low_stop: -1.0,
            high_stop: 1.0,
            start: 0.0,
        },
        low_switch: None,
        high_switch: None,
        probe: None,
        hand_bounce: wholestep_twin::Bounce::NONE,
        fidelity: Fidelity::Quasistatic,
    }
}

pub(crate) fn microstepped(steps: u32) -> MachineParameters {
    let mut machine = bare();
    machine.motor.step_mode = steps;
    machine.transmission =
        Transmission::from_efficiency(1e-3 / 200.0 / f64::from(steps), machine.motor.step_angle(), 1.0)
            .unwrap();
    machine
}

pub(crate) fn powered(parameters: MachineParameters) -> Machine {
    let mut machine = Machine::new(parameters, 7, HZ).unwrap();
    machine.set_drive(true, 0);
    machine
}

/// Edges from rest at constant acceleration, in steps/s², up to `speed` and on at it: the tick of edge k
/// is where the ideal motion passes k − ½, rounded.
pub(crate) fn ramp_edges(start: u64, acceleration: f64, speed: f64, steps: u64) -> Vec<u64> {
    let ramp = speed * speed / (2.0 * acceleration);
    (1..=steps)
        .map(|edge| {
            let position = edge as f64 - 0.5;
            let seconds = if position < ramp {
                (2.0 * position / acceleration).sqrt()
            } else {
                speed / acceleration + (position - ramp) / speed
            };
            start + (seconds / TICK).round() as u64
        })
        .collect()
}

/// The same mirrored: up to speed, on, and down to rest.
pub(crate) fn move_edges(start: u64, acceleration: f64, speed: f64, steps: u64) -> Vec<u64> {
    let half = ramp_edges(0, acceleration, speed, steps / 2);
    let ramp = speed * speed / (2.0 * acceleration);
    let middle = steps as f64 / 2.0;
    let seconds = if middle < ramp {
        (2.0 * middle / acceleration).sqrt()
    } else {
        speed / acceleration + (middle - ramp) / speed
    };
    let total = (2.0 * seconds / TICK).round() as u64;
    let rising = half.iter().map(|tick| start + tick);
    let falling = half.iter().rev().map(|tick| start + total - tick);
    rising.chain(falling).collect()
}

pub(crate) fn run(machine: &mut Machine, edges: &[u64], forward: bool) {
    for &tick in edges {
        machine.pulse(tick, forward);
    }
}
