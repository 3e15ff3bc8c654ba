//! The native half of the Python package `wholestep`: one file for each class.

#![allow(
    clippy::doc_markdown,
    clippy::doc_link_with_quotes,
    reason = "docstrings are read by Python, not rustdoc"
)]

use pyo3::prelude::*;

mod command;

/// The native half of `wholestep`; import `wholestep` instead.
#[pymodule(gil_used = false)]
mod _native {
    #[pymodule_export]
    use super::command::command;

    #[pymodule_export]
    #[expect(non_upper_case_globals, reason = "the name Python gives a package's version")]
    const __version__: &str = env!("CARGO_PKG_VERSION");
}
