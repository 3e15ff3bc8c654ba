//! Nothing public that takes an axis, its file or a job is left out of the matrix.

use std::fs;
use std::path::Path;

/// Where the public calls are declared.
const DECLARED: [&str; 4] =
    ["wholestep/src", "wholestep-files/src", "wholestep-shop/src", "wholestep-twin/src"];
/// Types whose every public method is a row's.
const METHODS_OF: [&str; 5] = ["Axis<M>", "AxisFile", "Planner<'a, M>", "Job", "Rehearsal"];
/// What makes a free function or another type's method one that a row has to call.
const TAKES: [&str; 5] = ["Axis<M>", "&AxisFile", "&AnyAxis", "&Job", "Planner<"];
/// What no row calls, and why.
const EXCUSED: [(&str, &str); 14] = [
    ("open", "as `load`, with the built-in kinds"),
    ("length_axis", "as `axis`, for an axis that moves along a line"),
    ("angle_axis", "as `axis`, for an axis that turns"),
    ("from_toml", "as `load`, from a text"),
    ("from_document", "as `load`, from a document"),
    ("with", "called by `with_step_mode` and by `commission --really`"),
    ("machine_data", "called by `Rehearsal::new`"),
    ("place", "the name is also one of the matrix's own; of a file, it places errors"),
    ("carriage_config", "called by `Rehearsal::new`"),
    ("limits", "called by `Planner::plan`; the name is also one of the matrix's own"),
    ("moves", "called by `rehearse`; the name is also one of the matrix's own"),
    ("stops", "called by `rehearse`"),
    ("inject", "called by `rehearse --fault`"),
    ("finish", "called by `rehearse`; the name is also one of the matrix's own"),
];
/// What rows call by way of the command.
const BY_COMMAND: [(&str, &str); 6] = [
    ("with_noted", "calibrate"),
    ("write_into", "calibrate"),
    ("cuts", "cuts"),
    ("plan_moves", "cuts"),
    ("rehearse", "rehearse"),
    ("touch_off", "rehearse"),
];

#[test]
fn every_public_call_that_takes_an_axis_or_a_job_is_in_a_row() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let rows = sources(&root.join("tests/acceptance")).concat();
    let declared: Vec<String> = DECLARED
        .iter()
        .flat_map(|folder| sources(&root.join("../crates").join(folder)))
        .flat_map(|text| calls(&text))
        .collect();
    assert!(declared.len() > 40, "{declared:?}");
    let excused = |name: &str| EXCUSED.iter().any(|(excused, _)| *excused == name);
    let by_command = |name: &str| BY_COMMAND.iter().any(|(by, _)| *by == name);
    let called = |name: &str| is_called(&rows, name);
    let mut left: Vec<&String> =
        declared.iter().filter(|name| !excused(name) && !by_command(name) && !called(name)).collect();
    left.dedup();
    assert!(left.is_empty(), "no row calls {left:?}");
    for (name, _) in EXCUSED.iter().chain(&BY_COMMAND) {
        assert!(declared.iter().any(|declared| declared == name), "{name} is excused for nothing");
    }
}

/// Whether a function of this name is called, and not only declared.
fn is_called(text: &str, name: &str) -> bool {
    text.match_indices(&format!("{name}(")).any(|(at, _)| {
        let before = &text[..at];
        !before.ends_with(|letter: char| letter.is_alphanumeric() || letter == '_')
            && !before.ends_with("fn ")
    })
}

/// Names of the public functions of a file that the matrix has to call.
fn calls(text: &str) -> Vec<String> {
    let (mut within, mut names) = (false, Vec::new());
    let lines: Vec<&str> = text.lines().collect();
    for (number, line) in lines.iter().enumerate() {
        if line.starts_with("impl") {
            within = !line.contains(" for ") && METHODS_OF.iter().any(|of| is_of(line, of));
        } else if line.starts_with('}') {
            within = false;
        }
        let Some(declared) = public_function(line.trim_start()) else { continue };
        let signature: String =
            lines[number..].iter().take_while(|line| !line.ends_with('{')).chain([line]).copied().collect();
        if within || TAKES.iter().any(|takes| signature.contains(takes)) {
            names.push(declared.to_owned());
        }
    }
    names
}

/// Whether an `impl` is of this type itself.
fn is_of(line: &str, of: &str) -> bool {
    line.trim_end_matches(" {").ends_with(&format!(" {of}"))
}

/// The name of a function that is declared public on this line.
fn public_function(line: &str) -> Option<&str> {
    let rest = line.strip_prefix("pub fn ").or_else(|| line.strip_prefix("pub const fn "))?;
    rest.split(|letter: char| !letter.is_alphanumeric() && letter != '_').next()
}

fn sources(folder: &Path) -> Vec<String> {
    let mut texts = Vec::new();
    for entry in fs::read_dir(folder).expect("the folder is read") {
        let path = entry.expect("the folder is read").path();
        if path.is_dir() {
            texts.extend(sources(&path));
        } else if path.extension().is_some_and(|end| end == "rs") && !path.ends_with("calls.rs") {
            texts.push(fs::read_to_string(&path).expect("the file is read"));
        }
    }
    texts
}
