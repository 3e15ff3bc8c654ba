//! Campaigns too long for every change.

use crate::python;
use crate::stage::{Outcome, Verdict};
use crate::tool::{capture, cargo, command, run, target};

/// The oldest Rust promised, which is the workspace's own.
const OLDEST_RUST: &str = env!("CARGO_PKG_RUST_VERSION");

pub(crate) fn properties() -> Outcome {
    run(cargo(&["test", "--release", "--workspace", "--lib", "--tests"]).env("PROPTEST_CASES", "20000"))?;
    Ok(Verdict::Passed)
}

pub(crate) fn lives() -> Outcome {
    let threads = std::thread::available_parallelism().map_or(1, usize::from).to_string();
    let arguments =
        ["run", "--release", "-p", "wholestep-tests", "--bin", "campaign", "--", "--lives", "1000000"];
    run(cargo(&arguments).args(["--seed", "1000000", "--threads", &threads]))?;
    Ok(Verdict::Passed)
}

/// Some hundred million edges, the same however they are asked for, and some of each plan by the definition.
pub(crate) fn kernel() -> Outcome {
    run(cargo(&[
        "test",
        "--release",
        "--package",
        "wholestep",
        "--test",
        "plan_kernel",
        "--",
        "--nocapture",
    ])
    .env("KERNEL_PLANS", "30000"))?;
    Ok(Verdict::Passed)
}

/// The acceptance matrix, in Rust and in Python, with more moves than there is time for at every change.
pub(crate) fn acceptance() -> Outcome {
    run(cargo(&["test", "--release", "--package", "wholestep-tests", "--test", "acceptance"])
        .env("ACCEPTANCE_MOVES", "50000"))?;
    python::acceptance("10000")
}

pub(crate) fn oldest_rust() -> Outcome {
    let toolchain = format!("+{OLDEST_RUST}");
    let there = capture(&mut command("rustc", &[&toolchain, "--version"]));
    if !there.is_ok_and(|written| written.success) {
        return Ok(Verdict::Skipped(format!(
            "Rust {OLDEST_RUST} is not installed (`rustup install {OLDEST_RUST}`)"
        )));
    }
    run(command("cargo", &[&toolchain, "check", "--workspace", "--target-dir"])
        .arg(target().join("oldest-rust"))
        .env_remove("CARGO")
        .env_remove("RUSTC")
        .env_remove("RUSTUP_TOOLCHAIN"))?;
    Ok(Verdict::Passed)
}
