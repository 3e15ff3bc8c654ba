//! Studies: machines drawn from what an axis file leaves open, and what they come to.

use wholestep::ErrorKind;
use wholestep_files::Registry;
use wholestep_shop::study::{Summary, Trial};
use wholestep_shop::{Job, Study};

const AXIS: &str = r#"
version = 1
name = "Stop"
kind = "belt"
unit = "mm"
[motor]
step_angle = "1.8 deg"
step_mode = "1/256"
[mechanism]
tooth_pitch = "2"
pulley_teeth = 20
[limits]
low = "0"
high = "80"
[motion]
speed = "20"
acceleration = "80"
backlash = "0"
[pulse]
timer_hz = 1000000
direction_setup = "5 us"
pulse_high = "2.5 us"
pulse_low = "2.5 us"
[switches]
low = "normally_closed"
high = "normally_closed"
[datum]
end = "high"
switch_at = "83"
fast = "10"
slow = "1"
clearance = "2"
within = "100"
[machine]
upright = false
load_mass = "2 kg"
guide_friction = "5 N"
efficiency = "0.9"
holding_torque = "0.9 N·m"
full_torque_to = "300 rev/min"
no_torque_at = "1500 rev/min"
rotor_inertia = "100 g·cm²"
switch_scatter = "0 µm"
"#;

const JOB: &str = r#"
version = 1
name = "Marks"
axis = "axis.toml"
unit = "mm"
[[move]]
name = "first"
to = "70"
[[move]]
name = "half-way"
to = "40"
[[move]]
name = "last"
to = "10"
"#;

/// The study of the job above, each `old` in the axis file replaced by its `new`.
fn study(changes: &[(&str, &str)], within: &str, seed: u64) -> Study {
    let folder = tempfile::tempdir().unwrap();
    let axis = changes.iter().fold(AXIS.to_owned(), |text, (old, new)| {
        assert!(text.contains(old), "nothing to replace: {old}");
        text.replacen(old, new, 1)
    });
    std::fs::write(folder.path().join("axis.toml"), axis).unwrap();
    let job = folder.path().join("job.toml");
    std::fs::write(&job, JOB).unwrap();
    Study::new(Job::load(job, &Registry::standard()).unwrap(), within, seed).unwrap()
}

fn trials(study: &Study, count: u64) -> Vec<Trial> {
    (0..count).map(|number| study.trial(number).unwrap()).collect()
}

fn summary(changes: &[(&str, &str)], within: &str, count: u64) -> Summary {
    let study = study(changes, within, 5);
    study.summary(&trials(&study, count))
}

/// A step of that axis, 40 mm in 256 · 200: what a search may tell apart.
const STEP: f64 = 40.0 / 51_200.0;
const SCATTER: (&str, &str) = ("switch_scatter = \"0 µm\"", "switch_scatter = \"8 µm\"");
const SCALE: (&str, &str) = ("switch_scatter", "travel_error = \"0.1 %\"\nswitch_scatter");

#[test]
fn a_trial_is_the_same_in_whatever_order_and_another_seed_gives_another() {
    let one = study(&[SCATTER, SCALE], "0.1 mm", 1);
    let forward = trials(&one, 6);
    let backward: Vec<Trial> = (0..6).rev().map(|number| one.trial(number).unwrap()).collect();
    assert!(forward.iter().eq(backward.iter().rev()));
    assert_eq!(one.summary(&forward), one.summary(&backward));
    // Each machine counts once.
    assert_eq!(one.summary(&[&forward[..], &backward[..]].concat()), one.summary(&forward));
    let other = trials(&study(&[SCATTER, SCALE], "0.1 mm", 2), 6);
    assert!(forward.iter().zip(&other).all(|(one, other)| one.errors != other.errors));
    assert!(forward.windows(2).all(|pair| pair[0].errors != pair[1].errors));
}

#[test]
fn machines_that_are_known_to_the_last_figure_differ_by_nothing_but_chance() {
    let study = study(&[], "0.001 mm", 1);
    assert!(study.open().is_empty());
    for trial in trials(&study, 5) {
        assert!(trial.errors.iter().all(|error| error.abs() <= STEP), "{trial:?}");
    }
}

/// One test cut takes out the zero and leaves the scale: what is left grows with the distance from the first stop.
#[test]
fn an_error_of_the_travel_grows_from_the_test_cut_on() {
    let study = study(&[SCALE], "0.01 mm", 3);
    assert_eq!(study.open(), ["machine.travel_error"]);
    let trials = trials(&study, 40);
    let mut parts = Vec::new();
    for trial in &trials {
        let [first, half, last] = trial.errors[..] else { panic!("{trial:?}") };
        assert!(first.abs() <= STEP, "{trial:?}");
        // 30 mm and 60 mm from the first stop.
        assert!((2.0 * (half - first) - (last - first)).abs() < 1e-6, "{trial:?}");
        parts.push((last - first) / -60.0);
    }
    assert!(parts.iter().all(|part| part.abs() <= 0.001 + 1e-6), "{parts:?}");
    assert!(parts.iter().any(|part| *part > 0.0005) && parts.iter().any(|part| *part < -0.0005), "{parts:?}");
    // Within 0.01 mm over 60 mm holds whoever is within 1/6000; of machines even within 1/1000 that is one in six.
    let summary = study.summary(&trials);
    let fitting = trials.iter().filter(|trial| trial.errors.iter().all(|error| error.abs() <= 0.01)).count();
    assert_eq!((summary.fitting, summary.machines), (fitting, 40));
    assert!((1..=14).contains(&fitting), "{fitting}");
}

