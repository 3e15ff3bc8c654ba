//! Where published figures come from: nothing says less than DEVELOPERS.md asks for.

use std::fs;
use std::path::{Path, PathBuf};

/// How a figure was come by, as DEVELOPERS.md explains.
const STATUS: [&str; 6] = ["read", "second-hand", "memory", "recomputed", "identity", "common practice"];

/// Every publication that a row of the vectors names.
const TITLES: [&str; 7] = [
    "1959 international yard and pound agreement",
    "ASME B1.1",
    "ASME B1.5",
    "ISO 261",
    "ISO 2904",
    "ISO 965-1",
    "NIST SP 811",
];

/// What betrays a publication in a comment.
const NAMED: [&str; 16] = [
    "ISO 2",
    "ISO 5",
    "ISO 9",
    "ISO 1",
    "ASME",
    "NIST",
    "JCGM",
    "Shigley",
    "AVR446",
    "Austin",
    "Micromo",
    "Faulhaber",
    "Ganssle",
    "Biagiotti",
    "Martello",
    "Johnson's family",
];

/// Sources without a title, and claims that nobody can check.
const VAGUE: [&str; 7] = [
    "handbook",
    "textbook",
    "calculator",
    "as printed",
    "independent trajectory",
    "from memory",
    "any chart",
];

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

/// The statuses in the brackets at the end of a source.
fn statuses(source: &str) -> Option<Vec<&str>> {
    let (_, brackets) = source.strip_suffix(')')?.rsplit_once('(')?;
    let words: Vec<&str> = brackets.split(", ").collect();
    words.iter().all(|word| STATUS.contains(word)).then_some(words)
}

/// What is wrong with a source.
fn fault(source: &str) -> Option<&'static str> {
    let Some(words) = statuses(source) else { return Some("no status in brackets at its end") };
    let own = ["identity", "common practice"];
    let titled = TITLES.iter().any(|title| source.starts_with(title));
    if !titled && !words.iter().any(|word| own.contains(word)) {
        return Some("neither a title of the list nor an identity or common practice");
    }
    VAGUE.iter().any(|vague| source.contains(vague)).then_some("a claim that nobody can check")
}

#[test]
fn every_source_of_the_vectors_has_a_title_and_a_status() {
    let mut sources = 0;
    for entry in fs::read_dir(root().join("tests/vectors")).unwrap() {
        let path = entry.unwrap().path();
        let file = path.file_name().unwrap().to_str().unwrap().to_owned();
        let vectors: toml::Table = fs::read_to_string(&path).unwrap().parse().unwrap();
        for (name, rows) in vectors {
            for row in rows.as_array().into_iter().flatten() {
                let source = row.get("source").map(|source| source.as_str().unwrap());
                assert!(source.is_some() || file != "drives.toml", "{file}, {name}: a row without a source");
                if let Some(source) = source {
                    sources += 1;
                    assert_eq!(fault(source), None, "{file}: {source}");
                }
            }
        }
    }
    assert!(sources >= 80, "{sources}");
}

#[test]
fn a_source_that_says_too_little_is_found() {
    let faulty = [
        "ISO 261, M8 coarse",
        "ISO 261, M8 coarse (seen somewhere)",
        "decimal tables (read)",
        "ISO 261 (read) and more",
        "maker's calculator (identity)",
    ];
    for source in faulty {
        assert!(fault(source).is_some(), "{source}");
    }
    assert_eq!(fault("ISO 261, M8 coarse (second-hand, recomputed)"), None);
}

#[test]
fn every_comment_that_names_a_publication_says_how_it_was_come_by() {
    let mut found = Vec::new();
    let mut named = 0;
    for folder in ["crates", "bindings", "benches", "examples", "tests"] {
        for path in sources_in(&root().join(folder)) {
            // Its own lists would be found.
            if path.ends_with("tests/tests/sources.rs") {
                continue;
            }
            for comment in comments(&fs::read_to_string(&path).unwrap()) {
                let has = |words: &[&str]| words.iter().any(|word| comment.contains(word));
                let status = STATUS.iter().any(|word| {
                    comment.contains(&format!("({word}")) || comment.contains(&format!(", {word})"))
                }) || comment.to_lowercase().contains("identit");
                named += usize::from(has(&NAMED));
                if has(&VAGUE) || (has(&NAMED) && !status) {
                    found.push(format!("{}: {comment}", path.display()));
                }
            }
        }
    }
    assert!(found.is_empty(), "{}", found.join("\n"));
    assert!(named >= 10, "{named}");
}

/// The Rust and Python files in and below a folder.
fn sources_in(folder: &Path) -> Vec<PathBuf> {
    let mut files = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_str().unwrap_or_default();
        if path.is_dir() && name != "target" && !name.starts_with('.') {
            files.extend(sources_in(&path));
        } else if path.extension().is_some_and(|extension| extension == "rs" || extension == "py") {
            files.push(path);
        }
    }
    files
}

/// The comments of a file: lines one after another that are comment and nothing else.
fn comments(text: &str) -> Vec<String> {
    let mut comments = vec![String::new()];
    for line in text.lines().map(str::trim_start) {
        let marks = ["///", "//!", "//", "# "];
        match marks.iter().find_map(|mark| line.strip_prefix(mark)) {
            Some(words) => {
                let comment = comments.last_mut().unwrap();
                comment.push(' ');
                comment.push_str(words.trim());
            }
            None => comments.push(String::new()),
        }
    }
    comments.retain(|comment| !comment.is_empty());
    comments
}
