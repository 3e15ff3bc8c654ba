//! The first edge kernel, kept until the second has agreed with it on a hundred million edges: cubics
//! between anchors, every guess verified by an exact residual. A copy, so that nothing is shared.

mod guess;
mod leg;
mod profile;
mod pursuit;
mod segment;
mod walk;
mod wide;

use ethnum::I256;
use leg::Leg;
use profile::Profile;
use pursuit::Pursuit;
use walk::Quick;

/// The ticks of a profile's edges, as the first kernel decides them.
pub(crate) struct Edges {
    profile: Profile,
    walk: Walk,
}

enum Walk {
    Usual(Box<Quick>),
    Wide(Box<Leg<I256>>, Pursuit),
}

impl Edges {
    /// From edge `first` on, counted from 1.
    pub(crate) fn enter(planned: &wholestep::plan::Profile, first: u64) -> Self {
        let profile = Profile::of(planned);
        let walk = if profile.is_usual() {
            Walk::Usual(Box::new(Quick::enter(&profile, first)))
        } else {
            Walk::Wide(Box::new(Leg::enter(&profile, first)), Pursuit::enter(first))
        };
        Self { profile, walk }
    }

    /// Fills the slice and returns how many edges there were.
    pub(crate) fn fill(&mut self, ticks: &mut [u64]) -> usize {
        if let Walk::Usual(quick) = &mut self.walk {
            return quick.fill(&self.profile, ticks);
        }
        let mut filled = 0;
        for (slot, tick) in ticks.iter_mut().zip(self) {
            *slot = tick;
            filled += 1;
        }
        filled
    }
}

impl Iterator for Edges {
    type Item = u64;

    fn next(&mut self) -> Option<u64> {
        match &mut self.walk {
            Walk::Usual(quick) => quick.pull(&self.profile),
            Walk::Wide(leg, pursuit) => pursuit.next(leg, &self.profile),
        }
    }
}
