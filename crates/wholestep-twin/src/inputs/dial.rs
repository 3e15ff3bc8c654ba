//! A dial turned by hand: two channels a quarter cycle apart.

use super::contact::{Contact, NEVER};
use crate::clock::Clock;
use crate::parameters::Bounce;
use crate::random::Chance;

#[derive(Clone, Debug)]
pub(crate) struct Dial {
    pub(crate) channels: [Contact; 2],
    clock: Clock,
    /// Counts turned so far; four to a cycle of the channels.
    count: i64,
    remaining: i64,
    interval: u64,
    next: u64,
}

impl Dial {
    pub(crate) fn new(bounce: Bounce, clock: Clock, seed: u64, stream: u64) -> Self {
        let channel = |number| Contact::new(false, bounce, clock, Chance::new(seed, 2 * stream + number));
        Self { channels: [channel(0), channel(1)], clock, count: 0, remaining: 0, interval: 1, next: NEVER }
    }

    /// Turns by `counts` more, the first at once; a turn still going on is given up.
    pub(crate) fn turn(&mut self, tick: u64, counts: i32, counts_per_second: f64) {
        self.remaining = i64::from(counts);
        self.interval = self.clock.ticks(counts_per_second.max(1e-3).recip()).max(1);
        self.next = if counts == 0 { NEVER } else { tick };
    }

    pub(crate) fn advance(&mut self, tick: u64) {
        while self.next <= tick {
            let at = self.next;
            let way = self.remaining.signum();
            self.count += way;
            self.remaining -= way;
            self.next = if self.remaining == 0 { NEVER } else { at.saturating_add(self.interval) };
            let phase = self.count.rem_euclid(4);
            self.channels.iter_mut().for_each(|channel| channel.advance(at));
            self.channels[0].change(at, phase == 1 || phase == 2);
            self.channels[1].change(at, phase >= 2);
        }
        self.channels.iter_mut().for_each(|channel| channel.advance(tick));
    }

    pub(crate) fn next(&self) -> u64 {
        self.next.min(self.channels[0].next()).min(self.channels[1].next())
    }

    pub(crate) fn count(&self) -> i64 {
        self.count
    }
}
