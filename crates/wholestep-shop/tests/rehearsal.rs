//! A whole job on a simulated machine.

use std::ops::ControlFlow;

use wholestep_files::Registry;
use wholestep_shop::{AnyBounds, Job, rehearse};

#[test]
fn a_whole_job_may_be_broken_off_and_says_what_it_did_not_reach() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples/jobs/lap_joint.toml");
    let job = Job::load(path, &Registry::standard()).unwrap();
    let (mut parts, mut names) = (Vec::new(), Vec::new());
    let whole = rehearse::<&str>(&job, 2, &[], &mut |progress| {
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
    assert_eq!((low(near.lowest), low(near.room_below).as_str()), ("-39.999375 mm".into(), "0.000625 mm"));

    let mut looks = 0;
    let broken = rehearse::<&str>(&job, 2, &[], &mut |progress| {
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
    let run = |fault: &str| rehearse(&job, 1, &[fault], &mut |_| ControlFlow::Continue(())).unwrap();
    let before = run("stall@2 s+500 ms");
    assert!(before.findings.lost_steps != 0 && before.findings.record.slips > 0);
    assert!(before.is_sound() && before.moves.iter().all(|one| one.done.off_by == 0));
    let after = run("stall@60 s+500 ms");
    assert!(!after.is_sound());
    assert!(after.moves.iter().any(|one| one.done.stopped.is_none() && one.done.off_by != 0));
}

fn low(bounds: AnyBounds) -> String {
    match bounds {
        AnyBounds::Length(bounds, _) => bounds.low().to_string(),
        AnyBounds::Angle(bounds, _) => bounds.low().to_string(),
    }
}
