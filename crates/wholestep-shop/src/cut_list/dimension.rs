//! Lengths as a person is told them.

use core::fmt;

use serde::{Serialize, Serializer};
use wholestep::{Enclosure, Length, LengthUnit, Measure};

/// An exact length and the unit in which it is told.
///
/// Written, and serialized, exactly: the decimal if it is short, otherwise the fraction.
///
/// ```
/// use wholestep::{Exact, Length, LengthUnit, Measure};
/// use wholestep_shop::cut_list::Dimension;
/// let length = Length::new(Exact::new(89, 8)?, LengthUnit::Inch)?;
/// assert_eq!(Dimension { length, unit: LengthUnit::Inch }.to_string(), "11.125 in");
/// # Ok::<(), wholestep::Error>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Dimension {
    /// The length.
    pub length: Length,
    /// The unit.
    pub unit: LengthUnit,
}

impl fmt::Display for Dimension {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.length.quoted(self.unit).fmt(f)
    }
}

impl Serialize for Dimension {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

/// Two bounds with the true length between them, and the unit in which they are told.
///
/// Both are the same where the length is known exactly. Serialized as `low` and `high`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Bounds {
    /// The lower bound.
    pub low: Dimension,
    /// The upper bound.
    pub high: Dimension,
}

impl Bounds {
    /// Returns the bounds of `enclosure`, told in `unit`.
    pub fn of(enclosure: Enclosure<Length>, unit: LengthUnit) -> Self {
        let told = |length| Dimension { length, unit };
        Self { low: told(enclosure.low()), high: told(enclosure.high()) }
    }

    /// Tells whether the length is known exactly.
    pub fn is_exact(&self) -> bool {
        self.low.length == self.high.length
    }
}
