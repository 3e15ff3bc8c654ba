//! What a carriage is told once, in whole steps and whole ticks.

use super::pace::Pace;
use super::soundness::Unsound;
use super::travel::ApproachSide;
use super::{Direction, End, GivenStep, Input, Refusal, Wiring};
use crate::axis::{Fingerprint, MotorDirection};
use crate::bounds::STEP_MAX;
use crate::error::{Error, Result, Value, messages};
use crate::mechanism::Trend;
use crate::plan::{PlanError, PulseTiming, StepLimits};

/// The equipment and the bounds of a carriage, in whole steps and whole ticks of one timer.
///
/// Plain values, checked as a whole by [`CarriageConfig::new`]; from an axis and values with units they
/// are worked out by [`Equipment::config`](super::Equipment::config).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Parts {
    /// The lowest and the highest step number that the soft limits allow.
    pub steps: (i64, i64),
    /// Whether the measure rises with the step number.
    pub trend: Trend,
    /// Which level of the direction pin raises the step number.
    pub motor: MotorDirection,
    /// From which end a target is approached, and by how many steps it is overrun to get there.
    pub approach: Option<(End, u64)>,
    /// Speeds and accelerations of each kind of motion; all of one timer.
    pub paces: Paces,
    /// The switches at the low and at the high end, if they are fitted.
    pub switches: [Option<Wiring>; 2],
    /// The touch probe, if it is fitted.
    pub probe: Option<Wiring>,
    /// Ticks for which a contact must read the same to have settled.
    pub contact_settle: u64,
    /// Ticks between switching the drive on and the first edge.
    pub drive_settle: u64,
    /// What the driver asks of pulses and direction.
    pub timing: PulseTiming,
    /// How the datum is found; `None` if it is not.
    pub datum: Option<DatumSearch>,
    /// How far the carriage may go, in one motion or several, until a switch it moves away from must
    /// be released; clearing a fault grants it anew, and so does a poll that leaves the drive off.
    pub release_bound: u64,
    /// How a touch-off goes; `None` if there is none.
    pub touch: Option<TouchSearch>,
    /// The dial, if it is fitted.
    pub dial: Option<Dial>,
    /// Whether there is a jog rocker.
    pub rocker: bool,
    /// How far one held jog may go while the position is unproven.
    pub jog_bound: u64,
    /// Steps of the nudge whose direction a person confirms.
    pub nudge: u64,
    /// Steps of the travel that is measured while commissioning.
    pub measured: u64,
    /// Whether the screw holds the load when the drive is released.
    pub self_holding: bool,
}

/// What the motor may be asked for in each kind of motion.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Paces {
    /// To a target.
    pub travel: StepLimits,
    /// By hand.
    pub jog: StepLimits,
    /// In search of a switch.
    pub fast: StepLimits,
    /// Toward a switch or the probe, slowly, and for the first nudge.
    pub slow: StepLimits,
}

/// How the datum is found.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct DatumSearch {
    /// The end at which its switch stands.
    pub end: End,
    /// The step number at which the switch is met.
    pub step: i64,
    /// How far the carriage may go in search of the switch.
    pub bound: u64,
    /// How far it clears the switch before it approaches slowly, and after.
    pub clearance: u64,
    /// How far apart the two slow approaches may meet the switch: more than the switch scatters, and
    /// less than the four full steps by which a rotor leaps.
    pub agreement: u64,
}

/// How a touch-off goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TouchSearch {
    /// The end toward which the carriage creeps: of a lift, high.
    pub toward: End,
    /// How far it may creep.
    pub bound: u64,
    /// How far from a proven position a touch may say it is.
    pub agreement: u64,
}

/// The dial and how it leads the motion.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Dial {
    /// Counts from one detent to the next.
    pub counts_per_detent: u32,
    /// The most counts a hand can turn between two polls; more is a jump of the counter.
    pub counts_at_once: u32,
    /// How many steps the dial may be ahead of the motion; at least one detent always may.
    pub backlog: u64,
    /// Ticks without a detent after which the hand has stopped.
    pub hand_stops: u64,
}

/// The checked [`Parts`] of a carriage.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CarriageConfig {
    parts: Parts,
    /// Of which machine its step numbers are.
    axis: Option<Fingerprint>,
    /// Ticks of a step at which the motor may start and stop at once.
    start_interval: u64,
}

