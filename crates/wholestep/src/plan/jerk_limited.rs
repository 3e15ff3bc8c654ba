//! Jerk-limited moves from rest to rest: limits worked out beforehand, and the
//! durations of one move.
//!
//! With X = Tj, Y = Tj + Ta and Z = Y + Tj + Tv the move takes X + Y + Z ticks,
//! and the limits read N <= j XYZ, N <= a YZ, N <= V Z, with X <= Y and
//! X + Y <= Z. Rounding each up therefore keeps every limit.

use crate::exact::U256;
use num_rational::Ratio;

use super::error::{PlanError, RateKind};
use super::limits::{StepRates, parts};
use super::profile::{MAX_TICKS, Shape};
use super::wide::{Scale, ceil_cbrt, ceil_div, ceil_sqrt};

/// What is known of jerk-limited moves before their length is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct JerkLimits {
    /// X and Y of a move that reaches full speed.
    ramp: u64,
    rise: u64,
    /// Whether such a move also reaches full acceleration.
    holds: bool,
    /// YZ for each step at full acceleration.
    square: Scale,
    /// XYZ for each step at full jerk.
    cube: Scale,
}

impl JerkLimits {
    pub(crate) fn new(rates: &StepRates, jerk: Ratio<u64>, timer: U256) -> Result<Self, PlanError> {
        let (speed, speed_over) = parts(rates.speed);
        let (rate, rate_over) = parts(rates.acceleration.min(rates.deceleration));
        let (jerk, jerk_over) = parts(jerk);
        let range = |rate| PlanError::RateOutOfRange { rate };
        let fit = |ticks: U256, rate| {
            u64::try_from(ticks).ok().filter(|&ticks| ticks <= MAX_TICKS / 16).ok_or(range(rate))
        };
        let square = Scale::at_least(timer * timer * rate_over, rate).ok_or(range(RateKind::Acceleration))?;
        let cube = Scale::at_least(timer * timer * timer * jerk_over, jerk).ok_or(range(RateKind::Jerk))?;
        // V / a against a / j.
        let holds = speed * jerk * rate_over * rate_over >= rate * rate * speed_over * jerk_over;
        let (ramp, rise) = if holds {
            (
                fit(ceil_div(timer * rate * jerk_over, rate_over * jerk), RateKind::Jerk)?,
                fit(ceil_div(timer * speed * rate_over, speed_over * rate), RateKind::Acceleration)?,
            )
        } else {
            let square = ceil_div(timer * timer * speed * jerk_over, speed_over * jerk);
            let square = u128::try_from(square).map_err(|_| range(RateKind::Jerk))?;
            let ramp = fit(U256::from(ceil_sqrt(square)), RateKind::Jerk)?;
            (ramp, ramp)
        };
        Ok(Self { ramp, rise, holds, square, cube })
    }

    /// The durations of a move of `steps`, or nothing if they leave their range.
    #[inline]
    pub(crate) fn shape(&self, steps: u64, period: &Scale) -> Option<Shape> {
        let length = u64::try_from(period.ceil_times(steps)?).ok()?;
        if let Some(cruise) = length.checked_sub(self.ramp + self.rise) {
            return Some(Shape::JerkLimited { ramp: self.ramp, hold: self.rise - self.ramp, cruise });
        }
        if self.holds {
            // The least Y with Y (Y + X) at least the steps' share.
            let share = self.square.ceil_times(steps)?;
            let ramp = u128::from(self.ramp);
            if share >= 2 * ramp * ramp {
                let root = ceil_sqrt(share.checked_mul(4)?.checked_add(ramp * ramp)?);
                let rise = (root - self.ramp).div_ceil(2);
                return Some(Shape::JerkLimited { ramp: self.ramp, hold: rise - self.ramp, cruise: 0 });
            }
        }
        // The least X with 2 X³ at least the steps' share.
        let share = self.cube.ceil_times(steps)?;
        if share >> 123 != 0 {
            return None;
        }
        Some(Shape::JerkLimited { ramp: ceil_cbrt(share.div_ceil(2)), hold: 0, cruise: 0 })
    }
}
