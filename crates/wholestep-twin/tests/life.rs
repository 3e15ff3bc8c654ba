//! Whole lives: losing steps, letting go, failing supply; the same seed gives the same truth.
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

use proptest::prelude::*;
use support::{HZ, microstepped, move_edges, powered, run};
use wholestep_twin::{
    Fault, FaultKind, Fidelity, GroundTruth, Hand, Input, Machine, MachineParameters, RawInputs, TorqueCurve,
};

const BOTH: [Fidelity; 2] = [Fidelity::Quasistatic, Fidelity::Dynamic];

/// With friction and damping enough to come to rest.
fn calm(fidelity: Fidelity) -> MachineParameters {
    let mut machine = microstepped(16);
    machine.fidelity = fidelity;
    machine.transmission.drag = 0.05;
    machine.motor.viscous = 2e-3;
    machine
}

/// A hand turns a released screw; switched on again it snaps to the nearest step of the electrical cycle of
/// four full steps.
#[test]
fn a_turned_screw_snaps_to_the_nearest_cycle() {
    for fidelity in BOTH {
        for (full_steps, lost) in
            [(0.0, 0), (0.9, 0), (-1.9, 0), (2.1, -64), (-2.1, 64), (5.0, -64), (6.2, -128), (-400.0, 6400)]
        {
            let mut machine = powered(calm(fidelity));
            run(&mut machine, &move_edges(0, 32_000.0, 3_200.0, 1_000), true);
            machine.set_drive(false, 2 * HZ);
            machine.schedule(3 * HZ, Hand::TurnScrew(full_steps)).unwrap();
            machine.set_drive(true, 4 * HZ);
            machine.advance(5 * HZ);
            let truth = machine.ground_truth();
            assert_eq!((truth.commanded_step, truth.lost_steps), (1_000, lost), "{fidelity:?} {full_steps}");
        }
    }
}

#[test]
fn a_driven_screw_holds_against_the_hand() {
    let mut machine = powered(calm(Fidelity::Quasistatic));
    machine.inject(Fault { kind: FaultKind::HandTurn(3.0), at: 10, until: None }).unwrap();
    machine.advance(HZ);
    assert_eq!(machine.ground_truth().rotor_position, 0.0);
}

/// After a power cut the driver starts its cycle anew: the rotor, wherever it stood, goes to the nearest
/// multiple of four full steps.
#[test]
fn a_power_cut_releases_and_shifts_the_cycle() {
    for fidelity in BOTH {
        for (steps, rests) in [(10, 0), (31, 0), (36, 64), (70, 64), (100, 128)] {
            let mut machine = powered(calm(fidelity));
            run(&mut machine, &move_edges(0, 32_000.0, 3_200.0, steps), true);
            let steps = machine.ground_truth().commanded_step;
            machine.inject(Fault { kind: FaultKind::PowerCut, at: 2 * HZ, until: Some(3 * HZ) }).unwrap();
            let dark = machine.inputs(2 * HZ);
            assert!(!dark.low_switch && !dark.enable && !machine.powered());
            machine.pulse(2 * HZ + 500_000, true);
            machine.advance(4 * HZ);
            assert!(machine.powered() && !machine.ground_truth().driven, "nothing starts by itself");
            machine.set_drive(true, 4 * HZ);
            machine.advance(5 * HZ);
            let truth = machine.ground_truth();
            assert_eq!(truth.rotor_step, rests, "{fidelity:?} {steps}");
            assert_eq!((truth.commanded_step, truth.record.missed_pulses), (steps + 1, 1));
            assert_eq!(truth.lost_steps, steps + 1 - rests);
        }
    }
}

#[test]
fn a_drive_fault_lets_go_and_reports() {
    let mut machine = powered(calm(Fidelity::Quasistatic));
    machine.inject(Fault { kind: FaultKind::DriveFault, at: 100, until: Some(200) }).unwrap();
    assert!(!machine.inputs(99).drive_fault && machine.ground_truth().driven);
    assert!(machine.inputs(100).drive_fault && !machine.ground_truth().driven);
    assert!(!machine.inputs(200).drive_fault && machine.ground_truth().driven);
}

