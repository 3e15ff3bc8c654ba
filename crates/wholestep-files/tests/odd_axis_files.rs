//! Axis files that a person may well write: each is refused at its line, or accepted with a caution, or
//! rightly accepted.

use std::path::PathBuf;

use serde::Deserialize;
use wholestep_files::{AxisFile, Registry};

fn repository() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../..")
}

#[derive(Deserialize)]
struct Vectors {
    case: Vec<Case>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Case {
    name: String,
    set: Option<Vec<(String, String)>>,
    without: Option<Vec<String>>,
    refused: Option<String>,
    cautions: Option<Vec<String>>,
    /// Why nothing is said of it.
    accepted: Option<String>,
}

/// The text with `value` at `key` of `section`, in place of what stands there or at the section's end.
fn with(text: &str, path: &str, value: &str) -> String {
    let (section, key) = path.split_once('.').unwrap();
    let header = format!("[{section}]");
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    let at = lines.iter().position(|line| line.trim().starts_with(&header)).unwrap_or_else(|| {
        lines.push(header.clone());
        lines.len() - 1
    });
    let end = (at + 1..lines.len()).find(|&line| lines[line].starts_with('[')).unwrap_or(lines.len());
    let held = (at..end).find(|&line| lines[line].split('=').next().unwrap().trim() == key);
    let line = format!("{key} = {value}");
    match held {
        Some(held) => lines[held] = line,
        None => lines.insert(at + 1, line),
    }
    lines.join("\n") + "\n"
}

fn without(text: &str, section: &str) -> String {
    let header = format!("[{section}]");
    let mut inside = false;
    let kept = text.lines().filter(|line| {
        if line.starts_with('[') {
            inside = line.starts_with(&header);
        }
        !inside
    });
    kept.flat_map(|line| [line, "\n"]).collect()
}

impl Case {
    fn text(&self) -> String {
        let lift = std::fs::read_to_string(repository().join("examples/axes/router_lift.toml")).unwrap();
        let set = self.set.iter().flatten().fold(lift, |text, (path, value)| with(&text, path, value));
        self.without.iter().flatten().fold(set, |text, section| without(&text, section))
    }
}

#[test]
fn every_odd_file_is_refused_or_cautioned_at_its_line_or_rightly_accepted() {
    let text = std::fs::read_to_string(repository().join("tests/vectors/odd_axis_files.toml")).unwrap();
    let vectors: Vectors = toml::from_str(&text).unwrap();
    assert!(vectors.case.len() > 75);
    for case in &vectors.case {
        match (AxisFile::from_toml(&case.text(), &Registry::standard()), &case.refused) {
            (Err(error), Some(refused)) => {
                assert_eq!(&error.to_string(), refused, "{}", case.name);
                assert!(error.line().is_some() && error.key().is_some(), "{}", case.name);
            }
            (Err(error), None) => panic!("{}: {error}", case.name),
            (Ok(_), Some(_)) => panic!("{}: accepted", case.name),
            (Ok(file), None) => {
                let told: Vec<String> = file.cautions().iter().map(ToString::to_string).collect();
                assert_eq!(told, case.cautions.clone().unwrap_or_default(), "{}", case.name);
                assert_eq!(told.is_empty(), case.accepted.is_some(), "{}: no verdict", case.name);
            }
        }
    }
}

/// Every measure of the lift's file, and every extreme of it that a person can write.
#[test]
fn no_extreme_value_is_accepted_without_the_room_it_takes() {
    let lift = std::fs::read_to_string(repository().join("examples/axes/router_lift.toml")).unwrap();
    let lengths =
        ["limits.low", "limits.high", "motion.backlash", "switches.release_within", "datum.switch_at"];
    let lengths = lengths.into_iter().chain([
        "datum.clearance",
        "datum.within",
        "touch_off.within",
        "hand.ahead",
        "commissioning.nudge",
        "commissioning.measured_travel",
    ]);
    let rates = ["motion.speed", "motion.acceleration", "motion.deceleration", "motion.jerk"];
    let rates = rates.into_iter().chain(["motion.start_speed", "datum.fast", "datum.slow", "hand.jog"]);
    let times = ["switches.contact_settle", "hand.hand_stops", "drive.settle"];
    let times = times.into_iter().chain(["pulse.direction_setup", "pulse.pulse_high", "pulse.pulse_low"]);
    let sized = |keys: Vec<&'static str>, values: &'static [&'static str]| {
        keys.into_iter().flat_map(move |key| values.iter().map(move |value| (key, *value)))
    };
    let all = sized(
        lengths.chain(rates).collect(),
        &["-1", "0", "0.000000001", "0.001", "0.1", "7", "49", "99", "101", "205", "10000", "9999999"],
    )
    .chain(sized(times.collect(), &["0 s", "1 ns", "1 us", "1 ms", "40 ms", "1 s", "60 s", "3600 s"]));
    let (mut refused, mut accepted) = (0, 0);
    for (key, value) in all {
        let text = with(&lift, key, &format!("\"{value}\""));
        let Ok(file) = AxisFile::from_toml(&text, &Registry::standard()) else {
            refused += 1;
            continue;
        };
        accepted += 1;
        let parts = file.carriage_config().parts();
        let datum = parts.datum.unwrap();
        let room = parts.steps.0.abs_diff(parts.steps.1);
        let beyond = (parts.steps.0 - datum.step).cast_unsigned();
        let named = format!("{key} = {value}");
        assert!(datum.step < parts.steps.0, "{named}: the switch stands outside");
        assert!((room + beyond..=2 * (room + beyond)).contains(&datum.bound), "{named}: the switch is found");
        assert!(2 * datum.clearance <= room + beyond, "{named}: there is room to clear the switch");
        for length in [parts.nudge, parts.measured, parts.touch.unwrap().bound, parts.release_bound] {
            assert!((1..=room).contains(&length), "{named}: {length} steps of {room}");
        }
        let paces = &parts.paces;
        for pace in [&paces.travel, &paces.jog, &paces.fast, &paces.slow] {
            assert!(pace.braking_room() <= room, "{named}: a stop fits");
            assert!(pace.profile(room).is_ok(), "{named}: a move is planned");
        }
        assert!(paces.slow.rates().speed <= paces.fast.rates().speed, "{named}");
    }
    assert!(refused > 90 && accepted > 90, "{refused} refused, {accepted} accepted");
}
