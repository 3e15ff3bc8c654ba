//! The `wholestep` command as a library, so that the Python wheel carries the same command.

#![allow(
    clippy::format_push_string,
    clippy::format_collect,
    reason = "`write!` would add an error that cannot occur"
)]

mod arguments;
mod cuts;
mod describe;
mod new;
mod place;
mod plot;
mod present;
mod rehearse;
mod time;

use std::ffi::OsString;
use std::process::ExitCode;

use clap::Parser;
use wholestep::Result;

use arguments::{Arguments, Task};

/// Runs the command with `arguments`, of which the first is the program's name, and returns its
/// exit status: 0 where it did what was asked, 2 where it refused. What it has to say goes to
/// standard output, what went wrong to standard error.
///
/// ```
/// let status = wholestep_cli::run(vec!["wholestep".into(), "--version".into()]);
/// assert_eq!(status, 0);
/// ```
pub fn run(arguments: Vec<OsString>) -> u8 {
    let arguments = match Arguments::try_parse_from(arguments) {
        Ok(arguments) => arguments,
        Err(message) => {
            // A reader that has gone away is no failure of ours.
            drop(message.print());
            return u8::try_from(message.exit_code()).unwrap_or(REFUSED);
        }
    };
    match answer(&arguments) {
        Ok(text) => {
            print(&text);
            0
        }
        Err(error) => {
            eprintln!("wholestep: {error}");
            REFUSED
        }
    }
}

/// The exit status of everything that was refused.
const REFUSED: u8 = 2;

fn answer(arguments: &Arguments) -> Result<String> {
    match &arguments.task {
        Task::New(task) => new::answer(task, arguments.json),
        Task::Describe(task) => describe::answer(task, arguments.json),
        Task::Place(task) => place::answer(task, arguments.json),
        Task::Cuts(task) => cuts::answer(task, arguments.json),
        Task::Time(task) => time::answer(task, arguments.json),
        Task::Rehearse(task) => rehearse::answer(task, arguments.json),
    }
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
