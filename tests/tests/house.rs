//! The folder tree is the architecture: which way paths point, which words are gone, how large a file is.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

/// The rooms of the core; each may name those before it.
const ROOMS: [&str; 8] = ["bounds", "exact", "error", "measure", "mechanism", "axis", "plan", "carriage"];

/// The crates; each may depend on those before it. What Python and the command take, nobody takes.
const CRATES: [&str; 5] =
    ["wholestep", "wholestep-files", "wholestep-twin", "wholestep-shop", "wholestep-cli"];

/// Files that name each other inside a folder, and why. A circle that is gone must leave this list.
const CIRCLES: &[(&str, &[&str], &str)] = &[
    (
        "wholestep/src/measure",
        &["format", "parse", "quantity", "rate", "unit"],
        "reading and writing are methods of what they read and write",
    ),
    (
        "wholestep/src/plan",
        &["jerk_limited", "limits", "trapezoid"],
        "the edge kernel has a redesign of its own",
    ),
    ("wholestep/src/carriage", &["config", "soundness"], "the live axis has a redesign of its own"),
    (
        "wholestep/src/carriage",
        &["activity", "commission", "hand", "live", "touch"],
        "the live axis has a redesign of its own",
    ),
    (
        "wholestep-files/src",
        &["document", "location"],
        "a document hands out places, and a place knows its document",
    ),
    (
        "wholestep-shop/src/cut_list/nesting",
        &["chain", "task"],
        "a task asks what a chain of its parts needs",
    ),
];

/// Files above the most lines, and why. One that has shrunk must leave this list.
const LONG: &[(&str, &str)] = &[
    ("crates/wholestep-twin/src/machine.rs", "one machine and what may happen to it"),
    ("bindings/python/src/axis/mod.rs", "one class of Python and all of its methods"),
];
const LINES_MOST: usize = 500;

/// Words that were renamed away, and what took their place.
const GONE: &[(&str, &str)] = &[
    ("stands_at", "position_at"),
    ("state_gauge_height", "confirm_position"),
    ("zeroed_at", "with_step_at"),
    ("place_strictly", "require_decided"),
    ("exact_in", "to_text"),
    ("search_within", "within"),
    ("IntervalError", "ArithmeticError"),
    ("backlash_at", "nothing: place two targets"),
    ("[home]", "[datum]"),
    ("pulse.width", "pulse_high"),
    ("pulse.gap", "pulse_low"),
];

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

fn files(folder: &Path, extension: &str) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).unwrap_or_else(|error| panic!("{}: {error}", folder.display())) {
        let path = entry.unwrap().path();
        if path.is_dir() {
            found.extend(files(&path, extension));
        } else if path.extension().is_some_and(|given| given == extension) {
            found.push(path);
        }
    }
    found.sort();
    found
}

/// The lines of a file that are code, its unit tests and its comments left out.
fn code(path: &Path) -> String {
    let text = fs::read_to_string(path).unwrap();
    let text = text.split("#[cfg(test)]\nmod tests").next().unwrap_or_default();
    text.lines().filter(|line| !line.trim_start().starts_with("//")).collect::<Vec<_>>().join("\n")
}

/// The first name of every path behind `prefix`, those in braces included.
fn named(code: &str, prefix: &str) -> BTreeSet<String> {
    let is_part = |next: char| next.is_alphanumeric() || next == '_';
    let mut names = BTreeSet::new();
    for (at, _) in code.match_indices(prefix) {
        // `$crate::x` stands in a macro for others, and `xcrate::` is another word.
        if code[..at].chars().next_back().is_some_and(|before| is_part(before) || before == '$') {
            continue;
        }
        let rest = &code[at + prefix.len()..];
        if let Some(list) = rest.strip_prefix('{') {
            let (mut depth, mut item) = (0, String::new());
            for next in list.chars() {
                match next {
                    '}' if depth == 0 => break,
                    '{' => depth += 1,
                    '}' => depth -= 1,
                    ',' if depth == 0 => {
                        names.insert(std::mem::take(&mut item));
                    }
                    _ if depth == 0 && !next.is_whitespace() => item.push(next),
                    _ => {}
                }
            }
            names.insert(item);
        } else {
            let end = rest.find(|next: char| !is_part(next) && next != ':').unwrap_or(rest.len());
            names.insert(rest[..end].to_string());
        }
    }
    names.iter().map(|path| path.split("::").next().unwrap_or_default().to_string()).collect()
}

#[test]
fn paths_in_the_core_point_one_way() {
    let source = root().join("crates/wholestep/src");
    let mut paths = 0;
    for file in files(&source, "rs") {
        let inside = file.strip_prefix(&source).unwrap();
        let room = inside.components().next().unwrap().as_os_str().to_str().unwrap().trim_end_matches(".rs");
        let Some(floor) = ROOMS.iter().position(|name| *name == room) else {
            assert_eq!(room, "lib", "{}: not a room of the core", file.display());
            continue;
        };
        for name in named(&code(&file), "crate::") {
            let named = ROOMS.iter().position(|room| *room == name);
            let named = named.unwrap_or_else(|| {
                panic!("{}: crate::{name} is a re-export; name the room it comes from", file.display())
            });
            assert!(named <= floor, "{}: {room} may not name {name}, which stands on it", file.display());
            paths += 1;
        }
    }
    assert!(paths > 100, "{paths}");
}

