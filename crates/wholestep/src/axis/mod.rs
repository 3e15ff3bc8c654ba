//! An axis: a mechanism with a datum, soft limits, an approach side and rates.

mod config;
#[cfg(feature = "alloc")]
mod dynamic;
mod fingerprint;
mod grid_fit;
mod placement;
mod rates;

pub use config::{Approach, AxisConfig, MotorDirection};
#[cfg(feature = "alloc")]
pub use dynamic::{AngleMechanism, AnyAxis, AnyMechanism, LengthMechanism, SharedMechanism};
pub use fingerprint::Fingerprint;
pub use grid_fit::GridFit;
pub use placement::Placement;
pub use rates::Rates;

use core::fmt;

use placement::Scale;

use crate::bounds::STEP_MAX;
use crate::error::{Result, Value, messages};
use crate::exact::{Enclosure, Rounding};
use crate::measure::Measure;
use crate::mechanism::{Located, Mechanism, Trend};

/// A mechanism with everything that makes it an axis of a machine: unit, datum, soft limits,
/// direction, approach side, backlash and rates.
///
/// Positions and targets are measured from the datum, or from a temporary zero if one is set
/// ([`with_zero`](Axis::with_zero)); the soft limits always from the datum.
///
/// ```
/// use wholestep::axis::{Axis, Rates, AxisConfig};
/// use wholestep::mechanism::{DriveTrain, Linear, StepMode};
/// use wholestep::{Angle, Exact, Length, LengthUnit, Measure, Rounding, Speed, Acceleration};
///
/// let mm = |n, d| Length::from_base(Exact::new(n, d)?);
/// let motor = DriveTrain::new(Angle::from_base(Exact::new(9, 5)?)?, StepMode::new(16)?)?;
/// let screw = Linear::lead_screw_by_pitch(motor, mm(2, 1)?, 4)?;
/// let rates = Rates::new(
///     Speed::from_base(Exact::integer(40))?,
///     Acceleration::from_base(Exact::integer(200))?,
/// );
/// let axis = Axis::new(screw, AxisConfig::new(LengthUnit::Millimetre, mm(0, 1)?, mm(600, 1)?, rates))?;
///
/// let placed = axis.place(mm(1000, 3)?, Rounding::Nearest)?;
/// assert_eq!(placed.step(), 133_333);
/// assert_eq!(placed.remainder().low(), mm(-1, 1200)?);
/// assert!(axis.place(mm(601, 1)?, Rounding::Nearest).is_err());
/// # Ok::<(), wholestep::Error>(())
/// ```
#[derive(Clone, Copy)]
pub struct Axis<M: Mechanism> {
    mechanism: M,
    settings: AxisConfig<M::Measure>,
    trend: Trend,
    zero: M::Measure,
    /// Where step 0 stands from the temporary zero: datum minus zero.
    offset: Enclosure<M::Measure>,
    /// The scale of a uniform mechanism, so that placing is one division.
    scale: Option<Scale>,
    fingerprint: Fingerprint,
    lowest_step: i64,
    highest_step: i64,
}

impl<M: Mechanism> Axis<M> {
    /// Makes an axis of `mechanism` with `settings`.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for soft limits in the wrong order, a speed or acceleration of 0,
    /// or a negative backlash; [`ErrorKind::BeyondLimit`](crate::ErrorKind::BeyondLimit) for soft limits outside the mechanism's
    /// span; [`ErrorKind::Mechanism`](crate::ErrorKind::Mechanism) for a mechanism that contradicts itself.
    pub fn new(mechanism: M, settings: AxisConfig<M::Measure>) -> Result<Self> {
        settings.check()?;
        let trend = mechanism.trend()?;
        let fingerprint = Fingerprint::of(&mechanism, settings.step_zero_at)?;
        let mut axis = Self {
            mechanism,
            settings,
            trend,
            zero: M::Measure::ZERO,
            offset: Enclosure::exact(settings.step_zero_at),
            scale: None,
            fingerprint,
            lowest_step: 0,
            highest_step: 0,
        }
        .with_zero(M::Measure::ZERO)?;
        // Refuses a soft limit that the span does not reach.
        axis.step_for(settings.low, Rounding::Below)?;
        axis.step_for(settings.high, Rounding::Above)?;
        axis.lowest_step = axis.step_for(settings.low, Rounding::Above)?.step;
        axis.highest_step = axis.step_for(settings.high, Rounding::Below)?.step;
        let between = match trend {
            Trend::Rising => axis.highest_step.checked_sub(axis.lowest_step),
            Trend::Falling => axis.lowest_step.checked_sub(axis.highest_step),
        };
        if between.is_none_or(|steps| steps < 1) {
            return Err(messages::LIMITS_APART.error().given(settings.quote(settings.low)));
        }
        Ok(axis)
    }

