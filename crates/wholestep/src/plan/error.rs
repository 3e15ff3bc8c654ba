//! Why a plan cannot be made.

use core::fmt;

use crate::error::{Error, Value, messages};

/// A rate a plan is made from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum RateKind {
    /// Steps a second.
    Speed,
    /// Steps a second, at which a move may begin and end.
    StartSpeed,
    /// Steps a second squared.
    Acceleration,
    /// Steps a second squared.
    Deceleration,
    /// Steps a second cubed.
    Jerk,
}

impl fmt::Display for RateKind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.noun())
    }
}

impl RateKind {
    /// Its key in an axis file.
    const fn parameter(self) -> &'static str {
        match self {
            Self::Speed => "motion.speed",
            Self::StartSpeed => "motion.start_speed",
            Self::Acceleration => "motion.acceleration",
            Self::Deceleration => "motion.deceleration",
            Self::Jerk => "motion.jerk",
        }
    }

    const fn noun(self) -> &'static str {
        match self {
            Self::Speed => "speed",
            Self::StartSpeed => "start speed",
            Self::Acceleration => "acceleration",
            Self::Deceleration => "deceleration",
            Self::Jerk => "jerk",
        }
    }
}

/// Why a plan cannot be made or asked: what was given, and what is allowed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum PlanError {
    /// The timer's rate is outside its range, in Hz.
    TimerRate {
        /// What was given.
        given: u64,
        /// The most allowed.
        most: u64,
    },
    /// A rate that must be above zero is zero.
    ZeroRate {
        /// Which.
        rate: RateKind,
    },
    /// A rate so small or so large that durations leave their range on this timer.
    RateOutOfRange {
        /// Which.
        rate: RateKind,
    },
    /// More than a step a tick.
    SpeedAboveTimer {
        /// Speed given, steps a second, rounded down.
        given: u64,
        /// The timer's rate, Hz.
        timer_hz: u64,
    },
    /// A slower speed was asked for one move, but this is not slower.
    NotSlower,
    /// Jerk-limited moves go from rest to rest; a start speed excludes them.
    JerkWithStartSpeed,
    /// More steps in a leg than fit.
    TooManySteps {
        /// Steps given.
        given: u64,
        /// The most allowed.
        most: u64,
    },
    /// More legs than a plan holds.
    TooManyLegs {
        /// Legs given.
        given: usize,
        /// The most allowed.
        most: usize,
    },
    /// The move would take longer than the longest.
    TooLong {
        /// Steps given.
        steps: u64,
        /// The longest duration, in ticks.
        most_ticks: u64,
    },
    /// The pulses would come closer than their timing allows.
    PulseInterval {
        /// The shortest interval between edges, in ticks.
        shortest: u64,
        /// What width and gap need, in ticks.
        needed: u64,
    },
    /// The pulses would come further apart than an interval of 32 bits can say.
    IntervalTooLong {
        /// The longest interval between edges, in ticks.
        given: u64,
        /// The most allowed.
        most: u64,
    },
    /// A pulse width or gap outside its range, in ticks.
    PulseTiming {
        /// What was given.
        given: u64,
        /// The least allowed.
        least: u64,
        /// The most allowed.
        most: u64,
    },
    /// No such edge.
    EdgeOutOfRange {
        /// Edge asked for, counted from 1.
        given: u64,
        /// The last edge.
        last: u64,
    },
    /// A tick before the start or after the end.
    TickOutOfRange {
        /// The last tick.
        last: u64,
    },
    /// The exact value has more digits than its type holds.
    NotRepresentable,
}

