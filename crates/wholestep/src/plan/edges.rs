//! The kernel: the tick of every edge, pulled one at a time or filled into a
//! slice, in constant memory.
//!
//! Between two edges already decided (anchors, 2^s edges apart) the time of an
//! edge is guessed from the cubic through both anchors and their slopes,
//! evaluated by differences in fixed point. The guess is accepted if the exact
//! residual says so and decided by Newton otherwise, so it bears on speed alone.
//!
//! Where a step is small enough in units, the residual is computed modulo 2^64.
//! That is a proof because the guess is bounded beforehand: a cubic whose end
//! slopes are at most three times its chord is monotone, so the guess lies
//! within a tick of its anchors' interval, the true residual within
//! (2^s + 3) steps, and these are fewer than 2^63 units.

use core::iter::FusedIterator;

use ethnum::I256;

use super::error::PlanError;
use super::profile::Profile;
use super::segment::{Found, Segment, half_before};
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

/// The ticks of a profile's edges, in order; edge `k` (from 1) is where the
/// position passes `k - 1/2`, rounded to the nearest tick, half up.
///
/// ```
/// # use num_rational::Ratio;
/// # use wholestep::plan::{StepLimits, StepRates};
/// # let rates = StepRates {
/// #     speed: Ratio::from(1_000),
/// #     acceleration: Ratio::from(8_000),
/// #     deceleration: Ratio::from(8_000),
/// #     start_speed: Ratio::from(0),
/// #     jerk: None,
/// # };
/// let profile = StepLimits::new(rates, 1_000_000)?.profile(4)?;
/// let edges: Vec<u64> = profile.edges().collect();
/// assert_eq!(edges, [11_181, 19_365, 25_357, 33_542]);
/// assert!(profile.edges_from(3)?.eq([25_357, 33_542]));
/// # Ok::<(), wholestep::plan::PlanError>(())
/// ```
#[derive(Clone, Debug)]
pub struct Edges {
    profile: Profile,
    walk: Walk,
}

#[derive(Clone, Debug)]
enum Walk {
    Usual(Quick),
    Wide(Slow),
}

impl Profile {
    /// All edges.
    pub fn edges(&self) -> Edges {
        Edges::enter(*self, 1)
    }

    /// The edges from edge `first` on, counted from 1; `steps + 1` gives none.
    ///
    /// # Errors
    /// An edge the profile does not have.
    pub fn edges_from(&self, first: u64) -> Result<Edges, PlanError> {
        if first == 0 || first > self.steps() + 1 {
            return Err(PlanError::EdgeOutOfRange { given: first, last: self.steps() });
        }
        Ok(Edges::enter(*self, first))
    }

    /// The tick of edge `k`, counted from 1.
    ///
    /// # Errors
    /// An edge the profile does not have.
    pub fn edge(&self, k: u64) -> Result<u64, PlanError> {
        self.edges_from(k)?.next().ok_or(PlanError::EdgeOutOfRange { given: k, last: self.steps() })
    }
}

impl Edges {
    fn enter(profile: Profile, first: u64) -> Self {
        let walk = if profile.is_usual() {
            Walk::Usual(Quick::enter(&profile, first))
        } else {
            Walk::Wide(Slow { leg: Leg::enter(&profile, first), next: first, tick: 0, interval: 0 })
        };
        Self { profile, walk }
    }

    /// The edge that comes next, counted from 1; one past the last at the end.
    #[inline]
    pub const fn next_edge(&self) -> u64 {
        match &self.walk {
            Walk::Usual(quick) => {
                quick.anchor.edge + 1 - quick.left as u64 - (quick.ready - quick.given) as u64
            }
            Walk::Wide(slow) => slow.next,
        }
    }

    /// Fills the slice with the next edges and returns how many there were;
    /// fewer than its length only at the end. The same ticks as one by one.
    pub fn fill(&mut self, ticks: &mut [u64]) -> usize {
        match &mut self.walk {
            Walk::Usual(quick) => quick.fill(&self.profile, ticks),
            Walk::Wide(_) => {
                let mut filled = 0;
                for (slot, tick) in ticks.iter_mut().zip(self) {
                    *slot = tick;
                    filled += 1;
                }
                filled
            }
        }
    }
}

impl Iterator for Edges {
    type Item = u64;

    #[inline]
    fn next(&mut self) -> Option<u64> {
        match &mut self.walk {
            Walk::Usual(quick) => quick.pull(&self.profile),
            Walk::Wide(slow) => slow.next(&self.profile),
        }
    }

    fn size_hint(&self) -> (usize, Option<usize>) {
        let rest = self.profile.steps() + 1 - self.next_edge();
        let rest = usize::try_from(rest).ok();
        (rest.unwrap_or(usize::MAX), rest)
    }
}

