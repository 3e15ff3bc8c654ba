//! What a length in a cut list must be.

use wholestep::{Error, ErrorKind, Length, LengthUnit, Measure, Result};

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
