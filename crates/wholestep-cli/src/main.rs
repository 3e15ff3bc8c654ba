//! The `wholestep` command.

use std::process::ExitCode;

fn main() -> ExitCode {
    ExitCode::from(wholestep_cli::run(std::env::args_os().collect()))
}
