//! The usual walk at full speed, in the way that suits each stretch of the profile.

use super::carry::Carry;
use super::leg::Leg;
use super::profile::Profile;
use super::roots::Roots;
use super::walk::Blocks;

/// Edges worked out together when they are pulled one by one.
const AHEAD: usize = 32;

#[derive(Clone, Debug)]
pub(super) struct Quick {
    leg: Leg<i128>,
    course: Course,
    /// The last edge that the course serves; zero before the first course is chosen.
    until: u64,
    /// The edge after the last worked out.
    next: u64,
    /// Edges worked out ahead, of which `given` have been pulled.
    ahead: [u64; AHEAD],
    ready: usize,
    given: usize,
}

/// How the edges of a stretch are worked out.
#[derive(Clone, Copy, Debug)]
enum Course {
    Carry(Carry),
    Roots(Roots),
    Blocks(Blocks),
}

impl Quick {
    pub(super) fn enter(profile: &Profile, first: u64) -> Self {
        Self {
            leg: Leg::enter(profile, first),
            course: Course::Blocks(Blocks::enter(first)),
            until: 0,
            next: first,
            ahead: [0; AHEAD],
            ready: 0,
            given: 0,
        }
    }

    /// The edge that comes next.
    #[inline]
    pub(super) const fn next_edge(&self) -> u64 {
        self.next - (self.ready - self.given) as u64
    }

    #[inline]
    pub(super) fn pull(&mut self, profile: &Profile) -> Option<u64> {
        if self.given == self.ready {
            self.work_ahead(profile);
        }
        let tick = self.ahead[..self.ready].get(self.given)?;
        self.given += 1;
        Some(*tick)
    }

    #[inline(never)]
    fn work_ahead(&mut self, profile: &Profile) {
        let mut ahead = self.ahead;
        self.ready = self.work(profile, &mut ahead);
        self.given = 0;
        self.ahead = ahead;
    }

    pub(super) fn fill(&mut self, profile: &Profile, ticks: &mut [u64]) -> usize {
        let pulled = (self.ready - self.given).min(ticks.len());
        let (first, rest) = ticks.split_at_mut(pulled);
        first.copy_from_slice(&self.ahead[self.given..self.given + pulled]);
        self.given += pulled;
        pulled + self.work(profile, rest)
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
            match &mut self.course {
                Course::Carry(carry) => carry.work(now),
                Course::Roots(roots) => roots.work(&self.leg.segment, self.next, profile.steps(), now),
                Course::Blocks(blocks) => blocks.work(&mut self.leg, profile, now),
            }
            self.next += count as u64;
            rest = later;
        }
        length - rest.len()
    }

    /// The course for the edges from the next on.
    #[inline(never)]
    fn choose(&mut self, profile: &Profile) {
        self.leg.proceed(profile, self.next);
        let segment = &self.leg.segment;
        self.until = self.leg.last;
        self.course = if let Some(carry) = Carry::enter(segment, self.next) {
            Course::Carry(carry)
        } else if let Some(roots) = Roots::of(segment, profile.steps()) {
            let (served, last) = roots.reach(self.next, profile.steps());
            self.until = self.until.min(last);
            if served { Course::Roots(roots) } else { Course::Blocks(Blocks::enter(self.next)) }
        } else {
            Course::Blocks(Blocks::enter(self.next))
        };
    }
}
