//! `wholestep rehearse` as a person runs it: its status, its faults, its JSON and its drawing.

use std::io::Write as _;
use std::path::Path;
use std::process::{Command, Output};

use serde_json::Value;

const LAP: &str = "examples/jobs/lap_joint.toml";
const TRAY: &str = "examples/jobs/tool_tray.toml";

fn rehearse(arguments: &[&str]) -> Output {
    let root = concat!(env!("CARGO_MANIFEST_DIR"), "/../..");
    let mut command = Command::new(env!("CARGO_BIN_EXE_wholestep"));
    command.current_dir(root).arg("rehearse").args(arguments).output().unwrap()
}

fn told(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn json(arguments: &[&str]) -> (Option<i32>, Value) {
    let output = rehearse(&[arguments, &["--json"]].concat());
    (output.status.code(), serde_json::from_slice(&output.stdout).unwrap())
}

#[test]
fn a_sound_job_ends_with_status_nought_and_names_every_move() {
    for (job, names) in [
        (LAP, &["the datum", "near the plate", "touch-off", "rebate of the sides", "cutter away"][..]),
        (TRAY, &["the datum", "cut 1, long side", "cut 7, divider"][..]),
    ] {
        let (status, report) = json(&[job]);
        assert_eq!((status, &report["sound"], &report["fault"]), (Some(0), &Value::Bool(true), &Value::Null));
        let moves = report["moves"].as_array().unwrap();
        for name in names {
            assert!(moves.iter().any(|one| one["what"] == *name), "{job}: {name}");
        }
        assert!(moves.iter().all(|one| one["off_by"] == 0 && one["stopped"].is_null()));
        assert!(report["torque_margin"].as_f64().unwrap() > 0.0);
        // The moves and what lies between them take the whole time.
        let sum: f64 = moves.iter().map(|one| one["seconds"].as_f64().unwrap()).sum();
        assert!(sum > 0.0 && sum <= report["seconds"].as_f64().unwrap());
        let steps: u64 = moves.iter().map(|one| one["steps"].as_u64().unwrap()).sum();
        assert_eq!(report["steps"], steps);
    }
    let (_, lap) = json(&[LAP]);
    assert_eq!(lap["moves"][3]["remainder"]["low"], "-0.0001625 mm");
    assert_eq!(lap["approach"]["room_below"]["low"], "0.000625 mm");
}

#[test]
fn what_goes_wrong_ends_with_status_one_and_is_named() {
    // The job, the fault, the name of the carriage's own fault, and a word of the text.
    let cases = [
        (LAP, "drive_fault@62 s", Some("drive"), "STOPPED at cutter below the table"),
        (LAP, "broken_wire_low@2 s", Some("never_released"), "broken wire"),
        (LAP, "late_polls@19 s", Some("polled_late"), "STOPPED at near the plate"),
        (LAP, "stuck_closed_probe@19 s", Some("probe_closed"), "STOPPED at touch-off"),
        (TRAY, "bounce_storm_high@50 s+2 s", Some("chatter"), "not rehearsed, because of that: cut 1"),
        (LAP, "enable_released@18 s", None, "the enable button was let go"),
        (LAP, "power_cut@5 s+200 ms", None, "the power failed and returned"),
        (LAP, "stall@64 s", None, "STEPS OFF"),
        (LAP, "stall@64 s", None, "the motor fell out of step"),
    ];
    for (job, fault, name, word) in cases {
        let output = rehearse(&[job, "--fault", fault]);
        let text = told(&output);
        assert_eq!(output.status.code(), Some(1), "{fault}: {text}");
        assert!(text.contains(word), "{fault}: {text}");
        assert!(output.stderr.is_empty(), "{fault}");
        let (status, report) = json(&[job, "--fault", fault]);
        assert_eq!((status, &report["sound"]), (Some(1), &Value::Bool(false)), "{fault}");
        assert_eq!(report["fault"].as_str(), name, "{fault}");
    }
}

#[test]
fn a_fault_that_does_no_harm_or_never_comes_leaves_the_job_sound() {
    for fault in ["late_polls@500 s", "broken_wire_high@500 s+1 s"] {
        let output = rehearse(&[LAP, "--fault", fault]);
        assert_eq!(output.status.code(), Some(0));
        assert!(told(&output).contains(&format!("over before {fault} came")), "{fault}");
        let (status, report) = json(&[LAP, "--fault", fault]);
        assert_eq!((status, &report["faults_that_never_came"][0]), (Some(0), &Value::from(fault)));
    }
    let (status, report) = json(&[LAP, "--fault", "bounce_storm_probe@18 s+1 ms"]);
    assert_eq!((status, report["faults_that_never_came"].as_array().map(Vec::len)), (Some(0), Some(0)));
}

#[test]
fn a_fault_written_wrongly_is_refused_with_status_two() {
    let cases = [
        ("stall", "fault without a time \u{201c}stall\u{201d}: write it like stall@4 s"),
        ("", "fault without a time"),
        ("gremlin@4 s", "fault \u{201c}gremlin\u{201d}: known: broken_wire_low"),
        ("@4 s", "fault \u{201c}\u{201d}: known: broken_wire_low"),
        ("stall@", "time \u{201c}\u{201d}"),
        ("stall@4", "give a time in s, ms, µs or ns"),
        ("stall@4 mm", "give a time in s, ms, µs or ns"),
        ("stall@-4 s", "time in seconds \u{201c}-4 s\u{201d}"),
        ("stall@3601 s", "time in seconds \u{201c}3601 s\u{201d}"),
        ("stall@4 s+", "time \u{201c}\u{201d}"),
        ("stall@4 s+0 s", "time that a fault lasts \u{201c}stall@4 s+0 s\u{201d}"),
        ("stall@4 s+1 s+1 s", "time \u{201c}1 s+1 s\u{201d}"),
    ];
    for (fault, word) in cases {
        let output = rehearse(&[LAP, "--fault", fault]);
        let errors = String::from_utf8(output.stderr.clone()).unwrap();
        assert_eq!(output.status.code(), Some(2), "{fault}: {errors}");
        assert!(errors.starts_with("wholestep: ") && errors.contains(word), "{fault}: {errors}");
        assert_eq!(errors.lines().count(), 1, "{errors}");
        assert!(output.stdout.is_empty(), "{fault}");
    }
    let output = rehearse(&[TRAY, "--fault", "stuck_closed_probe@4 s"]);
    let errors = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(2));
    assert!(errors.contains("the axis file tells of no probe"), "{errors}");
}

