//! Whole units of a common measure, so that nesting adds and compares integers.

use crate::messages;
use num_integer::Integer;
use wholestep::bounds::MEASURE_DENOMINATOR_MAX;
use wholestep::{Exact, Length, Measure, Result};

/// A fraction of a millimetre of which several lengths are whole multiples.
#[derive(Clone, Copy, Debug)]
pub(super) struct Units {
    /// How many make a millimetre.
    in_millimetre: i128,
}

impl Units {
    pub(super) fn common(lengths: impl IntoIterator<Item = Length>) -> Result<Self> {
        let mut in_millimetre = 1_i128;
        for length in lengths {
            // Both are at most 2^64, and the multiple is formed by dividing first.
            let denominator = length.base().denominator();
            let multiple = (in_millimetre / in_millimetre.gcd(&denominator)).checked_mul(denominator);
            in_millimetre = multiple
                .filter(|multiple| *multiple <= MEASURE_DENOMINATOR_MAX)
                .ok_or_else(|| messages::LENGTHS_OF_THE_CUT_LIST.error())?;
        }
        Ok(Self { in_millimetre })
    }

    /// How many units a length is that was among those that the units were made for.
    pub(super) fn count(self, length: Length) -> i128 {
        length.base().numerator() * (self.in_millimetre / length.base().denominator())
    }

    pub(super) fn length(self, count: i128) -> Result<Length> {
        Length::from_base(Exact::new(count, self.in_millimetre)?)
    }
}
