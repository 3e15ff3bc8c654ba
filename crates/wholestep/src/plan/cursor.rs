//! The same edges in few bytes, for a carriage: segments are worked out anew for every few edges
//! instead of being kept.

use crate::exact::I256;

use super::guess::low32;
use super::leg::Leg;
use super::profile::Profile;
use super::pursuit::Pursuit;
use super::walk::{AHEAD, Course, Run, Stretch, small};
use super::way::Way;

/// The ticks of a profile's edges, one by one. The same as those of [`Edges`](super::Edges), for no
/// guess decides an edge; in less memory, and slower.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Cursor {
    profile: Profile,
    walk: Walk,
    /// The segment of the last edge decided, and the last edge in it that is worked out in the same way; zero
    /// before the first way is chosen.
    number: u8,
    last: u64,
}

#[derive(Clone, Copy, Debug)]
enum Walk {
    Usual(Frugal),
    Wide(Pursuit),
}

impl Cursor {
    /// All edges of a profile.
    pub(crate) fn new(profile: Profile) -> Self {
        Self::enter(profile, 1)
    }

    /// The edges from edge `first` on, counted from 1.
    pub(crate) fn enter(profile: Profile, first: u64) -> Self {
        let (walk, number, last) = if profile.is_usual() {
            let leg = Leg::<i128>::enter(&profile, first);
            (Walk::Usual(Frugal::enter(first)), leg.number, 0)
        } else {
            let leg = Leg::<I256>::enter(&profile, first);
            (Walk::Wide(Pursuit::enter(first)), leg.number, leg.last)
        };
        Self { profile, walk, number, last }
    }

    /// The profile whose edges they are.
    pub(crate) const fn profile(&self) -> &Profile {
        &self.profile
    }

    /// The edge that comes next, counted from 1; one past the last at the end.
    pub(crate) const fn next_edge(&self) -> u64 {
        match &self.walk {
            Walk::Usual(frugal) => frugal.next_edge(),
            Walk::Wide(pursuit) => pursuit.next,
        }
    }

    /// The tick of the next edge.
    pub(crate) fn next(&mut self) -> Option<u64> {
        match &mut self.walk {
            Walk::Usual(frugal) => frugal.given_ahead().or_else(|| {
                let mut leg = Leg::again(&self.profile, self.number, self.last);
                let tick = frugal.work_ahead(&mut leg, &self.profile);
                (self.number, self.last) = (leg.number, leg.last);
                tick
            }),
            Walk::Wide(pursuit) => {
                let mut leg = Leg::<I256>::again(&self.profile, self.number, self.last);
                let tick = pursuit.next(&mut leg, &self.profile);
                (self.number, self.last) = (leg.number, leg.last);
                tick
            }
        }
    }
}

/// The usual walk, a few edges worked out at once.
#[derive(Clone, Copy, Debug)]
struct Frugal {
    way: Way<Course>,
    /// The edge after the last worked out.
    next: u64,
    /// The tick from which those ahead are counted.
    base: u64,
    /// Edges worked out ahead after that tick, which is the first; `given` have been pulled.
    ahead: [u32; AHEAD - 1],
    ready: u8,
    given: u8,
}

impl Frugal {
    const fn enter(first: u64) -> Self {
        let way = Way::Blocks(Self::blocks(first, 0));
        Self { way, next: first, base: 0, ahead: [0; AHEAD - 1], ready: 0, given: 0 }
    }

    const fn blocks(first: u64, due: u64) -> Course {
        Course::enter(first, due, small(AHEAD.ilog2()))
    }

    /// The tick of one of those worked out.
    fn tick(&self, number: u8) -> u64 {
        self.base + number.checked_sub(1).map_or(0, |after| u64::from(self.ahead[usize::from(after)]))
    }

    /// When the next edge is due if it takes as long as the last; zero if none is known.
    fn due(&self) -> u64 {
        let last = self.ready.saturating_sub(1);
        2 * self.tick(last) - self.tick(last.saturating_sub(1))
    }

    const fn next_edge(&self) -> u64 {
        self.next - (self.ready - self.given) as u64
    }

