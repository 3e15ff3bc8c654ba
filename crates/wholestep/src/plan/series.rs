//! Edges where the speed changes and rest is far. About a tick in the middle of a block the time of an edge
//! is guessed by the inverse of the position, a series to the fifth order; whether the guess is the edge's
//! tick is then decided by its exact residual.
//!
//! With `d` units to go and `v` units a tick there, `u = d / v`; with `x = u α/v` and `y = u² β/v` the position
//! `v τ + α τ² + β τ³ = d` is solved by (Lagrange's inversion)
//! `τ = u (1 - x + 2x² - y - 5x³ + 5xy + 14x⁴ - 21x²y + 3y²)`.
//! A block is so short that `x` stays within a thirty-second and `y` within a sixty-fourth: what is left
//! out is then some millionths of `u`. It bears on speed alone.

use super::leg::Leg;
use super::segment::{Segment, half_before};
use super::wide::Wide;

/// Most edges in half a block.
const HALF_EDGES: i128 = 64;

/// Longest half block, in ticks, as a power of two.
const MOST_PLACES: u32 = 26;

/// Places of a fraction.
const ONE: u32 = 60;

/// Block after block, or edge after edge where blocks would be too short.
#[derive(Clone, Copy, Debug)]
pub(super) struct Blocks {
    block: Option<Block>,
    /// From where to look for the next edge, from the segment's start.
    guess: Option<u64>,
}

#[derive(Clone, Copy, Debug)]
struct Block {
    /// Edges left.
    left: u64,
    /// The tick about which it is expanded, from the segment's start.
    index: u64,
    /// Fractions of `2^places` ticks, for the next edge and for each.
    ahead: i64,
    stride: i64,
    places: u32,
    /// `α / v` and `β / v`, with ticks in `2^places`.
    bend: i64,
    twist: i64,
    /// Units to the next edge from the half tick before `index`, and a step.
    short: i128,
    unit: i128,
    /// `v`, `α`, `β`.
    travel: [i128; 3],
    /// Ticks from `index` between which residuals are a proof, and the least units a tick between them.
    range: [i64; 2],
    least: i128,
}

impl Blocks {
    pub(super) const fn enter() -> Self {
        Self { block: None, guess: None }
    }

    /// The edges from `next` on, all in the leg.
    pub(super) fn work(&mut self, leg: &Leg<i128>, mut next: u64, ticks: &mut [u64]) {
        let mut rest = ticks;
        while !rest.is_empty() {
            let Some(block) = self.block.as_mut().filter(|block| block.left > 0) else {
                self.block = self.guess.and_then(|guess| Block::about(leg, next, guess));
                if self.block.is_none() {
                    rest[0] = self.alone(leg, next);
                    rest = &mut rest[1..];
                    next += 1;
                }
                continue;
            };
            let count = usize::try_from(block.left).map_or(rest.len(), |left| left.min(rest.len()));
            let (now, later) = rest.split_at_mut(count);
            block.work(&leg.segment, next, now);
            next += count as u64;
            rest = later;
            if block.left == 0 {
                self.guess = Some(block.index.saturating_add_signed(block.guess()));
            }
        }
    }

    /// An edge decided alone.
    fn alone(&mut self, leg: &Leg<i128>, edge: u64) -> u64 {
        let segment = &leg.segment;
        let found = segment.locate(edge, self.guess.unwrap_or_else(|| leg.blind_guess()));
        let pace = if found.slope > 0 { (segment.unit / found.slope).low() } else { 0 };
        self.guess = Some(found.index.saturating_add(pace));
        segment.start + found.index
    }
}