impl FusedIterator for Edges {}

/// The segment an edge lies in.
#[derive(Clone, Copy, Debug)]
struct Leg<W> {
    segment: Segment<W>,
    number: u8,
    /// Its last edge.
    last: u64,
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
    fn enter(profile: &Profile, k: u64) -> Self {
        let mut leg = Self::new(profile, 0);
        leg.proceed(profile, k);
        leg
    }

    /// On to the segment in which edge `k` lies; whether it is another.
    fn proceed(&mut self, profile: &Profile, k: u64) -> bool {
        let before = self.number;
        while self.last < k && self.number + 1 < profile.segments() {
            *self = Self::new(profile, self.number + 1);
        }
        self.number != before
    }

    /// From where Newton converges on an edge without a better guess: the end
    /// at which the motor is faster.
    fn blind_guess(&self) -> u64 {
        let end = (2 * self.segment.length).cast_signed();
        if self.segment.slope(end) > self.segment.slope(0) { self.segment.length } else { 0 }
    }
}

/// Edge by edge from the definition, in 256 bits: for moves beyond usual sizes.
#[derive(Clone, Debug)]
struct Slow {
    leg: Leg<I256>,
    next: u64,
    tick: u64,
    interval: u64,
}

impl Slow {
    fn next(&mut self, profile: &Profile) -> Option<u64> {
        if self.next > profile.steps() {
            return None;
        }
        self.leg.proceed(profile, self.next);
        let segment = &self.leg.segment;
        let guess = if self.interval == 0 {
            self.leg.blind_guess()
        } else {
            (self.tick + self.interval).saturating_sub(segment.start)
        };
        let tick = segment.start + segment.locate(self.next, guess).index;
        self.interval = if self.tick == 0 { 0 } else { tick - self.tick };
        self.tick = tick;
        self.next += 1;
        Some(tick)
    }
}

/// An edge decided exactly, and what is guessed from it.
#[derive(Clone, Copy, Debug)]
struct Anchor {
    edge: u64,
    /// Tick from the segment's start.
    index: u64,
    /// How far the ideal time is past the half tick before, in 2^-32 tick.
    fraction: u64,
    /// Ticks a step there, in 2^-32; nothing where it is too large to guess from.
    pace: Option<u64>,
}

impl Anchor {
    fn new(edge: u64, found: &Found<i128>, unit: i128) -> Self {
        let places = found.slope.bits().saturating_sub(32);
        let usable = found.slope > 0 && unit.bits() <= found.slope.bits() + 27;
        if !usable {
            return Self { edge, index: found.index, fraction: 1 << 31, pace: None };
        }
        let slope = (found.slope >> places).low();
        let unit = (unit >> places).low();
        let short = (found.short.max(0) >> places).low().min(slope - 1);
        Self {
            edge,
            index: found.index,
            fraction: (short << 32) / slope,
            pace: Some(((unit / slope) << 32) + ((unit % slope) << 32) / slope),
        }
    }
}

/// A cubic in edges from an anchor: over a block of `2^places` edges the time is
/// `2^places (start x + square x² + cube x³)` with `x` from 0 to 1, in 2^-32 tick.
#[derive(Clone, Copy, Debug)]
struct Cubic {
    places: u32,
    square: i64,
    cube: i64,
}

impl Cubic {
    /// The time from its far end on, over a further `2^places` edges.
    fn beyond(&self, pace: u64, places: u32) -> i64 {
        let by = |value: i64, times: u32| {
            if places >= self.places {
                value.wrapping_shl(times * (places - self.places))
            } else {
                value >> (times * (self.places - places)).min(63)
            }
        };
        let cube = self.cube;
        let square = self.square.wrapping_add(3 * cube);
        by(pace.cast_signed(), 1)
            .wrapping_add(by(square, 2))
            .wrapping_add(by(cube, 3))
            .wrapping_shl(self.places)
    }
}

/// A block under way, counted from a tick just before its near anchor.
#[derive(Clone, Copy, Debug, Default)]
struct Local {
    tick: u64,
    clock: Clock,
    /// Units a step.
    unit: i128,
    /// Units travelled in x ticks are `((t2 x + t1) x + t0) x`.
    travel: [i128; 3],
    /// Least travel in a tick within the block.
    least: i128,
}

/// What changes from edge to edge.
#[derive(Clone, Copy, Debug, Default)]
struct Clock {
    /// Guess in 2^-32 tick, and its differences.
    position: u64,
    differences: [u64; 3],
    /// Units from half a tick before the block's `tick` to the edge's half step.
    short: i128,
}

impl Clock {
    /// Whole ticks to the next edge.
    #[inline]
    fn guess(&mut self) -> u64 {
        let [first, second, third] = self.differences;
        self.position = self.position.wrapping_add(first);
        self.differences = [first.wrapping_add(second), second.wrapping_add(third), third];
        self.position >> 32
    }
}

