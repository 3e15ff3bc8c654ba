//! The Python package: its wheel, built and tested in environments of its own under `target`.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::OnceLock;

use crate::stage::{Outcome, Verdict};
use crate::tool::{capture, command, run, target};

const PACKAGE: &str = "bindings/python";
const THIRD_PARTY: &str = "examples/python_mechanism";
const REQUIREMENTS: &str = "bindings/python/test-requirements.txt";

pub(crate) fn wheel() -> Outcome {
    environment()?;
    Ok(Verdict::Passed)
}

pub(crate) fn pytest() -> Outcome {
    run(python(environment()?, &["-m", "pytest", "-q"]).current_dir(PACKAGE))?;
    Ok(Verdict::Passed)
}

/// The acceptance matrix alone, with so many moves of each axis file.
pub(crate) fn acceptance(moves: &str) -> Outcome {
    run(python(environment()?, &["-m", "pytest", "-q", "tests/test_acceptance.py"])
        .env("ACCEPTANCE_MOVES", moves)
        .current_dir(PACKAGE))?;
    Ok(Verdict::Passed)
}

/// The package in the examples that adds a kind of mechanism, with its own tests, in an environment of
/// its own: once installed, its kind is among those known.
pub(crate) fn third_party() -> Outcome {
    environment()?;
    let venv = with_packages("venv-third-party", &["flit_core==3.12.0", "pytest==9.2.0"])?;
    install(&venv, &built()?)?;
    run(python(
        &venv,
        &["-m", "pip", "install", "--quiet", "--no-index", "--no-deps", "--no-build-isolation"],
    )
    .args(["--force-reinstall", THIRD_PARTY]))?;
    run(python(&venv, &["-m", "pytest", "-q"]).current_dir(THIRD_PARTY))?;
    Ok(Verdict::Passed)
}

/// A study wherever it can run, with a distributed engine that nothing else needs.
pub(crate) fn studies() -> Outcome {
    environment()?;
    let venv = with_packages("venv-studies", &["distributed==2026.8.0"])?;
    install(&venv, &built()?)?;
    run(&mut python(&venv, &["tests/studies/everywhere.py", "10000"]))?;
    Ok(Verdict::Passed)
}

pub(crate) fn stubs() -> Outcome {
    let tools = environment()?;
    run(python(tools, &["-m", "mypy", "python", "tests"]).current_dir(PACKAGE))?;
    run(python(tools, &["-m", "mypy", "--strict"]).args(examples()?))?;
    run(python(tools, &["-m", "mypy.stubtest", "wholestep"]).current_dir(PACKAGE))?;
    run(python(tools, &["-m", "basedpyright", "--level", "error", "--pythonpath"])
        .arg(interpreter(tools))
        .current_dir(PACKAGE))?;
    Ok(Verdict::Passed)
}

/// The examples in Python.
fn examples() -> Result<Vec<PathBuf>, String> {
    let listed = fs::read_dir("examples").map_err(|error| format!("examples: {error}"))?;
    let mut files: Vec<PathBuf> = listed.filter_map(Result::ok).map(|entry| entry.path()).collect();
    files.retain(|file| file.extension().is_some_and(|extension| extension == "py"));
    files.sort();
    Ok(files)
}

/// A Python interpreter of the machine, new enough for the package.
pub(crate) fn system() -> Result<&'static str, String> {
    const NEW_ENOUGH: &str = "import sys; sys.exit(sys.version_info < (3, 11))";
    ["python3", "python"]
        .into_iter()
        .find(|name| capture(&mut command(name, &["-c", NEW_ENOUGH])).is_ok_and(|written| written.success))
        .ok_or_else(|| "Python 3.11 or newer is needed, as `python3` or `python`".into())
}

/// The environment with the test tools and the wheel of the sources as they are now. Built once a run.
fn environment() -> Result<&'static Path, String> {
    static BUILT: OnceLock<Result<PathBuf, String>> = OnceLock::new();
    BUILT
        .get_or_init(|| {
            let venv = target().join("venv");
            if !interpreter(&venv).exists() {
                run(command(system()?, &["-m", "venv"]).arg(&venv))?;
            }
            run(&mut python(&venv, &["-m", "pip", "install", "--quiet", "--requirement", REQUIREMENTS]))?;
            install(&venv, &build(&venv)?)?;
            Ok(venv)
        })
        .as_deref()
        .map_err(Clone::clone)
}

/// A new environment that holds the wheel and nothing else, as a user's first one does.
pub(crate) fn wheel_alone() -> Result<PathBuf, String> {
    environment()?;
    let venv = target().join("venv-wheel-alone");
    run(command(system()?, &["-m", "venv", "--clear"]).arg(&venv))?;
    install(&venv, &built()?)?;
    Ok(venv)
}

/// The wheel of the sources as they are now.
pub(crate) fn wheel_file() -> Result<PathBuf, String> {
    environment()?;
    built()
}

/// An environment of its own name with packages from the registry.
pub(crate) fn with_packages(name: &str, packages: &[&str]) -> Result<PathBuf, String> {
    let venv = target().join(name);
    if !interpreter(&venv).exists() {
        run(command(system()?, &["-m", "venv"]).arg(&venv))?;
    }
    run(python(&venv, &["-m", "pip", "install", "--quiet"]).args(packages))?;
    Ok(venv)
}

/// The folder of an environment's programs.
pub(crate) fn programs(venv: &Path) -> PathBuf {
    venv.join(if cfg!(windows) { "Scripts" } else { "bin" })
}

/// An environment's interpreter, about to be run.
pub(crate) fn python(venv: &Path, arguments: &[&str]) -> Command {
    command(interpreter(venv), arguments)
}

fn interpreter(venv: &Path) -> PathBuf {
    programs(venv).join(Path::new("python").with_extension(std::env::consts::EXE_EXTENSION))
}

fn wheels() -> PathBuf {
    target().join("wheels")
}

fn build(venv: &Path) -> Result<PathBuf, String> {
    if wheels().exists() {
        fs::remove_dir_all(wheels()).map_err(|error| format!("{}: {error}", wheels().display()))?;
    }
    run(python(venv, &["-m", "maturin", "build", "--release", "--locked", "--manifest-path"])
        .arg(Path::new(PACKAGE).join("Cargo.toml"))
        .arg("--out")
        .arg(wheels()))?;
    built()
}

/// The one wheel that [`build`] made.
fn built() -> Result<PathBuf, String> {
    let listed = fs::read_dir(wheels()).map_err(|error| format!("{}: {error}", wheels().display()))?;
    match listed.filter_map(Result::ok).map(|entry| entry.path()).collect::<Vec<_>>().as_slice() {
        [wheel] => Ok(wheel.clone()),
        several => Err(format!("one wheel was expected, not {}", several.len())),
    }
}

fn install(venv: &Path, wheel: &Path) -> Result<(), String> {
    run(python(venv, &["-m", "pip", "install", "--quiet", "--no-index", "--no-deps", "--force-reinstall"])
        .arg(wheel))
}
