//! What a mechanism was caught at.

use std::fmt;

use wholestep::Error;

/// What a mechanism promises, and where it broke the promise.
///
/// Shown as one line that names the step.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Failure {
    promise: &'static str,
    step: Option<i64>,
    found: String,
}

impl Failure {
    pub(super) fn new(promise: &'static str, found: impl Into<String>) -> Self {
        Self { promise, step: None, found: found.into() }
    }

    pub(super) fn at(promise: &'static str, step: i64, found: impl Into<String>) -> Self {
        Self { promise, step: Some(step), found: found.into() }
    }

    /// An error where an answer was due.
    pub(super) fn error(step: i64, error: &Error) -> Self {
        Self::at("every step of the span has a position", step, error.to_string())
    }

    /// Returns the promise that was broken.
    pub const fn promise(&self) -> &'static str {
        self.promise
    }

    /// Returns the step at which it was, if it was at one.
    pub const fn step(&self) -> Option<i64> {
        self.step
    }
}

impl fmt::Display for Failure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.step {
            Some(step) => write!(f, "at step {step}: {}; but {}", self.found, self.promise),
            None => write!(f, "{}; but {}", self.found, self.promise),
        }
    }
}

impl std::error::Error for Failure {}