#[test]
fn the_same_seed_gives_the_same_rehearsal_and_another_one_another() {
    let run = |seed: &str| told(&rehearse(&[LAP, "--seed", seed, "--fault", "stall@64 s+100 ms"]));
    assert_eq!(run("3"), run("3"));
    assert_ne!(run("3").replace("seed 3", ""), run("4").replace("seed 4", ""));
    assert_eq!(rehearse(&[LAP, "--seed", "-1"]).status.code(), Some(2));
    assert_eq!(rehearse(&[LAP, "--seed", "18446744073709551615"]).status.code(), Some(0));
}

/// The elements of a well-formed document: each one's name, attributes and text. Panics on anything else.
fn elements(svg: &str) -> Vec<(String, String, String)> {
    let (mut open, mut found): (Vec<&str>, Vec<(String, String, String)>) = (Vec::new(), Vec::new());
    let mut rest = svg;
    while let Some(start) = rest.find('<') {
        let text = &rest[..start];
        assert!(!text.contains('>') && entities_are_known(text), "{text}");
        assert!(text.trim().is_empty() || !open.is_empty(), "text outside: {text}");
        if let Some(last) = found.last_mut().filter(|_| !text.trim().is_empty()) {
            last.2 += text;
        }
        let end = start + rest[start..].find('>').expect("an end of each tag");
        let tag = &rest[start + 1..end];
        rest = &rest[end + 1..];
        if let Some(name) = tag.strip_prefix('/') {
            assert_eq!(open.pop(), Some(name));
            continue;
        }
        let (tag, closed) = tag.strip_suffix('/').map_or((tag, false), |tag| (tag, true));
        let (name, attributes) = tag.split_once(' ').unwrap_or((tag, ""));
        assert!(attributes.matches('"').count() % 2 == 0 && !attributes.contains('<'), "{tag}");
        assert!(!open.is_empty() || found.is_empty(), "a second root: {tag}");
        found.push((name.into(), attributes.into(), String::new()));
        if !closed {
            open.push(name);
        }
    }
    assert!(open.is_empty() && rest.trim().is_empty(), "{open:?} {rest}");
    found
}

