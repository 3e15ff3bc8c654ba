//! The reference of the files names the keys that are read, and no others.

use std::collections::BTreeSet;

use wholestep_files::{AxisFile, NewAxis, Registry, SectionKeys, Template};

const AXES: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples/axes");

/// The keys that the error about an unknown key in `section` says are known there; a section that the file
/// lacks is added to it.
fn known(text: &str, section: &str) -> BTreeSet<String> {
    let heading = format!("[{section}]");
    let mut lines: Vec<&str> = text.lines().collect();
    if !lines.iter().any(|line| line.starts_with(&heading)) {
        lines.push(&heading);
    }
    let place = lines.iter().position(|line| line.starts_with(&heading)).unwrap();
    lines.insert(place + 1, "zz_unknown = 1");
    let error = AxisFile::from_toml(&lines.join("\n"), &Registry::standard()).unwrap_err().to_string();
    assert!(error.contains("zz_unknown`: unknown key"), "{section}: {error}");
    let known = error.split_once("known here: ").map(|(_, known)| known);
    known.into_iter().flat_map(|known| known.split(", ")).map(String::from).collect()
}

fn declared(section: &SectionKeys) -> BTreeSet<String> {
    section.keys.iter().map(|key| key.name.to_string()).collect()
}

#[test]
fn reference_names_the_keys_that_are_read() {
    let reference = Registry::standard().reference();
    let mut files: Vec<_> = std::fs::read_dir(AXES).unwrap().map(|entry| entry.unwrap().path()).collect();
    files.sort();
    let mut kinds = BTreeSet::new();
    for path in files {
        let text = std::fs::read_to_string(&path).unwrap();
        let kind = AxisFile::from_toml(&text, &Registry::standard()).unwrap().kind().to_string();
        for section in &reference {
            let heading = section.heading.replace('`', "");
            let name = match heading.strip_prefix('[').and_then(|name| name.split_once(']')) {
                Some(("mechanism", of)) if of != format!(" of {kind}") => continue,
                Some((name, _)) => name,
                None => continue,
            };
            let (known, declared) = (known(&text, name), declared(section));
            // An arm has the keys of a screw, or those of a worm and sector.
            let agree =
                if heading.ends_with("swing_arm") { known.is_subset(&declared) } else { known == declared };
            assert!(agree, "{}, {heading}: read {known:?}, declared {declared:?}", path.display());
        }
        kinds.insert(kind);
    }
    assert!(kinds.len() >= 5, "{kinds:?}");
}

#[test]
fn reference_says_something_of_every_key() {
    for section in Registry::standard().reference() {
        assert!(!section.about.is_empty(), "{}", section.heading);
        for key in section.keys {
            assert!(key.about.ends_with('.') && key.about.len() > 10, "{}: {key:?}", section.heading);
        }
    }
}

#[test]
fn new_axis_file_writes_only_declared_keys() {
    let reference = Registry::standard().reference();
    for template in Template::ALL {
        let text = NewAxis::new(template).text().unwrap();
        let kind = AxisFile::from_toml(&text, &Registry::standard()).unwrap().kind().to_string();
        let (mut heading, mut keys) = (String::from("At the top"), 0);
        for line in text.lines() {
            if let Some(section) = line.strip_prefix('[').and_then(|line| line.split(']').next()) {
                let of = if section == "mechanism" { format!(" of `{kind}`") } else { String::new() };
                heading = format!("`[{section}]`{of}");
            }
            // A key that is suggested stands behind a #.
            let Some((key, _)) = line.trim_start_matches("# ").split_once(" = ") else { continue };
            if key.contains(' ') {
                continue;
            }
            let section = reference.iter().find(|section| section.heading == heading).unwrap();
            assert!(declared(section).contains(key), "{template:?}, {heading}: {key}");
            keys += 1;
        }
        assert!(keys >= 20, "{template:?}: {keys}");
    }
}
