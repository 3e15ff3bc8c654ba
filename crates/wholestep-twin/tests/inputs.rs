//! Switches, probe, dial and hands: what the wires read.
#![allow(
    clippy::unwrap_used,
    clippy::float_cmp,
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    clippy::cast_possible_wrap,
    clippy::cast_sign_loss,
    reason = "test arithmetic on small whole numbers; exact zeros are meant"
)]

mod support;

use support::{HZ, bare, powered};
use wholestep_twin::{
    Bounce, Direction, Fault, FaultKind, Fidelity, Hand, Input, Machine, MachineParameters, Normally, Probe,
    Side, Switch,
};

fn switch(at: f64, side: Side) -> Switch {
    Switch { at, side, hysteresis: 0.0, scatter: 0.0, normally: Normally::Closed, bounce: Bounce::NONE }
}

/// 5 µm a step, a switch at −1 mm and one at 1 mm, a plate touched at 0.498 mm.
fn switched() -> MachineParameters {
    let mut machine = bare();
    machine.transmission.drag = 0.05;
    machine.low_switch = Some(switch(-1e-3, Side::Below));
    machine.high_switch = Some(switch(1e-3, Side::Above));
    machine.probe = Some(Probe {
        plate: 10.498e-3,
        cutter: 10e-3,
        scatter: 0.0,
        normally: Normally::Open,
        bounce: Bounce::NONE,
        in_place: true,
    });
    machine
}

/// Steps at 500 a second until `stop` says so; the number of steps taken.
fn step_until(machine: &mut Machine, forward: bool, mut stop: impl FnMut(&mut Machine, u64) -> bool) -> u64 {
    let start = machine.ground_truth().tick;
    for step in 1..=10_000 {
        let tick = start + step * 2_000;
        machine.pulse(tick, forward);
        if stop(machine, tick) {
            return step;
        }
    }
    panic!("never stopped");
}

#[test]
fn a_switch_changes_on_the_step_that_reaches_it() {
    for (normally, unpressed) in [(Normally::Closed, true), (Normally::Open, false)] {
        let mut parameters = switched();
        for switch in [&mut parameters.low_switch, &mut parameters.high_switch] {
            let switch = switch.as_mut().unwrap();
            switch.normally = normally;
            switch.hysteresis = 52e-6;
        }
        let mut machine = powered(parameters);
        let up = step_until(&mut machine, true, |m, t| m.inputs(t).high_switch != unpressed);
        assert_eq!(up, 200);
        // 52 µm back is 10.4 steps.
        let back = step_until(&mut machine, false, |m, t| m.inputs(t).high_switch == unpressed);
        assert_eq!(back, 11);
        let down = step_until(&mut machine, false, |m, t| m.inputs(t).low_switch != unpressed);
        assert_eq!(down, 189 + 200);
    }
}

#[test]
fn the_probe_closes_at_plate_less_cutter_and_follows_a_change_of_cutter() {
    let mut machine = powered(switched());
    assert_eq!(step_until(&mut machine, true, |m, t| m.inputs(t).probe), 100);
    let tick = machine.ground_truth().tick;
    machine.schedule(tick + 1, Hand::Cutter(9.9e-3)).unwrap();
    assert!(!machine.inputs(tick + 1).probe);
    assert_eq!(step_until(&mut machine, true, |m, t| m.inputs(t).probe), 20);
    let tick = machine.ground_truth().tick;
    machine.schedule(tick + 1, Hand::Plate(false)).unwrap();
    assert!(!machine.inputs(tick + 1).probe);
}

#[test]
fn backlash_delays_the_carriage_on_a_reversal_but_not_under_weight() {
    for (gravity, delay) in [(0.0, 20), (9.806_65, 0)] {
        let mut parameters = switched();
        parameters.transmission.backlash = 100e-6;
        parameters.load.mass = 1.0;
        parameters.load.gravity = gravity;
        parameters.load.guide_friction = 1.0;
        let mut machine = powered(parameters);
        let up = step_until(&mut machine, true, |m, t| !m.inputs(t).high_switch);
        assert_eq!(up, 200);
        let top = machine.ground_truth().carriage_position;
        let down = step_until(&mut machine, false, |m, t| !m.inputs(t).low_switch);
        assert_eq!(down, 400 + delay, "gravity {gravity}");
        assert!((top - 1e-3).abs() < 1e-12);
    }
}

