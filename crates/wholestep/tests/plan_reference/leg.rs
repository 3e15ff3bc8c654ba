//! The segments of a profile, and the edges that lie in each.

use super::profile::Profile;
use super::segment::Segment;
use super::wide::Wide;

/// The segment an edge lies in.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Leg<W> {
    pub(crate) segment: Segment<W>,
    pub(crate) number: u8,
    /// Its last edge.
    pub(crate) last: u64,
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

    /// The segment in which edge `k` lies.
    pub(crate) fn enter(profile: &Profile, k: u64) -> Self {
        let mut leg = Self::new(profile, 0);
        leg.proceed(profile, k);
        leg
    }

    /// On to the segment in which edge `k` lies; whether it is another.
    pub(crate) fn proceed(&mut self, profile: &Profile, k: u64) -> bool {
        let before = self.number;
        while self.last < k && self.number + 1 < profile.segments() {
            *self = Self::new(profile, self.number + 1);
        }
        self.number != before
    }

    /// From where Newton converges on an edge without a better guess: the end
    /// at which the motor is faster.
    pub(crate) fn blind_guess(&self) -> u64 {
        let end = (2 * self.segment.length).cast_signed();
        if self.segment.slope(end) > self.segment.slope(0) { self.segment.length } else { 0 }
    }
}
