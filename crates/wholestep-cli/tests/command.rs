//! The command as a person runs it: what it prints, what it refuses, and with which status.

use std::process::{Command, Output};

fn wholestep(arguments: &[&str]) -> Output {
    let root = concat!(env!("CARGO_MANIFEST_DIR"), "/../..");
    Command::new(env!("CARGO_BIN_EXE_wholestep")).current_dir(root).args(arguments).output().unwrap()
}

const LIFT: &str = "examples/axes/router_lift.toml";

#[test]
fn refusal_goes_to_standard_error_with_status_two() {
    let cases: [(&[&str], &str); 20] = [
        (&["place", LIFT, "5"], "length \u{201c}5\u{201d}, at character 2"),
        (
            &["place", LIFT, "61 mm"],
            "target past a soft limit 61 mm: too far by 1 mm; -40 mm to 60 mm is allowed",
        ),
        (&["place", "examples/axes/nowhere.toml", "5 mm"], "examples/axes/nowhere.toml"),
        (
            &["place", "examples/python_mechanism/press_table.toml", "80 mm"],
            "press_table.toml: line 8: `kind`",
        ),
        (&["place", "examples/python_mechanism/press_table.toml", "80 mm"], "python -m wholestep"),
        (&["cuts", LIFT], "router_lift.toml"),
        (
            &["time", LIFT, "1 mm", "2 mm", "--speed", "100 mm/s"],
            "speed for one move 100 mm/s: at most 8 mm/s is allowed",
        ),
        (
            &["time", LIFT, "1 mm", "2 mm", "--speed", "0 in/s"],
            "speed for one move 0 mm/s: give a speed above 0",
        ),
        (&["time", LIFT, "1 mm", "2 mm", "--timer-hz", "0"], "timer"),
        (&["new", "ladder", "--suggested"], "ladder"),
        (
            &["kerf", "--unit", "mm", "600", "117"],
            "number of pieces 1: give every piece that the board was cut into, two or more",
        ),
        (
            &["kerf", "--unit", "mm", "600", "300", "310"],
            "length of the pieces together 610 mm: at most 600 mm is allowed; measure the board before it is cut, \
             then every piece; the cuts took something",
        ),
        (&["kerf", "--unit", "mm", "600", "-3", "310"], "piece -3 mm: give a length above 0"),
        (&["kerf", "--unit", "mm", "0", "0", "0"], "piece 0 mm: give a length above 0"),
        (&["kerf", "--unit", "mm", "600", "2 deg", "310"], "that is a unit of angle"),
        (&["kerf", "--unit", "mm", "nan", "300", "200"], "length \u{201c}nan\u{201d}, at character 1"),
        (&["kerf", "--unit", "mm", "", "300", "200"], "length \u{201c}\u{201d}, at character 1"),
        (&["kerf", "--unit", "mm", "1e30", "300", "200"], "length \u{201c}1e30\u{201d}, at character 3"),
        (&["kerf", "--unit", "deg", "600", "300", "200"], "unit \u{201c}deg\u{201d}, at character 1"),
        (&["kerf", "--unit", "furlong", "6", "3", "2"], "give a length in mm, cm, m, µm, in, ft, yd or thou"),
    ];
    for (arguments, told) in cases {
        let output = wholestep(arguments);
        let errors = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(2), "{arguments:?}: {errors}");
        assert!(errors.starts_with("wholestep: ") && errors.contains(told), "{arguments:?}: {errors}");
        assert!(output.stdout.is_empty(), "{arguments:?}");
    }
}

#[test]
fn what_looks_wrong_in_an_axis_file_is_told_beside_the_answer() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("lift.toml");
    let lift = std::fs::read_to_string(concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/../../",
        "examples/axes/router_lift.toml"
    ));
    let hasty = lift.unwrap().replace("contact_settle = \"10 ms\"", "contact_settle = \"1 ms\"");
    std::fs::write(&path, hasty).unwrap();
    let path = path.to_str().unwrap();
    for arguments in [&["describe", path][..], &["place", path, "5 mm"], &["time", path, "1 mm", "2 mm"]] {
        let output = wholestep(arguments);
        let told = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(0), "{told}");
        let said = format!("caution: {path}: line 43: `switches.contact_settle`: 1 ms is shorter than");
        assert!(told.starts_with(&said) && told.lines().count() == 1, "{told}");
    }
    let json = wholestep(&["describe", path, "--json"]).stdout;
    let json: serde_json::Value = serde_json::from_slice(&json).unwrap();
    assert_eq!(
        (&json["cautions"][0]["key"], &json["cautions"][0]["line"]),
        (&"switches.contact_settle".into(), &43.into())
    );
    assert!(wholestep(&["describe", LIFT]).stderr.is_empty());
}