#[test]
fn crates_depend_one_way() {
    for (floor, name) in CRATES.iter().enumerate() {
        let manifest = fs::read_to_string(root().join("crates").join(name).join("Cargo.toml")).unwrap();
        let (_, dependencies) = manifest.split_once("\n[dependencies]").unwrap_or_default();
        let dependencies = dependencies.split("\n[").next().unwrap_or_default();
        for line in dependencies.lines().filter(|line| line.starts_with("wholestep")) {
            let named = line.split(['.', ' ']).next().unwrap_or_default();
            let below = CRATES.iter().position(|known| *known == named);
            assert!(below.is_some_and(|below| below < floor), "{name} may not depend on {named}");
        }
    }
}

#[test]
fn files_of_a_folder_name_each_other_in_no_circle_but_the_listed() {
    let mut found = BTreeSet::new();
    for name in CRATES {
        let crates = root().join("crates");
        let mut folders: BTreeMap<PathBuf, Vec<PathBuf>> = BTreeMap::new();
        for file in files(&crates.join(name).join("src"), "rs") {
            folders.entry(file.parent().unwrap().to_path_buf()).or_default().push(file);
        }
        for (folder, files) in folders {
            let stem = |file: &PathBuf| file.file_stem().unwrap().to_str().unwrap().to_string();
            let names: BTreeSet<String> =
                files.iter().map(stem).filter(|name| name != "mod" && name != "lib").collect();
            let arrows: BTreeMap<String, BTreeSet<String>> = files
                .iter()
                .filter(|file| names.contains(&stem(file)))
                .map(|file| {
                    let mut to = named(&code(file), "super::");
                    to.retain(|to| names.contains(to) && *to != stem(file));
                    (stem(file), to)
                })
                .collect();
            let folder = folder.strip_prefix(&crates).unwrap().to_str().unwrap().to_string();
            found.extend(circles(&arrows).into_iter().map(|circle| (folder.clone(), circle)));
        }
    }
    let listed: BTreeSet<(String, Vec<String>)> = CIRCLES
        .iter()
        .map(|(folder, circle, _)| (folder.to_string(), circle.iter().map(ToString::to_string).collect()))
        .collect();
    assert_eq!(found, listed, "left: the circles there are; right: those that are listed");
}

/// The sets of files each of which leads to every other.
fn circles(arrows: &BTreeMap<String, BTreeSet<String>>) -> BTreeSet<Vec<String>> {
    let reached = |from: &String| {
        let mut reached = BTreeSet::new();
        let mut open: Vec<&String> = arrows[from].iter().collect();
        while let Some(next) = open.pop() {
            if reached.insert(next.clone()) {
                open.extend(&arrows[next]);
            }
        }
        reached
    };
    let reach: BTreeMap<&String, BTreeSet<String>> =
        arrows.keys().map(|from| (from, reached(from))).collect();
    reach
        .iter()
        .filter(|(from, to)| to.contains(**from))
        .map(|(from, to)| to.iter().filter(|to| reach[to].contains(*from)).cloned().collect())
        .collect()
}

#[test]
fn no_file_is_long_but_the_listed() {
    let mut long = BTreeSet::new();
    for folder in ["crates", "bindings/python/src"] {
        for file in files(&root().join(folder), "rs") {
            let name = file.strip_prefix(root()).unwrap().to_str().unwrap().to_string();
            let stem = file.file_stem().unwrap().to_str().unwrap();
            assert!(
                !["utils", "common", "helpers", "manager"].contains(&stem),
                "{name}: name it by what it does"
            );
            let lines = fs::read_to_string(&file).unwrap().lines().count();
            if name.contains("/src/") && lines > LINES_MOST {
                long.insert(name);
            }
        }
    }
    let listed: BTreeSet<String> = LONG.iter().map(|(name, _)| name.to_string()).collect();
    assert_eq!(long, listed, "left: files above {LINES_MOST} lines; right: those that are listed");
}

#[test]
fn no_word_is_left_that_was_renamed_away() {
    let itself = Path::new(file!()).file_name().unwrap();
    let is_part = |next: char| next.is_alphanumeric() || next == '_';
    for folder in ["crates", "bindings", "examples", "tests", "benches", "xtask", "docs"] {
        for extension in ["rs", "py", "pyi", "toml", "md"] {
            for file in files(&root().join(folder), extension) {
                if file.file_name() == Some(itself)
                    || file.components().any(|part| part.as_os_str() == "target")
                {
                    continue;
                }
                let text = fs::read_to_string(&file).unwrap();
                for (word, instead) in GONE {
                    let whole = text.match_indices(word).any(|(at, _)| {
                        let before = text[..at].chars().next_back();
                        let after = text[at + word.len()..].chars().next();
                        !before.is_some_and(is_part) && !after.is_some_and(is_part)
                    });
                    assert!(!whole, "{}: {word} became {instead}", file.display());
                }
            }
        }
    }
}