#[test]
fn enable_released_stays_released_until_pressed_again() {
    let mut machine = Machine::new(calm(Fidelity::Quasistatic), 1, HZ).unwrap();
    machine.schedule(10, Hand::Press(Input::Enable, true)).unwrap();
    machine.inject(Fault { kind: FaultKind::EnableReleased, at: 50, until: Some(60) }).unwrap();
    machine.schedule(80, Hand::Press(Input::Enable, true)).unwrap();
    assert_eq!([20, 55, 70, 90].map(|tick| machine.inputs(tick).enable), [true, false, false, true]);
}

#[test]
fn late_polls_are_passed_on_while_they_last() {
    let mut machine = Machine::new(calm(Fidelity::Quasistatic), 1, HZ).unwrap();
    machine.inject(Fault { kind: FaultKind::LatePolls(0.005), at: 100, until: Some(200) }).unwrap();
    let delays = [99, 100, 199, 200].map(|tick| {
        machine.advance(tick);
        machine.poll_delay()
    });
    assert_eq!(delays, [0, 5_000, 5_000, 0]);
}

/// Held back for a while in the middle of a move, the rotor loses whole cycles and is in step again after.
#[test]
fn a_stall_loses_whole_cycles() {
    for fidelity in BOTH {
        let mut machine = powered(calm(fidelity));
        machine.inject(Fault { kind: FaultKind::Stall(1e3), at: HZ, until: Some(HZ + HZ / 2) }).unwrap();
        run(&mut machine, &move_edges(0, 16_000.0, 3_200.0, 16_000), true);
        machine.advance(20 * HZ);
        let truth = machine.ground_truth();
        assert_eq!(truth.commanded_step, 16_000);
        assert_eq!(truth.lost_steps % 64, 0, "{fidelity:?}");
        // Half a second at 3,200 steps/s is about 1,600 steps; 3,200 steps/s is slow enough to be caught again.
        assert!((1_400..=1_900).contains(&truth.lost_steps), "{fidelity:?} {}", truth.lost_steps);
        let first = truth.record.first_slip.unwrap();
        assert!((HZ..HZ + HZ / 20).contains(&first), "{fidelity:?} {first}");
    }
}

#[test]
fn the_end_stop_costs_whole_cycles_and_no_carriage_passes_it() {
    for fidelity in BOTH {
        let mut parameters = calm(fidelity);
        parameters.load.high_stop = 1e-3;
        let mut machine = powered(parameters);
        // 3,200 steps to the stop, 1,000 more asked for; then 4,000 back.
        run(&mut machine, &move_edges(0, 16_000.0, 3_200.0, 4_200), true);
        machine.advance(10 * HZ);
        let truth = machine.ground_truth();
        assert!((truth.record.highest - 1e-3).abs() < 1e-12 && truth.record.room_above == 0.0);
        assert!(truth.record.end_stop_hits >= 1 && truth.record.slips >= 14, "{fidelity:?} {truth:?}");
        run(&mut machine, &move_edges(10 * HZ, 16_000.0, 3_200.0, 4_000), false);
        machine.advance(20 * HZ);
        let truth = machine.ground_truth();
        assert_eq!(truth.lost_steps % 64, 0);
        assert!((960..=1_024).contains(&truth.lost_steps), "{fidelity:?} {}", truth.lost_steps);
    }
}

