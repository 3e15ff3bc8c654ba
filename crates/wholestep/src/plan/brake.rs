//! Stopping under control from an edge just emitted, and the room it takes.
//!
//! There the ideal position is a half step. The brake ends D = N + ½ steps on,
//! the least with D >= (v² - v1²) / 2d, in T = ⌈2D / (v + v1)⌉ ticks, where v1 is
//! the start speed, at which the motor may also stop at once. Its entry speed
//! 2D/T - v1 is therefore at most v, and its deceleration
//! (entry - v1) / T <= (v - v1)(v + v1) / 2D at most d. Jerk does not hold. The
//! same is true of any larger D, so a brake can also end on a step further on.
//!
//! At v1 or below, D is the half step under way, and v stands for v1: the motor keeps
//! its speed to the end of the step, so that the next motion begins no sooner than
//! the next step would.

use core::cmp::Ordering;

use crate::exact::U256;

use super::error::{PlanError, RateKind};
use super::limits::{StepLimits, parts};
use super::profile::{MAX_STEPS, MAX_TICKS, Profile, Shape, StartSpeed};
use super::wide::{Wide, ceil_div, gcd};

/// How a move under way is brought to rest.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Stop {
    /// It is already slowing down, or has no room to stop earlier: let it run out.
    RunOut {
        /// Edges still to come.
        steps: u64,
    },
    /// Follow this profile from the tick of the edge on. Within the limits of
    /// speed and deceleration; a limit of jerk does not hold.
    Brake(Profile),
}

impl Stop {
    /// Edges still to come: the braking room.
    pub const fn steps(&self) -> u64 {
        match self {
            Self::RunOut { steps } => *steps,
            Self::Brake(profile) => profile.steps(),
        }
    }
}

/// A positive fraction of steps a tick with parts below 2^63, not always reduced.
#[derive(Clone, Copy, Debug)]
struct Pace {
    steps: U256,
    ticks: U256,
}

impl Pace {
    /// The fraction itself if its parts are small, or are once reduced; otherwise rounded
    /// to a grid of 2^-62 steps a tick.
    fn new(steps: U256, ticks: U256, up: bool) -> Self {
        let places = (steps | ticks).trailing_zeros();
        let (steps, ticks) = (steps >> places, ticks >> places);
        if (steps | ticks) >> 63 == U256::ZERO {
            return Self { steps, ticks };
        }
        let common = gcd(steps, ticks);
        let (steps, ticks) = (steps / common, ticks / common);
        if (steps | ticks) >> 63 == U256::ZERO {
            return Self { steps, ticks };
        }
        // Steps a tick are at most one, so this fits once the parts are cut.
        let places = (256 - ticks.leading_zeros()).saturating_sub(190);
        let (steps, ticks) = if up {
            ((steps >> places) + U256::ONE, ticks >> places)
        } else {
            (steps >> places, (ticks >> places) + U256::ONE)
        };
        let grid = U256::ONE << 62;
        Self { steps: if up { ceil_div(steps * grid, ticks) } else { steps * grid / ticks }, ticks: grid }
    }

    /// Whether a step at `other` takes at most a tick longer than at this pace.
    fn is_near(self, other: Self) -> bool {
        // v - w <= vw where 1/w - 1/v <= 1.
        let (this, that) = (self.steps * other.ticks, other.steps * self.ticks);
        this <= that || this - that <= self.steps * other.steps
    }
}

/// Where a move is at an edge at which it does not slow down.
#[derive(Clone, Copy, Debug)]
struct Quickening {
    /// The number of the segment.
    segment: u8,
    /// The least and the highest speed the motor can have at any time that rounds to the edge's tick.
    low: Pace,
    high: Pace,
}

impl Profile {
    /// Returns how this move stops after edge `edge`, counted from 1, was emitted: the
    /// braking room, and how to use it. `limits` are those it was made from.
    ///
    /// The room is the least at constant speed. While the motor speeds up, the
    /// room is that of the highest speed it can have at any time that rounds to
    /// the edge's tick: never too small, and at most one step more.
    ///
    /// ```
    /// # use num_rational::Ratio;
    /// # use wholestep::plan::{Stop, StepLimits, StepRates};
    /// let rates = StepRates {
    ///     speed: Ratio::from(1_000),
    ///     acceleration: Ratio::from(8_000),
    ///     deceleration: Ratio::from(8_000),
    ///     start_speed: Ratio::from(0),
    ///     jerk: None,
    /// };
    /// let limits = StepLimits::new(rates, 1_000_000)?;
    /// let profile = limits.profile(1_000)?;
    /// // v²/2d = 62.5 steps, of which half a step completes the edge.
    /// let Stop::Brake(brake) = profile.stop_after(500, &limits)? else { panic!() };
    /// assert_eq!((brake.steps(), brake.ticks()), (62, 125_000));
    /// assert_eq!(profile.stop_after(990, &limits)?, Stop::RunOut { steps: 10 });
    /// # Ok::<(), wholestep::plan::PlanError>(())
    /// ```
    ///
    /// # Errors
    /// An edge the profile does not have.
    pub fn stop_after(&self, edge: u64, limits: &StepLimits) -> Result<Stop, PlanError> {
        self.brake_from(edge, self.edge(edge)?, limits)
    }

