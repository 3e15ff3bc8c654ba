//! What is wrong with a parameter, in its own unit.

/// A machine that cannot exist, and what to change.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum ParameterError {
    /// A value outside its range.
    #[error("{parameter} is {given} {unit}; allowed is {lowest} to {highest} {unit}")]
    OutOfRange {
        /// Which parameter.
        parameter: &'static str,
        /// What was given.
        given: f64,
        /// The least allowed, in `unit`.
        lowest: f64,
        /// The greatest allowed, in `unit`.
        highest: f64,
        /// The SI unit.
        unit: &'static str,
    },
    /// Values that contradict each other.
    #[error("{parameter}: {reason}")]
    Contradiction {
        /// Which parameter.
        parameter: &'static str,
        /// What contradicts what, and what to do.
        reason: &'static str,
    },
    /// A fault that has no such name.
    #[error("`{given}` is not the name of a fault; the names are {known}")]
    UnknownFault {
        /// What was given.
        given: String,
        /// Every name, separated by commas.
        known: String,
    },
}

/// Accepts `given` from `lowest` to `highest`, both included; refuses everything else, NaN too.
pub(crate) fn within(
    parameter: &'static str,
    given: f64,
    (lowest, highest): (f64, f64),
    unit: &'static str,
) -> Result<(), ParameterError> {
    if given >= lowest && given <= highest {
        return Ok(());
    }
    Err(ParameterError::OutOfRange { parameter, given, lowest, highest, unit })
}

/// Accepts what `holds`.
pub(crate) fn consistent(
    parameter: &'static str,
    holds: bool,
    reason: &'static str,
) -> Result<(), ParameterError> {
    if holds { Ok(()) } else { Err(ParameterError::Contradiction { parameter, reason }) }
}
