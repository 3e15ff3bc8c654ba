//! The usual walk at full speed, in the way that suits each stretch of the profile.

use super::leg::Leg;
use super::profile::Profile;
use super::walk::Blocks;
use super::way::Way;

/// Edges worked out together when they are pulled one by one; few where no operating system is, and with it
/// often an interrupt that waits for them.
const AHEAD: usize = if WAITED_FOR { 8 } else { 32 };

/// Then also no more than one thing that takes long is done at a time.
const WAITED_FOR: bool = !cfg!(feature = "std");

#[derive(Clone, Debug)]
pub(super) struct Quick {
    walk: Walk,
    /// Edges worked out ahead, of which `given` have been pulled.
    ahead: [u64; AHEAD],
    ready: usize,
    given: usize,
}

/// Stretch after stretch.
#[derive(Clone, Debug)]
struct Walk {
    leg: Leg<i128>,
    way: Way<Blocks>,
    /// The last edge that the way serves; zero before the first is chosen.
    until: u64,
    /// The edge after the last worked out.
    next: u64,
    /// The tick of the last worked out, and how long after the one before that was.
    last: u64,
    interval: u64,
}

impl Quick {
    pub(super) fn enter(profile: &Profile, first: u64) -> Self {
        let walk = Walk {
            leg: Leg::enter(profile, first),
            way: Way::Blocks(Blocks::enter(first, 0)),
            until: 0,
            next: first,
            last: 0,
            interval: 0,
        };
        Self { walk, ahead: [0; AHEAD], ready: 0, given: 0 }
    }

    /// The edge that comes next.
    #[inline]
    pub(super) const fn next_edge(&self) -> u64 {
        self.walk.next - (self.ready - self.given) as u64
    }

    #[inline]
    pub(super) fn pull(&mut self, profile: &Profile) -> Option<u64> {
        if self.given == self.ready {
            self.work_ahead(profile);
            if self.ready == 0 {
                return None;
            }
        }
        let tick = self.ahead[self.given % AHEAD];
        self.given += 1;
        Some(tick)
    }

    #[inline(never)]
    fn work_ahead(&mut self, profile: &Profile) {
        let count = if WAITED_FOR { self.walk.at_hand().min(AHEAD) } else { AHEAD };
        self.ready = self.walk.work(profile, &mut self.ahead[..count]);
        self.given = 0;
    }

    pub(super) fn fill(&mut self, profile: &Profile, ticks: &mut [u64]) -> usize {
        let pulled = (self.ready - self.given).min(ticks.len());
        let (first, rest) = ticks.split_at_mut(pulled);
        first.copy_from_slice(&self.ahead[self.given..self.given + pulled]);
        self.given += pulled;
        pulled + self.walk.work(profile, rest)
    }
}

impl Walk {
    /// How many edges come next without another way or anchor; at least one.
    fn at_hand(&self) -> usize {
        let left = usize::try_from((self.until + 1).saturating_sub(self.next)).unwrap_or(usize::MAX);
        match &self.way {
            Way::Blocks(blocks) if left > 0 => blocks.at_hand().min(left),
            _ => left.max(1),
        }
    }

    /// Works out the next edges; returns how many there were.
    fn work(&mut self, profile: &Profile, ticks: &mut [u64]) -> usize {
        let mut rest = ticks;
        let length = rest.len();
        while !rest.is_empty() && self.next <= profile.steps() {
            if self.next > self.until {
                self.choose(profile);
            }
            let count =
                usize::try_from(self.until + 1 - self.next).map_or(rest.len(), |left| left.min(rest.len()));
            let (now, later) = rest.split_at_mut(count);
            match &mut self.way {
                Way::Carry(carry) => carry.work(now),
                Way::Roots(roots) => roots.work(&self.leg.segment, self.next, profile.steps(), now),
                Way::Blocks(blocks) => blocks.work(&self.leg, now),
            }
            let last = now[count - 1];
            self.interval = last - if count > 1 { now[count - 2] } else { self.last };
            self.last = last;
            self.next += count as u64;
            rest = later;
        }
        length - rest.len()
    }

    /// The way for the edges from the next on.
    #[inline(never)]
    fn choose(&mut self, profile: &Profile) {
        self.leg.proceed(profile, self.next);
        let blocks = Blocks::enter(self.next, self.last + self.interval);
        (self.way, self.until) = Way::choose(&self.leg, self.next, profile.steps(), blocks);
    }
}