fn entities_are_known(text: &str) -> bool {
    text.split('&').skip(1).all(|after| ["amp;", "lt;", "gt;"].iter().any(|known| after.starts_with(known)))
}

#[test]
fn the_drawing_is_whole_and_shows_limits_switch_and_faults() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("lap.svg");
    let path = path.to_str().unwrap();
    let cases: [(&str, &[&str], &[&str]); 3] = [
        (
            LAP,
            &[],
            &["high soft limit 60", "low soft limit \u{2212}40", "low switch \u{2212}42", "position, mm"],
        ),
        (TRAY, &[], &["high soft limit 36", "low soft limit 0.75", "high switch 36.1", "speed, in/s"]),
        (
            LAP,
            &["--fault", "stall@64 s", "--fault", "drive_fault@68 s"],
            &["stall begins", "drive_fault begins", "fault drive", "as the carriage believes"],
        ),
    ];
    for (job, more, names) in cases {
        rehearse(&[&[job, "--plot", path, "--replace"], more].concat());
        let svg = std::fs::read_to_string(path).unwrap();
        let found = elements(&svg);
        assert_eq!(found[0].0, "svg");
        for name in names {
            assert!(found.iter().any(|(kind, _, text)| kind == "text" && text == name), "{job}: {name}");
        }
        for class in ["limit dashed", "switch dashed"] {
            let class = format!("class=\"{class}\"");
            assert!(
                found.iter().any(|(kind, is, _)| kind == "line" && is.contains(&class)),
                "{job}: {class}"
            );
        }
        let curves = found.iter().filter(|(kind, is, _)| kind == "polyline" && is.contains("points=\""));
        assert!(curves.count() >= 2);
        assert!(!svg.contains("NaN") && !svg.contains("inf"));
    }
}

#[test]
fn a_drawing_is_never_written_over_unasked_and_a_name_cannot_break_it() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("lap.svg");
    let plot = path.to_str().unwrap();
    std::fs::write(&path, "a letter").unwrap();
    let output = rehearse(&[LAP, "--plot", plot]);
    assert_eq!(output.status.code(), Some(2));
    assert!(String::from_utf8(output.stderr).unwrap().contains("file is there already"));
    assert_eq!(std::fs::read_to_string(&path).unwrap(), "a letter");
    // A rehearsal that does not come about is drawn all the same.
    let output = rehearse(&[LAP, "--plot", plot, "--replace", "--fault", "drive_fault@2 s"]);
    assert_eq!(output.status.code(), Some(1));
    elements(&std::fs::read_to_string(&path).unwrap());
    assert_eq!(rehearse(&[LAP, "--replace"]).status.code(), Some(2));
    let nowhere = folder.path().join("none/lap.svg");
    assert_eq!(rehearse(&[LAP, "--plot", nowhere.to_str().unwrap()]).status.code(), Some(2));
    assert!(!nowhere.exists());

    let job = folder.path().join("job.toml");
    let axis = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples/axes/router_lift.toml");
    let text = format!(
        "version = 1\nname = \"<b> & \\\"co\\\"\"\naxis = \"{}\"\n[[move]]\nname = \"</title> & on\"\nto = \"3 mm\"\n",
        axis.display()
    );
    std::fs::write(&job, text).unwrap();
    assert!(rehearse(&[job.to_str().unwrap(), "--plot", plot, "--replace"]).status.success());
    let found = elements(&std::fs::read_to_string(&path).unwrap());
    assert!(found.iter().any(|(_, _, text)| text.starts_with("&lt;b&gt; &amp;")));
}

#[test]
fn a_job_with_nothing_to_rehearse_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let axes = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples/axes");
    let cases = [
        ("router_lift.toml", "", "job that sends the carriage nowhere"),
        ("blade_tilt.toml", "", "axis without a way to find its datum"),
        (
            "blade_tilt.toml",
            "[[move]]\nname = \"a\"\nto = \"3 mm\"\n",
            "that is a unit of length; give an angle in",
        ),
    ];
    for (axis, more, word) in cases {
        let job = folder.path().join("job.toml");
        let axis = axes.join(axis);
        std::fs::write(&job, format!("version = 1\nname = \"Job\"\naxis = \"{}\"\n{more}", axis.display()))
            .unwrap();
        let output = rehearse(&[job.to_str().unwrap()]);
        let errors = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(2), "{errors}");
        assert!(errors.contains(word), "{errors}");
    }
}

