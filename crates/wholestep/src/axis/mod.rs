//! An axis: a mechanism with a datum, soft limits, an approach side and rates.

mod holding;
mod placement;
mod rates;
mod settings;

pub use holding::Holding;
pub use placement::Placement;
pub use rates::Rates;
pub use settings::{Approach, MotorDirection, Settings};

use core::fmt;

use placement::Scale;

use crate::bounds::STEP_MAX;
use crate::error::{Error, ErrorKind, Result, Value};
use crate::exact::{Enclosure, Rounding};
use crate::measure::Measure;
use crate::mechanism::{Mechanism, Trend};

/// A mechanism with everything that makes it an axis of a machine: unit, datum, soft limits,
/// direction, approach side, backlash and rates.
///
/// Positions and targets are measured from the datum, or from a temporary zero where one is set
/// ([`with_zero`](Axis::with_zero)); the soft limits always from the datum.
///
/// ```
/// use wholestep::axis::{Axis, Rates, Settings};
/// use wholestep::mechanism::{Drive, Linear, StepMode};
/// use wholestep::{Angle, Exact, Length, LengthUnit, Measure, Rounding, Speed, Acceleration};
///
/// let mm = |n, d| Length::from_base(Exact::new(n, d)?);
/// let motor = Drive::new(Angle::from_base(Exact::new(9, 5)?)?, StepMode::new(16)?)?;
/// let screw = Linear::lead_screw_by_pitch(motor, mm(2, 1)?, 4)?;
/// let rates = Rates::new(
///     Speed::from_base(Exact::integer(40))?,
///     Acceleration::from_base(Exact::integer(200))?,
/// );
/// let axis = Axis::new(screw, Settings::new(LengthUnit::Millimetre, mm(0, 1)?, mm(600, 1)?, rates))?;
///
/// let placed = axis.place(mm(1000, 3)?, Rounding::Nearest)?;
/// assert_eq!(placed.step(), 133_333);
/// assert_eq!(placed.residual().low(), mm(-1, 1200)?);
/// assert!(axis.place(mm(601, 1)?, Rounding::Nearest).is_err());
/// # Ok::<(), wholestep::Error>(())
/// ```
#[derive(Clone, Copy)]
pub struct Axis<M: Mechanism> {
    mechanism: M,
    settings: Settings<M::Measure>,
    trend: Trend,
    zero: M::Measure,
    /// The scale of a uniform mechanism, so that placing is one division.
    scale: Option<Scale>,
    lowest_step: i64,
    highest_step: i64,
}

impl<M: Mechanism> Axis<M> {
    /// An axis of `mechanism` with `settings`.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] for soft limits in the wrong order, a speed or acceleration of 0,
    /// or a negative backlash; [`ErrorKind::BeyondLimit`] for soft limits outside the mechanism's
    /// span; [`ErrorKind::Mechanism`] for a mechanism that contradicts itself.
    pub fn new(mechanism: M, settings: Settings<M::Measure>) -> Result<Self> {
        settings.check()?;
        let trend = mechanism.trend()?;
        let low = settings.low.sub(settings.datum)?;
        let high = settings.high.sub(settings.datum)?;
        // Refuses a soft limit that the span does not reach.
        mechanism.locate(low, Rounding::Below)?;
        mechanism.locate(high, Rounding::Above)?;
        let lowest_step = mechanism.locate(low, Rounding::Above)?.step;
        let highest_step = mechanism.locate(high, Rounding::Below)?.step;
        let between = match trend {
            Trend::Rising => highest_step.checked_sub(lowest_step),
            Trend::Falling => lowest_step.checked_sub(highest_step),
        };
        if between.is_none_or(|steps| steps < 1) {
            return Err(Error::new(ErrorKind::OutOfRange, "soft limits")
                .about("limits")
                .given(settings.quote(settings.low))
                .remedy("set them further apart; fewer than two steps stand between them"));
        }
        let axis = Self {
            mechanism,
            settings,
            trend,
            zero: M::Measure::ZERO,
            scale: None,
            lowest_step,
            highest_step,
        };
        axis.with_zero(M::Measure::ZERO)
    }

    /// The same axis measured from a temporary zero at `zero`, itself measured from the datum.
    ///
    /// Targets and positions are then relative to `zero`. Datum, soft limits and step numbers stay
    /// as they are.
    ///
    /// # Errors
    /// [`ErrorKind::Overflow`] where zero, datum and travel have no common denominator in range.
    pub fn with_zero(mut self, zero: M::Measure) -> Result<Self> {
        self.scale = match self.mechanism.uniform_travel() {
            Some(travel) => Some(Scale::new(travel, self.settings.datum.base().sub(zero.base())?)?),
            None => None,
        };
        self.zero = zero;
        Ok(self)
    }

    /// The mechanism.
    pub const fn mechanism(&self) -> &M {
        &self.mechanism
    }

    /// The settings.
    pub const fn settings(&self) -> &Settings<M::Measure> {
        &self.settings
    }

    /// The temporary zero, measured from the datum; nought where none is set.
    pub const fn zero(&self) -> M::Measure {
        self.zero
    }

