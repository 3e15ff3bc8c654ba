//! The kernel: the tick of every edge, pulled one at a time or filled into a
//! slice, in constant memory.

use core::iter::FusedIterator;

use crate::exact::I256;

use super::error::PlanError;
use super::leg::Leg;
use super::profile::Profile;
use super::pursuit::Pursuit;
use super::quick::Quick;

/// The ticks of a profile's edges, in order; edge `k` (from 1) is where the
/// position passes `k - 1/2`, rounded to the nearest tick, half up.
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
/// let edges: Vec<u64> = profile.edges().collect();
/// assert_eq!(edges, [11_181, 19_365, 25_357, 33_542]);
/// assert!(profile.edges_from(3)?.eq([25_357, 33_542]));
/// # Ok::<(), wholestep::plan::PlanError>(())
/// ```
#[derive(Clone, Debug)]
pub struct Edges {
    profile: Profile,
    walk: Walk,
}

#[derive(Clone, Debug)]
#[expect(clippy::large_enum_variant, reason = "the usual one is the larger, and there is no heap")]
enum Walk {
    Usual(Quick),
    Wide(Slow),
}

impl Profile {
    /// Returns all edges.
    pub fn edges(&self) -> Edges {
        Edges::enter(*self, 1)
    }

    /// Returns the edges from edge `first` on, counted from 1; `steps + 1` gives none.
    ///
    /// # Errors
    /// An edge the profile does not have.
    pub fn edges_from(&self, first: u64) -> Result<Edges, PlanError> {
        if first == 0 || first > self.steps() + 1 {
            return Err(PlanError::EdgeOutOfRange { given: first, last: self.steps() });
        }
        Ok(Edges::enter(*self, first))
    }

    /// Returns the tick of edge `k`, counted from 1.
    ///
    /// # Errors
    /// An edge the profile does not have.
    pub fn edge(&self, k: u64) -> Result<u64, PlanError> {
        let mut tick = [0];
        match self.edges_from(k)?.fill(&mut tick) {
            0 => Err(PlanError::EdgeOutOfRange { given: k, last: self.steps() }),
            _ => Ok(tick[0]),
        }
    }
}

impl Edges {
    fn enter(profile: Profile, first: u64) -> Self {
        let walk = if profile.is_usual() {
            Walk::Usual(Quick::enter(&profile, first))
        } else {
            Walk::Wide(Slow { leg: Leg::enter(&profile, first), pursuit: Pursuit::enter(first) })
        };
        Self { profile, walk }
    }

    /// Returns the profile whose edges they are.
    #[inline]
    pub const fn profile(&self) -> &Profile {
        &self.profile
    }

    /// Returns the edge that comes next, counted from 1; one past the last at the end.
    #[inline]
    pub const fn next_edge(&self) -> u64 {
        match &self.walk {
            Walk::Usual(quick) => quick.next_edge(),
            Walk::Wide(slow) => slow.pursuit.next,
        }
    }

    /// Fills the slice with the next edges and returns how many there were;
    /// fewer than its length only at the end. The same ticks as one by one.
    pub fn fill(&mut self, ticks: &mut [u64]) -> usize {
        match &mut self.walk {
            Walk::Usual(quick) => quick.fill(&self.profile, ticks),
            Walk::Wide(_) => {
                let mut filled = 0;
                for (slot, tick) in ticks.iter_mut().zip(self) {
                    *slot = tick;
                    filled += 1;
                }
                filled
            }
        }
    }
}

impl Iterator for Edges {
    type Item = u64;

    #[inline]
    fn next(&mut self) -> Option<u64> {
        match &mut self.walk {
            Walk::Usual(quick) => quick.pull(&self.profile),
            Walk::Wide(slow) => slow.next(&self.profile),
        }
    }

    fn size_hint(&self) -> (usize, Option<usize>) {
        let rest = self.profile.steps() + 1 - self.next_edge();
        let rest = usize::try_from(rest).ok();
        (rest.unwrap_or(usize::MAX), rest)
    }
}

impl FusedIterator for Edges {}

/// Edge by edge from the definition, in 256 bits: for moves beyond usual sizes.
#[derive(Clone, Debug)]
struct Slow {
    leg: Leg<I256>,
    pursuit: Pursuit,
}

impl Slow {
    fn next(&mut self, profile: &Profile) -> Option<u64> {
        self.pursuit.next(&mut self.leg, profile)
    }
}
