//! Rehearsals: the same seed gives the same, and a fault has its effect.

use std::ops::ControlFlow;

use wholestep::spec::{AxisFile, Registry};
use wholestep_twin::{Done, Fault, FaultKind, Findings, Rehearsal};

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
