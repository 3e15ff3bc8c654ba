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

    /// From where Newton converges on edge `k` without a better guess: as if the motor moved from or to rest,
    /// or at the speed of the slow end, whichever is nearer to that end.
    pub(super) fn blind_guess(&self, k: u64) -> u64 {
        let segment = &self.segment;
        let end = (2 * segment.length).cast_signed();
        let (from, to, target) = (segment.at(0), segment.at(end), segment.target(k));
        let (first, last) = (segment.slope(0), segment.slope(end));
        let rising = last > first;
        let (way, slope) = if rising { (target - from, first) } else { (to - target, last) };
        let mut ticks = root_share(segment.length, way, to - from);
        if slope > W::from(0_u64) {
            ticks = ticks.min(share(1, way, slope));
        }
        if rising { ticks } else { segment.length - ticks.min(segment.length) }
    }
}

/// The leading 32 bits, and how many follow.
fn leading<W: Wide>(value: W) -> (u64, i32) {
    let places = value.bits().saturating_sub(32);
    ((value >> places).low(), places.cast_signed())
}

/// About `whole way / over`.
fn share<W: Wide>(whole: u64, way: W, over: W) -> u64 {
    let ((way, up), (over, down)) = (leading(way), leading(over));
    scaled(u128::from(whole) * u128::from((way << 31) / over.max(1)), up - down - 31)
}

/// About `whole √(way / over)`.
fn root_share<W: Wide>(whole: u64, way: W, over: W) -> u64 {
    let ((way, up), (over, down)) = (leading(way), leading(over));
    let odd = (up - down) & 1;
    let even = up - down + odd;
    let root = (((way << 31) / over.max(1)) << (31 - odd)).isqrt();
    scaled(u128::from(whole) * u128::from(root), even / 2 - 31)
}

/// `value 2^places`, as large as 64 bits hold.
fn scaled(value: u128, places: i32) -> u64 {
    let scaled = if places < 0 {
        value.checked_shr(places.unsigned_abs()).unwrap_or(0)
    } else {
        value << places.min(63)
    };
    u64::try_from(scaled).unwrap_or(u64::MAX)
}
