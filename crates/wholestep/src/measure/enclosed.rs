//! Arithmetic on the enclosure of a measure.

use super::Measure;
use crate::error::Result;
use crate::exact::{Enclosure, Exact};

impl<M: Measure> Enclosure<M> {
    /// The enclosure of `self + distance`; unless it is exact, its bounds move outward to multiples
    /// of 2^-62, so that they still fit.
    ///
    /// # Errors
    /// [`ErrorKind::Overflow`] or [`ErrorKind::OutOfRange`].
    pub(crate) fn shifted(self, distance: Exact) -> Result<Self> {
        self.map(|bound| bound.base().add(distance))?.outward()?.map(M::from_base)
    }
}
