//! Rehearsals: the same seed gives the same, and a fault has its effect.

use std::ops::ControlFlow;
use std::sync::Arc;

use num_rational::Ratio;
use wholestep::Rounding;
use wholestep::axis::AnyAxis;
use wholestep_files::{AxisFile, Registry};
use wholestep_twin::{Done, Fault, FaultKind, Findings, Input, Passed, Rehearsable, Rehearsal, Twin};

fn go_on(_: f64) -> ControlFlow<()> {
    ControlFlow::Continue(())
}

fn rehearse(seed: u64, fault: Option<(&str, u64, u64)>) -> (Vec<Done>, Findings) {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples/axes/router_lift.toml");
    let file = AxisFile::open(path).unwrap();
    let mut rehearsal = Rehearsal::new(&file, seed).unwrap();
    if let Some((name, at, until)) = fault {
        let kind: FaultKind = name.parse().unwrap();
        let until = Some(until * 1_000_000);
        rehearsal.inject(Fault { kind, at: at * 1_000_000, until }).unwrap();
    }
    let mut done = vec![rehearsal.find_datum(&mut go_on)];
    for step in [9_737, 0, 9_737] {
        done.push(rehearsal.go_to(step, &mut go_on));
    }
    (done, rehearsal.finish())
}

#[test]
fn the_same_seed_gives_the_same_rehearsal() {
    assert_eq!(rehearse(7, None), rehearse(7, None));
    assert_ne!(rehearse(7, None).1.trace, rehearse(8, None).1.trace);
}

#[test]
fn a_sound_machine_arrives_everywhere_and_loses_nothing() {
    for seed in 0..20 {
        let (done, findings) = rehearse(seed, None);
        assert!(done.iter().all(|done| done.stopped.is_none()), "{done:?}");
        assert_eq!((findings.lost_steps, findings.record.slips), (0, 0));
        assert!(findings.worst_torque.unwrap().margin() > 0.0);
    }
}

#[test]
fn what_is_accepted_finds_its_datum_and_moves() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples/axes/router_lift.toml");
    let lift = AxisFile::open(path).unwrap();
    // Each at the edge of what a file may say.
    for changes in [
        &[("datum.switch_at", "-40.24")][..],
        &[("datum.slow", "4")],
        &[("datum.fast", "8")],
        &[("datum.within", "102")],
        &[("datum.within", "204")],
        &[("datum.clearance", "0.24"), ("datum.slow", "4")],
        &[("datum.clearance", "4")],
        &[("switches.contact_settle", "250 ms")],
        &[("hand.jog", "8")],
        &[("motion.backlash", "20")],
        &[("pulse.timer_hz", "100000")],
        &[("motion.acceleration", "10")],
    ] {
        let file = changes.iter().fold(lift.clone(), |file, (key, value)| {
            file.with(key, value).unwrap_or_else(|error| panic!("{error}"))
        });
        let mut rehearsal = Rehearsal::new(&file, 3).unwrap();
        let mut done = vec![rehearsal.find_datum(&mut go_on)];
        for step in [0, 40_000, 60_000] {
            done.push(rehearsal.go_to(step, &mut go_on));
        }
        let stopped: Vec<_> = done.iter().filter_map(|done| done.stopped.as_ref()).collect();
        assert!(stopped.is_empty(), "{changes:?}: {stopped:?}");
    }
}

#[test]
fn a_fault_stops_what_it_meets_and_is_named() {
    for (name, says) in [
        ("drive_fault", "fault drive"),
        ("late_polls", "fault polled_late"),
        ("enable_released", "enable button was let go"),
        ("power_cut", "power failed"),
        ("stuck_closed_high", ""),
    ] {
        let (done, _) = rehearse(1, Some((name, 3, 4)));
        match &done[0].stopped {
            Some(why) => assert!(!says.is_empty() && why.contains(says), "{name}: {why}"),
            None => assert!(says.is_empty(), "{name}"),
        }
    }
}