impl CarriageConfig {
    /// Checks `parts`.
    ///
    /// What cannot work is refused: a motion must have the room that it takes, from the braking room at
    /// every pace to the way past a switch and back, and no bound may be longer than there is room for.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a number outside its range or without the room it takes,
    /// [`ErrorKind::Plan`](crate::ErrorKind::Plan) for paces that do not share a timer or cannot be planned with,
    /// [`ErrorKind::Key`](crate::ErrorKind::Key) for parts that contradict each other.
    pub fn new(parts: Parts) -> Result<Self> {
        Self::sound(&parts, Error::from)
    }

    /// As [`new`](Self::new), where `told` says in whose terms what cannot work is told.
    pub(super) fn sound(parts: &Parts, told: impl Fn(Unsound) -> Error) -> Result<Self> {
        parts.check()?;
        let start_interval = start_interval(&parts.paces.travel).map_err(&told)?;
        parts.check_rooms().map_err(told)?;
        Ok(Self { parts: *parts, axis: None, start_interval })
    }

    /// Returns the same configuration for the machine of an axis, so that placements of another are refused.
    #[must_use]
    pub const fn of_axis(self, axis: Fingerprint) -> Self {
        Self { axis: Some(axis), ..self }
    }

    /// Of which machine its step numbers are, if it was made from an axis.
    pub const fn fingerprint(&self) -> Option<Fingerprint> {
        self.axis
    }

    /// Returns the number of a step that was given.
    ///
    /// # Errors
    /// [`Refusal::OtherAxis`] for a placement of another machine.
    pub fn own_step(&self, given: impl Into<GivenStep>) -> core::result::Result<i64, Refusal> {
        let given = given.into();
        match (given.fingerprint(), self.axis) {
            (Some(given), Some(own)) if given != own => Err(Refusal::OtherAxis { given, own }),
            _ => Ok(given.step()),
        }
    }

    /// Returns the parts.
    pub const fn parts(&self) -> &Parts {
        &self.parts
    }

    /// Returns the interval, in ticks, at and above which the motor starts and stops at once: that between
    /// the first two edges of a long move.
    pub const fn start_interval(&self) -> u64 {
        self.start_interval
    }

    /// Tells whether the equipment has `input`; the enable input is always there.
    pub const fn has(&self, input: Input) -> bool {
        match input {
            Input::Switch(End::Low) => self.parts.switches[0].is_some(),
            Input::Switch(End::High) => self.parts.switches[1].is_some(),
            Input::Probe => self.parts.probe.is_some(),
            Input::Enable => true,
            Input::Dial => self.parts.dial.is_some(),
            Input::Rocker => self.parts.rocker,
        }
    }

    /// The limits of a pace; a speed that cannot be planned is no reason to go faster.
    pub(super) fn limits(&self, pace: Pace) -> core::result::Result<StepLimits, PlanError> {
        Ok(match pace {
            Pace::Travel => self.parts.paces.travel,
            Pace::At(speed) => return self.parts.paces.travel.slower(speed),
            Pace::Jog => self.parts.paces.jog,
            Pace::Search => self.parts.paces.fast,
            Pace::Latch => self.parts.paces.slow,
        })
    }

    /// The end that is neared by turning `direction`.
    pub(super) const fn end_toward(&self, direction: Direction) -> End {
        End::toward(direction, self.parts.trend)
    }

    /// The way the motor turns to come nearer to `end`.
    pub(super) const fn direction_to(&self, end: End) -> Direction {
        end.direction(self.parts.trend)
    }

    /// From which side targets are reached. Approached from the low end, they are reached going up.
    pub(super) fn approach(&self) -> Option<ApproachSide> {
        let (from, overrun) = self.parts.approach?;
        Some(ApproachSide { direction: self.direction_to(from.other()), overrun })
    }

    /// The last step the soft limits allow in a direction.
    pub(super) const fn last_step(&self, direction: Direction) -> i64 {
        match direction {
            Direction::Forward => self.parts.steps.1,
            Direction::Backward => self.parts.steps.0,
        }
    }
}

/// Ticks between the first two edges of a move from rest.
fn start_interval(limits: &StepLimits) -> core::result::Result<u64, Unsound> {
    let profile = limits.profile(LONG_MOVE).map_err(|_| Unsound::Endless)?;
    let mut edges = profile.edges();
    let (first, second) = (edges.next().unwrap_or(0), edges.next().unwrap_or(0));
    Ok(second - first)
}

