//! Which machine a step number belongs to.

use core::fmt;

use crate::bounds::RECKONED_PARTS;
use crate::error::{Error, Result, Value, messages};
use crate::exact::{Enclosure, Rounding, divide_down};
use crate::measure::Measure;
use crate::mechanism::Mechanism;

/// Which machine a step number belongs to: 64 bits worked out from what the mechanism measures, its
/// span, and where both ends of the span stand from the datum.
///
/// Soft limits, rates, approach and a temporary zero do not enter it, since none of them moves a step.
/// It is the same in every process, on every platform and in every language. Two machines whose spans
/// end at the same places, to 1e-12 of a millimetre or degree, are not told apart.
///
/// ```
/// # use wholestep::axis::{Axis, Rates, AxisConfig};
/// # use wholestep::mechanism::{DriveTrain, Linear, StepMode};
/// # use wholestep::{Acceleration, Exact, LengthUnit, Measure, Rounding, Speed};
/// # let motor = DriveTrain::new("1.8 deg".parse()?, StepMode::new(16)?)?;
/// # let rates = Rates::new(Speed::from_base(Exact::integer(40))?, Acceleration::from_base(Exact::integer(200))?);
/// # let settings = AxisConfig::new(LengthUnit::Millimetre, "0 mm".parse()?, "60 mm".parse()?, rates);
/// let axis = |lead: &str| Axis::new(Linear::lead_screw_by_lead(motor, lead.parse()?)?, settings);
/// let (fine, coarse) = (axis("3 mm")?, axis("8 mm")?);
/// assert_eq!(fine.fingerprint(), fine.with_zero("1/3 in".parse()?)?.fingerprint());
/// assert_ne!(fine.fingerprint(), coarse.fingerprint());
/// let error = coarse.place_by(&fine.place("1 mm".parse()?, Rounding::Nearest)?, "1 mm".parse()?, Rounding::Nearest);
/// assert_eq!(error.unwrap_err().kind(), wholestep::ErrorKind::OtherAxis);
/// # Ok::<(), wholestep::Error>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Fingerprint(u64);

impl Fingerprint {
    /// That of a mechanism whose own zero stands at `datum`.
    pub(super) fn of<M: Mechanism>(mechanism: &M, datum: M::Measure) -> Result<Self> {
        let (first, last) = mechanism.span().into_inner();
        let mut hash = Fnv::new();
        hash.write(M::Measure::NAME.as_bytes());
        for end in [first, last] {
            let position = mechanism.position_at(end, mechanism.finest_width())?.base();
            // Not as a measure: with the datum, an end may lie past what a measure can be.
            let from_datum = position.checked_add(Enclosure::exact(datum.base()))?.outward()?.low();
            hash.write(&end.to_le_bytes());
            hash.write(&parts(from_datum).to_le_bytes());
        }
        Ok(Self(hash.0))
    }

    /// Returns the 64 bits.
    pub const fn as_u64(self) -> u64 {
        self.0
    }

    /// Refuses what belongs to another machine, whose fingerprint is `of`.
    ///
    /// # Errors
    /// [`ErrorKind::OtherAxis`](crate::ErrorKind::OtherAxis).
    pub fn check(self, of: Self) -> Result<()> {
        if self == of { Ok(()) } else { Err(self.refuse(of)) }
    }

    /// The error for what belongs to the machine `of` and was given to this one.
    pub(crate) fn refuse(self, of: Self) -> Error {
        messages::OTHER_AXIS.error().given(Value::Fingerprint(of.0)).only(Value::Fingerprint(self.0))
    }
}

impl fmt::Display for Fingerprint {
    /// Sixteen hexadecimal digits.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        Value::Fingerprint(self.0).fmt(f)
    }
}

/// In whole parts of the base unit. Its denominator is at most 2^64, so the product of the rest is
/// below 2^104.
fn parts(value: crate::exact::Exact) -> i128 {
    let (numerator, denominator) = (value.numerator(), value.denominator());
    let (whole, rest) = divide_down(numerator, denominator);
    whole * RECKONED_PARTS + Rounding::Nearest.split(rest * RECKONED_PARTS, denominator).0
}

/// FNV-1a with 64 bits, by Fowler, Noll and Vo, “The FNV Non-Cryptographic Hash Algorithm” (memory), as
/// are the test values below.
struct Fnv(u64);

impl Fnv {
    const fn new() -> Self {
        Self(0xcbf2_9ce4_8422_2325)
    }

    fn write(&mut self, bytes: &[u8]) {
        for byte in bytes {
            self.0 = (self.0 ^ u64::from(*byte)).wrapping_mul(0x0000_0100_0000_01b3);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_hash_is_the_published_one() {
        // From memory of the draft's test vectors.
        for (text, expected) in
            [("", 0xcbf2_9ce4_8422_2325), ("a", 0xaf63_dc4c_8601_ec8c), ("foobar", 0x8594_4171_f739_67e8)]
        {
            let mut hash = Fnv::new();
            hash.write(text.as_bytes());
            assert_eq!(hash.0, expected, "{text}");
        }
    }
}