impl fmt::Display for PlanError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            Self::TimerRate { given, most } => {
                write!(f, "timer rate {given} Hz is not between 1 and {most} Hz")
            }
            Self::ZeroRate { rate } => write!(f, "{rate} is zero; give one above zero"),
            Self::RateOutOfRange { rate } => {
                write!(f, "{rate} is so extreme on this timer that a move's duration leaves its range")
            }
            Self::SpeedAboveTimer { given, timer_hz } => write!(
                f,
                "speed of {given} steps a second is more than a step a tick of a {timer_hz} Hz timer"
            ),
            Self::NotSlower => {
                f.write_str("speed for one move is above the speed of the axis; give one not above it")
            }
            Self::JerkWithStartSpeed => {
                f.write_str("a jerk-limited move starts from rest; leave out either jerk or start speed")
            }
            Self::TooManySteps { given, most } => {
                write!(f, "{given} steps in a leg; at most {most} fit")
            }
            Self::TooManyLegs { given, most } => {
                write!(f, "{given} legs in a plan; at most {most} fit")
            }
            Self::TooLong { steps, most_ticks } => write!(
                f,
                "a move of {steps} steps would take more than {most_ticks} ticks; raise the rates or slow the timer"
            ),
            Self::PulseInterval { shortest, needed } => {
                write!(f, "pulses {shortest} ticks apart, but width and gap need {needed}; lower the speed")
            }
            Self::IntervalTooLong { given, most } => {
                write!(
                    f,
                    "edges {given} ticks apart, but at most {most} fit; slow the timer or raise the rates"
                )
            }
            Self::PulseTiming { given, least, most } => {
                write!(f, "pulse timing of {given} ticks is not between {least} and {most}")
            }
            Self::EdgeOutOfRange { given, last } => {
                write!(f, "edge {given} of a move whose edges are 1 to {last}")
            }
            Self::TickOutOfRange { last } => {
                write!(f, "a tick outside a move that lasts from 0 to {last}")
            }
            Self::NotRepresentable => {
                f.write_str("the exact value has more digits than fit; ask at a whole tick")
            }
        }
    }
}

impl core::error::Error for PlanError {}

impl From<PlanError> for Error {
    /// The same refusal as the library's one error.
    fn from(error: PlanError) -> Self {
        let (ticks, steps) = (
            |count: u64| Value::Count(count.into(), "ticks"),
            |count: u64| Value::Count(count.into(), "steps"),
        );
        let hertz = |rate: u64| Value::Count(rate.into(), "Hz");
        match error {
            PlanError::TimerRate { given, most } => {
                messages::TIMER_RATE.error().given(hertz(given)).between(hertz(1), hertz(most))
            }
            PlanError::ZeroRate { rate } => {
                messages::ZERO_RATE.error().of(rate.noun()).about(rate.parameter()).given(Value::Integer(0))
            }
            PlanError::RateOutOfRange { rate } => {
                messages::EXTREME_RATE.error().of(rate.noun()).about(rate.parameter())
            }
            PlanError::SpeedAboveTimer { given, timer_hz } => messages::SPEED_ABOVE_TIMER
                .error()
                .given(Value::Integer(given.into()))
                .at_most(Value::Integer(timer_hz.into())),
            PlanError::NotSlower => messages::NOT_SLOWER.error(),
            PlanError::JerkWithStartSpeed => messages::JERK_WITH_START_SPEED.error(),
            PlanError::TooManySteps { given, most } => {
                messages::TOO_MANY_STEPS.error().given(steps(given)).at_most(steps(most))
            }
            PlanError::TooManyLegs { given, most } => messages::TOO_MANY_LEGS
                .error()
                .given(Value::Integer(given.try_into().unwrap_or(i128::MAX)))
                .at_most(Value::Integer(most.try_into().unwrap_or(i128::MAX))),
            PlanError::TooLong { steps: given, most_ticks } => {
                messages::TOO_LONG.error().given(steps(given)).at_most(ticks(most_ticks))
            }
            PlanError::PulseInterval { shortest, needed } => {
                messages::PULSE_INTERVAL.error().given(ticks(shortest)).at_least(ticks(needed))
            }
            PlanError::IntervalTooLong { given, most } => {
                messages::INTERVAL_TOO_LONG.error().given(ticks(given)).at_most(ticks(most))
            }
            PlanError::PulseTiming { given, least, most } => {
                messages::PULSE_TIMING.error().given(ticks(given)).between(ticks(least), ticks(most))
            }
            PlanError::EdgeOutOfRange { given, last } => messages::EDGE
                .error()
                .given(Value::Integer(given.into()))
                .between(Value::Integer(1), Value::Integer(last.into())),
            PlanError::TickOutOfRange { last } => messages::TICK.error().between(ticks(0), ticks(last)),
            PlanError::NotRepresentable => messages::NOT_REPRESENTABLE.error(),
        }
    }
}
