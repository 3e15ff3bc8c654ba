//! The `wholestep` command as a library, so that the Python wheel carries the same command.

use std::ffi::OsString;

/// Runs the command with `arguments`, of which the first is the program's name, and returns its
/// exit status. What it has to say goes to standard output, what went wrong to standard error.
///
/// ```
/// let status = wholestep_cli::run(vec!["wholestep".into(), "--version".into()]);
/// assert_eq!(status, 0);
/// ```
pub fn run(arguments: Vec<OsString>) -> u8 {
    let asked = arguments.into_iter().nth(1);
    if asked.is_some_and(|argument| argument == "--version") {
        println!("wholestep {}", env!("CARGO_PKG_VERSION"));
        return 0;
    }
    eprintln!("wholestep: only `wholestep --version` is understood so far");
    2
}