#[test]
fn a_switch_finds_the_same_place_as_often_as_its_scatter_says() {
    let mut parameters = switched();
    let scatter = 40e-6;
    parameters.high_switch.as_mut().unwrap().scatter = scatter;
    let mut machine = powered(parameters);
    let mut found = Vec::new();
    for _ in 0..400 {
        step_until(&mut machine, true, |m, t| !m.inputs(t).high_switch);
        found.push(machine.ground_truth().carriage_position);
        for _ in 0..100 {
            step_until(&mut machine, false, |_, _| true);
        }
    }
    let mean = found.iter().sum::<f64>() / found.len() as f64;
    let variance = found.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / (found.len() - 1) as f64;
    // Standard errors of 400: scatter/20 and a fortieth of the deviation each way; four of each allowed,
    // plus half a step of rounding up.
    assert!((mean - 1e-3 - 2.5e-6).abs() < 4.0 * scatter / 20.0, "{mean}");
    assert!((variance.sqrt() / scatter - 1.0).abs() < 0.15, "{}", variance.sqrt());
}

/// Ganssle, A Guide to Debouncing (second-hand): 16 of 18 switches averaged 1.56 ms, the longest 6.2 ms.
#[test]
fn bounces_are_as_long_as_measured_ones_and_then_settle() {
    let mut parameters = switched();
    parameters.low_switch.as_mut().unwrap().bounce = Bounce::COMMON;
    let mut machine = Machine::new(parameters, 3, HZ).unwrap();
    let (mut lengths, mut edges) = (Vec::new(), 0);
    for press in 0..2_000_u64 {
        let start = press * 50_000;
        machine.schedule(start, Hand::Press(Input::LowSwitch, press % 2 == 0)).unwrap();
        let (mut last, mut level) = (start, machine.inputs(start).low_switch);
        while let Some(tick) = machine.next_change().filter(|tick| *tick < start + 49_999) {
            let now = machine.inputs(tick).low_switch;
            if now != level {
                (last, level) = (tick, now);
                edges += 1;
            }
        }
        lengths.push((last - start) as f64 * support::TICK);
        assert_eq!(level, press % 2 != 0);
    }
    let mean = lengths.iter().sum::<f64>() / lengths.len() as f64;
    let longest = lengths.iter().copied().fold(0.0, f64::max);
    assert!((mean - 1.56e-3).abs() < 0.15e-3, "{mean}");
    assert!(longest <= 6.2e-3 + 1e-6 && longest > 5.5e-3, "{longest}");
    assert!(edges > 4 * 2_000, "{edges}");
}

#[test]
fn the_dial_counts_in_quadrature_both_ways_and_its_bounce_adds_nothing() {
    for bounce in [Bounce::NONE, Bounce { longest: 1e-3 }] {
        let mut parameters = bare();
        parameters.hand_bounce = bounce;
        let mut machine = Machine::new(parameters, 5, HZ).unwrap();
        machine.schedule(100, Hand::Turn { counts: 10, counts_per_second: 100.0 }).unwrap();
        machine.schedule(HZ, Hand::Turn { counts: -7, counts_per_second: 100.0 }).unwrap();
        let (mut count, mut phase) = (0_i32, 0_u8);
        let mut tick = 0;
        while let Some(next) = machine.next_change() {
            tick = next;
            let levels = machine.inputs(tick);
            let now = match (levels.dial_a, levels.dial_b) {
                (false, false) => 0,
                (true, false) => 1,
                (true, true) => 2,
                (false, true) => 3,
            };
            match (4 + now - phase) % 4 {
                0 => {}
                1 => count += 1,
                3 => count -= 1,
                _ => panic!("both channels at once at {tick}"),
            }
            phase = now;
            if tick < HZ / 2 && tick > HZ / 5 {
                assert_eq!(count, 10);
            }
        }
        assert_eq!((count, machine.ground_truth().dial_count), (3, 3));
        assert!(tick > HZ);
    }
}