#[test]
fn an_overloaded_lift_does_not_rise() {
    for fidelity in BOTH {
        let mut parameters = calm(fidelity);
        parameters.transmission.raise *= 4.0;
        parameters.transmission.lower = 0.75 * parameters.transmission.raise;
        parameters.load.mass = 20.0;
        parameters.load.gravity = 9.806_65;
        // The load needs about 0.12 N·m to rise.
        parameters.motor.torque = TorqueCurve::Linear { holding: 0.1, corner: 20.0, zero: 120.0 };
        let mut machine = powered(parameters);
        run(&mut machine, &move_edges(0, 1_600.0, 320.0, 640), true);
        machine.advance(20 * HZ);
        let truth = machine.ground_truth();
        assert_eq!((truth.rotor_step, truth.lost_steps), (0, 640), "{fidelity:?}");
        assert!(fidelity == Fidelity::Dynamic || truth.record.worst_torque.unwrap().margin() < 0.0);
    }
}

#[test]
fn pulses_too_close_for_the_driver_are_missed_and_lost() {
    let mut parameters = calm(Fidelity::Quasistatic);
    parameters.motor.shortest_interval = 5e-6;
    let mut machine = powered(parameters);
    for tick in [1_000, 2_000, 2_004, 3_000, 3_005] {
        machine.pulse(tick, true);
    }
    machine.advance(HZ);
    let truth = machine.ground_truth();
    assert_eq!((truth.commanded_step, truth.rotor_step, truth.lost_steps), (5, 4, 1));
    assert_eq!(truth.record.missed_pulses, 1);
}

#[test]
fn time_that_runs_backward_counts_as_now() {
    let mut machine = powered(calm(Fidelity::Quasistatic));
    machine.pulse(1_000, true);
    machine.advance(5_000);
    machine.advance(10);
    machine.pulse(20, true);
    let truth = machine.ground_truth();
    assert_eq!((truth.tick, truth.commanded_step), (5_000, 2));
}

#[test]
fn the_examples_of_our_own_run_a_sensible_move_with_torque_to_spare() {
    for (mut parameters, speed, acceleration, travel) in [
        // 10 mm/s and 50 mm/s² for 40 mm; 200 mm/s and 500 mm/s² for 1 m
        (MachineParameters::router_lift(), 8_000.0, 40_000.0, 32_000),
        (MachineParameters::stop_block(), 16_000.0, 40_000.0, 80_000),
    ] {
        for fidelity in BOTH {
            parameters.fidelity = fidelity;
            let mut machine = powered(parameters.clone());
            run(&mut machine, &move_edges(1_000, acceleration, speed, travel), true);
            machine.advance(60 * HZ);
            let truth = machine.ground_truth();
            assert_eq!(truth.lost_steps, 0, "{fidelity:?} {truth:?}");
            let margin = truth.record.worst_torque.unwrap().margin();
            assert!((0.1..0.98).contains(&margin), "{fidelity:?} {margin}");
        }
    }
    for parameters in [MachineParameters::router_lift(), MachineParameters::stop_block()] {
        let start = parameters.load.start;
        let mut machine = Machine::new(parameters, 1, HZ).unwrap();
        machine.advance(10 * HZ);
        assert_eq!(machine.ground_truth().carriage_position, start, "released, neither moves by itself");
    }
}

#[test]
fn impossible_machines_are_refused_by_name() {
    type Spoil = fn(&mut MachineParameters);
    let cases: [(Spoil, &str); 12] = [
        (|m| m.motor.rotor_inertia = -1.0, "rotor inertia is -1 kg·m²; allowed is 0.000000001 to 1 kg·m²"),
        (|m| m.motor.rotor_inertia = f64::NAN, "rotor inertia is NaN kg·m²"),
        (|m| m.motor.step_mode = 0, "step mode is 0 steps to a full step; allowed is 1 to 256"),
        (|m| m.motor.full_steps_per_turn = 3, "full steps per turn is 3"),
        (|m| m.motor.torque = TorqueCurve::Table(vec![(0.0, 1.0)]), "torque curve: give at least two rows"),
        (|m| m.motor.detent = 99.0, "detent torque is 99 N·m; allowed is 0 to 1.6 N·m"),
        (|m| m.transmission.travel_per_step = 0.0, "travel per step is 0 m"),
        (|m| m.transmission.raise /= 10.0, "raising torque: less than the load times the travel per radian"),
        (|m| m.transmission.lower = 1.0, "lowering torque: must lie between"),
        (|m| m.load.high_stop = -1.0, "end stops: the high one must be above the low one"),
        (|m| m.load.start = 1.0, "start is 1 m; allowed is -0.002 to 0.082 m"),
        (|m| m.low_switch.as_mut().unwrap().hysteresis = -1e-3, "switch hysteresis is -0.001 m"),
    ];
    for (spoil, message) in cases {
        let mut parameters = MachineParameters::router_lift();
        spoil(&mut parameters);
        let refused = Machine::new(parameters, 1, HZ).unwrap_err().to_string();
        assert!(refused.starts_with(message), "{refused}");
    }
    let refused = Machine::new(MachineParameters::router_lift(), 1, 10).unwrap_err().to_string();
    assert_eq!(refused, "timer is 10 Hz; allowed is 1000 to 1000000000 Hz");
}

