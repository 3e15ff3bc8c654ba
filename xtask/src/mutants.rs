//! Changes a room in every small way that compiles, and asks that a test notices each.
//!
//! Each room is a stage of its own. `SHARD=1/4 cargo xtask full mutants-exact` tries a quarter of a room, whose
//! known survivors are then not asked for.

use std::env;
use std::fs;
use std::path::Path;

use crate::stage::{Outcome, Verdict};
use crate::tool::{capture, cargo, cargo_has, target};

/// Changes that alter nothing anyone can see, each with why.
const EQUIVALENT: &str = include_str!("equivalent_mutants.txt");

/// A room, and how its mutants are tested: each pass tries those that the passes before it did not catch, so the
/// tests that are quick and close to the room go first.
struct Room {
    name: &'static str,
    package: &'static str,
    files: &'static str,
    passes: &'static [&'static [&'static str]],
}

/// All of the package's own tests.
const ALL: &[&str] = &["--timeout=60"];

pub(crate) fn exact() -> Outcome {
    check(&Room {
        name: "exact",
        package: "wholestep",
        files: "crates/wholestep/src/exact/**",
        passes: &[
            &[
                "--timeout=20",
                "--cargo-arg=--lib",
                "--cargo-arg=--test=certified",
                "--cargo-arg=--test=measures",
            ],
            ALL,
        ],
    })
}

pub(crate) fn measure() -> Outcome {
    check(&Room {
        name: "measure",
        package: "wholestep",
        files: "crates/wholestep/src/measure/**",
        passes: &[&["--timeout=20", "--cargo-arg=--test=measures", "--cargo-arg=--test=enclosure"], ALL],
    })
}

pub(crate) fn mechanism() -> Outcome {
    check(&Room {
        name: "mechanism",
        package: "wholestep",
        files: "crates/wholestep/src/mechanism/**",
        passes: &[
            &[
                "--timeout=20",
                "--cargo-arg=--test=curved",
                "--cargo-arg=--test=search",
                "--cargo-arg=--test=threads",
                "--cargo-arg=--test=tilted_blade",
            ],
            ALL,
        ],
    })
}

pub(crate) fn axis() -> Outcome {
    check(&Room {
        name: "axis",
        package: "wholestep",
        files: "crates/wholestep/src/axis/**",
        passes: &[&["--timeout=20", "--cargo-arg=--test=axis", "--cargo-arg=--test=fingerprint"], ALL],
    })
}

pub(crate) fn plan() -> Outcome {
    check(&Room {
        name: "plan",
        package: "wholestep",
        files: "crates/wholestep/src/plan/**",
        passes: &[
            &[
                "--timeout=20",
                "--cargo-arg=--test=plan",
                "--cargo-arg=--test=plan_brake",
                "--cargo-arg=--test=plan_published",
            ],
            ALL,
        ],
    })
}

pub(crate) fn nesting() -> Outcome {
    check(&Room {
        name: "nesting",
        package: "wholestep-shop",
        files: "crates/wholestep-shop/src/cut_list/nesting/**",
        passes: &[&["--timeout=20", "--cargo-arg=--test=nesting", "--cargo-arg=--test=cut_list"], ALL],
    })
}

/// What a mutant of the live axis is killed by in milliseconds goes first; a twin has only to live with the
/// rest. Lives at random are left out, so that every run catches the same.
pub(crate) fn carriage() -> Outcome {
    check(&Room {
        name: "carriage",
        package: "wholestep",
        files: "crates/wholestep/src/carriage/**",
        passes: &[
            &[
                "--no-default-features",
                "--timeout=20",
                "--cargo-arg=--test=carriage",
                "--",
                "--",
                "--skip",
                "in_every_life",
                "--skip",
                "every_turn_ends",
            ],
            &["--timeout=120", "--test-package=wholestep-twin", "--test-package=wholestep-tests"],
        ],
    })
}

fn check(room: &Room) -> Outcome {
    if !cargo_has("mutants") {
        return Ok(Verdict::Skipped(
            "cargo-mutants is not installed (`cargo install cargo-mutants --locked`)".into(),
        ));
    }
    let shard = env::var("SHARD").ok();
    let folder = target().join("mutants").join(room.name);
    fs::create_dir_all(&folder).map_err(|error| format!("{}: {error}", folder.display()))?;
    for (number, pass) in room.passes.iter().enumerate() {
        mutate(room, &folder, number > 0, shard.as_deref(), pass)?;
    }
    let missed = folder.join("mutants.out/missed.txt");
    let missed = fs::read_to_string(&missed).map_err(|error| format!("{}: {error}", missed.display()))?;
    judge(room, &missed, shard.is_none())
}

/// One pass over the mutants not yet caught. That some are missed is not for the program to judge.
fn mutate(
    room: &Room,
    folder: &Path,
    again: bool,
    shard: Option<&str>,
    arguments: &[&str],
) -> Result<(), String> {
    let mut pass = cargo(&["mutants", "--package", room.package, "--file", room.files]);
    pass.args(["--profile=mutants", "--cap-lints=true", "--colors=never"])
        .args(again.then_some("--iterate"))
        .args(shard.iter().flat_map(|shard| ["--shard", shard]))
        .arg("--output")
        .arg(folder)
        .args(arguments)
        .env("CARGO_INCREMENTAL", "1");
    let written = capture(&mut pass)?;
    print!("{}", written.output);
    let finished = written.output.lines().any(|line| line.contains("mutants tested"));
    if finished { Ok(()) } else { Err(format!("cargo mutants did not finish:\n{}", written.errors)) }
}

/// Survivors have to be those known to be equivalent, and those known have to survive.
fn judge(room: &Room, missed: &str, whole: bool) -> Outcome {
    let mut unexplained: Vec<String> = missed.lines().map(without_place).collect();
    println!("{} mutants survive", unexplained.len());
    let files = room.files.trim_end_matches("**");
    for line in EQUIVALENT.lines().filter(|line| line.starts_with(files)) {
        let (mutant, _why) =
            line.split_once(" | ").ok_or_else(|| format!("no reason is given for: {line}"))?;
        let Some(place) = unexplained.iter().position(|survivor| survivor == mutant) else {
            if whole {
                return Err(format!("said to be equivalent, and caught: {mutant}"));
            }
            continue;
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
