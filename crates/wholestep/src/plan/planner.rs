//! Plans for an axis: from where it stands to a placement, by the approach that was set.

use num_rational::Ratio;

use super::approach::{direction_of, past_limit, turning_step};
use super::limits::at_most;
use super::{Plan, PulseTiming, StepLimits, StepRates};
use crate::axis::{Approach, Axis, Placement};
use crate::error::{Result, messages};
use crate::exact::Exact;
use crate::measure::{Measure, Speed};
use crate::mechanism::{Mechanism, StepSizes};

/// Plans the moves of one axis on one timer, with all that can be worked out beforehand.
///
/// Speeds, accelerations and jerk are those of the carriage at the axis's coarsest step, so that no
/// step of a curved mechanism is faster than was set; what the curvature itself adds to acceleration
/// is not bounded.
///
/// ```
/// # use wholestep::axis::{Axis, Rates, AxisConfig};
/// # use wholestep::mechanism::{DriveTrain, Linear, StepMode};
/// # use wholestep::{Acceleration, Angle, Exact, Length, LengthUnit, Measure, Rounding, Speed};
/// use wholestep::axis::Approach;
/// use wholestep::plan::{Planner, PulseTiming};
/// # let mm = |n, d| Length::from_base(Exact::new(n, d)?);
/// # let motor = DriveTrain::new(Angle::from_base(Exact::new(9, 5)?)?, StepMode::new(16)?)?;
/// # let screw = Linear::lead_screw_by_lead(motor, mm(8, 1)?)?;
/// # let rates = Rates::new(Speed::from_base(Exact::integer(40))?, Acceleration::from_base(Exact::integer(200))?);
/// # let mut settings = AxisConfig::new(LengthUnit::Millimetre, mm(0, 1)?, mm(600, 1)?, rates);
/// settings.approach = Approach::FromBelow;
/// settings.backlash = mm(1, 10)?;
/// let axis = Axis::new(screw, settings)?;
/// let planner = Planner::new(&axis, 1_000_000, PulseTiming::new(5, 3, 3)?)?;
///
/// let high = axis.place(mm(300, 1)?, Rounding::Nearest)?;
/// let low = axis.place(mm(100, 1)?, Rounding::Nearest)?;
/// // Down past the target by the backlash, which is 40 steps, and up to it.
/// let plan = planner.plan(&high, Approach::FromBelow, &low)?;
/// assert_eq!(plan.steps(), -80_000);
/// assert_eq!(plan.edge_count(), 80_040 + 40);
/// # Ok::<(), wholestep::Error>(())
/// ```
#[derive(Clone, Copy, Debug)]
pub struct Planner<'a, M: Mechanism> {
    axis: &'a Axis<M>,
    limits: StepLimits,
    timing: PulseTiming,
}

impl<'a, M: Mechanism> Planner<'a, M> {
    /// Makes a planner for `axis` on a timer of `timer_hz` ticks a second.
    ///
    /// # Errors
    /// [`ErrorKind::Plan`](crate::ErrorKind::Plan) for rates that the timer or the pulse timing cannot keep.
    pub fn new(axis: &'a Axis<M>, timer_hz: u64, timing: PulseTiming) -> Result<Self> {
        let limits = StepLimits::new(step_rates(axis)?, timer_hz)?;
        Ok(Self { axis, limits, timing })
    }

    /// Returns the axis.
    pub const fn axis(&self) -> &'a Axis<M> {
        self.axis
    }

    /// Returns the axis's rates in steps and ticks.
    pub const fn limits(&self) -> &StepLimits {
        &self.limits
    }

    /// Returns the pulse timing that the plans keep.
    pub const fn timing(&self) -> PulseTiming {
        self.timing
    }

    /// Returns the same planner with a slower speed, for a move such as raising a cutter into the work.
    ///
    /// # Errors
    /// [`ErrorKind::Plan`](crate::ErrorKind::Plan) for a speed of 0 or above that of the axis.
    pub fn at_speed(&self, speed: Speed<M::Measure>) -> Result<Self> {
        let settings = self.axis.config();
        let quoted = |speed: Speed<M::Measure>| M::Measure::quoted_rate(speed.base(), settings.unit, 1);
        let refused = || messages::SPEED_FOR_ONE_MOVE.error().given(quoted(speed));
        if speed == Speed::ZERO {
            return Err(refused().remedy("give a speed above 0"));
        }
        if speed > settings.rates.speed {
            return Err(refused().at_most(quoted(settings.rates.speed)));
        }
        let slower = steps_per(speed.base(), coarsest_step(self.axis)?)?;
        Ok(Self { limits: self.limits.slower(slower)?, ..*self })
    }

    /// Returns the plan from `start`, which was reached from the side `arrived`, to `to`.
    ///
    /// Where the axis approaches from one side and backlash must be taken up, the plan goes past the
    /// target by the backlash, rounded up to whole steps, and back. An arrival from
    /// [`Either`](Approach::Either) side means that it is not known: the backlash is then taken up.
    ///
    /// # Errors
    /// [`ErrorKind::OtherAxis`](crate::ErrorKind::OtherAxis) if either end is a placement of another machine;
    /// [`ErrorKind::BeyondLimit`](crate::ErrorKind::BeyondLimit) if either end, or the turning point, lies past a soft limit;
    /// [`ErrorKind::Plan`](crate::ErrorKind::Plan) if the move has too many steps or ticks.
    pub fn plan(
        &self,
        start: &Placement<M::Measure>,
        arrived: Approach,
        to: &Placement<M::Measure>,
    ) -> Result<Plan> {
        for end in [start, to] {
            self.axis.fingerprint().check(end.fingerprint())?;
            if !self.axis.allows(end.step()) {
                return Err(past_limit(self.axis, end.step()));
            }
        }
        let (from, target) = (start.step(), to.step());
        let before = direction_of(self.axis, arrived);
        let turn = turning_step(self.axis, from, arrived, target)?;
        let legs = match turn {
            Some(turn) => [turn - from, target - turn],
            None => [target - from, 0],
        };
        Ok(Plan::new(&self.limits, self.timing, &legs, before)?)
    }
}

/// The rates of `axis` in steps and seconds.
fn step_rates<M: Mechanism>(axis: &Axis<M>) -> Result<StepRates> {
    let coarsest = coarsest_step(axis)?;
    let rates = &axis.config().rates;
    Ok(StepRates {
        speed: steps_per(rates.speed.base(), coarsest)?,
        acceleration: steps_per(rates.acceleration.base(), coarsest)?,
        deceleration: steps_per(rates.deceleration.base(), coarsest)?,
        start_speed: steps_per(rates.start_speed.base(), coarsest)?,
        jerk: rates.jerk.map(|jerk| steps_per(jerk.base(), coarsest)).transpose()?,
    })
}

fn coarsest_step<M: Mechanism>(axis: &Axis<M>) -> Result<Exact> {
    let (lowest, highest) = (axis.lowest_step(), axis.highest_step());
    let StepSizes { coarsest, .. } =
        axis.mechanism().step_sizes(lowest.min(highest)..=lowest.max(highest))?;
    Ok(coarsest.base())
}

/// `rate ÷ travel`, in steps; rounded down by less than 2^-62 of itself where 64 bits do not hold it.
fn steps_per(rate: Exact, travel: Exact) -> Result<Ratio<u64>> {
    let steps = rate.checked_div(travel)?;
    Ok(at_most(steps.numerator().unsigned_abs(), steps.denominator().unsigned_abs()))
}