impl Block {
    /// From edge `next` on, which is due about tick `guess`; nothing if it would hold fewer than three edges.
    fn about(leg: &Leg<i128>, next: u64, guess: u64) -> Option<Self> {
        let segment = &leg.segment;
        let half = half_length(segment, guess)?;
        let index = guess.checked_add(half).filter(|&index| index < segment.length)?;
        let w = half_before(index);
        let [_, _, c2, c3] = segment.coefficients;
        let travel @ [speed, bend, twist] = [segment.slope(w), 4 * (c2 + 3 * c3 * i128::from(w)), 8 * c3];
        if speed <= 0 {
            return None;
        }
        let short = segment.target(next) - segment.at(w);
        let reach = speed * i128::from(half);
        let edges = (reach - short) / segment.unit;
        if 4 * short < -5 * reach || edges < 2 {
            return None;
        }
        let left = (edges.low() + 1).min(leg.last + 1 - next);
        let places = half.ilog2();
        let spare = speed.bits().saturating_sub(62);
        let over = speed >> spare;
        // Shifted so that a quotient of one is one.
        let part = |value: i128| (((value >> spare) << (ONE - places)) / over).low().cast_signed();
        let mut block = Self {
            left,
            index,
            ahead: part(short),
            stride: part(segment.unit),
            places,
            bend: part(bend << (2 * places)),
            twist: part(twist << (3 * places)),
            short,
            unit: segment.unit,
            travel,
            range: [0; 2],
            least: 0,
        };
        let last = Self { ahead: block.ahead + block.stride * (left.cast_signed() - 1), ..block };
        // Inside the segment, where the speed is monotone and so is least at an end.
        let low = block.guess().max(1 - index.cast_signed());
        let high = last.guess().min((segment.length - index).cast_signed() - 1);
        let slope = |ticks: i64| segment.slope(half_before(index.saturating_add_signed(ticks)));
        block.range = [low, high];
        block.least = slope(low).min(slope(high + 1)).max(0);
        Some(block)
    }

    /// Ticks from `index` to the next edge.
    #[inline]
    fn guess(&self) -> i64 {
        let u = self.ahead;
        let x = times(self.bend, u);
        let y = times(self.twist, times(u, u));
        let inner = times(x, 14 * x - (5 << ONE)) + (2 << ONE) - 21 * y;
        let inner = times(x, times(x, inner) + 5 * y - (1 << ONE));
        let time = u + times(u, inner - y + 3 * times(y, y));
        time >> (ONE - self.places)
    }

    /// The next edges, no more than are left.
    #[inline]
    fn work(&mut self, segment: &Segment<i128>, next: u64, ticks: &mut [u64]) {
        let [t0, t1, t2] = self.travel;
        let [low, high] = self.range;
        for (slot, edge) in ticks.iter_mut().zip(next..) {
            let ahead = self.guess();
            let x = i128::from(ahead);
            let rest = self.short - ((t2 * x + t1) * x + t0) * x;
            let sure = low <= ahead && ahead <= high && rest >= 0 && rest < self.least;
            let index = self.index.wrapping_add_signed(ahead);
            *slot = segment.start + if sure { index } else { segment.locate(edge, index).index };
            self.ahead += self.stride;
            self.short += self.unit;
            self.left -= 1;
        }
    }
}

/// The product of two fractions.
#[inline]
fn times(left: i64, right: i64) -> i64 {
    ((i128::from(left) * i128::from(right)) >> ONE).low().cast_signed()
}

/// Ticks from the beginning of a block to its middle.
fn half_length(segment: &Segment<i128>, index: u64) -> Option<u64> {
    let w = half_before(index.min(segment.length));
    let [_, _, c2, c3] = segment.coefficients;
    let (speed, bend, twist) = (segment.slope(w), 4 * (c2 + 3 * c3 * i128::from(w)), 8 * c3);
    if speed <= 0 {
        return None;
    }
    let ticks = |quotient: i128| quotient.min(1 << MOST_PLACES).low();
    let mut half = ticks(HALF_EDGES * segment.unit / speed);
    if bend != 0 {
        half = half.min(ticks(speed / (34 * bend.abs())));
    }
    if twist != 0 {
        half = half.min(ticks(speed / (72 * twist.abs())).isqrt());
    }
    // And no longer than is left.
    half = half.min(segment.length.saturating_sub(index) / 2);
    (half > 0).then_some(half)
}
