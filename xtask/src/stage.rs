//! Stages: run one after another, timed, stopping at the first that fails.

use std::fmt::Write as _;
use std::process::ExitCode;
use std::time::Instant;

use crate::processor;

/// One check with a name it can be called by.
pub(crate) struct Stage {
    pub(crate) name: &'static str,
    pub(crate) about: &'static str,
    pub(crate) run: fn() -> Outcome,
}

/// What a stage that did not fail has to say.
pub(crate) enum Verdict {
    Passed,
    /// Nothing was checked, and why.
    Skipped(String),
}

/// A stage's verdict, or what failed.
pub(crate) type Outcome = Result<Verdict, String>;

/// Runs the stages named in `wanted`, or all of them, in their own order.
pub(crate) fn run<'a>(stages: impl Iterator<Item = &'a Stage>, wanted: &[String]) -> ExitCode {
    let stages: Vec<&Stage> = stages.collect();
    if let Some(unknown) = wanted.iter().find(|name| stages.iter().all(|stage| stage.name != **name)) {
        let names: Vec<_> = stages.iter().map(|stage| stage.name).collect();
        eprintln!("cargo xtask: there is no stage `{unknown}`; there are: {}", names.join(", "));
        return ExitCode::from(2);
    }
    let chosen =
        stages.into_iter().filter(|stage| wanted.is_empty() || wanted.iter().any(|name| name == stage.name));

    let (mut passed, mut skipped, mut failed) = (0, 0, 0);
    let mut processor_total = 0.0;
    let mut summary = format!("{:<18}{:>10}{:>10}\n", "stage", "elapsed", "processor");
    for stage in chosen {
        println!("\n== {}: {}", stage.name, stage.about);
        let (start, processor_start) = (Instant::now(), processor::seconds());
        let outcome = (stage.run)();
        let seconds = start.elapsed().as_secs_f64();
        let processor = processor::seconds() - processor_start;
        processor_total += processor;
        let verdict = match &outcome {
            Ok(Verdict::Passed) => {
                passed += 1;
                String::from("passed")
            }
            Ok(Verdict::Skipped(reason)) => {
                skipped += 1;
                format!("skipped: {reason}")
            }
            Err(reason) => {
                failed += 1;
                format!("FAILED: {reason}")
            }
        };
        let line = format!("{:<18}{seconds:>8.1} s{processor:>8.1} s  {verdict}", stage.name);
        println!("== {line}");
        let _ = writeln!(summary, "{}", line.lines().next().unwrap_or_default());
        if outcome.is_err() {
            break;
        }
    }
    print!("\n{summary}");
    println!("{passed} passed, {failed} failed, {skipped} skipped; {processor_total:.0} s of processor time");
    if failed == 0 && passed > 0 { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}

/// The exit status of a single job.
pub(crate) fn finish(outcome: Outcome) -> ExitCode {
    match outcome {
        Ok(Verdict::Passed) => ExitCode::SUCCESS,
        Ok(Verdict::Skipped(reason)) | Err(reason) => {
            eprintln!("cargo xtask: {reason}");
            ExitCode::FAILURE
        }
    }
}
