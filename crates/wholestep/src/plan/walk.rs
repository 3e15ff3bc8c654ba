//! The usual walk. Between two edges already decided (anchors, 2^s edges apart) the time of an
//! edge is guessed from the cubic through both anchors and their slopes,
//! evaluated by differences in fixed point. The guess is accepted if the exact
//! residual says so and decided by Newton otherwise, so it bears on speed alone.
//!
//! Where a step is small enough in units, the residual is computed modulo 2^64.
//! That is a proof because the guess is bounded beforehand: a cubic whose end
//! slopes are at most three times its chord is monotone, so the guess lies
//! within a tick of its anchors' interval, the true residual within
//! (2^s + 3) steps, and these are fewer than 2^63 units.

use super::edges::Leg;
use super::guess::{Anchor, Block, Clock, Cubic, Local};
use super::profile::Profile;
use super::segment::half_before;
use super::wide::Wide;

/// Most edges between anchors, as a power of two: the rounding errors of the
/// differences then stay below 2^-7 tick.
const MOST_PLACES: u32 = 8;

/// Edges worked out together when they are pulled one by one.
const AHEAD: usize = 8;

/// Edges verified together, and gone over again one by one if any is doubtful.
const CHUNK: usize = 16;

/// Where a step has more bits than this, blocks short enough for 64-bit residuals
/// would be too short to pay.
const NARROW_BITS: u32 = 57;

/// Errors of the guess at the next anchor, in 2^-32 tick and for blocks of one edge;
/// proportionally less for longer blocks, whose every edge may be missed. The block's
/// own guesses are off by a sixtieth. Below this, longer blocks;
const NEAR: i64 = 2 << 32;
/// above this, shorter blocks from the next on;
const FAR: i64 = 128 << 32;
/// and above this, at once.
const TOO_FAR: i64 = 512 << 32;

/// The usual walk: blocks of guessed edges between anchors.
#[derive(Clone, Debug)]
pub(super) struct Quick {
    leg: Leg<i128>,
    /// The edge at the far end of the block under way.
    anchor: Anchor,
    /// Whether that edge lies in this segment.
    anchored: bool,
    cubic: Option<Cubic>,
    /// Edges of the block still to be worked out.
    left: usize,
    /// Edges worked out ahead, of which `given` have been pulled.
    ahead: [u64; AHEAD],
    ready: usize,
    given: usize,
    /// Block size to try next.
    places: u32,
    most_places: u32,
    narrow: bool,
    local: Local,
}

impl Quick {
    pub(super) fn enter(profile: &Profile, first: u64) -> Self {
        let mut quick = Self {
            leg: Leg::enter(profile, first),
            anchor: Anchor { edge: first - 1, index: 0, fraction: 0, pace: None },
            anchored: false,
            cubic: None,
            left: 0,
            ahead: [0; AHEAD],
            ready: 0,
            given: 0,
            places: 0,
            most_places: 0,
            narrow: false,
            local: Local::default(),
        };
        quick.begin_segment();
        quick
    }

    fn begin_segment(&mut self) {
        let bits = self.leg.segment.unit.bits();
        self.narrow = bits <= NARROW_BITS && self.leg.segment.coefficients[3] == 0;
        self.most_places = if self.narrow { MOST_PLACES.min(61 - bits) } else { MOST_PLACES };
        self.places = 0;
        self.cubic = None;
    }

    /// The edge that comes next.
    #[inline]
    pub(super) const fn next_edge(&self) -> u64 {
        self.anchor.edge + 1 - self.left as u64 - (self.ready - self.given) as u64
    }

    #[inline]
    pub(super) fn pull(&mut self, profile: &Profile) -> Option<u64> {
        if self.given < self.ready {
            let tick = self.ahead[self.given % AHEAD];
            self.given += 1;
            return Some(tick);
        }
        self.work_ahead(profile)
    }

    #[inline(never)]
    fn work_ahead(&mut self, profile: &Profile) -> Option<u64> {
        if self.left == 0 {
            return self.advance(profile);
        }
        let mut ahead = self.ahead;
        let count = AHEAD.min(self.left);
        self.run(&mut ahead[..count]);
        self.ahead = ahead;
        self.ready = count;
        self.given = 1;
        Some(ahead[0])
    }

    /// The next edges of the block under way, at most `left`.
    #[inline]
    fn run(&mut self, ticks: &mut [u64]) {
        for chunk in ticks.chunks_mut(CHUNK) {
            let before = self.local.clock;
            let sure = if self.narrow { self.local.run_narrow(chunk) } else { self.local.run_wide(chunk) };
            if !sure {
                self.mend(before, chunk);
            }
            self.left -= chunk.len();
        }
    }

