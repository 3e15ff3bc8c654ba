//! The `wholestep` command as a library, so that the Python wheel carries the same command.

#![allow(
    clippy::format_push_string,
    clippy::format_collect,
    reason = "`write!` would add an error that cannot occur"
)]

mod arguments;
mod calibrate;
mod commission;
pub mod cut_sheet;
mod cuts;
mod describe;
mod effort;
mod files;
mod kerf;
mod messages;
mod new;
mod output;
mod place;
mod plot;
mod rehearse;
mod time;

use std::ffi::OsString;
use std::process::ExitCode;

use clap::{CommandFactory, Parser};
use wholestep::{Error, ErrorKind, Result};
use wholestep_files::Registry;

use arguments::{Arguments, Task};
pub use files::files;

/// Runs the command with `arguments`, of which the first is the program's name, and returns its
/// exit status: 0 if it did what was asked, 1 where a rehearsal shows that the job does not come
/// about as written, a machine could not be commissioned or a motor is not strong enough, 2 where it refused. What it has to say goes
/// to standard output, what went wrong to standard error.
///
/// It knows the built-in kinds of mechanism; [`run_with`] knows others.
///
/// ```
/// let status = wholestep_cli::run(vec!["wholestep".into(), "--version".into()]);
/// assert_eq!(status, 0);
/// ```
pub fn run(arguments: Vec<OsString>) -> u8 {
    run_with(arguments, &Registry::standard(), |error| {
        if error.kind() == ErrorKind::UnknownKind {
            eprintln!(
                "wholestep: this command knows no kinds that Python packages offer; the one that comes with the \
                 Python package does: python -m wholestep"
            );
        }
    })
}

/// As [`run`], for the kinds of mechanism in `registry`; what was refused is told to `refused` too.
pub fn run_with(arguments: Vec<OsString>, registry: &Registry, refused: impl FnOnce(&Error)) -> u8 {
    match hear(arguments, registry) {
        Heard::Answered(answer) => {
            print(&answer.text);
            answer.status
        }
        Heard::Misread(message) => {
            // A reader that has gone away is no failure of ours.
            drop(message.print());
            u8::try_from(message.exit_code()).unwrap_or(REFUSED)
        }
        Heard::Refused(error) => {
            eprintln!("wholestep: {error}");
            refused(&error);
            REFUSED
        }
    }
}

/// What one call of the command says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Said {
    /// For standard output.
    pub output: String,
    /// For standard error.
    pub errors: String,
    /// The exit status, as of [`run`].
    pub status: u8,
}

/// As [`run_with`], but returns what the command says instead of printing it. Questions to a person at
/// a terminal are still asked there.
///
/// ```
/// use wholestep_files::Registry;
/// let said = wholestep_cli::say(vec!["wholestep".into(), "sharpen".into()], &Registry::standard());
/// assert_eq!(said.status, 2);
/// assert!(said.errors.contains("sharpen"));
/// ```
pub fn say(arguments: Vec<OsString>, registry: &Registry) -> Said {
    match hear(arguments, registry) {
        Heard::Answered(answer) => Said { output: answer.text, errors: String::new(), status: answer.status },
        Heard::Misread(message) => {
            let status = u8::try_from(message.exit_code()).unwrap_or(REFUSED);
            let (text, none) = (message.to_string(), String::new());
            let (output, errors) = if message.use_stderr() { (none, text) } else { (text, none) };
            Said { output, errors, status }
        }
        Heard::Refused(error) => {
            Said { output: String::new(), errors: format!("wholestep: {error}\n"), status: REFUSED }
        }
    }
}

/// Returns every verb with its arguments, as the command line is read.
///
/// ```
/// assert!(wholestep_cli::definition().find_subcommand("place").is_some());
/// ```
pub fn definition() -> clap::Command {
    Arguments::command()
}

/// What came of the arguments.
enum Heard {
    Answered(Answer),
    Misread(clap::Error),
    Refused(Box<Error>),
}

fn hear(arguments: Vec<OsString>, registry: &Registry) -> Heard {
    if arguments.get(1..).is_some_and(|asked| asked == ["help", "files"]) {
        return Heard::Answered(Answer { text: files(registry), status: 0 });
    }
    match Arguments::try_parse_from(arguments.into_iter().map(signed)) {
        Ok(arguments) => match answer(&arguments, registry) {
            Ok(answer) => Heard::Answered(answer),
            Err(error) => Heard::Refused(Box::new(error)),
        },
        Err(message) => Heard::Misread(message),
    }
}

/// A measure below zero, such as `-3 mm`, with a minus sign that cannot be taken for an option.
fn signed(argument: OsString) -> OsString {
    let text = argument.to_str().unwrap_or_default();
    match text.strip_prefix('-') {
        Some(rest) if rest.starts_with(|first: char| first.is_numeric() || first == '.') => {
            format!("\u{2212}{rest}").into()
        }
        _ => argument,
    }
}

/// The exit status of everything that was refused.
const REFUSED: u8 = 2;
/// The exit status of what was done and did not come out well.
const UNSOUND: u8 = 1;

/// What a command says, and its exit status.
struct Answer {
    text: String,
    status: u8,
}

fn answer(arguments: &Arguments, registry: &Registry) -> Result<Answer> {
    let json = arguments.json;
    let text = match &arguments.task {
        Task::New(task) => new::answer(task, json),
        Task::Describe(task) => describe::answer(task, json, registry),
        Task::Place(task) => place::answer(task, json, registry),
        Task::Cuts(task) => cuts::answer(task, json, registry),
        Task::Kerf(task) => kerf::answer(task, json),
        Task::Time(task) => time::answer(task, json, registry),
        Task::Effort(task) => return effort::answer(task, json, registry),
        Task::Calibrate(task) => return calibrate::answer(task, json, registry),
        Task::Commission(task) => return commission::answer(task, json, registry),
        Task::Rehearse(task) => return rehearse::answer(task, json, registry),
    }?;
    Ok(Answer { text, status: 0 })
}

/// Prints without failing where the reader, such as `head`, has closed its end.
fn print(text: &str) {
    use std::io::Write;
    drop(std::io::stdout().lock().write_all(text.as_bytes()));
}

/// As [`run`], for a program's `main`.
pub fn main() -> ExitCode {
    ExitCode::from(run(std::env::args_os().collect()))
}

/// The examples of the crate's README, which are tested with those of its documentation.
#[cfg(doctest)]
#[doc = include_str!("../README.md")]
struct Readme;