/// Axes that turn or curve with a switch at the low end; where the datum is, a place, and the step there by
/// `wholestep place`.
#[test]
fn axes_that_turn_or_curve_are_commissioned_and_rehearsed() {
    let folder = tempfile::tempdir().unwrap();
    let axes = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples/axes");
    let run =
        |arguments: &[&str]| Command::new(env!("CARGO_BIN_EXE_wholestep")).args(arguments).output().unwrap();
    let cases = [
        ("blade_tilt", ["-0.5", "2", "0.2", "0.5", "60"], "22.5 deg", "2 deg/s"),
        ("tilting_table", ["-1", "3", "0.5", "0.5", "60"], "1/3 deg", "1 deg/s"),
        ("blade_height", ["-7", "3", "0.3", "1.5", "90"], "50 mm", "1/2 mm/s"),
    ];
    for (name, [at, fast, slow, clearance, within], to, speed) in cases {
        let axis = std::fs::read_to_string(axes.join(format!("{name}.toml"))).unwrap();
        let axis = format!(
            "{axis}\n[switches]\nlow = \"normally_closed\"\n[datum]\nend = \"low\"\nswitch_at = \"{at}\"\n\
             fast = \"{fast}\"\nslow = \"{slow}\"\nclearance = \"{clearance}\"\nwithin = \"{within}\"\n"
        );
        let [axis_file, job_file, plot] =
            ["axis.toml", "job.toml", "plot.svg"].map(|file| folder.path().join(file).display().to_string());
        std::fs::write(&axis_file, axis).unwrap();
        let job = format!(
            "version = 1\nname = \"There\"\naxis = \"axis.toml\"\n[[move]]\nname = \"there\"\nto = \"{to}\"\n\
             [[move]]\nname = \"slowly\"\nto = \"5\"\nspeed = \"{speed}\"\n"
        );
        let unit = to.split(' ').next_back().unwrap();
        let job = job.replace("to = \"5\"", &format!("to = \"5 {unit}\""));
        std::fs::write(&job_file, job).unwrap();
        for seed in ["1", "2", "3"] {
            let told = run(&["commission", &axis_file, "--suggested", "--seed", seed]);
            assert!(told.status.success(), "{name}: {}", String::from_utf8_lossy(&told.stdout));
            let wrong =
                run(&["commission", &axis_file, "--suggested", "--seed", seed, "--really", "step_mode=1/32"]);
            assert_eq!(wrong.status.code(), Some(1), "{name}");
            let told = run(&["rehearse", &job_file, "--seed", seed, "--json", "--plot", &plot, "--replace"]);
            assert!(told.status.success(), "{name}: {}", String::from_utf8_lossy(&told.stderr));
            let told: serde_json::Value = serde_json::from_slice(&told.stdout).unwrap();
            let placed = run(&["place", &axis_file, to, "--json"]);
            let placed: serde_json::Value = serde_json::from_slice(&placed.stdout).unwrap();
            assert_eq!(told["moves"][1]["step"], placed[0]["step"], "{name}");
            assert_eq!(told["moves"][1]["remainder"], placed[0]["remainder"], "{name}");
            assert!(told["approach"]["room_below"]["low"].as_str().unwrap().ends_with(unit), "{name}");
            assert_eq!(told["moves"][2]["speed"].as_str().unwrap().replace("0.5", "1/2"), speed, "{name}");
            assert!(std::fs::read_to_string(&plot).unwrap().contains(&format!("position, {unit}")), "{name}");
        }
    }
}

