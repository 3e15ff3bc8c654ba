//! One contact that bounces, and its wire.

use crate::clock::Clock;
use crate::parameters::Bounce;
use crate::random::Chance;

/// No tick: nothing is to happen.
pub(crate) const NEVER: u64 = u64::MAX;

#[derive(Clone, Debug)]
pub(crate) struct Contact {
    chance: Chance,
    longest: f64,
    clock: Clock,
    closed: bool,
    settled: bool,
    next: u64,
    end: u64,
    /// What a fault in wire or contact makes it read.
    pub(crate) forced: Option<bool>,
}

impl Contact {
    pub(crate) fn new(closed: bool, bounce: Bounce, clock: Clock, chance: Chance) -> Self {
        let longest = bounce.longest;
        Self { chance, longest, clock, closed, settled: closed, next: NEVER, end: 0, forced: None }
    }

    /// Changes the contact at `tick`: at once, and then bouncing for a while.
    pub(crate) fn change(&mut self, tick: u64, closed: bool) {
        if closed == self.settled {
            return;
        }
        self.settled = closed;
        self.closed = closed;
        let draw = self.chance.uniform();
        self.end = self.end.max(tick.saturating_add(self.clock.ticks(self.longest * draw * draw * draw)));
        self.plan(tick);
    }

    /// Chatters from `tick` until `end`, whatever presses it.
    pub(crate) fn chatter(&mut self, tick: u64, end: u64) {
        self.end = self.end.max(end);
        self.plan(tick);
    }

    /// Carries out every bounce up to `tick`.
    pub(crate) fn advance(&mut self, tick: u64) {
        while self.next <= tick {
            let at = self.next;
            self.closed = if at >= self.end { self.settled } else { !self.closed };
            self.plan(at);
        }
    }

    /// When the level next changes, unless something presses it.
    pub(crate) fn next(&self) -> u64 {
        self.next
    }

    pub(crate) fn level(&self) -> bool {
        self.forced.unwrap_or(self.closed)
    }

    /// The next bounce 10 to 400 µs on, at the end at the latest; none once the end is reached.
    fn plan(&mut self, from: u64) {
        self.next = if from >= self.end {
            NEVER
        } else {
            let gap = self.clock.ticks(10e-6 + 390e-6 * self.chance.uniform());
            from.saturating_add(gap.max(1)).min(self.end)
        };
    }
}
