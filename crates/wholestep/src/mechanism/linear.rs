//! Mechanisms in which every step travels alike.

use core::marker::PhantomData;
use core::ops::RangeInclusive;

use super::search::{self, Located};
use super::{Mechanism, StepSizes, Trend};
use crate::bounds::{MEASURE_DENOMINATOR_MAX, STEP_MAX};
use crate::error::{Result, messages};
use crate::exact::pi::pi;
use crate::exact::{Enclosure, Exact, Rounding, Width};
use crate::measure::Measure;

/// A mechanism in which every step travels alike and step 0 stands at 0.
///
/// The travel of a step is a rational number of millimetres or degrees, or such a number times π
/// (a drum by its diameter, a rack by its module). Made by the constructors named after the drive
/// trains, such as [`Linear::lead_screw_by_pitch`].
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Linear<M> {
    /// Of one step, in base units; to be multiplied by π where `times_pi`.
    travel: Exact,
    times_pi: bool,
    last_step: i64,
    measure: PhantomData<M>,
}

impl<M: Measure> Linear<M> {
    /// Makes a mechanism that travels `travel` base units a step, times π where `times_pi`.
    pub(super) fn new(travel: Exact, times_pi: bool) -> Result<Self> {
        if travel.signum() <= 0 {
            return Err(messages::TRAVEL_ABOVE_ZERO.error().given(M::quoted(M::from_base(travel)?, M::BASE)));
        }
        // The last step whose position a measure can hold, π taken as 4.
        let most = if times_pi { M::MAX.base().checked_div(Exact::integer(4))? } else { M::MAX.base() };
        let reach = most.checked_div(travel)?.round(Rounding::Below);
        let last_step = i64::try_from(reach).unwrap_or(STEP_MAX).min(STEP_MAX);
        if last_step < 1 {
            let subject = if times_pi { "travel per step, divided by π," } else { "travel per step" };
            return Err(messages::TRAVEL_TOO_LONG
                .error()
                .of(subject)
                .given(M::quoted(M::from_base(travel)?, M::BASE))
                .at_most(M::quoted(M::from_base(most)?, M::BASE)));
        }
        Ok(Self { travel, times_pi, last_step, measure: PhantomData })
    }

    /// Returns the travel of one step.
    ///
    /// # Errors
    /// None: the constructors refuse a travel out of range.
    pub fn travel_per_step(&self) -> Result<Enclosure<M>> {
        self.position_at(1, Width::FINEST)
    }

    fn at(&self, step: i64) -> Result<Enclosure<Exact>> {
        let travel = Enclosure::exact(self.travel.checked_mul(Exact::integer(step))?);
        let travel = if self.times_pi { travel.checked_mul(pi())? } else { travel };
        Ok(travel.outward()?)
    }

    /// The step by division, where the two bounds of π agree on it.
    fn by_division(&self, target: M, rounding: Rounding) -> Result<Option<i128>> {
        let steps = target.base().checked_div(self.travel)?;
        if !self.times_pi {
            return Ok(Some(steps.round(rounding)));
        }
        let least = steps.checked_div(pi().high())?.round(rounding);
        let most = steps.checked_div(pi().low())?.round(rounding);
        Ok((least == most).then_some(least))
    }
}

impl<M: Measure> Mechanism for Linear<M> {
    type Measure = M;

    fn span(&self) -> RangeInclusive<i64> {
        -self.last_step..=self.last_step
    }

    fn position_at(&self, step: i64, _width: Width) -> Result<Enclosure<M>> {
        self.at(step)?.map(M::from_base)
    }

    fn locate(&self, target: M, rounding: Rounding) -> Result<Located> {
        match self.by_division(target, rounding) {
            Ok(Some(step)) if step.unsigned_abs() <= u128::from(self.last_step.unsigned_abs()) => {
                Ok(Located { step: i64::try_from(step).unwrap_or(self.last_step), is_decided: true })
            }
            // The search refuses what is off the span and says what could not be decided.
            _ => search::locate(self, target, rounding),
        }
    }

    fn trend(&self) -> Result<Trend> {
        Ok(Trend::Rising)
    }

    fn uniform_travel(&self) -> Option<Exact> {
        (!self.times_pi && self.travel.denominator() <= MEASURE_DENOMINATOR_MAX).then_some(self.travel)
    }

    fn step_sizes(&self, _steps: RangeInclusive<i64>) -> Result<StepSizes<M>> {
        let size = self.travel_per_step()?;
        Ok(StepSizes { finest: size.low(), coarsest: size.high(), certified: true })
    }
}
