//! Trapezoid and triangle: limits worked out beforehand, and the durations of
//! one move.

use crate::exact::U256;
use num_rational::Ratio;

use super::error::{PlanError, RateKind};
use super::limits::{StepRates, parts};
use super::profile::{MAX_TICKS, Shape, StartSpeed};
use super::wide::{Scale, ceil_div, ceil_sqrt, gcd};

/// A start speed's denominator up to this is kept as it is.
const PLAIN_DENOMINATOR: U256 = U256::new(1 << 40);

/// What is known of trapezoid moves before their length is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct TrapezoidLimits {
    start: StartSpeed,
    /// Ticks from start speed to full speed, and back.
    accelerate: u64,
    decelerate: u64,
    /// From this many steps on, full speed is reached.
    full_speed_from: u64,
    /// Cruise ticks are ⌈(each · N - less) / over⌉, where these fit.
    cruise: Option<[u64; 3]>,
    up: Slope,
    /// The same, if deceleration is acceleration.
    down: Option<Slope>,
    /// The start speed again, for moves that never leave it.
    start_period: Option<Scale>,
}

/// Solves for the duration of one side of a triangle.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Slope {
    /// x² + 2ex for each step, where x is the duration and e the time in which
    /// the start speed would be reached from rest.
    square: Scale,
    /// e in units of 2^-32 ticks, rounded down.
    offset: u128,
}

impl TrapezoidLimits {
    pub(crate) fn new(rates: &StepRates, start: StartSpeed, timer: U256) -> Result<Self, PlanError> {
        let (p, q) = (U256::from(start.numerator), U256::from(start.denominator));
        let (speed, second) = parts(rates.speed);
        // Speed less start speed, in steps a tick.
        let rise = speed * q - p * second * timer;
        let rise_over = second * timer * q;
        // Duration of the rise at a rate, as a fraction of ticks.
        let duration = |ratio: Ratio<u64>| {
            let (rate, seconds) = parts(ratio);
            (rise * timer * seconds, second * q * rate)
        };
        let ticks = |ratio, rate| {
            let (numerator, denominator) = duration(ratio);
            u64::try_from(ceil_div(numerator, denominator))
                .ok()
                .filter(|&ticks| ticks <= MAX_TICKS / 4)
                .ok_or(PlanError::RateOutOfRange { rate })
        };
        let accelerate = ticks(rates.acceleration, RateKind::Acceleration)?;
        let decelerate = ticks(rates.deceleration, RateKind::Deceleration)?;
        // (V + v0)(x + y) / 2 with the durations not yet rounded up, but cut
        // off far below a tick.
        let fine = |ratio| {
            let (numerator, denominator) = duration(ratio);
            let whole = numerator / denominator;
            (whole << 20) + ((numerator - whole * denominator) << 20) / denominator
        };
        let full_speed_from = ceil_div(
            (fine(rates.acceleration) + fine(rates.deceleration)) * (speed * q + p * second * timer),
            rise_over << 21,
        );
        let both = U256::from(accelerate + decelerate);
        let cruise = reduced([
            U256::new(2) * q * second * timer,
            both * (p * second * timer + speed * q),
            U256::new(2) * q * speed,
        ]);
        let even = rates.acceleration == rates.deceleration;
        Ok(Self {
            start,
            accelerate,
            decelerate,
            full_speed_from: u64::try_from(full_speed_from).unwrap_or(u64::MAX),
            cruise,
            up: Slope::new(rates.acceleration, rates.deceleration, start, timer)
                .ok_or(PlanError::RateOutOfRange { rate: RateKind::Acceleration })?,
            down: if even {
                None
            } else {
                Some(
                    Slope::new(rates.deceleration, rates.acceleration, start, timer)
                        .ok_or(PlanError::RateOutOfRange { rate: RateKind::Deceleration })?,
                )
            },
            start_period: match parts(rates.start_speed) {
                (speed, _) if speed == U256::ZERO => None,
                (speed, second) => Scale::at_least(timer * second, speed),
            },
        })
    }