    /// Returns the same axis measured from a temporary zero at `zero`, itself measured from the datum.
    ///
    /// Targets and positions are then relative to `zero`. Datum, soft limits and step numbers stay
    /// as they are.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a zero further from the datum than a measure can say.
    pub fn with_zero(mut self, zero: M::Measure) -> Result<Self> {
        self.zero = zero;
        self.offset = Enclosure::exact(self.settings.step_zero_at).checked_sub(Enclosure::exact(zero))?;
        self.scale = match self.mechanism.uniform_travel() {
            Some(travel) if self.offset.is_exact() => Scale::new(travel, self.offset.low().base()),
            _ => None,
        };
        Ok(self)
    }

    /// Returns the same axis measured so that `step` stands at `position`: its temporary zero is where the step
    /// stands from the datum, less `position`.
    ///
    /// After a change of cutter one touch-off that only measures gives the step of first contact, and the
    /// height of the gauge is its position: heights recorded from the cutter stay valid, and so do datum
    /// and soft limits. Where the position is an enclosure the zero is rounded to 1e-12 of a millimetre or
    /// degree.
    ///
    /// # Errors
    /// As [`at_step`](Self::at_step) and [`with_zero`](Self::with_zero).
    pub fn with_step_at(self, step: i64, position: M::Measure) -> Result<Self> {
        let axis = self.with_zero(M::Measure::ZERO)?;
        let zero = axis.at_step(step)?.position().checked_sub(Enclosure::exact(position))?;
        axis.with_zero(zero.to_measure()?)
    }

    /// Returns the mechanism.
    pub const fn mechanism(&self) -> &M {
        &self.mechanism
    }

    /// Returns the settings.
    pub const fn config(&self) -> &AxisConfig<M::Measure> {
        &self.settings
    }

    /// Returns the temporary zero, measured from the datum; zero if none is set.
    pub const fn zero(&self) -> M::Measure {
        self.zero
    }

    /// Returns which machine its step numbers belong to.
    pub const fn fingerprint(&self) -> Fingerprint {
        self.fingerprint
    }

    /// Returns the unit in which the axis speaks to people.
    pub const fn unit(&self) -> <M::Measure as Measure>::Unit {
        self.settings.unit
    }

    /// Tells whether positions rise with the step number.
    pub const fn trend(&self) -> Trend {
        self.trend
    }

    /// Returns the step allowed lowest by measure: the first at or above the low soft limit.
    pub const fn lowest_step(&self) -> i64 {
        self.lowest_step
    }

    /// Returns the step allowed highest by measure: the last at or below the high soft limit.
    pub const fn highest_step(&self) -> i64 {
        self.highest_step
    }

    /// Tells whether the soft limits allow `step`.
    pub fn allows(&self, step: i64) -> bool {
        let (first, last) = match self.trend {
            Trend::Rising => (self.lowest_step, self.highest_step),
            Trend::Falling => (self.highest_step, self.lowest_step),
        };
        (first..=last).contains(&step)
    }

    /// Rounds `target` once, to one of the steps that the soft limits allow.
    ///
    /// A target between the last allowed step and the soft limit itself goes to that step by
    /// `Nearest`, and is refused by the rule that would pass the limit.
    ///
    /// # Errors
    /// [`ErrorKind::BeyondLimit`](crate::ErrorKind::BeyondLimit) for a target past a soft limit, with the excess; whatever the
    /// mechanism returns. No target within the limits has too many digits.
    pub fn place(&self, target: M::Measure, rounding: Rounding) -> Result<Placement<M::Measure>> {
        self.check_limits(target)?;
        let by_division =
            self.scale.as_ref().and_then(|scale| scale.place(self.fingerprint, target, rounding));
        let placement = if let Some(placement) = by_division {
            placement
        } else {
            let located = self.step_for(target, rounding)?;
            self.enclosed(target, located.step, located.is_decided)?
        };
        if self.allows(placement.step()) {
            Ok(placement)
        } else {
            self.place_at_limit(target, placement.step(), rounding)
        }
    }

    /// Goes by `distance` from where `from` was asked to stand.
    ///
    /// Counted from the exact target of `from`, not from the step it was rounded to, so that any
    /// number of distances adds up without drift. Only a sum with more digits than a measure holds, a
    /// denominator above 2^64, is rounded to 1e-12 of a millimetre or degree; the target of the
    /// placement shows it.
    ///
    /// # Errors
    /// [`ErrorKind::OtherAxis`](crate::ErrorKind::OtherAxis) for a placement of another machine; as [`place`](Axis::place).
    pub fn place_by(
        &self,
        from: &Placement<M::Measure>,
        distance: M::Measure,
        rounding: Rounding,
    ) -> Result<Placement<M::Measure>> {
        self.fingerprint.check(from.fingerprint())?;
        let target = Enclosure::exact(from.target()).checked_add(Enclosure::exact(distance))?;
        self.place(target.to_measure()?, rounding)
    }