#[test]
fn programs_are_answered_in_json() {
    let cases: [&[&str]; 4] = [
        &["describe", LIFT],
        &["place", LIFT, "23/32 in", "-3 mm"],
        &["cuts", "examples/jobs/bench_slats.toml"],
        &["time", LIFT, "20 mm", "12 mm"],
    ];
    for arguments in cases {
        let output = wholestep(&[arguments, &["--json"]].concat());
        assert!(output.status.success(), "{arguments:?}");
        serde_json::from_slice::<serde_json::Value>(&output.stdout).unwrap();
    }
    let placed = wholestep(&["place", LIFT, "23/32 in", "--json"]).stdout;
    let placed: serde_json::Value = serde_json::from_slice(&placed).unwrap();
    assert_eq!(placed[0]["step"], 19_473);
    assert_eq!(placed[0]["remainder"]["low"], "-0.0003125 mm");
}

#[test]
fn a_new_axis_file_is_whole_and_never_written_over_unasked() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("lift.toml");
    let path = path.to_str().unwrap();
    assert!(
        wholestep(&["new", "lift", "--suggested", "--set", "pitch=1/8 in", "--file", path]).status.success()
    );
    let written = std::fs::read_to_string(path).unwrap();
    assert!(written.contains("pitch = \"1/8 in\""));
    assert_eq!(wholestep(&["new", "lift", "--suggested", "--file", path]).status.code(), Some(2));
    assert_eq!(std::fs::read_to_string(path).unwrap(), written);
    assert!(wholestep(&["describe", path]).status.success());
    // A refused answer leaves no file behind.
    let other = folder.path().join("other.toml");
    let other = other.to_str().unwrap();
    assert_eq!(
        wholestep(&[
            "new",
            "lift",
            "--suggested",
            "--set",
            "pitch=0.1",
            "--set",
            "starts=x",
            "--file",
            other
        ])
        .status
        .code(),
        Some(2)
    );
    assert!(!std::path::Path::new(other).exists());
}

/// What a lint asks of doc comments (backticks about names), and line breaks within quotes, are damage on
/// a terminal.
#[test]
fn every_help_reads_well_on_a_terminal_of_80_columns() {
    let verbs = wholestep(&["--help"]);
    let all = String::from_utf8(verbs.stdout).unwrap();
    let verbs: Vec<&str> = all
        .lines()
        .skip_while(|line| *line != "Commands:")
        .skip(1)
        .take_while(|line| !line.is_empty())
        .filter(|line| !line.starts_with("   "))
        .map(|line| line.split_whitespace().next().unwrap())
        .filter(|verb| *verb != "help")
        .collect();
    assert!(verbs.len() >= 7, "{verbs:?}");
    for line in verbs.iter().map(|verb| vec![*verb, "--help"]).chain([vec!["--help"]]) {
        let root = concat!(env!("CARGO_MANIFEST_DIR"), "/../..");
        let mut command = Command::new(env!("CARGO_BIN_EXE_wholestep"));
        let output = command.current_dir(root).env("COLUMNS", "80").args(&line).output().unwrap();
        let help = String::from_utf8(output.stdout).unwrap();
        assert!(help.starts_with(|first: char| first.is_uppercase()), "{line:?}: {help}");
        for shown in help.lines() {
            assert!(shown.chars().count() <= 80, "{line:?}: {shown}");
            assert!(!shown.contains('`'), "{line:?}: {shown}");
            assert!(shown.replace("\\\"", "").matches('"').count() % 2 == 0, "{line:?}: {shown}");
        }
    }
}

