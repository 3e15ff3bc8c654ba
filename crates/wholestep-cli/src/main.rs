//! The `wholestep` command.

use std::process::ExitCode;

fn main() -> ExitCode {
    wholestep_cli::main()
}
