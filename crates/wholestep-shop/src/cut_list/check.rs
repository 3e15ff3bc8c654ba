//! What a length in a cut list must be.

use wholestep::error::{Quoted, Value};
use wholestep::measure::Unit;
use wholestep::{Error, ErrorKind, Exact, Length, LengthUnit, Measure, Result};

/// Refuses a length of 0 or less.
pub(crate) fn positive(
    subject: &'static str,
    parameter: &'static str,
    length: Length,
    unit: LengthUnit,
) -> Result<()> {
    if length > Length::ZERO {
        return Ok(());
    }
    Err(Error::new(ErrorKind::OutOfRange, subject)
        .about(parameter)
        .given(length.quoted(unit))
        .remedy("give a length above 0"))
}

/// Refuses a length below 0.
pub(crate) fn not_negative(
    subject: &'static str,
    parameter: &'static str,
    length: Length,
    unit: LengthUnit,
) -> Result<()> {
    if length >= Length::ZERO {
        return Ok(());
    }
    Err(Error::new(ErrorKind::OutOfRange, subject)
        .about(parameter)
        .given(length.quoted(unit))
        .at_least(Length::ZERO.quoted(unit)))
}

/// The error with its lengths told in `unit`, the job's, unless what was given was plainly written in
/// the unit that it is told in: 61 mm are no number of inches that anybody writes.
pub(crate) fn as_typed<U: Unit>(error: Error, unit: U) -> Error {
    let denominator = |quoted: Quoted, in_base: Exact| {
        quoted.base.checked_div(in_base).map_or(i128::MAX, Exact::denominator)
    };
    match error.given_value() {
        Some(Value::Measure(quoted))
            if quoted.order == 0
                && denominator(quoted, unit.in_base()) > denominator(quoted, quoted.unit.in_base) =>
        {
            error
        }
        _ => error.told_in(unit),
    }
}
