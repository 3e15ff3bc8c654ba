//! Changes the live axis in every small way that compiles, and asks that a test notices each.

use std::fs;

use crate::stage::{Outcome, Verdict};
use crate::tool::{capture, cargo, cargo_has, target};

/// Changes that alter nothing anyone can see, each with why.
const EQUIVALENT: &str = include_str!("equivalent_mutants.txt");

pub(crate) fn check() -> Outcome {
    if !cargo_has("mutants") {
        return Ok(Verdict::Skipped(
            "cargo-mutants is not installed (`cargo install cargo-mutants --locked`)".into(),
        ));
    }
    // What a mutant is killed by in milliseconds goes first; a twin has only to live with the rest.
    // Lives at random are left out, so that every run catches the same.
    let tables = [
        "--no-default-features",
        "--timeout=20",
        "--cargo-arg=--test=carriage",
        "--",
        "--",
        "--skip",
        "in_every_life",
        "--skip",
        "every_turn_ends",
    ];
    mutate(&tables)?;
    mutate(&[
        "--iterate",
        "--timeout=120",
        "--test-package=wholestep-twin",
        "--test-package=wholestep-tests",
    ])?;

    let missed = target().join("mutants.out/missed.txt");
    let missed = fs::read_to_string(&missed).map_err(|error| format!("{}: {error}", missed.display()))?;
    judge(&missed)
}

/// One pass over the mutants not yet caught. That some are missed is not for the program to judge.
fn mutate(arguments: &[&str]) -> Result<(), String> {
    let mut pass = cargo(&["mutants", "--package=wholestep", "--file=crates/wholestep/src/carriage/**"]);
    pass.args(["--profile=mutants", "--cap-lints=true", "--colors=never", "--output"])
        .arg(target())
        .args(arguments)
        .env("CARGO_INCREMENTAL", "1");
    let written = capture(&mut pass)?;
    print!("{}", written.output);
    let finished = written.output.lines().any(|line| line.contains("mutants tested"));
    if finished { Ok(()) } else { Err(format!("cargo mutants did not finish:\n{}", written.errors)) }
}

/// Survivors have to be those known to be equivalent, and those known have to survive.
fn judge(missed: &str) -> Outcome {
    let mut unexplained: Vec<String> = missed.lines().map(without_place).collect();
    println!("{} mutants survive", unexplained.len());
    for line in EQUIVALENT.lines().filter(|line| !line.trim().is_empty() && !line.starts_with('#')) {
        let (mutant, _why) =
            line.split_once(" | ").ok_or_else(|| format!("no reason is given for: {line}"))?;
        let Some(place) = unexplained.iter().position(|survivor| survivor == mutant) else {
            return Err(format!("said to be equivalent, and caught: {mutant}"));
        };
        unexplained.swap_remove(place);
    }
    if unexplained.is_empty() {
        Ok(Verdict::Passed)
    } else {
        Err(format!("no test notices:\n{}", unexplained.join("\n")))
    }
}

/// `file:line:column: mutation` without what moves with every edit.
fn without_place(line: &str) -> String {
    let mut parts = line.splitn(4, ':');
    match (parts.next(), parts.next(), parts.next(), parts.next()) {
        (Some(file), Some(_), Some(_), Some(mutation)) => format!("{file}:{mutation}"),
        _ => line.to_owned(),
    }
}
