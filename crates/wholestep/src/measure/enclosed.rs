//! Arithmetic on the enclosure of a measure.

use super::Measure;
use crate::error::Result;
use crate::exact::{Enclosure, Exact};

impl<M: Measure> Enclosure<M> {
    /// The bounds in base units (millimetres, degrees).
    pub fn base(&self) -> Enclosure<Exact> {
        Enclosure::raw(self.low().base(), self.high().base())
    }

    /// The enclosure of `self + distance`; unless it is exact, its bounds move outward to multiples
    /// of 2^-62, so that they still fit.
    ///
    /// # Errors
    /// [`ErrorKind::Overflow`](crate::ErrorKind::Overflow) or
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange).
    pub(crate) fn shifted(self, distance: Exact) -> Result<Self> {
        self.base().map(|bound| bound.add(distance))?.outward()?.map(M::from_base)
    }

    /// The enclosure of `there - self`, rounded outward alike.
    ///
    /// # Errors
    /// As [`shifted`](Self::shifted).
    pub(crate) fn distance_to(self, there: Self) -> Result<Self> {
        let (here, there) = (self.base(), there.base());
        let distance = Enclosure::new(there.low().sub(here.high())?, there.high().sub(here.low())?)?;
        distance.outward()?.map(M::from_base)
    }
}