/// Two passes into the work: each says its conditions, every other move the cutter at rest, and a slower move takes
/// longer by its own speed.
#[test]
fn a_plunge_says_its_conditions_and_every_other_move_the_cutter_at_rest() {
    let folder = tempfile::tempdir().unwrap();
    let axis = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples/axes/router_lift.toml");
    let pass = |name: &str, to: &str, work: &str| {
        format!(
            "[[move]]\nname = \"{name}\"\nto = \"{to}\"\nplunge = true\npass_depth = \"3 mm\"\nwork = \"{work}\"\n\
             end_cutting = true\nspeed = \"0.5 mm/s\"\n"
        )
    };
    let text = format!(
        "version = 1\nname = \"Mortise\"\naxis = \"{}\"\n[[move]]\nname = \"below the table\"\nto = \"-1 mm\"\n{}{}",
        axis.display(),
        pass("first", "2 mm", "clamped"),
        pass("second", "5 mm", "between_stops")
    );
    let job = folder.path().join("job.toml");
    std::fs::write(&job, text).unwrap();
    let output = rehearse(&[job.to_str().unwrap()]);
    let told = String::from_utf8(output.stdout).unwrap();
    assert!(output.status.success(), "{told}");
    let conditions = |work: &str| {
        format!(
            "  - into the work by at most 3 mm, to the nearest step\n  - only a cutter that cuts at its end\n  - {work}\n  - hands off it\n  \
             - hold the enable button, and let go to stop\n  - cutter below the table or at rest before you lift or \
             shift the work\n  - the maker's manual and your local rules come first\n"
        )
    };
    for words in [
        format!("\nfirst:\n{}", conditions("the work clamped")),
        format!("\nsecond:\n{}", conditions("the work between two stops, under a hold-down")),
        "\nevery other move:\n  - cutter or blade at rest\n  - the maker's manual and your local rules come first\n"
            .into(),
        "at 0.5 mm/s".into(),
    ] {
        assert!(told.contains(&words), "{told}\nlacks\n{words}");
    }
    let told: serde_json::Value =
        serde_json::from_slice(&rehearse(&[job.to_str().unwrap(), "--json"]).stdout).unwrap();
    assert_eq!(
        told["moves"][1]["caution"],
        "cutter or blade at rest; the maker's manual and your local rules come first"
    );
    assert!(
        told["moves"][2]["caution"]
            .as_str()
            .unwrap()
            .starts_with("into the work by at most 3 mm, to the nearest step; ")
    );
    // 3 mm at 0.5 mm/s.
    assert!((6.0..6.6).contains(&told["moves"][2]["seconds"].as_f64().unwrap()), "{told}");
}

/// A woodworker answers what `new` asks, measures the play as the file says, and then describes, commissions and
/// rehearses the machine, each machine between two places.
#[test]
fn what_new_asks_and_writes_is_commissioned_and_rehearsed() {
    let folder = tempfile::tempdir().unwrap();
    let machines = [
        ("lift", "pitch", "2 mm", "20 mm", "10 mm", "2 mm/s"),
        ("stop", "speed", "90 mm/s", "600 mm", "300 mm", "20 mm/s"),
        ("fence", "high", "700 mm", "400 mm", "200 mm", "20 mm/s"),
        ("blade", "speed", "3 mm/s", "40 mm", "20 mm", "1 mm/s"),
        ("tilt", "speed", "2 deg/s", "45 deg", "22.5 deg", "1 deg/s"),
        ("table", "high", "50 deg", "45 deg", "15 deg", "2 deg/s"),
    ];
    for (machine, key, answer, one, other, speed) in machines {
        let run = |arguments: &[&str], typed: &str| {
            let mut command = Command::new(env!("CARGO_BIN_EXE_wholestep"));
            command.current_dir(folder.path()).args(arguments);
            let [stdin, stdout, stderr] = [(); 3].map(|()| std::process::Stdio::piped());
            let mut child = command.stdin(stdin).stdout(stdout).stderr(stderr).spawn().unwrap();
            child.stdin.take().unwrap().write_all(typed.as_bytes()).unwrap();
            let output = child.wait_with_output().unwrap();
            let [said, told] =
                [&output.stdout, &output.stderr].map(|text| String::from_utf8_lossy(text).into_owned());
            assert_eq!(output.status.code(), Some(0), "{machine}: {arguments:?}\n{said}{told}");
            told
        };
        let axis = format!("{machine}.toml");
        let job = format!(
            "version = 1\nname = \"First\"\naxis = \"{axis}\"\n[[move]]\nname = \"there\"\nto = \"{one}\"\n\
             [[move]]\nname = \"slowly back\"\nto = \"{other}\"\nspeed = \"{speed}\"\n"
        );
        std::fs::write(folder.path().join("job.toml"), job).unwrap();
        // An empty line takes the suggestion; the name is asked first, and everything else that is not set.
        let set = format!("{key}={answer}");
        let asked = run(&["new", machine, "--set", &set], &format!("My {machine}{}", "\n".repeat(20)));
        assert!(asked.contains("? [") || asked.contains("] "), "{asked}");
        let told = run(&["describe", &axis], "");
        let arrives = matches!(machine, "stop" | "fence");
        assert_eq!(told.contains("`motion.approach`: a stop or a fence"), arrives, "{told}");
        let path = folder.path().join(&axis);
        let written = std::fs::read_to_string(&path).unwrap();
        assert!(
            written.contains(&format!("name = \"My {machine}\"")) && written.contains(answer),
            "{written}"
        );
        let measured = written.replace("# approach =", "approach =").replace("# backlash =", "backlash =");
        std::fs::write(&path, measured).unwrap();
        assert_eq!(run(&["describe", &axis], ""), "", "{machine}");
        for seed in ["1", "2", "3"] {
            assert_eq!(run(&["commission", &axis, "--suggested", "--seed", seed], ""), "", "{machine}");
            assert_eq!(run(&["rehearse", "job.toml", "--seed", seed], ""), "", "{machine}");
        }
    }
}

