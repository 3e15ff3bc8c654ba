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

use super::guess::{Anchor, Block, Clock, Cubic, Local};
use super::leg::Leg;
use super::segment::Segment;
use super::wide::Wide;

/// Most edges between anchors, as a power of two: the rounding errors of the
/// differences then stay below 2^-7 tick.
const MOST_PLACES: u32 = 8;

/// Edges worked out together when they are pulled one by one in few bytes.
pub(super) const AHEAD: usize = 8;

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

/// From anchor to anchor.
#[derive(Clone, Copy, Debug)]
pub(super) struct Course {
    /// The last edge decided, at the far end of the block under way.
    pub(super) anchor: Anchor,
    cubic: Cubic,
    /// Whether the anchor lies in this segment.
    anchored: bool,
    /// Block size to try next.
    places: u8,
    most_places: u8,
}

/// What the next anchor brings.
pub(super) enum Stretch {
    /// It is itself the next edge, on this tick.
    Edge(u64),
    /// A block of edges lies before it.
    Block,
}

impl Course {
    /// Before edge `first`, guessed to be due on tick `due` (zero without a guess); blocks no longer than
    /// `2^places` edges.
    pub(super) const fn enter(first: u64, due: u64, places: u8) -> Self {
        Self {
            anchor: Anchor { edge: first - 1, index: due, pace: None, fraction: 0 },
            cubic: Cubic::STRAIGHT,
            anchored: false,
            places: 0,
            most_places: places,
        }
    }

    /// The first edge, decided alone.
    fn enter_segment(&mut self, leg: &Leg<i128>) -> u64 {
        let segment = &leg.segment;
        let edge = self.anchor.edge + 1;
        let guess = match self.anchor.index {
            0 => leg.blind_guess(edge),
            due => due.saturating_sub(segment.start),
        };
        self.anchor = Anchor::new(edge, &segment.locate(edge, guess), segment.unit);
        self.anchored = true;
        segment.start + self.anchor.index
    }

    /// Decides the next anchor, which must be in the leg. A block is begun in `run`.
    #[inline(never)]
    pub(super) fn advance(&mut self, leg: &Leg<i128>, run: &mut Run) -> Stretch {
        if !self.anchored {
            return Stretch::Edge(self.enter_segment(leg));
        }
        let segment = leg.segment;
        let from = self.anchor;
        let bits = segment.unit.bits();
        let narrow = bits <= NARROW_BITS && segment.coefficients[3] == 0;
        let most = u32::from(self.most_places);
        let most = if narrow { most.min(61 - bits) } else { most };
        loop {
            let room = (leg.last - from.edge).ilog2();
            let places = u32::from(self.places).min(room).min(most);
            let edge = from.edge + (1 << places);
            // Time from the last anchor, guessed.
            let ahead = from.ticks_a_step().map(|pace| self.cubic.beyond(pace, places));
            let guess = from.index.saturating_add_signed(
                ahead.map_or(0, |ahead| ahead.saturating_add(from.fraction.into()) >> 32),
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
                    self.places = small(places) - 1;
                    continue;
                }
            }
            if off > FAR >> places {
                self.places = small(places).saturating_sub(1);
            } else if off < NEAR >> places && places == u32::from(self.places) && places < most {
                self.places += 1;
            }
            self.cubic = block.as_ref().map_or(Cubic::STRAIGHT, |block| block.cubic);
            self.anchor = to;
            return match block {
                Some(block) if places > 0 => {
                    run.local = Local::between(&segment, &from, &to, block.cubic);
                    run.left = 1 << places;
                    run.narrow = narrow;
                    Stretch::Block
                }
                _ => Stretch::Edge(segment.start + to.index),
            };
        }
    }
}

/// Places, of which there are few.
#[expect(clippy::cast_possible_truncation, reason = "at most MOST_PLACES")]
pub(super) const fn small(places: u32) -> u8 {
    places as u8
}

/// A block under way.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Run {
    local: Local,
    /// Edges still to be worked out.
    left: usize,
    narrow: bool,
}

impl Run {
    /// Edges still to be worked out.
    #[inline]
    pub(super) const fn left(&self) -> usize {
        self.left
    }

    /// The next edges of the block, no more than are left; `last` is the block's last edge.
    #[inline]
    pub(super) fn work(&mut self, segment: &Segment<i128>, last: u64, ticks: &mut [u64]) {
        for chunk in ticks.chunks_mut(CHUNK) {
            let before = self.local.clock;
            let sure = if self.narrow { self.local.run_narrow(chunk) } else { self.local.run_wide(chunk) };
            if !sure {
                self.mend(segment, last, before, chunk);
            }
            self.left -= chunk.len();
        }
    }

    /// Goes over a chunk again, one edge at a time, and decides those whose guess
    /// was wrong, or not certainly right.
    #[cold]
    #[inline(never)]
    fn mend(&self, segment: &Segment<i128>, last: u64, before: Clock, ticks: &mut [u64]) {
        let mut local = Local { clock: before, ..self.local };
        for (edge, tick) in (last + 1 - self.left as u64..).zip(ticks) {
            let one = core::slice::from_mut(tick);
            let sure = if self.narrow { local.run_narrow(one) } else { local.run_wide(one) };
            if !sure {
                let guess = tick.saturating_sub(segment.start);
                *tick = segment.start + segment.locate(edge, guess).index;
            }
        }
    }
}

/// The usual walk through a stretch where segment and block are kept.
#[derive(Clone, Copy, Debug)]
pub(super) struct Blocks {
    course: Course,
    run: Run,
}

impl Blocks {
    pub(super) fn enter(first: u64, due: u64) -> Self {
        Self { course: Course::enter(first, due, small(MOST_PLACES)), run: Run::default() }
    }

    /// How many edges come next without another anchor; at least one.
    pub(super) fn at_hand(&self) -> usize {
        self.run.left.max(1)
    }

    /// The next edges, all in the stretch.
    pub(super) fn work(&mut self, leg: &Leg<i128>, ticks: &mut [u64]) {
        let mut rest = ticks;
        while !rest.is_empty() {
            if self.run.left == 0
                && let Stretch::Edge(tick) = self.course.advance(leg, &mut self.run)
            {
                rest[0] = tick;
                rest = &mut rest[1..];
                continue;
            }
            let (now, later) = rest.split_at_mut(rest.len().min(self.run.left()));
            self.run.work(&leg.segment, self.course.anchor.edge, now);
            rest = later;
        }
    }
}