    /// Goes over a chunk again, one edge at a time, and decides those whose guess
    /// was wrong, or not certainly right.
    #[cold]
    #[inline(never)]
    fn mend(&self, before: Clock, ticks: &mut [u64]) {
        let mut local = Local { clock: before, ..self.local };
        let segment = &self.leg.segment;
        for (edge, tick) in (self.anchor.edge + 1 - self.left as u64..).zip(ticks) {
            let one = core::slice::from_mut(tick);
            let sure = if self.narrow { local.run_narrow(one) } else { local.run_wide(one) };
            if !sure {
                let guess = tick.saturating_sub(segment.start);
                *tick = segment.start + segment.locate(edge, guess).index;
            }
        }
    }

    /// The first edge of a segment, decided alone.
    fn enter_segment(&mut self, profile: &Profile, edge: u64) -> Anchor {
        let tick = self.leg.segment.start + self.anchor.index;
        let pace = self.anchor.pace;
        if self.leg.proceed(profile, edge) {
            self.begin_segment();
        }
        let segment = &self.leg.segment;
        let guess = match pace {
            Some(pace) => (tick + (pace >> 32)).saturating_sub(segment.start),
            None => self.leg.blind_guess(),
        };
        Anchor::new(edge, &segment.locate(edge, guess), segment.unit)
    }

    /// Decides the next anchor. Either a block then lies before it, of which the
    /// first edge is returned, or it is itself the next edge.
    #[inline(never)]
    fn advance(&mut self, profile: &Profile) -> Option<u64> {
        let next = self.anchor.edge + 1;
        if next > profile.steps() {
            return None;
        }
        if next > self.leg.last || !self.anchored {
            self.anchor = self.enter_segment(profile, next);
            self.anchored = true;
            return Some(self.leg.segment.start + self.anchor.index);
        }
        let segment = self.leg.segment;
        let from = self.anchor;
        loop {
            let room = (self.leg.last - from.edge).ilog2();
            let places = self.places.min(room);
            let edge = from.edge + (1 << places);
            // Time from the last anchor, guessed.
            let ahead = from.pace.map(|pace| match &self.cubic {
                Some(cubic) => cubic.beyond(pace, places),
                None => pace.wrapping_shl(places).cast_signed(),
            });
            let guess = from.index.saturating_add_signed(
                ahead.map_or(0, |ahead| ahead.saturating_add_unsigned(from.fraction) >> 32),
            );
            let found = segment.locate(edge, guess);
            let to = Anchor::new(edge, &found, segment.unit);
            let block = Block::between(&from, &to, places);
            // The guess was off by some sixty times what the block's own error
            // will be; from that follows the size of the next.
            let off = match (&block, ahead) {
                (Some(block), Some(ahead)) => block.length.saturating_sub(ahead).saturating_abs(),
                _ => i64::MAX,
            };
            if places > 0 {
                let inside = from.index > 0 && to.index < segment.length;
                if off > TOO_FAR >> places || !inside {
                    self.places = places - 1;
                    continue;
                }
            }
            if off > FAR >> places {
                self.places = places.saturating_sub(1);
            } else if off < NEAR >> places && places == self.places {
                self.places = (places + 1).min(self.most_places);
            }
            self.cubic = block.as_ref().map(|block| block.cubic);
            self.anchor = to;
            return Some(match block {
                Some(block) if places > 0 => {
                    self.begin_block(&from, &to, block.cubic);
                    return self.pull(profile);
                }
                _ => segment.start + to.index,
            });
        }
    }

    fn begin_block(&mut self, from: &Anchor, to: &Anchor, cubic: Cubic) {
        let segment = &self.leg.segment;
        let places = cubic.places;
        self.left = 1 << places;
        let square = cubic.square >> places;
        let cube = cubic.cube >> (2 * places);
        let pace = from.pace.unwrap_or(0).cast_signed();
        let [_, _, c2, c3] = segment.coefficients;
        // One tick early, so that a guess a tick too early counts from zero.
        let base = from.index - 1;
        let w = half_before(base);
        let slope = segment.slope(w);
        self.local = Local {
            tick: segment.start + base,
            clock: Clock {
                position: from.fraction + (1 << 32),
                differences: [pace + square + cube, 2 * square + 6 * cube, 6 * cube].map(i64::cast_unsigned),
                short: segment.target(from.edge) - segment.at(w),
            },
            unit: segment.unit,
            travel: [slope, 4 * (c2 + 3 * c3 * i128::from(w)), 8 * c3],
            // Speed is monotone within a segment, so its least is at an end.
            least: segment.slope(w + 2).min(segment.slope(half_before(to.index + 1))).max(0),
        };
    }

    pub(super) fn fill(&mut self, profile: &Profile, ticks: &mut [u64]) -> usize {
        let mut filled = 0;
        while filled < ticks.len() {
            if self.given < self.ready || self.left == 0 {
                match self.pull(profile) {
                    Some(tick) => ticks[filled] = tick,
                    None => break,
                }
                filled += 1;
            } else {
                let count = (ticks.len() - filled).min(self.left);
                self.run(&mut ticks[filled..filled + count]);
                filled += count;
            }
        }
        filled
    }
}
