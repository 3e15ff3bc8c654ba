//! The examples: for each `NN_name.txt`, what `NN_name.rs` and `NN_name.py` must print.

use std::fs;
use std::path::{Path, PathBuf};

use crate::python;
use crate::rust;
use crate::stage::{Outcome, Verdict};
use crate::tool::{Written, capture, command, target};

const FOLDER: &str = "examples";

pub(crate) fn run() -> Outcome {
    let sources = sources()?;
    if sources.is_empty() {
        return Ok(Verdict::Skipped(format!("there are no numbered examples in {FOLDER} yet")));
    }
    let venv = python::wheel_alone()?;
    rust::examples()?;
    for source in sources {
        let beside = source.with_extension("txt");
        let expected =
            fs::read_to_string(&beside).map_err(|error| format!("{}: {error}", beside.display()))?;
        let name = source.file_stem().unwrap_or_default().to_string_lossy();
        let mut example = if source.extension().is_some_and(|extension| extension == "py") {
            let mut example = python::python(&venv, &[]);
            example.arg(&source);
            example
        } else {
            command(target().join("debug").join("examples").join(&*name), &[])
        };
        let Written { success, output, errors } = capture(&mut example)?;
        if !success {
            return Err(format!("{} failed:\n{errors}", source.display()));
        }
        if output != expected {
            return Err(format!("{} printed:\n{output}\nand not:\n{expected}", source.display()));
        }
        println!("{} prints {}", source.display(), beside.display());
    }
    Ok(Verdict::Passed)
}

/// The files whose name starts with a digit.
fn sources() -> Result<Vec<PathBuf>, String> {
    let listed = fs::read_dir(Path::new(FOLDER)).map_err(|error| format!("{FOLDER}: {error}"))?;
    let mut files: Vec<PathBuf> = listed.filter_map(Result::ok).map(|entry| entry.path()).collect();
    files.retain(|file| {
        let numbered = file
            .file_name()
            .and_then(|name| name.to_str())
            .is_some_and(|name| name.starts_with(|c: char| c.is_ascii_digit()));
        numbered && file.extension().is_some_and(|extension| extension == "rs" || extension == "py")
    });
    files.sort();
    Ok(files)
}
