//! The same edges as intervals of 32 bits, as a timer that is fed by direct memory access wants them.

use core::iter::FusedIterator;

use super::edges::Edges;
use super::error::PlanError;
use super::profile::Profile;

/// The most ticks an interval can have.
const MOST: u64 = u32::MAX as u64;

/// Ticks from each edge of a profile to the next; the first is counted from the profile's start.
///
/// ```
/// # use num_rational::Ratio;
/// # use wholestep::plan::{StepLimits, StepRates};
/// # let rates = StepRates {
/// #     speed: Ratio::from(1_000),
/// #     acceleration: Ratio::from(8_000),
/// #     deceleration: Ratio::from(8_000),
/// #     start_speed: Ratio::from(0),
/// #     jerk: None,
/// # };
/// let profile = StepLimits::new(rates, 1_000_000)?.profile(4)?;
/// assert!(profile.edges().eq([11_181, 19_365, 25_357, 33_542]));
/// let mut intervals = [0; 8];
/// assert_eq!(profile.intervals()?.fill(&mut intervals), 4);
/// assert_eq!(intervals[..4], [11_181, 8_184, 5_992, 8_185]);
/// # Ok::<(), wholestep::plan::PlanError>(())
/// ```
#[derive(Clone, Debug)]
pub struct Intervals {
    edges: Edges,
    /// The tick of the last edge.
    last: u64,
}

impl Profile {
    /// Returns the intervals between all edges.
    ///
    /// # Errors
    /// [`PlanError::IntervalTooLong`] unless every interval is below 2^32 - 1 ticks.
    pub fn intervals(&self) -> Result<Intervals, PlanError> {
        // Speed rises and then falls, so the longest is the first, the second or the last; but two
        // edges rounded may be a tick further apart than two others that are further apart in truth.
        let mut longest = 0;
        for edge in [1, 2, self.steps()] {
            if (1..=self.steps()).contains(&edge) {
                let before = if edge == 1 { 0 } else { self.edge(edge - 1)? };
                longest = longest.max(self.edge(edge)? - before);
            }
        }
        if longest >= MOST {
            return Err(PlanError::IntervalTooLong { given: longest, most: MOST - 1 });
        }
        Ok(Intervals { edges: self.edges(), last: 0 })
    }
}

impl Intervals {
    /// Fills the slice with the next intervals and returns how many there were; fewer than its
    /// length only at the end. The same as one by one.
    pub fn fill(&mut self, intervals: &mut [u32]) -> usize {
        let mut ticks = [0; 64];
        let mut filled = 0;
        for piece in intervals.chunks_mut(ticks.len()) {
            let found = self.edges.fill(&mut ticks[..piece.len()]);
            for (interval, &tick) in piece.iter_mut().zip(&ticks[..found]) {
                *interval = self.until(tick);
            }
            filled += found;
        }
        filled
    }

    /// The interval that ends at this tick.
    #[inline]
    #[expect(clippy::cast_possible_truncation, reason = "the longest is known to fit")]
    const fn until(&mut self, tick: u64) -> u32 {
        let interval = tick - self.last;
        self.last = tick;
        interval as u32
    }
}

impl Iterator for Intervals {
    type Item = u32;

    #[inline]
    fn next(&mut self) -> Option<u32> {
        self.edges.next().map(|tick| self.until(tick))
    }

    fn size_hint(&self) -> (usize, Option<usize>) {
        self.edges.size_hint()
    }
}

impl FusedIterator for Intervals {}