/// A figure that is worked out from assumed parts says so beside itself, and one that is not does not.
#[test]
fn torque_of_an_assumed_machine_says_so() {
    let folder = tempfile::tempdir().unwrap();
    let examples = concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples");
    let axis = std::fs::read_to_string(format!("{examples}/axes/router_lift.toml")).unwrap();
    let job = std::fs::read_to_string(format!("{examples}/jobs/lap_joint.toml")).unwrap();
    std::fs::write(folder.path().join("job.toml"), job.replace("../axes/router_lift.toml", "lift.toml"))
        .unwrap();
    for (axis, assumed) in
        [(axis.clone(), false), (axis.replacen("holding_torque", "# holding_torque", 1), true)]
    {
        std::fs::write(folder.path().join("lift.toml"), axis).unwrap();
        let path = folder.path().join("job.toml").display().to_string();
        let (_, report) = json(&[&path]);
        assert_eq!(report["torque_is_assumed"], assumed, "{report}");
        let told = told(&rehearse(&[&path]));
        let line = told.lines().position(|line| line.starts_with("least torque to spare")).unwrap();
        let lines: Vec<&str> = told.lines().skip(line).take(2).collect();
        assert_eq!(lines.join(" ").contains("by figures that are assumed"), assumed, "{told}");
    }
}

/// A touch-off on a lift as `new` writes it comes about whatever the seed draws, and both leads come off after it,
/// also where something stops it.
#[test]
fn touch_off_ends_with_its_leads_off_on_every_machine() {
    let folder = tempfile::tempdir().unwrap();
    let run = |arguments: &[&str]| {
        let mut command = Command::new(env!("CARGO_BIN_EXE_wholestep"));
        command.current_dir(folder.path()).args(arguments).output().unwrap()
    };
    assert_eq!(run(&["new", "lift", "--suggested"]).status.code(), Some(0));
    for gauge in ["6.35", "30"] {
        let job = format!(
            "version = 1\nname = \"Touch\"\naxis = \"lift.toml\"\nunit = \"mm\"\n[touch_off]\ngauge = \"{gauge}\"\n\
             [[move]]\nname = \"down\"\nto = \"5\"\n"
        );
        std::fs::write(folder.path().join("job.toml"), job).unwrap();
        for seed in 1..=20 {
            let output = run(&["rehearse", "job.toml", "--seed", &seed.to_string()]);
            assert_eq!(output.status.code(), Some(0), "gauge {gauge}, seed {seed}: {}", told(&output));
        }
    }
    let stopped = run(&["rehearse", "job.toml", "--fault", "stuck_open_probe@1 s"]);
    assert_eq!(stopped.status.code(), Some(1));
    let told = told(&stopped).split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(told.contains("STOPPED at touch-off"), "{told}");
    assert!(told.contains("when it has touched or stopped, take both leads off and park them"), "{told}");
}
