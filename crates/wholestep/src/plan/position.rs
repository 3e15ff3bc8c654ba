//! Where a profile stands at any time, how fast it moves, and its peaks: exact.

use crate::exact::I256;
use num_rational::Ratio;

use super::error::PlanError;
use super::profile::{Profile, Shape};
use super::segment::Segment;
use super::wide::{Wide, gcd};

impl Profile {
    /// Returns the ideal position at `tick`, in steps from the start of the leg, exact.
    /// Half steps and below are what the motor rounds to its nearest step.
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
    /// assert_eq!(profile.ticks(), 44_722);
    /// assert_eq!(profile.steps_at(Ratio::from(22_361))?, Ratio::from(2));
    /// assert_eq!(profile.steps_at(Ratio::new(22_361, 2))?, Ratio::new(1, 2));
    /// # Ok::<(), wholestep::plan::PlanError>(())
    /// ```
    ///
    /// # Errors
    /// A time before 0 or after [`Profile::ticks`], or a fraction of a tick so
    /// fine that the exact position does not fit.
    pub fn steps_at(&self, tick: Ratio<i128>) -> Result<Ratio<i128>, PlanError> {
        let Some((segment, time, over)) = self.locate_time(tick)? else {
            return Ok(Ratio::from(0));
        };
        let position = || {
            let [c0, c1, c2, c3] = segment.coefficients;
            let mut value = c3;
            let mut scale = over;
            for coefficient in [c2, c1, c0] {
                value = value.checked_mul(time)?.checked_add(coefficient.checked_mul(scale)?)?;
                scale = scale.checked_mul(over)?;
            }
            reduced(value, segment.unit.checked_mul(scale / over)?)
        };
        position().ok_or(PlanError::NotRepresentable)
    }

    /// Returns the speed at `tick`, in steps a tick, exact.
    ///
    /// # Errors
    /// As [`Profile::steps_at`].
    pub fn steps_per_tick_at(&self, tick: Ratio<i128>) -> Result<Ratio<i128>, PlanError> {
        let Some((segment, time, over)) = self.locate_time(tick)? else {
            return Ok(Ratio::from(0));
        };
        let speed = || {
            let [_, c1, c2, c3] = segment.coefficients;
            let two = I256::new(2);
            let value = c3
                .checked_mul(I256::new(3))?
                .checked_mul(time)?
                .checked_add(c2.checked_mul(two)?.checked_mul(over)?)?
                .checked_mul(time)?
                .checked_add(c1.checked_mul(over.checked_mul(over)?)?)?;
            reduced(value.checked_mul(two)?, segment.unit.checked_mul(over.checked_mul(over)?)?)
        };
        speed().ok_or(PlanError::NotRepresentable)
    }

    /// Returns the highest speed, in steps a tick, exact.
    ///
    /// # Errors
    /// If the fraction does not fit.
    pub fn peak_speed(&self) -> Result<Ratio<i128>, PlanError> {
        let (steps, ticks) = self.peak_fraction::<I256>();
        reduced(steps, ticks).ok_or(PlanError::NotRepresentable)
    }

    /// Returns the highest acceleration, in steps a tick squared, exact; zero at
    /// constant speed and in a brake.
    ///
    /// # Errors
    /// If the fraction does not fit.
    pub fn peak_acceleration(&self) -> Result<Ratio<i128>, PlanError> {
        match self.shape() {
            Shape::Trapezoid { accelerate, .. } => self.rise_over(accelerate),
            Shape::JerkLimited { ramp, hold, .. } => self.peak_over(&[ramp + hold]),
            _ => Ok(Ratio::from(0)),
        }
    }

    /// Returns the highest deceleration, in steps a tick squared, exact; zero at constant
    /// speed.
    ///
    /// # Errors
    /// If the fraction does not fit.
    pub fn peak_deceleration(&self) -> Result<Ratio<i128>, PlanError> {
        match self.shape() {
            Shape::Trapezoid { decelerate, .. } | Shape::Brake { decelerate, .. } => {
                self.rise_over(decelerate)
            }
            Shape::JerkLimited { ramp, hold, .. } => self.peak_over(&[ramp + hold]),
            _ => Ok(Ratio::from(0)),
        }
    }

