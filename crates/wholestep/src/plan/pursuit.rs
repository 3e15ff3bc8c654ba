//! Edge by edge from the definition, each guessed from the interval before it.

use super::leg::Leg;
use super::profile::Profile;
use super::wide::Wide;

#[derive(Clone, Copy, Debug)]
pub(super) struct Pursuit {
    /// The edge that comes next.
    pub(super) next: u64,
    tick: u64,
    interval: u64,
}

impl Pursuit {
    pub(super) const fn enter(first: u64) -> Self {
        Self { next: first, tick: 0, interval: 0 }
    }

    pub(super) fn next<W: Wide>(&mut self, leg: &mut Leg<W>, profile: &Profile) -> Option<u64> {
        if self.next > profile.steps() {
            return None;
        }
        leg.proceed(profile, self.next);
        let segment = &leg.segment;
        let guess = if self.interval == 0 {
            leg.blind_guess(self.next)
        } else {
            (self.tick + self.interval).saturating_sub(segment.start)
        };
        let tick = segment.start + segment.locate(self.next, guess).index;
        self.interval = if self.tick == 0 { 0 } else { tick - self.tick };
        self.tick = tick;
        self.next += 1;
        Some(tick)
    }
}
