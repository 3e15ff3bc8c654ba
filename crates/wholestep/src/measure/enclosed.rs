//! Enclosures of a measure, moved and scaled without losing the truth between their bounds.

use super::Measure;
use crate::error::Result;
use crate::exact::{Enclosure, Exact};

impl<M: Measure> Enclosure<M> {
    /// The same enclosure moved by `distance` base units.
    ///
    /// Unless it is exact, its bounds are then rounded outward to multiples of 2^-62, which a
    /// measure can hold whatever the denominator of the distance.
    ///
    /// # Errors
    /// [`ErrorKind`](crate::ErrorKind) `Overflow` or `OutOfRange` where a bound does not fit.
    pub(crate) fn moved(self, distance: Exact) -> Result<Self> {
        self.base().map(|bound| bound.add(distance))?.outward()?.map(M::from_base)
    }

    /// From this position to `there`, as bounds of the distance.
    ///
    /// # Errors
    /// As [`moved`](Self::moved).
    pub(crate) fn distance_to(self, there: Self) -> Result<Self> {
        let (here, there) = (self.base(), there.base());
        let distance = Enclosure::new(there.low().sub(here.high())?, there.high().sub(here.low())?)?;
        distance.outward()?.map(M::from_base)
    }

    /// The bounds in base units (millimetres, degrees).
    pub fn base(&self) -> Enclosure<Exact> {
        Enclosure::raw(self.low().base(), self.high().base())
    }
}