/// The datum comes back as the switch does, and what a test cut leaves is the difference of two searches: √2 as much.
/// The bounds are four standard deviations of a standard deviation of 200 values, s/√(2·199).
#[test]
fn scatter_of_the_switch_is_that_of_the_datum() {
    let summary = summary(&[SCATTER], "0.02 mm", 200);
    let near = |found: f64, expected: f64| (found / expected - 1.0).abs() < 4.0 / 398_f64.sqrt();
    assert!(near(summary.datum.unwrap().deviation, 0.008), "{summary:?}");
    for stop in &summary.stops {
        assert!(near(stop.unwrap().deviation, 0.008 * 2_f64.sqrt()), "{summary:?}");
        assert!(stop.unwrap().lowest < stop.unwrap().mean && stop.unwrap().mean < stop.unwrap().highest);
    }
    // Two of a normal chance within 0.02/0.0113 deviations: 92 of a hundred.
    assert!((170..=197).contains(&summary.fitting), "{summary:?}");
    let (low, high) = summary.fitting_part;
    let part = f64::from(u32::try_from(summary.fitting).unwrap()) / 200.0;
    assert!(low < part && part < high && high - low < 0.15);
}

#[test]
fn a_motor_that_may_be_too_weak_stalls_on_some() {
    let weak = ("holding_torque = \"0.9 N·m\"", "holding_torque = \"0.02 to 0.2 N·m\"");
    let study = study(&[weak], "0.1 mm", 4);
    assert_eq!(study.open(), ["machine.holding_torque"]);
    let trials = trials(&study, 60);
    let summary = study.summary(&trials);
    assert!(summary.stalled > 5 && summary.fitting > 5, "{summary:?}");
    assert!(summary.fitting + summary.stalled <= 60 && summary.torque_margin.unwrap() < 0.0, "{summary:?}");
    assert_eq!(summary.reasons.iter().map(|(_, count)| count).sum::<usize>(), summary.stopped);
    for trial in trials.iter().filter(|trial| trial.stalls > 0) {
        let off = trial.errors.iter().any(|error| error.abs() > 0.1);
        assert!(off || trial.stopped.is_some() || trial.errors.len() < 3, "{trial:?}");
    }
    assert!(summary.sentence().contains("motors stall"), "{}", summary.sentence());
}

#[test]
fn the_sentence_says_how_many_and_why_not() {
    let summary = summary(&[("\"0 µm\"", "\"40 µm\"")], "0.1 mm", 60);
    let (reason, count) = &summary.reasons[0];
    assert!(reason.contains("approaches_differ") && *count == summary.stopped && *count > 0, "{summary:?}");
    let said = summary.sentence();
    let begins = format!("{} of 60 machines hold every stop within 0.1 mm: ", summary.fitting);
    assert!(said.starts_with(&begins), "{said}");
    assert!(said.contains("; no motor stalls; ") && said.ends_with(&**reason), "{said}");
    assert_eq!(study(&[], "1 mm", 1).summary(&[]).sentence(), "no machine has been tried yet");
}

#[test]
fn bad_tolerances_and_jobs_are_refused() {
    let job = |text: &str| {
        let folder = tempfile::tempdir().unwrap();
        std::fs::write(folder.path().join("axis.toml"), AXIS).unwrap();
        std::fs::write(folder.path().join("job.toml"), text).unwrap();
        Job::load(folder.path().join("job.toml"), &Registry::standard()).unwrap()
    };
    let by_hand = r#"
version = 1
name = "Long"
axis = "axis.toml"
unit = "mm"
[cut_list]
kerf = "3"
[[cut_list.stock]]
length = "240"
[[cut_list.part]]
name = "rail"
length = "90"
"#;
    for (text, within, kind, words) in [
        (JOB, "0 mm", ErrorKind::OutOfRange, "tolerance of a stop 0 mm: give one above 0, such as 0.1 mm"),
        (JOB, "-1 mm", ErrorKind::OutOfRange, "tolerance of a stop -1 mm: give one above 0, such as 0.1 mm"),
        (JOB, "0.1", ErrorKind::MissingUnit, "length \u{201c}0.1\u{201d}"),
        (JOB, "1 deg", ErrorKind::Unit, "length \u{201c}1 deg\u{201d}"),
        (JOB, "nan mm", ErrorKind::Syntax, "length \u{201c}nan mm\u{201d}"),
        (JOB, "", ErrorKind::Syntax, "length \u{201c}\u{201d}"),
        (JOB, "1e15 mm", ErrorKind::OutOfRange, "length \u{201c}1e15 mm\u{201d}"),
        (
            by_hand,
            "0.1 mm",
            ErrorKind::Job,
            "job that sends the carriage nowhere: add a [cut_list] or [[move]]s",
        ),
    ] {
        let error = Study::new(job(text), within, 1).unwrap_err();
        assert_eq!(error.kind(), kind, "{within}: {error}");
        let told = error.to_string();
        assert!(told.split("/job.toml: ").last().unwrap().starts_with(words), "{within}: {told}");
    }
}
