//! A row of the matrix: what was tried on each file, and what came out wrong.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::time::Instant;

use crate::chance::seed;

/// What was tried of one thing, file by file.
pub(crate) struct Cells {
    row: &'static str,
    began: Instant,
    tried: BTreeMap<String, usize>,
    wrong: BTreeMap<(String, String), Wrong>,
}

struct Wrong {
    times: usize,
    first: String,
}

impl Cells {
    pub(crate) fn new(row: &'static str) -> Self {
        Self { row, began: Instant::now(), tried: BTreeMap::new(), wrong: BTreeMap::new() }
    }

    /// Counts a case; `what` says which, if it is wrong.
    pub(crate) fn case(&mut self, file: &str, outcome: Result<(), String>, what: impl FnOnce() -> String) {
        *self.tried.entry(file.to_owned()).or_default() += 1;
        if let Err(why) = outcome {
            let wrong = self.wrong.entry((file.to_owned(), without_figures(&why)));
            wrong.or_insert_with(|| Wrong { times: 0, first: format!("{}: {why}", what()) }).times += 1;
        }
    }

    /// Prints what was tried, and fails unless all of it came out right.
    #[track_caller]
    pub(crate) fn finish(self) {
        let tried: usize = self.tried.values().sum();
        let (files, seconds) = (self.tried.len(), self.began.elapsed().as_secs_f64());
        println!("{}: {tried} cases on {files} files in {seconds:.1} s, seed {}", self.row, seed());
        assert!(tried > 0, "{}: nothing was tried", self.row);
        let mut told = String::new();
        for ((file, _), Wrong { times, first }) in &self.wrong {
            let of = self.tried[file];
            let _ = writeln!(told, "  {file}: {times} of {of}, first {first}");
        }
        assert!(told.is_empty(), "{}, seed {}:\n{told}", self.row, seed());
    }
}

/// The message with its figures left out, so that the same complaint counts as one.
fn without_figures(why: &str) -> String {
    let words = why.split_whitespace().filter(|word| !word.contains(|letter: char| letter.is_ascii_digit()));
    words.take(10).collect::<Vec<_>>().join(" ")
}