/// Long enough to reach full acceleration in its first two steps.
const LONG_MOVE: u64 = 1 << 20;

impl Parts {
    fn check(&self) -> Result<()> {
        let (lowest, highest) = self.steps;
        let outside = |subject, parameter, given: i128, low: i128, high: i128| {
            if (low..=high).contains(&given) {
                return Ok(());
            }
            Err(messages::VALUE
                .error()
                .of(subject)
                .about(parameter)
                .given(Value::Integer(given))
                .between(Value::Integer(low), Value::Integer(high)))
        };
        let step_max = i128::from(STEP_MAX);
        outside("lowest allowed step", "limits.low", lowest.into(), -step_max, step_max - 1)?;
        outside("highest allowed step", "limits.high", highest.into(), i128::from(lowest) + 1, step_max)?;
        let length = |subject, parameter, steps: u64| outside(subject, parameter, steps.into(), 1, step_max);
        let ticks = |subject, parameter, ticks: u64| outside(subject, parameter, ticks.into(), 0, 1 << 40);
        if let Some((_, overrun)) = self.approach {
            length("overrun in steps", "motion.backlash", overrun)?;
        }
        ticks("contact settle in ticks", "switches.contact_settle", self.contact_settle)?;
        ticks("drive settle in ticks", "drive.settle", self.drive_settle)?;
        length("release bound in steps", "switches.release_within", self.release_bound)?;
        length("jog bound in steps", "limits.high", self.jog_bound)?;
        length("nudge in steps", "commissioning.nudge", self.nudge)?;
        length("measured travel in steps", "commissioning.measured_travel", self.measured)?;
        if let Some(datum) = &self.datum {
            outside("datum step", "datum.switch_at", datum.step.into(), -step_max, step_max)?;
            length("search bound in steps", "datum.within", datum.bound)?;
            length("clearance in steps", "datum.clearance", datum.clearance)?;
            let agreement = datum.agreement.into();
            outside("agreement of two approaches in steps", "datum.clearance", agreement, 0, step_max)?;
            if self.switches[datum.end as usize].is_none() {
                return Err(messages::DATUM_WITHOUT_SWITCH.error().given(Value::Word(datum.end.name())));
            }
        }
        if let Some(touch) = &self.touch {
            length("touch-off bound in steps", "touch_off.within", touch.bound)?;
            let agreement = touch.agreement.into();
            outside("agreement of a touch in steps", "touch_off.within", agreement, 0, step_max)?;
            if self.probe.is_none() {
                return Err(messages::TOUCH_OFF_WITHOUT_PROBE.error());
            }
        }
        if let Some(dial) = &self.dial {
            outside(
                "counts per detent",
                "hand.counts_per_detent",
                dial.counts_per_detent.into(),
                1,
                1 << 16,
            )?;
            outside("counts at once", "hand.counts_per_detent", dial.counts_at_once.into(), 1, 1 << 30)?;
            length("backlog in steps", "hand.ahead", dial.backlog)?;
            ticks("time until the hand has stopped, in ticks", "hand.hand_stops", dial.hand_stops)?;
        }
        self.check_paces()
    }

    fn check_paces(&self) -> Result<()> {
        let Paces { travel, jog, fast, slow } = &self.paces;
        let timer = travel.timer_hz();
        for (pace, parameter) in
            [(travel, "motion.speed"), (jog, "hand.jog"), (fast, "datum.fast"), (slow, "datum.slow")]
        {
            if pace.timer_hz() != timer {
                return Err(messages::PACES_OF_TWO_TIMERS
                    .error()
                    .given(Value::Integer(pace.timer_hz().into())));
            }
            // Edges differ from the ideal by rounding, so intervals are at least its whole ticks.
            let speed = pace.rates().speed;
            let shortest = u128::from(timer) * u128::from(*speed.denom()) / u128::from(*speed.numer());
            if shortest < u128::from(self.timing.least_interval()) {
                return Err(messages::PULSES_AT_FULL_SPEED
                    .error()
                    .about(parameter)
                    .given(Value::Integer(shortest.cast_signed()))
                    .at_least(Value::Integer(self.timing.least_interval().into())));
            }
        }
        Ok(())
    }
}
