//! `wholestep effort` as a person runs it: its words, its status, its JSON and its drawing.

use std::process::{Command, Output};

const LIFT: &str = "examples/axes/plunge_lift.toml";

fn effort(arguments: &[&str]) -> Output {
    let root = concat!(env!("CARGO_MANIFEST_DIR"), "/../..");
    let mut command = Command::new(env!("CARGO_BIN_EXE_wholestep"));
    command.current_dir(root).arg("effort").args(arguments).output().unwrap()
}

fn told(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

#[test]
fn answer_says_what_dominates_what_helps_and_what_it_cannot_know() {
    let output = effort(&[LIFT]);
    let text = told(&output);
    assert_eq!(output.status.code(), Some(0), "{text}");
    for line in [
        "\nLifts, 2.0 times what it needs at the top. Stays put: not certain, keep the\npower on. Best change: one spring out,",
        "to raise, at worst     0.139 to 0.215 N·m at the top, pushing 135 N",
        "weight and springs     least 95.1 N at the bottom; most 125 N at the top",
        "the friction of the screw 0.151 N·m, the springs\n                       0.0382 N·m, the weight 0.0215 N·m",
        "thread holds only above a friction of 0.0878",
        "when it returns        the motor may snap to another step",
        "0.098 to 0.152   −30 %  2.96 to 4.56  34.4 to 48.7  one spring out",
        "one spring out:\n  - unplug the tool\n  - the spring is compressed and can fly out",
        "a motor must have      0.431 N·m at rest",
        "speed = \"16 mm/s\"\nacceleration = \"150 mm/s²\"\n",
        "not known to any figure here:\n  - speeds at which the motor hums",
        "  - prop the load before you take off a nut",
    ] {
        assert!(text.contains(line), "{line}\n{text}");
    }
    assert!(text.lines().all(|line| line.chars().count() <= 80), "{text}");
    assert!(!text.contains("BUT") && !text.contains("assumed"), "{text}");
}

#[test]
fn status_says_whether_the_margin_is_there() {
    for (margin, status) in [("50%", 0), ("1/3", 0), ("60 %", 1), ("95%", 2), ("much", 2)] {
        let output = effort(&[LIFT, "--margin", margin]);
        assert_eq!(output.status.code(), Some(status), "{margin}: {}", told(&output));
    }
    let tilt = effort(&["examples/axes/tilting_table.toml"]);
    let errors = String::from_utf8(tilt.stderr).unwrap();
    assert_eq!(tilt.status.code(), Some(2));
    assert!(errors.starts_with("wholestep: examples/axes/tilting_table.toml: line "), "{errors}");
}

#[test]
fn what_is_assumed_is_said() {
    let text = told(&effort(&["examples/axes/belt_stop.toml"]));
    for assumed in
        ["0 to 20 N of friction in the guides", "an efficiency of 0.8 to 0.95", "a rotor of 100 to 500 g·cm²"]
    {
        assert!(
            text.replace("\n    ", " ").contains(&format!("  - {assumed} (machine.")),
            "{assumed}\n{text}"
        );
    }
    assert!(text.replace('\n', " ").contains("the file tells of no motor, which must hold"), "{text}");
}

#[test]
fn json_holds_numbers_and_words() {
    let json: serde_json::Value = serde_json::from_slice(&effort(&[LIFT, "--json"]).stdout).unwrap();
    assert_eq!((&json["lifts"], &json["unit"]), (&"with_margin".into(), &"mm".into()));
    assert_eq!(json["unpowered"]["holding"], "not_certain");
    assert_eq!(json["unpowered"]["toward"], "low");
    let high = json["raising"]["torque"]["high"].as_f64().unwrap();
    assert!((high - 0.21544).abs() < 1e-5, "{high}");
    assert!(json["curve"].as_array().unwrap().len() > 100);
}

#[test]
fn drawing_has_both_curves_and_keeps_what_is_there() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("lift.svg");
    let plot = path.to_str().unwrap();
    assert!(effort(&[LIFT, "--plot", plot]).status.success());
    let drawing = std::fs::read_to_string(&path).unwrap();
    for part in [
        "Plunge router lift: effort",
        "turning needs 0.139 to 0.215 N·m",
        ">the motor has<",
        ">less 50 % to spare<",
        ">file 6 mm/s<",
        ">offered 16 mm/s<",
        "prefers-color-scheme: dark",
        "</svg>",
    ] {
        assert!(drawing.contains(part), "{part}");
    }
    assert_eq!(drawing.matches("<polygon").count(), 3);
    assert_eq!(effort(&[LIFT, "--plot", plot]).status.code(), Some(2));
    assert!(effort(&[LIFT, "--plot", plot, "--replace"]).status.success());
    // Without a motor there is what is needed alone.
    let bare = folder.path().join("bare.svg");
    effort(&["examples/axes/belt_stop.toml", "--plot", bare.to_str().unwrap()]);
    let drawing = std::fs::read_to_string(&bare).unwrap();
    assert!(drawing.contains("turning needs") && !drawing.contains("the motor has"), "{drawing}");
    assert!(!drawing.contains("NaN") && !drawing.contains("inf"), "{drawing}");
}