    /// The durations of a move of `steps`, or nothing if they leave their range.
    #[inline]
    pub(crate) fn shape(&self, steps: u64, period: &Scale) -> Option<Shape> {
        let (accelerate, cruise, decelerate) = if steps >= self.full_speed_from {
            (self.accelerate, self.cruise_ticks(steps, period)?, self.decelerate)
        } else {
            let accelerate = self.up.ticks(steps)?;
            let decelerate = match &self.down {
                None => accelerate,
                Some(slope) => slope.ticks(steps)?,
            };
            (accelerate, 0, decelerate)
        };
        if let Some(period) = &self.start_period {
            // Rounding durations up may leave less than the start speed.
            let ticks = accelerate.checked_add(cruise)?.checked_add(decelerate)?;
            let needed = u128::from(self.start.numerator) * u128::from(ticks);
            if u128::from(steps) * u128::from(self.start.denominator) <= needed {
                let ticks = u64::try_from(period.ceil_times(steps)?).ok()?;
                return Some(Shape::Constant { ticks });
            }
        }
        Some(Shape::Trapezoid { start: self.start, accelerate, cruise, decelerate })
    }

    #[inline]
    fn cruise_ticks(&self, steps: u64, period: &Scale) -> Option<u64> {
        if let Some([each, less, over]) = self.cruise
            && let Some(product) = steps.checked_mul(each)
        {
            let rest = product.saturating_sub(less);
            return Some(if over == 1 { rest } else { rest.div_ceil(over) });
        }
        self.cruise_ticks_wide(steps, period)
    }

    /// The least Tc that lets the peak stay within the speed:
    /// (2N - v0(Ta+Td)) / V - (Ta+Td), halved and rounded up.
    #[cold]
    fn cruise_ticks_wide(&self, steps: u64, period: &Scale) -> Option<u64> {
        let both = U256::from(self.accelerate + self.decelerate);
        let (p, q) = (U256::from(self.start.numerator), U256::from(self.start.denominator));
        let twice = U256::from(2 * steps) * q;
        let started = p * both;
        if twice <= started {
            return Some(0);
        }
        let over = q * period.denominator();
        let needed = (twice - started).checked_mul(period.numerator())?;
        let ramps = both * over;
        if needed <= ramps {
            return Some(0);
        }
        u64::try_from(ceil_div(needed - ramps, over * U256::new(2))).ok()
    }
}

impl Slope {
    /// One side of a triangle, with the rate of this side and of the other.
    fn new(this: Ratio<u64>, other: Ratio<u64>, start: StartSpeed, timer: U256) -> Option<Self> {
        let (rate, seconds) = parts(this);
        let (other, others) = parts(other);
        // 2 / (a (1 + a/d)) per tick squared.
        let (top, bottom) = (seconds * seconds * other, rate * others + other * seconds);
        let twice = U256::new(2) * timer * timer;
        let (p, q) = (U256::from(start.numerator), U256::from(start.denominator));
        let offset = ((p * timer * timer * seconds) << 32) / (q * rate);
        Some(Self {
            square: Scale::at_least(twice * top, rate * bottom)?,
            offset: u128::try_from(offset).ok()?,
        })
    }

    /// The least duration x with x² + 2ex at least the steps' share: there the
    /// peak the whole steps need is within the rate.
    #[inline]
    fn ticks(&self, steps: u64) -> Option<u64> {
        if self.offset == 0 {
            return Some(ceil_sqrt(self.square.ceil_times(steps)?));
        }
        self.ticks_from_speed(steps)
    }