/// One step of a script.
#[derive(Clone, Debug)]
enum Act {
    Pulses { count: u64, interval: u64, forward: bool },
    Drive(bool),
    Hand(Hand),
    Fault(FaultKind, u64),
    Wait(u64),
}

fn acts() -> impl Strategy<Value = Vec<Act>> {
    let kinds = FaultKind::all();
    prop::collection::vec(
        prop_oneof![
            4 => (1..400_u64, 20..2_000_u64, any::<bool>())
                .prop_map(|(count, interval, forward)| Act::Pulses { count, interval, forward }),
            1 => any::<bool>().prop_map(Act::Drive),
            1 => (-9.0..9.0).prop_map(|turned| Act::Hand(Hand::TurnScrew(turned))),
            1 => any::<bool>().prop_map(|held| Act::Hand(Hand::Press(Input::HighSwitch, held))),
            1 => (-20..20).prop_map(|counts| Act::Hand(Hand::Turn { counts, counts_per_second: 300.0 })),
            1 => (prop::sample::select(kinds), 1..50_000_u64).prop_map(|(kind, length)| Act::Fault(kind, length)),
            1 => (1..100_000_u64).prop_map(Act::Wait),
        ],
        1..20,
    )
}

/// Plays a script and looks at the machine every `look` ticks too, where given.
fn play(
    parameters: MachineParameters,
    seed: u64,
    acts: &[Act],
    look: Option<u64>,
) -> (GroundTruth, RawInputs) {
    let mut machine = Machine::new(parameters, seed, HZ).unwrap();
    machine.set_drive(true, 0);
    let mut now = 0;
    let wait = |machine: &mut Machine, from: u64, to: u64| {
        if let Some(look) = look {
            for tick in (from..to).step_by(usize::try_from(look).unwrap()) {
                machine.inputs(tick);
                machine.ground_truth();
            }
        }
    };
    for act in acts {
        match *act {
            Act::Pulses { count, interval, forward } => {
                for _ in 0..count {
                    wait(&mut machine, now, now + interval);
                    now += interval;
                    machine.pulse(now, forward);
                }
            }
            Act::Drive(on) => machine.set_drive(on, now),
            Act::Hand(hand) => machine.schedule(now, hand).unwrap(),
            Act::Fault(kind, length) => {
                machine.inject(Fault { kind, at: now, until: Some(now + length) }).unwrap();
            }
            Act::Wait(ticks) => {
                wait(&mut machine, now, now + ticks);
                now += ticks;
                machine.advance(now);
            }
        }
    }
    machine.advance(now + HZ);
    let levels = machine.inputs(now + HZ);
    (machine.ground_truth(), levels)
}

