//! The reference of a job file names the keys that are read, and no others.

use std::collections::BTreeSet;

use wholestep_files::Registry;
use wholestep_shop::job::{Job, reference};

const FOLDER: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples/jobs");
const TOP: &str = "version = 1\nname = \"Tray\"\naxis = \"../axes/stop_block.toml\"\nunit = \"in\"\n";

/// The keys that the error about an unknown key in the section says are known there.
fn known(heading: &str) -> BTreeSet<String> {
    let rest = match heading {
        "[cut_list]" => "kerf = \"1/8\"\n",
        "[[cut_list.stock]]" | "[[cut_list.part]]" | "[[cut_list.marks]]" => {
            "length = \"8\"\nname = \"rail\"\n"
        }
        _ => "",
    };
    let before = if heading.starts_with("[[cut_list.") { "[cut_list]\nkerf = \"1/8\"\n" } else { "" };
    let rest = if heading == "[[cut_list.stock]]" { "length = \"8\"\n" } else { rest };
    let text = format!("{TOP}{before}{heading}\nzz_unknown = 1\n{rest}");
    let error = Job::from_toml(&text, FOLDER, &Registry::standard()).unwrap_err().to_string();
    let (_, known) = error.split_once("known here: ").unwrap_or_else(|| panic!("{heading}: {error}"));
    known.split(", ").map(String::from).collect()
}

#[test]
fn reference_names_the_keys_that_are_read() {
    let sections = reference();
    for section in sections.iter().filter(|section| section.heading.starts_with('`')) {
        let heading = section.heading.replace('`', "");
        let mut declared: BTreeSet<_> = section.keys.iter().map(|key| key.name.to_string()).collect();
        if heading == "[cut_list]" {
            declared.extend(["stock", "part", "marks"].map(String::from));
        }
        assert_eq!(known(&heading), declared, "{heading}");
    }
    assert!(sections.len() >= 7);
}

#[test]
fn reference_says_something_of_every_key() {
    for key in reference().into_iter().flat_map(|section| section.keys) {
        assert!(key.about.ends_with('.') && key.about.len() > 10, "{key:?}");
    }
}