    fn ticks_from_speed(&self, steps: u64) -> Option<u64> {
        /// Fraction bits of the square.
        const FINE: u32 = 22;
        let share = self.square.ceil_times(steps << FINE)?;
        let enough = |x: u64| {
            let wide = u128::from(x);
            // Rounded down, so never enough too early.
            let narrow = (wide * wide).checked_mul(1 << FINE).zip((2 * wide).checked_mul(self.offset));
            if let Some(sum) = narrow.and_then(|(square, linear)| square.checked_add(linear >> (32 - FINE))) {
                return sum >= share;
            }
            let x = U256::from(x);
            let linear = (x << 1) * U256::from(self.offset);
            ((x * x) << FINE) + (linear >> (32 - FINE)) >= U256::from(share)
        };
        let offset = self.offset >> (32 - FINE / 2);
        let root = ceil_sqrt(share.checked_add(offset.checked_mul(offset)?)?);
        let guess = u64::try_from(u128::from(root).checked_sub(offset)? >> (FINE / 2)).ok()?;
        least_from(guess, enough)
    }
}

/// The least number that is `enough`, which every number above it is too; nothing if none is. In
/// strides from `guess` that double and are then halved, so a bad guess costs time by its logarithm.
fn least_from(guess: u64, enough: impl Fn(u64) -> bool) -> Option<u64> {
    let mut stride = 1;
    let (mut low, mut high) = if enough(guess) {
        let mut high = guess;
        loop {
            let Some(low) = high.checked_sub(stride) else { break (None, high) };
            if !enough(low) {
                break (Some(low), high);
            }
            (high, stride) = (low, stride.saturating_mul(2));
        }
    } else {
        let mut low = guess;
        loop {
            let high = low.checked_add(stride)?;
            if enough(high) {
                break (Some(low), high);
            }
            (low, stride) = (high, stride.saturating_mul(2));
        }
    };
    // `low` is not enough, or there is nothing below 0; `high` is.
    loop {
        let middle = match low {
            Some(low) if high - low <= 1 => return Some(high),
            None if high == 0 => return Some(0),
            Some(low) => low + (high - low) / 2,
            None => high / 2,
        };
        if enough(middle) { high = middle } else { low = Some(middle) }
    }
}

/// The start speed in steps a tick: as given where the fraction is plain,
/// otherwise rounded down on a grid so fine that a move loses no more than
/// 2^-12 tick (half a tick for the slowest accelerations): a start speed lower by
/// δ costs at most δ (1/a + 1/d).
pub(crate) fn start_speed(rates: &StepRates, timer: U256) -> Result<StartSpeed, PlanError> {
    let (steps, seconds) = parts(rates.start_speed);
    if steps == U256::ZERO {
        return Ok(StartSpeed::REST);
    }
    let over = seconds * timer;
    let common = gcd(steps, over);
    let (mut numerator, mut denominator) = (steps / common, over / common);
    if denominator > PLAIN_DENOMINATOR {
        let mut slowest = U256::ONE;
        for ratio in [rates.acceleration, rates.deceleration] {
            let (top, bottom) = parts(ratio);
            slowest = slowest.max(ceil_div(timer * timer * bottom, top));
        }
        let grid = U256::ONE << (256 - slowest.leading_zeros() + 13).min(62);
        if denominator > grid {
            if slowest >> 60 != U256::ZERO {
                return Err(PlanError::RateOutOfRange { rate: RateKind::StartSpeed });
            }
            numerator = steps * grid / over;
            denominator = grid;
        }
    }
    let common = gcd(numerator, denominator);
    match (u64::try_from(numerator / common), u64::try_from(denominator / common)) {
        (Ok(numerator), Ok(denominator)) => Ok(StartSpeed { numerator, denominator }),
        _ => Err(PlanError::RateOutOfRange { rate: RateKind::StartSpeed }),
    }
}

/// Three numbers with their common factor taken out, if they then fit.
fn reduced(values: [U256; 3]) -> Option<[u64; 3]> {
    let common = values.into_iter().fold(U256::ZERO, gcd_or_self);
    let [Ok(first), Ok(second), Ok(third)] = values.map(|value| u64::try_from(value / common)) else {
        return None;
    };
    Some([first, second, third])
}

fn gcd_or_self(left: U256, right: U256) -> U256 {
    if left == U256::ZERO { right } else { gcd(left, right) }
}