impl Local {
    /// Guesses the next edges and says whether all are certainly right. Residuals
    /// modulo 2^64; there is no cubic term.
    #[inline]
    fn run_narrow(&mut self, ticks: &mut [u64]) -> bool {
        let [t0, t1, _] = self.travel.map(Wide::low);
        let (unit, least, tick) = (self.unit.low(), self.least.low(), self.tick);
        let mut clock = self.clock;
        let mut short = clock.short.low();
        let mut sure = true;
        for slot in ticks {
            let x = clock.guess();
            *slot = tick.wrapping_add(x);
            short = short.wrapping_add(unit);
            let travelled = t1.wrapping_mul(x).wrapping_add(t0).wrapping_mul(x);
            sure &= short.wrapping_sub(travelled) < least;
        }
        clock.short = i128::from(short);
        self.clock = clock;
        sure
    }

    /// The same with whole residuals.
    #[inline]
    fn run_wide(&mut self, ticks: &mut [u64]) -> bool {
        let [t0, t1, t2] = self.travel;
        let (unit, least, tick) = (self.unit, self.least, self.tick);
        let mut clock = self.clock;
        let mut sure = true;
        for slot in ticks {
            let x = clock.guess();
            *slot = tick.wrapping_add(x);
            clock.short += unit;
            let x = i128::from(x);
            let rest = clock.short - ((t2 * x + t1) * x + t0) * x;
            sure &= rest >= 0 && rest < least;
        }
        self.clock = clock;
        sure
    }
}

/// What lies between two anchors.
struct Block {
    /// In 2^-32 tick.
    length: i64,
    cubic: Cubic,
}

impl Block {
    /// The cubic through both anchors; nothing unless it is certainly monotone.
    fn between(from: &Anchor, to: &Anchor, places: u32) -> Option<Self> {
        let ticks = to.index - from.index;
        if ticks >> 28 != 0 {
            return None;
        }
        let length = ((ticks << 32) + to.fraction).cast_signed() - from.fraction.cast_signed();
        let chord = length >> places;
        let (start, end) = (from.pace?.cast_signed(), to.pace?.cast_signed());
        // A margin for the chord's own rounding.
        if start.max(end) > 3 * chord - 4 {
            return None;
        }
        Some(Self {
            length,
            cubic: Cubic { places, square: 3 * chord - 2 * start - end, cube: start + end - 2 * chord },
        })
    }
}

/// The usual walk: blocks of guessed edges between anchors.
#[derive(Clone, Debug)]
struct Quick {
    leg: Leg<i128>,
    /// The edge at the far end of the block under way.
    anchor: Anchor,
    /// Whether that edge lies in this segment.
    anchored: bool,
    cubic: Option<Cubic>,
    /// Edges of the block still to be worked out.
    left: u32,
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
    fn enter(profile: &Profile, first: u64) -> Self {
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

    #[inline]
    fn pull(&mut self, profile: &Profile) -> Option<u64> {
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
        let count = AHEAD.min(self.left as usize);
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
            self.left -= chunk.len() as u32;
        }
    }

    /// Goes over a chunk again, one edge at a time, and decides those whose guess
    /// was wrong, or not certainly right.
    #[cold]
    #[inline(never)]
    fn mend(&self, before: Clock, ticks: &mut [u64]) {
        let mut local = Local { clock: before, ..self.local };
        let segment = &self.leg.segment;
        for (edge, tick) in (self.anchor.edge + 1 - u64::from(self.left)..).zip(ticks) {
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
                if off > TOO_FAR_OFF || !inside {
                    self.places = places - 1;
                    continue;
                }
            }
            if off > FAR {
                self.places = places.saturating_sub(1);
            } else if off < NEAR && places == self.places {
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

    fn fill(&mut self, profile: &Profile, ticks: &mut [u64]) -> usize {
        let mut filled = 0;
        while filled < ticks.len() {
            if self.given < self.ready || self.left == 0 {
                match self.pull(profile) {
                    Some(tick) => ticks[filled] = tick,
                    None => break,
                }
                filled += 1;
            } else {
                let count = (ticks.len() - filled).min(self.left as usize);
                self.run(&mut ticks[filled..filled + count]);
                filled += count;
            }
        }
        filled
    }
}

/// Errors of the guess at the next anchor, in 2^-32 tick; the block's own guesses
/// are off by a sixtieth. Below this, longer blocks;
const NEAR: i64 = 1 << 28;
/// above this, shorter blocks from the next on;
const FAR: i64 = 4 << 32;
/// and above this, at once.
const TOO_FAR_OFF: i64 = 32 << 32;
