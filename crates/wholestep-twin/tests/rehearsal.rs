//! Rehearsals: the same seed gives the same, and a fault has its effect.

use std::ops::ControlFlow;
use std::sync::Arc;

use wholestep::spec::{AxisFile, Registry};
use wholestep_shop::Job;
use wholestep_twin::{
    Done, Fault, FaultKind, Findings, Input, Passed, Rehearsable, Rehearsal, Twin, rehearse as rehearse_job,
};

fn go_on(_: f64) -> ControlFlow<()> {
    ControlFlow::Continue(())
}

fn rehearse(seed: u64, fault: Option<(&str, u64, u64)>) -> (Vec<Done>, Findings) {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples/axes/router_lift.toml");
    let file = AxisFile::load(path, &Registry::standard()).unwrap();
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
    let lift = AxisFile::load(path, &Registry::standard()).unwrap();
    // Each at the edge of what a file may say.
    for changes in [
        &[("home.switch", "-40.24")][..],
        &[("home.latch", "4")],
        &[("home.search", "8")],
        &[("home.search_within", "102")],
        &[("home.search_within", "204")],
        &[("home.clearance", "0.24"), ("home.latch", "4")],
        &[("home.clearance", "4")],
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
fn a_whole_job_may_be_broken_off_and_says_what_it_did_not_reach() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples/jobs/lap_joint.toml");
    let job = Job::load(path, &Registry::standard()).unwrap();
    let (mut parts, mut names) = (Vec::new(), Vec::new());
    let whole = rehearse_job::<&str>(&job, 2, &[], &mut |progress| {
        parts.push(progress.part);
        if names.last().is_none_or(|last| last != progress.what) {
            names.push(progress.what.to_owned());
        }
        ControlFlow::Continue(())
    })
    .unwrap();
    assert!(whole.is_sound() && whole.not_reached.is_empty() && whole.by_hand.is_empty());
    assert_eq!(names, whole.moves.iter().map(|one| one.what.clone()).collect::<Vec<_>>());
    assert!(parts.is_sorted() && parts.first() == Some(&0.0) && parts.last() == Some(&1.0));
    // Each begins where the one before ended, and the whole is the sum.
    for pair in whole.moves.windows(2) {
        assert!(pair[1].began >= pair[0].began + pair[0].done.seconds - 1e-9);
    }
    let near = whole.approach.unwrap();
    assert_eq!(
        (near.lowest.low().to_string(), near.room_below.low().to_string().as_str()),
        ("-39.999375 mm".into(), "0.000625 mm")
    );

    let mut looks = 0;
    let broken = rehearse_job::<&str>(&job, 2, &[], &mut |progress| {
        looks += 1;
        if progress.what == "touch-off" { ControlFlow::Break(()) } else { ControlFlow::Continue(()) }
    })
    .unwrap();
    assert!(!broken.is_sound() && looks > 100);
    assert_eq!(broken.moves.last().unwrap().done.stopped.as_deref(), Some("the rehearsal was broken off"));
    assert_eq!(broken.not_reached.len(), 6);
}

#[test]
fn steps_lost_before_the_datum_do_no_harm_and_later_ones_do() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples/jobs/lap_joint.toml");
    let job = Job::load(path, &Registry::standard()).unwrap();
    let run = |fault: &str| rehearse_job(&job, 1, &[fault], &mut |_| ControlFlow::Continue(())).unwrap();
    let before = run("stall@2 s+500 ms");
    assert!(before.findings.lost_steps != 0 && before.findings.record.slips > 0);
    assert!(before.is_sound() && before.moves.iter().all(|one| one.done.off_by == 0));
    let after = run("stall@60 s+500 ms");
    assert!(!after.is_sound());
    assert!(after.moves.iter().any(|one| one.done.stopped.is_none() && one.done.off_by != 0));
}

#[test]
fn one_poll_or_change_is_passed_at_a_time_even_without_power() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples/axes/router_lift.toml");
    let file = AxisFile::load(path, &Registry::standard()).unwrap();
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
    assert_eq!((one.truth(), one.polls(), one.now()), (other.truth(), other.polls(), other.now()));
}
