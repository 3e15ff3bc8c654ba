//! `wholestep commission`: the first power-up of a right machine, and of machines that are wrong.

use std::process::{Command, Output, Stdio};

use serde_json::Value;

const LIFT: &str = "examples/axes/router_lift.toml";

/// The command, with nobody at a terminal.
fn commission(arguments: &[&str]) -> Output {
    let root = concat!(env!("CARGO_MANIFEST_DIR"), "/../..");
    Command::new(env!("CARGO_BIN_EXE_wholestep"))
        .current_dir(root)
        .arg("commission")
        .args(arguments)
        .stdin(Stdio::null())
        .output()
        .unwrap()
}

fn told(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

#[test]
fn a_machine_that_is_as_its_file_says_is_commissioned() {
    for seed in 1..=12 {
        for axis in [LIFT, "examples/axes/stop_block.toml", "examples/axes/belt_stop.toml"] {
            let output = commission(&[axis, "--suggested", "--seed", &seed.to_string(), "--json"]);
            let report: Value = serde_json::from_slice(&output.stdout).unwrap();
            assert_eq!(output.status.code(), Some(0), "{axis}, seed {seed}: {report}");
            assert_eq!(report["commissioned"], true);
            assert!(report["wrong"].is_null());
            let steps = report["steps"].as_array().unwrap();
            assert!(steps.iter().all(|step| step["good"] == true), "{report}");
            assert_eq!(steps.last().unwrap()["what"], "datum");
        }
    }
}

#[test]
fn every_fitted_input_comes_before_any_motion() {
    let output = commission(&[LIFT, "--suggested", "--json"]);
    let report: Value = serde_json::from_slice(&output.stdout).unwrap();
    let steps: Vec<_> = report["steps"].as_array().unwrap().iter().map(|step| &step["what"]).collect();
    let order =
        ["low_switch", "high_switch", "probe", "enable", "dial", "rocker", "nudge", "travel", "datum"];
    assert_eq!(steps, order);
    let output = commission(&["examples/axes/belt_stop.toml", "--suggested", "--json"]);
    let report: Value = serde_json::from_slice(&output.stdout).unwrap();
    let steps: Vec<_> = report["steps"].as_array().unwrap().iter().map(|step| &step["what"]).collect();
    assert_eq!(steps, ["high_switch", "enable", "nudge", "travel", "datum"]);
}

#[test]
fn what_is_wrong_with_a_machine_is_named() {
    let cases: [(&[&str], &str, &str); 20] = [
        (&["--really", "step_mode=1/16"], "half as far", "step_mode   the file says 1/8      1/16 fits"),
        (&["--really", "step_mode=full"], "8 times as far", "step_mode  the file says 1/8  full fits"),
        (&["--really", "step_mode=1/256"], "1/32 as far", "1/256 fits"),
        (&["--really", "pitch=6"], "twice as far", "pitch      the file says 3 mm  6 mm fits"),
        (&["--really", "starts=3"], "3 times as far", "starts  the file says 1     3 fits"),
        (&["--really", "driver_teeth=40", "--really", "driven_teeth=20"], "4 times as far", "2 to 1 fits"),
        (
            &["--really", "step_angle=0.9 deg"],
            "half as far",
            "step_angle  the file says 1.8 deg  0.9 deg fits",
        ),
        (&["--really", "pitch=2.3"], "0.767 times as far", "no single figure"),
        (
            &["--really", "motion.direction=reversed"],
            "went toward the low end",
            "the other `direction` in [motion]",
        ),
        (&["--really", "exchanged=switches"], "low switch", "did not change, and the high switch did"),
        (&["--really", "exchanged=dial"], "counts down when it is turned up", "two channels"),
        (&["--really", "exchanged=rocker"], "the other end than the one it is held to", "two wires"),
        (
            &["--really", "switches.high=normally_open"],
            "high switch",
            "the file says normally_closed: wire it normally closed",
        ),
        (
            &["--really", "probe=normally_closed"],
            "probe",
            "the file says normally_open: correct `probe` in [touch_off]",
        ),
        (&["--fault", "broken_wire_low@0 s"], "reads pressed all the time", "broken wire"),
        (&["--fault", "stuck_closed_high@0 s"], "reads released all the time", "two wires that touch"),
        (&["--fault", "broken_wire_enable@0 s"], "reads released all the time", "broken wire"),
        (&["--fault", "bounce_storm_low@0 s+9 s"], "did not settle", "loose wire"),
        (&["--fault", "stall@0 s"], "the carriage stood still", "something that jams"),
        (&["--fault", "drive_fault@0 s"], "was not tried to the end", "the drive reports a fault"),
    ];
    for (arguments, found, check) in cases {
        let output = commission(&[&[LIFT, "--suggested"], arguments].concat());
        let told = told(&output);
        assert_eq!(output.status.code(), Some(1), "{arguments:?}: {told}");
        assert!(told.contains("NOT COMMISSIONED") && told.contains("WRONG"), "{arguments:?}: {told}");
        assert!(told.contains(found) && told.contains(check), "{arguments:?}: {told}");
    }
}

#[test]
fn a_travel_that_meets_the_switch_is_compared_as_far_as_it_went() {
    let output = commission(&[LIFT, "--suggested", "--really", "step_mode=full", "--json"]);
    let report: Value = serde_json::from_slice(&output.stdout).unwrap();
    let travel = report["steps"].as_array().unwrap().last().unwrap();
    assert_eq!(travel["what"], "travel");
    assert!(!travel["found"].as_str().unwrap().contains("10 mm by the file"), "{travel}");
    assert_eq!(report["wrong"]["explained_by"][0]["key"], "step_mode");
    assert_eq!(report["wrong"]["explained_by"][0]["fits"], "full");
}

#[test]
fn the_answers_of_a_person_decide() {
    let cases: [(&[&str], i32, &str); 6] = [
        (&["--set", "nudge=high", "--set", "travel=10 mm"], 0, "Commissioned"),
        (&["--set", "nudge=high", "--set", "travel=0.394 in"], 0, "Commissioned"),
        (&["--set", "nudge=high", "--set", "travel=9.9"], 0, "Commissioned"),
        (&["--set", "nudge=low", "--set", "travel=10 mm"], 1, "went toward the low end"),
        (&["--set", "nudge=none", "--suggested"], 1, "the carriage stood still"),
        (&["--set", "travel=254 mm", "--suggested"], 1, "unit  the file says mm  in fits"),
    ];
    for (arguments, status, words) in cases {
        let output = commission(&[&[LIFT], arguments].concat());
        let told = told(&output);
        assert_eq!(output.status.code(), Some(status), "{arguments:?}: {told}");
        assert!(told.contains(words), "{arguments:?}: {told}");
    }
}

#[test]
fn what_is_missing_or_not_understood_is_refused() {
    let cases: [(&[&str], &str); 13] = [
        (&[LIFT], "question without an answer \u{201c}nudge, travel\u{201d}"),
        (&[LIFT, "--set", "nudge=high"], "question without an answer \u{201c}travel\u{201d}"),
        (&[LIFT, "--set", "nudge=up"], "high, low or none"),
        (&[LIFT, "--set", "travel=far"], "length"),
        (&[LIFT, "--set", "colour=red"], "--set nudge=high"),
        (&[LIFT, "--suggested", "--really", "low=2"], "limits.low"),
        (&[LIFT, "--suggested", "--really", "motor.teeth=2"], "unknown key"),
        (&[LIFT, "--suggested", "--really", "speed=7"], "makes no difference"),
        (&[LIFT, "--suggested", "--really", "exchanged=sides"], "exchanged=dial"),
        (&[LIFT, "--suggested", "--fault", "gremlin@0 s"], "broken_wire_low"),
        (&["examples/axes/tilting_table.toml", "--suggested"], "[datum]"),
        (&["examples/axes/blade_height.toml", "--suggested"], "[datum]"),
        (&["examples/axes/nowhere.toml", "--suggested"], "file not found"),
    ];
    for (arguments, words) in cases {
        let output = commission(arguments);
        let errors = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(2), "{arguments:?}: {errors}");
        assert!(errors.starts_with("wholestep: ") && errors.contains(words), "{arguments:?}: {errors}");
        assert!(output.stdout.is_empty(), "{arguments:?}");
    }
}