#[test]
fn one_poll_or_change_is_passed_at_a_time_even_without_power() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples/axes/router_lift.toml");
    let file = AxisFile::open(path).unwrap();
    let lift = Rehearsable::new(&file, 1).unwrap();
    let twin = Twin::commissioned(Arc::new(lift.configuration), lift.machine, 1).unwrap();
    let storm = |mut twin: Twin| {
        twin.inject(Fault { kind: FaultKind::PowerCut, at: 1_000, until: None }).unwrap();
        let kind = FaultKind::BounceStorm(Input::LowSwitch);
        twin.inject(Fault { kind, at: 2_000, until: Some(1 << 60) }).unwrap();
        twin
    };
    // Hours of chatter that no poll interrupts: by changes it goes on little by little.
    let mut slow = storm(twin.clone());
    for _ in 0..10_000 {
        assert_ne!(slow.go_on(1 << 59), Passed::Nothing);
    }
    assert!(slow.now() < 10_000_000, "{}", slow.now());
    // It comes to the same as in one go.
    let (mut one, mut other) = (storm(twin.clone()), storm(twin));
    one.run_until(50_000);
    while other.go_on(50_000) != Passed::Nothing {}
    assert_eq!(
        (one.ground_truth(), one.polls(), one.now()),
        (other.ground_truth(), other.polls(), other.now())
    );
}

/// A switch at the low end, and how the datum is found there.
fn with_datum(axis: &str, [at, fast, slow, clearance, within]: [&str; 5]) -> AxisFile {
    let text = std::fs::read_to_string(format!("../../examples/axes/{axis}.toml")).unwrap();
    let text = format!(
        "{text}\n[switches]\nlow = \"normally_closed\"\n[datum]\nend = \"low\"\nswitch_at = \"{at}\"\n\
         fast = \"{fast}\"\nslow = \"{slow}\"\nclearance = \"{clearance}\"\nwithin = \"{within}\"\n"
    );
    AxisFile::from_toml(&text, &Registry::standard()).unwrap()
}

/// Axes that turn or have unequal steps, and a position in mm or degrees with its step.
#[test]
fn axes_that_turn_or_curve_stand_where_their_own_formula_says() {
    let axes = [
        ("blade_tilt", ["-0.5", "2", "0.2", "0.2", "60"], "30 deg", 30.0),
        ("tilting_table", ["-1", "3", "0.5", "0.5", "60"], "22.5 deg", 22.5),
        ("blade_height", ["-7", "3", "0.3", "1.5", "90"], "50 mm", 50.0),
    ];
    for (name, datum, target, stands) in axes {
        let file = with_datum(name, datum);
        let step = match file.axis() {
            AnyAxis::Length(axis) => axis.place(target.parse().unwrap(), Rounding::Nearest).unwrap().step(),
            AnyAxis::Angle(axis) => axis.place(target.parse().unwrap(), Rounding::Nearest).unwrap().step(),
        };
        for seed in 1..4 {
            let mut rehearsal = Rehearsal::new(&file, seed).unwrap();
            for done in [rehearsal.find_datum(&mut go_on), rehearsal.go_to(step, &mut go_on)] {
                assert_eq!((done.off_by, &done.stopped), (0, &None), "{name}, seed {seed}");
            }
            let findings = rehearsal.finish();
            assert_eq!(findings.record.end_stop_hits, 0, "{name}, seed {seed}");
            let really = findings.trace.last().unwrap().position;
            // The play of 0.3 mm or 6', a repeat of the switch, and straight lines between knots.
            assert!((really - stands).abs() < 0.35, "{name}, seed {seed}: {really}");
        }
    }
}

/// A move at a tenth of the speed takes as long as its steps do, and no edge comes earlier.
#[test]
fn a_move_of_its_own_speed_takes_as_long_as_that_speed_says() {
    let file = AxisFile::open("../../examples/axes/router_lift.toml").unwrap();
    let mut rehearsal = Rehearsal::new(&file, 1).unwrap();
    rehearsal.find_datum(&mut go_on);
    rehearsal.go_to(0, &mut go_on);
    // 10 mm are 10,666 steps; at 0.8 mm/s that is 12.5 s and the time to speed up.
    let slow = rehearsal.go_to_at(10_666, Ratio::new(8_532, 10), &mut go_on);
    assert_eq!((slow.off_by, &slow.stopped), (0, &None));
    assert!((12.4..13.5).contains(&slow.seconds), "{slow:?}");
    let refused = rehearsal.go_to_at(0, Ratio::from_integer(100_000), &mut go_on);
    assert!(refused.stopped.unwrap().starts_with("refused"));
}
