//! What a length in a cut list must be.

use wholestep::error::Value;
use wholestep::{Error, ErrorKind, Exact, Length, LengthUnit, Measure, Result};

/// Refuses a length of 0 or less.
pub(crate) fn positive(subject: &'static str, length: Length, unit: LengthUnit) -> Result<()> {
    if length > Length::ZERO {
        return Ok(());
    }
    Err(Error::new(ErrorKind::OutOfRange, subject).given(length.quoted(unit)).remedy("give a length above 0"))
}

/// Refuses a length below 0.
pub(crate) fn not_negative(subject: &'static str, length: Length, unit: LengthUnit) -> Result<()> {
    if length >= Length::ZERO {
        return Ok(());
    }
    Err(Error::new(ErrorKind::OutOfRange, subject)
        .given(length.quoted(unit))
        .at_least(Length::ZERO.quoted(unit)))
}

/// The error with its lengths told in `unit`, the job's, unless what was given was plainly written in
/// the unit that it is told in: 61 mm are no number of inches that anybody writes.
pub(crate) fn as_typed(error: Error, unit: LengthUnit) -> Error {
    let plainer = |base: Exact, told: LengthUnit| {
        let value = |unit| Length::from_base(base).and_then(|length| length.value_in(unit));
        let denominator = |unit| value(unit).map_or(i128::MAX, Exact::denominator);
        denominator(unit) <= denominator(told)
    };
    match error.given_value() {
        Some(Value::Length(base, told)) if !plainer(base, told) => error,
        _ => error.told_in(unit),
    }
}