    /// [`stop_after`](Self::stop_after) where the tick of the edge is known: without working it out.
    pub(crate) fn brake_from(&self, edge: u64, tick: u64, limits: &StepLimits) -> Result<Stop, PlanError> {
        let steps = self.steps() - edge;
        let Some(Quickening { low, high, .. }) = self.quickening(edge, tick) else {
            return Ok(Stop::RunOut { steps });
        };
        let brake = limits.brake(low, high)?;
        Ok(if brake.steps() < steps { Stop::Brake(brake) } else { Stop::RunOut { steps } })
    }

    /// Returns the brake after edge `edge` that ends exactly `steps` further on; nothing where
    /// [`stop_after`](Self::stop_after) needs more room, or none is needed because the
    /// move is already slowing down. `limits` are those it was made from.
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
    /// let limits = StepLimits::new(rates, 1_000_000)?;
    /// let profile = limits.profile(1_000)?;
    /// let brake = profile.stop_on(500, 64, &limits)?.map(|brake| (brake.steps(), brake.ticks()));
    /// assert_eq!(brake, Some((64, 129_000)));
    /// assert_eq!(profile.stop_on(500, 61, &limits)?, None);
    /// # Ok::<(), wholestep::plan::PlanError>(())
    /// ```
    ///
    /// # Errors
    /// As [`stop_after`](Self::stop_after).
    pub fn stop_on(&self, edge: u64, steps: u64, limits: &StepLimits) -> Result<Option<Self>, PlanError> {
        let tick = self.edge(edge)?;
        let Some(Quickening { low, high, .. }) = self.quickening(edge, tick) else { return Ok(None) };
        let least = limits.brake(low, high)?;
        Ok(match least.steps().cmp(&steps) {
            Ordering::Less => Some(limits.brake_over(low, steps)?),
            Ordering::Equal => Some(least),
            Ordering::Greater => None,
        })
    }

    /// The tick of edge `edge` in the move `other`, if both moves go the same way up to it and a
    /// little beyond: the edge lies in the same segment of both, if neither slows down, and a
    /// step takes the same time there to within a tick. A move may be left for the other at this
    /// edge as if it had been that from the start.
    pub(crate) fn goes_on_as(&self, other: &Self, edge: u64) -> Option<u64> {
        let alike = match (self.shape(), other.shape()) {
            (Shape::Constant { .. }, Shape::Constant { .. })
            | (Shape::Trapezoid { .. }, Shape::Trapezoid { .. }) => u8::MAX,
            (
                Shape::JerkLimited { ramp, hold, .. },
                Shape::JerkLimited { ramp: other_ramp, hold: other_hold, .. },
            ) => {
                // From where acceleration falls again, it must fall alike.
                if (ramp, hold) == (other_ramp, other_hold) { u8::MAX } else { 2 }
            }
            _ => 0,
        };
        let tick = other.edge(edge).ok()?;
        let here = self.quickening(edge, self.edge(edge).ok()?)?;
        let there = other.quickening(edge, tick)?;
        let same = here.segment == there.segment && here.segment < alike;
        (same && here.low.is_near(there.high) && there.low.is_near(here.high)).then_some(tick)
    }

    /// Where and how fast the motor is at an edge; nothing where it slows down.
    fn quickening(&self, edge: u64, tick: u64) -> Option<Quickening> {
        if self.is_usual() {
            self.quickening_in::<i128>(edge, tick)
        } else {
            self.quickening_in::<crate::exact::I256>(edge, tick)
        }
    }

    fn quickening_in<W: Wide>(&self, edge: u64, tick: u64) -> Option<Quickening> {
        let slowing_from = match self.shape() {
            Shape::Rest | Shape::Brake { .. } => return None,
            Shape::Constant { .. } => 1,
            Shape::Trapezoid { .. } => 2,
            Shape::JerkLimited { .. } => 4,
        };
        let (number, segment) = (0..slowing_from)
            .map(|number| (number, self.segment::<W>(number)))
            .find(|(_, segment)| segment.length > 0 && segment.last_edge() >= edge)?;
        let end = (2 * segment.length).cast_signed();
        let near = (2 * (tick - segment.start.min(tick))).cast_signed();
        let pace =
            |w: i64, up| Pace::new(segment.slope(w.clamp(0, end)).magnitude(), segment.unit.magnitude(), up);
        Some(Quickening { segment: number, low: pace(near - 1, false), high: pace(near + 1, true) })
    }
}

