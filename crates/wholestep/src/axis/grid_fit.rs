//! What an axis can hold: which marks of a grid land exactly, and how far off the others are.

use super::Axis;
use crate::error::{Result, messages};
use crate::exact::Exact;
use crate::measure::Measure;
use crate::mechanism::Mechanism;

/// Which marks of a grid, such as the 64ths of an inch, an axis of uniform steps holds exactly.
///
/// Counted from a mark that lands exactly.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct GridFit<Q> {
    /// Every how many marks one lands exactly: 1 if all do.
    pub every: i128,
    /// The largest distance of any mark from its nearest step.
    pub worst: Q,
}

impl<Q: Measure> GridFit<Q> {
    /// Returns what steps of `travel` hold of a grid with a mark every `grid`.
    ///
    /// With grid ÷ travel = p/q in lowest terms, the n-th mark stands n·p/q steps on. It lands
    /// exactly for every q-th n, and the residues of the others are all the multiples of 1/q, of
    /// which the largest is ⌊q/2⌋/q of a step.
    ///
    /// ```
    /// use wholestep::axis::GridFit;
    /// use wholestep::{Exact, Length, LengthUnit, Measure};
    /// let travel = Length::from_base(Exact::new(1, 400)?)?;
    /// let fit = GridFit::of(travel, Length::new(Exact::new(1, 64)?, LengthUnit::Inch)?)?;
    /// assert_eq!(fit.every, 4);
    /// assert_eq!(fit.worst, Length::from_base(Exact::new(1, 800)?)?);
    /// # Ok::<(), wholestep::Error>(())
    /// ```
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) unless both are above zero.
    pub fn of(travel: Q, grid: Q) -> Result<Self> {
        if travel <= Q::ZERO || grid <= Q::ZERO {
            return Err(messages::MARKS_APART.error().given(travel.min(grid).quoted(Q::BASE)));
        }
        let every = grid.base().checked_div(travel.base())?.denominator();
        Ok(Self { every, worst: travel.checked_mul(Exact::new(every / 2, every)?)? })
    }
}

impl<M: Mechanism> Axis<M> {
    /// Returns what the axis holds of a grid with a mark every `grid`; `None` if its steps are not
    /// uniform.
    ///
    /// # Errors
    /// As [`GridFit::of`].
    pub fn grid_fit(&self, grid: M::Measure) -> Result<Option<GridFit<M::Measure>>> {
        let Some(travel) = self.mechanism().uniform_travel() else { return Ok(None) };
        GridFit::of(M::Measure::from_base(travel)?.abs(), grid).map(Some)
    }
}