/// Every verb, on everything shipped and on what `new` writes.
#[test]
fn every_answer_reads_well_on_a_terminal_of_80_columns() {
    let shipped = |folder: &str| {
        let path = format!("{}/../../examples/{folder}", env!("CARGO_MANIFEST_DIR"));
        let files = std::fs::read_dir(path).unwrap().map(|file| file.unwrap().path());
        files.filter(|file| file.extension().is_some_and(|kind| kind == "toml"))
    };
    let folder = tempfile::tempdir().unwrap();
    let written = ["lift", "stop", "fence", "blade", "tilt", "table"].map(|machine| {
        let path = folder.path().join(machine).with_extension("toml");
        assert!(
            wholestep(&["new", machine, "--suggested", "--file", path.to_str().unwrap()]).status.success()
        );
        path
    });
    let mut read = 0;
    let mut look = |arguments: &[&str]| {
        let output = wholestep(arguments);
        let said = String::from_utf8(output.stdout).unwrap();
        // What does not concern an axis or a job is refused.
        assert_eq!(output.status.code() == Some(2), said.is_empty(), "{arguments:?}");
        for line in said.lines() {
            assert!(line.chars().count() <= 80, "{arguments:?}: {line}");
        }
        read += usize::from(!said.is_empty());
    };
    for axis in shipped("axes").chain(written) {
        let axis = axis.to_str().unwrap();
        for target in ["1/3 in", "1/3 deg", "7.3 mm", "7.3 deg"] {
            look(&["place", axis, target]);
            look(&["time", axis, target, "10 mm"]);
            look(&["time", axis, target, "10 deg"]);
        }
        look(&["describe", axis]);
        look(&["effort", axis]);
        look(&["commission", axis, "--suggested"]);
    }
    for job in shipped("jobs") {
        look(&["cuts", job.to_str().unwrap()]);
        look(&["rehearse", job.to_str().unwrap()]);
    }
    look(&["kerf", "--unit", "mm", "600", "117.6", "117.7", "117.7", "117.6", "117.8"]);
    assert!(read > 60, "{read}");
}

/// A job for the belt stop of the examples, in a folder of its own.
fn cut(cut_list: &str) -> String {
    let folder = tempfile::tempdir().unwrap();
    let axis = concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples/axes/belt_stop.toml");
    let job = folder.path().join("job.toml");
    let head = format!("version = 1\nname = \"Slats\"\naxis = \"{axis}\"\nunit = \"mm\"\n");
    std::fs::write(&job, head + cut_list).unwrap();
    let output = wholestep(&["cuts", job.to_str().unwrap()]);
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).unwrap()
}

#[test]
fn one_piece_is_one_piece_and_a_mitred_sheet_says_how_each_part_lies() {
    let slats = "[cut_list]\nkerf = \"3\"
width = \"45\"\n[[cut_list.stock]]\nlength = \"1500\"\n\
                 [[cut_list.part]]\nname = \"slat\"\nlength = \"500\"\nquantity = 3\nleft = \"45 deg\"\nright = \"-45 deg\"\n";
    let sheet = cut(slats);
    assert!(sheet.contains("\n1 piece of stock (no fewer will do)"), "{sheet}");
    assert!(sheet.contains("saw it first") && sheet.contains("point at the fence"), "{sheet}");
    let turned =
        cut(&slats.replace("width", "turning = \"end_for_end\"\nwidth").replace("-45 deg", "45 deg"));
    // Its cells break at their blanks.
    for told in ["end for end", "point away from", "fence, 45 mm", "beyond"] {
        assert!(turned.contains(told), "{turned}");
    }
    let square = cut(&slats.replace("45 deg", "0 deg").replace("\"500\"", "\"400\""));
    assert!(!square.contains("fence"), "{square}");
}

#[test]
fn help_files_prints_the_page_of_the_files() {
    let said = wholestep_cli::say(
        ["wholestep", "help", "files"].map(Into::into).to_vec(),
        &wholestep_files::Registry::standard(),
    );
    let page = concat!(env!("CARGO_MANIFEST_DIR"), "/../../docs/files.md");
    assert_eq!(
        said.output,
        std::fs::read_to_string(page).unwrap(),
        "write it again: wholestep help files > {page}"
    );
    assert_eq!((said.errors.as_str(), said.status), ("", 0));
}
