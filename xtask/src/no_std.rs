//! The core without an operating system, and without a heap.
//!
//! Building with `--no-default-features` proves little on a host, where any dependency may bring
//! the standard library in unseen. So the built core is linked into a library that has a panic
//! handler of its own, which the compiler refuses beside the standard library's, and that has no
//! allocator, which it refuses if anything needs a heap. That the check can fail is shown each time.

use std::process::Command;

use crate::stage::{Outcome, Verdict};
use crate::tool::{capture, cargo, command, run, target};

pub(crate) fn check() -> Outcome {
    build("heapless", &[])?;
    build("heap", &["--features", "alloc,serde"])?;
    build("hosted", &["--features", "std"])?;

    links("heapless", false)?;
    links("heap", true)?;
    refused("heap", false, "no global memory allocator")?;
    refused("hosted", true, "panic_impl")?;
    Ok(Verdict::Passed)
}

/// Builds the core with the given features into a folder of its own.
fn build(name: &str, features: &[&str]) -> Result<(), String> {
    let folder = target().join("no_std").join(name);
    run(cargo(&["build", "--package", "wholestep", "--no-default-features"])
        .args(features)
        .args(["--config", "profile.dev.panic='abort'"])
        // It is linked and never run.
        .args(["--config", "profile.dev.package.wholestep.opt-level=0", "--target-dir"])
        .arg(folder))
}

fn links(name: &str, heap: bool) -> Result<(), String> {
    let written = capture(&mut link(name, heap))?;
    if written.success {
        Ok(())
    } else {
        Err(format!("the core built as `{name}` does not link:\n{}", written.errors))
    }
}

/// The same link with something forbidden in it: it must fail, and for the expected reason.
fn refused(name: &str, heap: bool, reason: &str) -> Result<(), String> {
    let written = capture(&mut link(name, heap))?;
    if !written.success && written.errors.contains(reason) {
        Ok(())
    } else {
        Err(format!("linking the core built as `{name}` should fail with `{reason}`:\n{}", written.errors))
    }
}

fn link(name: &str, heap: bool) -> Command {
    let folder = target().join("no_std").join(name).join("debug");
    let compiler = std::env::var_os("RUSTC").unwrap_or_else(|| "rustc".into());
    let mut link =
        command(compiler, &["--edition", "2024", "--crate-type", "staticlib", "-C", "panic=abort"]);
    if heap {
        link.args(["--cfg", "heap"]);
    }
    link.arg("--extern").arg(format!("wholestep={}", folder.join("libwholestep.rlib").display()));
    link.arg("-L").arg(format!("dependency={}", folder.join("deps").display()));
    link.arg("-o").arg(target().join("no_std").join("linked.a")).arg("xtask/no_std/lib.rs");
    link
}
