//! The segments of a profile, and the edges that lie in each.

use super::profile::Profile;
use super::segment::Segment;
use super::wide::Wide;

/// The segment an edge lies in.
#[derive(Clone, Copy, Debug)]
pub(super) struct Leg<W> {
    pub(super) segment: Segment<W>,
    pub(super) number: u8,
    /// Its last edge.
    pub(super) last: u64,
}

impl<W: Wide> Leg<W> {
    fn new(profile: &Profile, number: u8) -> Self {
        let segment = profile.segment::<W>(number);
        let last = if number + 1 >= profile.segments() {
            profile.steps()
        } else if segment.length == 0 {
            0
        } else {
            segment.last_edge()
        };
        Self { segment, number, last }
    }

    /// The segment of this number, whose last edge is known.
    pub(super) fn again(profile: &Profile, number: u8, last: u64) -> Self {
        Self { segment: profile.segment(number), number, last }
    }

    /// The segment in which edge `k` lies.
    pub(super) fn enter(profile: &Profile, k: u64) -> Self {
        Self::from(profile, 0, k)
    }

    /// The same, looked for from a segment that is not beyond it.
    pub(super) fn from(profile: &Profile, number: u8, k: u64) -> Self {
        let mut leg = Self::new(profile, number);
        leg.proceed(profile, k);
        leg
    }

    /// On to the segment in which edge `k` lies; whether it is another.
    pub(super) fn proceed(&mut self, profile: &Profile, k: u64) -> bool {
        let before = self.number;
        while self.last < k && self.number + 1 < profile.segments() {
            *self = Self::new(profile, self.number + 1);
        }
        self.number != before
    }

    /// From where Newton converges on an edge without a better guess: the end
    /// at which the motor is faster.
    pub(super) fn blind_guess(&self) -> u64 {
        let end = (2 * self.segment.length).cast_signed();
        if self.segment.slope(end) > self.segment.slope(0) { self.segment.length } else { 0 }
    }
}
