//! What would be published, packed and checked; publishing itself is not done.

use std::ffi::OsStr;

use crate::python;
use crate::stage::{Outcome, Verdict};
use crate::tool::{cargo, command, run};

/// The crates that are for others; each is packed, and built from its package.
const CRATES: [&str; 5] =
    ["wholestep", "wholestep-files", "wholestep-twin", "wholestep-shop", "wholestep-cli"];

pub(crate) fn check() -> Outcome {
    run(cargo(&["package", "--allow-dirty"]).args(CRATES.iter().flat_map(|name| ["--package", name])))?;
    let wheel = python::wheel_file()?;
    let venv = python::with_packages("venv-package", &["twine==6.2.0", "auditwheel==6.5.0"])?;
    let tool = |name: &str, arguments: &[&OsStr]| {
        run(command(python::programs(&venv).join(name), &[]).args(arguments))
    };
    tool("twine", &["check".as_ref(), "--strict".as_ref(), wheel.as_os_str()])?;
    tool("auditwheel", &["show".as_ref(), wheel.as_os_str()])?;
    Ok(Verdict::Passed)
}