impl StepLimits {
    /// Returns the most steps that a stop takes: from full speed, after the edge just emitted.
    ///
    /// More than [`MAX_STEPS`] if no brake from full speed can be planned.
    ///
    /// ```
    /// use num_rational::Ratio;
    /// use wholestep::plan::{StepLimits, StepRates};
    /// let rates = StepRates {
    ///     speed: Ratio::from(400),
    ///     acceleration: Ratio::from(4_000),
    ///     deceleration: Ratio::from(1_000),
    ///     start_speed: Ratio::from(0),
    ///     jerk: None,
    /// };
    /// // 400² ÷ 2·1000 = 80 steps, the half of one being behind it.
    /// assert_eq!(StepLimits::new(rates, 1_000_000)?.braking_room(), 80);
    /// # Ok::<(), wholestep::plan::PlanError>(())
    /// ```
    pub fn braking_room(&self) -> u64 {
        let (steps, seconds) = parts(self.rates().speed);
        let full = Pace::new(steps, seconds * U256::from(self.timer_hz()), true);
        self.brake(full, full).map_or(MAX_STEPS + 1, |profile| profile.steps())
    }

    /// A brake for a speed known to lie between two bounds.
    fn brake(&self, low: Pace, high: Pace) -> Result<Profile, PlanError> {
        let rates = self.rates();
        let start = self.start_speed();
        let (p, q) = (U256::from(start.numerator), U256::from(start.denominator));
        if high.steps * q <= p * high.ticks {
            // Slow enough to stop at once: at the end of the step under way.
            return self.brake_over(low, 0);
        }
        let (rate, seconds) = parts(rates.deceleration);
        let timer = U256::from(self.timer_hz());
        // v² - v1² = (v - v1)(v + v1), over d.
        let over = high.ticks * q;
        let (less, more) = (high.steps * q - p * high.ticks, high.steps * q + p * high.ticks);
        let share = ceil_product([less * timer * timer * seconds, over * rate], [more, over]);
        let twice = share | U256::ONE;
        let steps = u64::try_from(twice >> 1)
            .ok()
            .filter(|&steps| steps <= MAX_STEPS)
            .ok_or(PlanError::RateOutOfRange { rate: RateKind::Deceleration })?;
        self.brake_over(low, steps)
    }

    /// A brake from a speed of at least `low` that ends `steps` on, which must be room enough.
    fn brake_over(&self, low: Pace, steps: u64) -> Result<Profile, PlanError> {
        if steps > MAX_STEPS {
            return Err(PlanError::TooManySteps { given: steps, most: MAX_STEPS });
        }
        let start = self.start_speed();
        let (mut p, mut q) = (U256::from(start.numerator), U256::from(start.denominator));
        if low.steps * q < p * low.ticks {
            // Slower than the motor may stop at once: a brake that speeds up is none.
            (p, q) = (low.steps, low.ticks);
        }
        let twice = U256::from(2 * steps + 1);
        let sum = low.steps * q + p * low.ticks;
        let too_long = PlanError::TooLong { steps, most_ticks: MAX_TICKS };
        if sum == U256::ZERO {
            return Err(too_long);
        }
        let ticks = u64::try_from(ceil_div(twice * low.ticks * q, sum)).map_err(|_| too_long)?;
        if ticks > MAX_TICKS {
            return Err(too_long);
        }
        // Rounded up to whole ticks, the entry may be no faster than the end: then
        // one speed throughout, not above either.
        let slow = twice * q <= p * U256::from(2 * ticks);
        let end = if slow {
            let twice = u64::try_from(twice).map_err(|_| too_long)?;
            let ratio = num_rational::Ratio::new(twice, 2 * ticks);
            StartSpeed { numerator: *ratio.numer(), denominator: *ratio.denom() }
        } else {
            start
        };
        Profile::new(steps, Shape::Brake { end, decelerate: ticks })
    }
}

/// The product of two positive fractions, rounded up to a whole number; exact
/// unless 256 bits are too few, and then too large by less than 2^-30 of a step.
fn ceil_product(first: [U256; 2], second: [U256; 2]) -> U256 {
    if let (Some(top), Some(bottom)) = (first[0].checked_mul(second[0]), first[1].checked_mul(second[1])) {
        return ceil_div(top, bottom);
    }
    let reduce = |[top, bottom]: [U256; 2]| {
        let common = gcd(top, bottom);
        [top / common, bottom / common]
    };
    let [top, bottom] = reduce(first);
    let [upper, lower] = reduce(second);
    if let (Some(top), Some(bottom)) = (top.checked_mul(upper), bottom.checked_mul(lower)) {
        return ceil_div(top, bottom);
    }
    let whole = top / bottom;
    let rest = ceil_div((top - whole * bottom) << 60, bottom);
    let times = ceil_div(upper << 62, lower);
    let fine: U256 = (whole << 60) + rest;
    fine.checked_mul(times).map_or(U256::MAX, |product| ceil_div(product, U256::ONE << 122))
}