fn any_machine() -> impl Strategy<Value = MachineParameters> {
    (any::<bool>(), any::<bool>(), any::<bool>()).prop_map(|(lift, dynamic, keeps_phase)| {
        let mut machine =
            if lift { MachineParameters::router_lift() } else { MachineParameters::stop_block() };
        machine.fidelity = if dynamic { Fidelity::Dynamic } else { Fidelity::Quasistatic };
        machine.motor.keeps_phase = keeps_phase;
        // A switch near by, so that lives meet it.
        machine.high_switch.as_mut().unwrap().at = machine.load.start + 0.2e-3;
        machine
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn the_truth_does_not_depend_on_who_is_looking(
        machine in any_machine(), seed in any::<u64>(), acts in acts(), look in 7..500_u64,
    ) {
        let alone = play(machine.clone(), seed, &acts, None);
        prop_assert_eq!(&alone, &play(machine.clone(), seed, &acts, None));
        prop_assert_eq!(&alone, &play(machine, seed, &acts, Some(look)));
    }

    #[test]
    fn the_carriage_stays_between_its_end_stops(machine in any_machine(), seed in any::<u64>(), acts in acts()) {
        let (low, high) = (machine.load.low_stop, machine.load.high_stop);
        let (truth, _) = play(machine, seed, &acts, None);
        prop_assert!(truth.record.lowest >= low && truth.record.highest <= high);
        prop_assert!(truth.record.lowest <= truth.carriage_position && truth.carriage_position <= truth.record.highest);
        prop_assert_eq!(truth.lost_steps, truth.commanded_step - truth.rotor_step);
    }
}

#[test]
fn what_no_hand_and_no_fault_can_be_is_refused() {
    let turn = |counts_per_second| Hand::Turn { counts: 4, counts_per_second };
    let hands = [
        (Hand::TurnScrew(f64::NAN), "turn of the screw is NaN full steps"),
        (Hand::TurnScrew(f64::INFINITY), "turn of the screw is inf full steps"),
        (turn(-5.0), "speed of the dial is -5 counts/s"),
        (turn(0.0), "speed of the dial is 0 counts/s"),
        (turn(f64::NAN), "speed of the dial is NaN counts/s"),
        (Hand::PlateAt(f64::NAN), "height of the plate is NaN m"),
        (Hand::Cutter(f64::NEG_INFINITY), "length of the cutter is -inf m"),
    ];
    for (hand, said) in hands {
        let refused = hand.check_range().unwrap_err().to_string();
        assert!(refused.starts_with(said), "{refused}");
    }
    for hand in [Hand::TurnScrew(-3.5), turn(100.0), Hand::Plate(true), Hand::Cutter(0.03)] {
        assert_eq!(hand.check_range(), Ok(()));
    }
    let fault = |kind, at, until| Fault { kind, at, until };
    let faults = [
        (fault(FaultKind::PowerCut, 100, Some(99)), "fault: it ends before it begins"),
        (fault(FaultKind::Stall(f64::NAN), 0, None), "torque of a stall is NaN N·m"),
        (fault(FaultKind::LatePolls(-1.0), 0, None), "delay of polls is -1 s"),
        (fault(FaultKind::HandTurn(f64::NAN), 0, None), "turn of the screw is NaN full steps"),
    ];
    for (fault, said) in faults {
        let refused = fault.check_range().unwrap_err().to_string();
        assert!(refused.starts_with(said), "{refused}");
    }
    for kind in FaultKind::all() {
        assert_eq!(fault(kind, 100, Some(100)).check_range(), Ok(()));
    }
}

#[test]
fn what_no_hand_can_do_and_no_fault_can_be_is_refused() {
    let mut machine = Machine::new(calm(Fidelity::Quasistatic), 1, HZ).unwrap();
    let before = machine.next_change();
    let hands = [
        Hand::TurnScrew(f64::NAN),
        Hand::Turn { counts: 1, counts_per_second: 0.0 },
        Hand::PlateAt(f64::INFINITY),
        Hand::Cutter(1e9),
    ];
    for hand in hands {
        assert!(machine.schedule(10, hand).is_err(), "{hand:?}");
    }
    let backward = Fault { kind: FaultKind::PowerCut, at: 20, until: Some(10) };
    assert!(machine.inject(backward).is_err());
    assert_eq!(machine.next_change(), before, "what was refused was not scheduled");
}
