//! Running other programs.

use std::ffi::{OsStr, OsString};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

/// The top of the repository, where every stage runs.
pub(crate) fn root() -> &'static Path {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    here.parent().unwrap_or(here)
}

/// Where everything built or installed by a stage goes.
pub(crate) fn target() -> PathBuf {
    root().join(std::env::var_os("CARGO_TARGET_DIR").unwrap_or_else(|| OsString::from("target")))
}

/// The cargo that runs this program.
pub(crate) fn cargo(arguments: &[&str]) -> Command {
    command(std::env::var_os("CARGO").unwrap_or_else(|| OsString::from("cargo")), arguments)
}

/// A command not yet started.
pub(crate) fn command(program: impl AsRef<OsStr>, arguments: &[&str]) -> Command {
    let mut command = Command::new(program);
    command.args(arguments);
    command
}

/// Runs a command whose output the person watches; anything but success is an error.
pub(crate) fn run(command: &mut Command) -> Result<(), String> {
    let shown = shown(command);
    println!("$ {shown}");
    match command.status() {
        Ok(status) if status.success() => Ok(()),
        Ok(status) => Err(format!("`{shown}`: {status}")),
        Err(error) => Err(format!("`{shown}` could not be started: {error}")),
    }
}

/// What a finished command wrote, and whether it succeeded.
pub(crate) struct Written {
    pub(crate) success: bool,
    pub(crate) output: String,
    pub(crate) errors: String,
}

/// Runs a command and keeps what it writes.
pub(crate) fn capture(command: &mut Command) -> Result<Written, String> {
    let shown = shown(command);
    let done = command
        .stdin(Stdio::null())
        .output()
        .map_err(|error| format!("`{shown}` could not be started: {error}"))?;
    let text =
        |bytes| String::from_utf8(bytes).map_err(|_| format!("`{shown}` wrote something that is not UTF-8"));
    Ok(Written { success: done.status.success(), output: text(done.stdout)?, errors: text(done.stderr)? })
}

/// Whether `cargo NAME` is there to be run.
pub(crate) fn cargo_has(name: &str) -> bool {
    capture(&mut cargo(&[name, "--version"])).is_ok_and(|written| written.success)
}

fn shown(command: &Command) -> String {
    let program = Path::new(command.get_program());
    let program = program.strip_prefix(root()).unwrap_or(program);
    let program =
        if program.is_absolute() { program.file_name().map_or(program, Path::new) } else { program };
    let words: Vec<_> =
        std::iter::once(program.as_os_str()).chain(command.get_args()).map(OsStr::to_string_lossy).collect();
    words.join(" ")
}