#[test]
fn rocker_and_enable_follow_the_hand() {
    let mut machine = Machine::new(bare(), 1, HZ).unwrap();
    machine.schedule(10, Hand::Press(Input::Enable, true)).unwrap();
    machine.schedule(20, Hand::Jog(Some(Direction::Backward))).unwrap();
    machine.schedule(30, Hand::Jog(None)).unwrap();
    let levels = [9, 10, 20, 30].map(|tick| {
        let levels = machine.inputs(tick);
        (levels.enable, levels.jog)
    });
    let held = Some(Direction::Backward);
    assert_eq!(levels, [(false, None), (true, None), (true, held), (true, None)]);
}

#[test]
fn each_fault_of_a_wire_reads_as_it_must_and_heals() {
    let level = |machine: &mut Machine, input, tick| {
        let levels = machine.inputs(tick);
        match input {
            Input::LowSwitch => levels.low_switch,
            Input::HighSwitch => levels.high_switch,
            Input::Probe => levels.probe,
            Input::Enable => levels.enable,
        }
    };
    for input in [Input::LowSwitch, Input::HighSwitch, Input::Probe, Input::Enable] {
        for (kind, forced) in [
            (FaultKind::BrokenWire(input), false),
            (FaultKind::Stuck(input, false), false),
            (FaultKind::Stuck(input, true), true),
        ] {
            let mut machine = Machine::new(switched(), 1, HZ).unwrap();
            machine.inject(Fault { kind, at: 100, until: Some(300) }).unwrap();
            let healthy = level(&mut machine, input, 99);
            assert_eq!(level(&mut machine, input, 100), forced, "{}", kind.name());
            machine.schedule(200, Hand::Press(input, true)).unwrap();
            assert_eq!(level(&mut machine, input, 200), forced, "{}", kind.name());
            assert_eq!(level(&mut machine, input, 300), !healthy, "{}", kind.name());
        }
        let kind = FaultKind::BounceStorm(input);
        let mut machine = Machine::new(switched(), 1, HZ).unwrap();
        machine.inject(Fault { kind, at: 100, until: Some(100_000) }).unwrap();
        let before = level(&mut machine, input, 99);
        let mut changes = 0;
        let mut last = before;
        while let Some(tick) = machine.next_change() {
            let now = level(&mut machine, input, tick);
            changes += u32::from(now != last);
            last = now;
            assert!(tick <= 100_000);
        }
        assert!(changes > 100, "{}: {changes}", kind.name());
        assert_eq!(last, before);
    }
}

#[test]
fn every_fault_has_a_name_that_reads_back() {
    let all = FaultKind::all();
    for kind in &all {
        assert_eq!(kind.name().parse::<FaultKind>().unwrap(), *kind);
    }
    let mut names: Vec<_> = all.iter().map(|kind| kind.name()).collect();
    names.sort();
    names.dedup();
    assert_eq!(names.len(), all.len());
    let refused = "meteor".parse::<FaultKind>().unwrap_err().to_string();
    assert!(refused.starts_with("`meteor` is not the name of a fault; the names are broken_wire_low, "));
}

#[test]
fn a_falling_load_presses_its_switch_at_the_predicted_tick() {
    for fidelity in [Fidelity::Quasistatic, Fidelity::Dynamic] {
        let mut parameters = switched();
        parameters.fidelity = fidelity;
        parameters.transmission.drag = 0.0;
        parameters.load.mass = 10.0;
        parameters.load.gravity = 9.806_65;
        let mut machine = Machine::new(parameters, 1, HZ).unwrap();
        let mut pressed = None;
        while let Some(tick) = machine.next_change() {
            if !machine.inputs(tick).low_switch {
                pressed.get_or_insert(tick);
            }
            if tick > 10 * HZ {
                break;
            }
        }
        // 1 mm of travel; the shaft's inertia against the load's torque, without friction.
        let ratio = 5e-6 / (core::f64::consts::TAU / 200.0);
        let acceleration = 98.0665 * ratio * ratio / (5e-5 + 10.0 * ratio * ratio);
        let expected = (2e-3 / acceleration).sqrt() * HZ as f64;
        let difference = pressed.unwrap() as f64 - expected;
        assert!((-1e-6..12.0).contains(&difference), "{fidelity:?}: {difference}");
    }
}