    /// Returns where the carriage stands at `step`, which may lie outside the soft limits.
    ///
    /// The target of the placement is the position itself; if that is an enclosure, it is rounded to
    /// 1e-12 of a millimetre or degree, so that distances can be added to it.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) off the span; whatever the mechanism returns.
    pub fn at_step(&self, step: i64) -> Result<Placement<M::Measure>> {
        let span = self.mechanism.span();
        if !span.contains(&step) || step.abs() > STEP_MAX {
            return Err(messages::STEP_OFF_SPAN
                .error()
                .given(Value::Integer(step.into()))
                .between(Value::Integer((*span.start()).into()), Value::Integer((*span.end()).into())));
        }
        if let Some(scale) = &self.scale {
            return scale.at_step(self.fingerprint, step);
        }
        let position = self.position_of(step)?;
        Placement::enclosed(self.fingerprint, position.to_measure()?, step, true, position)
    }

    /// The position of `step` on the axis's scale, at the finest width.
    fn position_of(&self, step: i64) -> Result<Enclosure<M::Measure>> {
        self.mechanism.position_at(step, self.mechanism.finest_width())?.checked_add(self.offset)
    }

    /// As [`place`](Axis::place), but the soft limits are left to the caller.
    pub(crate) fn step_for(&self, target: M::Measure, rounding: Rounding) -> Result<Located> {
        self.locate(Enclosure::exact(target).checked_sub(self.offset)?, rounding)
    }

    /// As [`step_for`](Axis::step_for), for a position measured from the datum whatever the zero.
    pub(crate) fn step_from_datum(&self, position: M::Measure, rounding: Rounding) -> Result<Located> {
        let datum = Enclosure::exact(self.settings.step_zero_at);
        self.locate(Enclosure::exact(position).checked_sub(datum)?, rounding)
    }

    /// The step for a target on the mechanism's own scale; left open if the target has too many
    /// digits for a measure and the step depends on the last of them.
    fn locate(&self, target: Enclosure<M::Measure>, rounding: Rounding) -> Result<Located> {
        let below = self.mechanism.locate(target.low(), rounding)?;
        if target.is_exact() {
            return Ok(below);
        }
        let above = self.mechanism.locate(target.high(), rounding)?;
        Ok(Located { step: below.step, is_decided: below == above && below.is_decided })
    }

    fn enclosed(&self, target: M::Measure, step: i64, is_decided: bool) -> Result<Placement<M::Measure>> {
        Placement::enclosed(self.fingerprint, target, step, is_decided, self.position_of(step)?)
    }

    fn check_limits(&self, target: M::Measure) -> Result<()> {
        let settings = &self.settings;
        let [target_there, low, high] = [target, settings.low, settings.high].map(Enclosure::exact);
        let from_datum = if self.zero == M::Measure::ZERO {
            target_there
        } else {
            target_there.checked_add(Enclosure::exact(self.zero))?
        };
        let excess = if from_datum.high() < settings.low {
            low.checked_sub(from_datum)?
        } else if from_datum.low() > settings.high {
            from_datum.checked_sub(high)?
        } else {
            return Ok(());
        };
        let (low, high) = self.limits()?;
        Err(messages::PAST_LIMIT
            .error()
            .given(settings.quote(target))
            .excess(settings.quote(excess.low()))
            .between(settings.quote(low), settings.quote(high)))
    }

    /// The soft limits from the temporary zero, as errors quote them.
    pub(crate) fn limits(&self) -> Result<(M::Measure, M::Measure)> {
        let zero = Enclosure::exact(self.zero);
        let from_zero = |limit: M::Measure| Enclosure::exact(limit).checked_sub(zero);
        Ok((from_zero(self.settings.low)?.high(), from_zero(self.settings.high)?.low()))
    }

    /// The target lies within the soft limits but its step stands past one of them.
    fn place_at_limit(
        &self,
        target: M::Measure,
        step: i64,
        rounding: Rounding,
    ) -> Result<Placement<M::Measure>> {
        let past_high = match self.trend {
            Trend::Rising => step > self.highest_step,
            Trend::Falling => step < self.highest_step,
        };
        let last = if past_high { self.highest_step } else { self.lowest_step };
        if rounding == Rounding::Nearest {
            return self.enclosed(target, last, true);
        }
        Err(messages::STEP_PAST_LIMIT.error().given(self.settings.quote(target)))
    }
}

impl<M: Mechanism> fmt::Debug for Axis<M> {
    /// The settings and the steps they allow; a mechanism need not be printable.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Axis")
            .field("settings", &self.settings)
            .field("zero", &self.zero)
            .field("steps", &(self.lowest_step..=self.highest_step))
            .finish_non_exhaustive()
    }
}
