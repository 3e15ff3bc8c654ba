//! Which way the edges of a stretch are worked out.

use super::carry::Carry;
use super::leg::Leg;
use super::roots::{Ramp, Roots};

/// How the edges of a stretch are worked out.
#[derive(Clone, Copy, Debug)]
pub(super) enum Way<B> {
    Carry(Carry),
    Roots(Roots),
    /// All that is neither at constant speed nor near rest.
    Blocks(B),
}

impl<B> Way<B> {
    /// The way for edge `next`, which lies in the leg, and the last edge it serves.
    pub(super) fn choose(leg: &Leg<i128>, next: u64, steps: u64, blocks: B) -> (Self, u64) {
        if let Some(carry) = Carry::enter(&leg.segment, next) {
            return (Self::Carry(carry), leg.last);
        }
        let Some(ramp) = Ramp::of(&leg.segment, steps) else { return (Self::Blocks(blocks), leg.last) };
        let (served, last) = ramp.reach(next, steps);
        let last = leg.last.min(last);
        match if served { Roots::on(ramp, &leg.segment) } else { None } {
            Some(roots) => (Self::Roots(roots), last),
            None => (Self::Blocks(blocks), last),
        }
    }
}