    fn given_ahead(&mut self) -> Option<u64> {
        (self.given < self.ready).then(|| {
            // The first was given as it was worked out.
            self.given += 1;
            self.tick(self.given - 1)
        })
    }

    fn work_ahead(&mut self, leg: &mut Leg<i128>, profile: &Profile) -> Option<u64> {
        if self.next > profile.steps() {
            return None;
        }
        if self.next > leg.last {
            *leg = Leg::from(profile, leg.number, self.next);
            (self.way, leg.last) =
                Way::choose(leg, self.next, profile.steps(), Self::blocks(self.next, self.due()));
        }
        let left = leg.last + 1 - self.next;
        let mut ticks = [0; AHEAD];
        let mut count = usize::try_from(left).map_or(AHEAD, |left| left.min(AHEAD));
        match &mut self.way {
            Way::Carry(carry) => {
                // As many as lie within the range of what is kept.
                if carry.stride() >> (31 - AHEAD.ilog2()) != 0 {
                    count = 1;
                }
                carry.work(&mut ticks[..count]);
            }
            Way::Roots(roots) => {
                roots.work(&leg.segment, self.next, profile.steps(), &mut ticks[..count]);
                let near = |tick: &u64| tick.saturating_sub(ticks[0]) >> 32 == 0;
                count = ticks[..count].iter().take_while(|tick| near(tick)).count();
            }
            Way::Blocks(course) => {
                let mut run = Run::default();
                count = match course.advance(leg, &mut run) {
                    Stretch::Edge(tick) => {
                        ticks[0] = tick;
                        1
                    }
                    // It takes fewer than 2^28 ticks.
                    Stretch::Block => {
                        let count = run.left();
                        run.work(&leg.segment, course.anchor.edge, &mut ticks[..count]);
                        count
                    }
                };
            }
        }
        self.next += count as u64;
        self.base = ticks[0];
        self.ahead = core::array::from_fn(|after| low32(ticks[after + 1].wrapping_sub(self.base)));
        (self.ready, self.given) = (few(count), 1);
        Some(self.base)
    }
}

/// Edges worked out ahead, of which there are few.
#[expect(clippy::cast_possible_truncation, reason = "at most AHEAD")]
const fn few(count: usize) -> u8 {
    count as u8
}

#[cfg(test)]
mod tests {
    use num_rational::Ratio;
    use proptest::prelude::*;

    use super::super::{StepLimits, StepRates};
    use super::*;

    proptest! {
        #[test]
        fn its_edges_are_the_same(
            speed in 100_u64..40_000,
            ramp in 1_u64..400,
            uneven in 1_u64..9,
            jerk in proptest::option::of(1_u64..50),
            start in 0_u64..30,
            steps in 1_u64..4_000,
            first in 1_u64..4_000,
            timer_hz in prop_oneof![200_000_u64..20_000_000, Just(1_000_000_000)],
            slow in prop_oneof![4 => Just(1_u64), 1 => Just(1 << 40)],
        ) {
            let acceleration = Ratio::new(speed * speed, ramp);
            let limits = StepLimits::new(StepRates {
                speed: Ratio::from(speed) / slow,
                acceleration: acceleration / slow,
                deceleration: acceleration * Ratio::new(uneven, 4) / slow,
                start_speed: if jerk.is_some() { Ratio::from(0) } else { Ratio::new(speed * start / 40, slow) },
                jerk: jerk.map(|jerk| acceleration * jerk * 10 / slow),
            }, timer_hz);
            let Ok(profile) = limits.and_then(|limits| limits.profile(steps)) else { return Ok(()) };
            let first = 1 + (first - 1) % steps;
            let mut cursor = Cursor::enter(profile, first);
            for (k, tick) in (first..).zip(profile.edges_from(first).unwrap()) {
                prop_assert_eq!(cursor.next_edge(), k);
                prop_assert_eq!(cursor.next(), Some(tick));
            }
            prop_assert_eq!((cursor.next_edge(), cursor.next()), (steps + 1, None));
        }
    }
}