    /// The unit in which the axis speaks to people.
    pub const fn unit(&self) -> <M::Measure as Measure>::Unit {
        self.settings.unit
    }

    /// Whether positions rise with the step number.
    pub const fn trend(&self) -> Trend {
        self.trend
    }

    /// The step allowed lowest by measure: the first at or above the low soft limit.
    pub const fn lowest_step(&self) -> i64 {
        self.lowest_step
    }

    /// The step allowed highest by measure: the last at or below the high soft limit.
    pub const fn highest_step(&self) -> i64 {
        self.highest_step
    }

    /// Whether the soft limits allow `step`.
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
    /// [`ErrorKind::BeyondLimit`] for a target past a soft limit, with the excess;
    /// [`ErrorKind::OutOfRange`] for a target whose denominator is finer than the axis can carry;
    /// whatever the mechanism returns.
    pub fn place(&self, target: M::Measure, rounding: Rounding) -> Result<Placement<M::Measure>> {
        self.check_limits(target)?;
        let placement = if let Some(scale) = &self.scale {
            scale.place(target, rounding)?
        } else {
            let located = self.mechanism.locate(self.on_mechanism(target)?, rounding)?;
            self.enclosed(target, located.step, located.decided)?
        };
        if self.allows(placement.step()) {
            Ok(placement)
        } else {
            self.place_at_limit(target, placement.step(), rounding)
        }
    }

    /// As [`place`](Axis::place), but an undecided step is an error.
    ///
    /// # Errors
    /// [`ErrorKind::Undecided`], and as [`place`](Axis::place).
    pub fn place_strictly(&self, target: M::Measure, rounding: Rounding) -> Result<Placement<M::Measure>> {
        let placement = self.place(target, rounding)?;
        if placement.decided() {
            return Ok(placement);
        }
        Err(Error::new(ErrorKind::Undecided, "target between two steps")
            .given(self.settings.quote(target))
            .remedy("move the target by a hair; no width down to 1e-18 tells which step is right"))
    }

    /// Goes by `distance` from where `from` was asked to stand.
    ///
    /// Counted from the exact target of `from`, not from the step it was rounded to, so that any
    /// number of distances adds up without drift.
    ///
    /// # Errors
    /// As [`place`](Axis::place).
    pub fn place_by(
        &self,
        from: &Placement<M::Measure>,
        distance: M::Measure,
        rounding: Rounding,
    ) -> Result<Placement<M::Measure>> {
        self.place(from.target().add(distance)?, rounding)
    }

    /// Where the carriage stands at `step`, which may lie outside the soft limits.
    ///
    /// The target of the placement is the position itself (its lower bound where it is an enclosure).
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] off the span; whatever the mechanism returns.
    pub fn at_step(&self, step: i64) -> Result<Placement<M::Measure>> {
        let span = self.mechanism.span();
        if !span.contains(&step) || step.abs() > STEP_MAX {
            return Err(Error::new(ErrorKind::OutOfRange, "step")
                .given(Value::Integer(step.into()))
                .between(Value::Integer((*span.start()).into()), Value::Integer((*span.end()).into())));
        }
        if let Some(scale) = &self.scale {
            return scale.at_step(step);
        }
        let position = self.position_of(step)?;
        Placement::enclosed(position.low(), step, true, position)
    }

    /// The position of `step` on the axis's scale, at the finest width.
    fn position_of(&self, step: i64) -> Result<Enclosure<M::Measure>> {
        let offset = self.settings.datum.base().sub(self.zero.base())?;
        self.mechanism.stands_at(step, self.mechanism.finest_width())?.shifted(offset)
    }

    /// The target in the mechanism's own scale.
    fn on_mechanism(&self, target: M::Measure) -> Result<M::Measure> {
        target.add(self.zero)?.sub(self.settings.datum)
    }

    fn enclosed(&self, target: M::Measure, step: i64, decided: bool) -> Result<Placement<M::Measure>> {
        Placement::enclosed(target, step, decided, self.position_of(step)?)
    }

    fn check_limits(&self, target: M::Measure) -> Result<()> {
        let settings = &self.settings;
        let from_datum = if self.zero == M::Measure::ZERO { target } else { target.add(self.zero)? };
        let excess = if from_datum < settings.low {
            settings.low.sub(from_datum)?
        } else if from_datum > settings.high {
            from_datum.sub(settings.high)?
        } else {
            return Ok(());
        };
        Err(Error::new(ErrorKind::BeyondLimit, "target past a soft limit")
            .given(settings.quote(target))
            .excess(settings.quote(excess))
            .between(
                settings.quote(settings.low.sub(self.zero)?),
                settings.quote(settings.high.sub(self.zero)?),
            ))
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
            return match &self.scale {
                Some(scale) => scale.placement(target, last),
                None => self.enclosed(target, last, true),
            };
        }
        Err(Error::new(ErrorKind::BeyondLimit, "step past a soft limit for target")
            .given(self.settings.quote(target))
            .remedy("round to the nearest step, or set the soft limit further out"))
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