    /// Returns the jerk, in steps a tick cubed, exact. Only a jerk-limited profile has one:
    /// elsewhere acceleration sets in at once, and the answer is `None`.
    ///
    /// # Errors
    /// If the fraction does not fit.
    pub fn peak_jerk(&self) -> Result<Option<Ratio<i128>>, PlanError> {
        match self.shape() {
            Shape::JerkLimited { ramp, hold, .. } => self.peak_over(&[ramp + hold, ramp]).map(Some),
            _ => Ok(None),
        }
    }

    /// No two edges are closer than this many ticks: the time of a step at the
    /// highest speed, rounded down. `None` for a profile of fewer than two edges.
    pub fn shortest_interval(&self) -> Option<u64> {
        if self.steps() < 2 {
            return None;
        }
        Some(if self.is_usual() {
            let (steps, ticks) = self.peak_fraction::<i128>();
            (ticks / steps).low()
        } else {
            let (steps, ticks) = self.peak_fraction::<I256>();
            (ticks / steps).low()
        })
    }

    /// Steps over ticks at the highest speed.
    fn peak_fraction<W: Wide>(&self) -> (W, W) {
        let w = |value: u64| W::from(value);
        let n = w(self.steps());
        match self.shape() {
            Shape::Rest => (w(0), w(1)),
            Shape::Constant { ticks } => (n, w(ticks)),
            Shape::Trapezoid { start, accelerate, cruise, decelerate } => {
                let (p, q) = (w(start.numerator), w(start.denominator));
                (w(2) * n * q - p * w(accelerate + decelerate), q * (w(self.ticks()) + w(cruise)))
            }
            Shape::JerkLimited { ramp, hold, cruise } => (n, w(2 * ramp + hold) + w(cruise)),
            Shape::Brake { end, decelerate } => {
                let (p, q) = (w(end.numerator), w(end.denominator));
                ((n + n + w(1)) * q - p * w(decelerate), q * w(decelerate))
            }
        }
    }

    /// Peak speed over durations.
    fn peak_over(&self, durations: &[u64]) -> Result<Ratio<i128>, PlanError> {
        let (steps, ticks) = self.peak_fraction::<I256>();
        durations
            .iter()
            .try_fold(ticks, |ticks, &duration| ticks.checked_mul(I256::from(duration)))
            .and_then(|ticks| reduced(steps, ticks))
            .ok_or(PlanError::NotRepresentable)
    }

    /// What the peak speed exceeds the end speed by, over a duration.
    fn rise_over(&self, duration: u64) -> Result<Ratio<i128>, PlanError> {
        let end = match self.shape() {
            Shape::Trapezoid { start, .. } => start,
            Shape::Brake { end, .. } => end,
            _ => super::StartSpeed::REST,
        };
        let (steps, ticks) = self.peak_fraction::<I256>();
        // The peak's denominator is a multiple of the end speed's.
        let rise = steps - ticks / I256::from(end.denominator) * I256::from(end.numerator);
        ticks
            .checked_mul(I256::from(duration))
            .and_then(|ticks| reduced(rise, ticks))
            .ok_or(PlanError::NotRepresentable)
    }

    /// The segment at a time, and the half ticks since its start as a fraction.
    fn locate_time(&self, tick: Ratio<i128>) -> Result<Option<(Segment<I256>, I256, I256)>, PlanError> {
        if *tick.denom() <= 0 || tick < Ratio::from(0) || tick > Ratio::from(i128::from(self.ticks())) {
            return Err(PlanError::TickOutOfRange { last: self.ticks() });
        }
        for number in 0..self.segments() {
            let segment = self.segment::<I256>(number);
            if tick <= Ratio::from(i128::from(segment.start + segment.length)) {
                let over = I256::from(*tick.denom());
                let since = I256::from(*tick.numer()) - I256::from(segment.start) * over;
                return Ok(Some((segment, since * I256::new(2), over)));
            }
        }
        Ok(None)
    }
}

/// The reduced fraction, if it fits; the denominator is positive.
fn reduced(numerator: I256, denominator: I256) -> Option<Ratio<i128>> {
    let common = gcd(numerator.unsigned_abs(), denominator.unsigned_abs()).as_i256();
    Some(Ratio::new_raw(i128::try_from(numerator / common).ok()?, i128::try_from(denominator / common).ok()?))
}
