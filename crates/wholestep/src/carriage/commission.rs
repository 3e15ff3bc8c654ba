//! Commissioning: what a new machine must show before it may search for its datum.
//!
//! Every input is changed both ways by hand, one after the other as asked, while the drive is off.
//! Then the carriage nudges a little toward the high end and a person confirms that it did. Then it
//! travels a length that a person measures and compares with the file ([`Verdict`]).

use super::contact::{Change, Contact};
use super::live::{Changes, Live};
use super::{CarriageConfig, Event, Input};
use crate::error::{Error, ErrorKind, Result, Value};
use crate::exact::Exact;

/// How far a machine is trusted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum CommissioningProgress {
    /// New; commissioning stands here.
    New(Progress),
    /// Its inputs, direction and travel are as the file says; its datum has not been found.
    Checked,
    Commissioned,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Progress {
    /// The input asked for, and what it has shown: the one way and the other.
    Inputs {
        asked: Input,
        seen: [bool; 2],
    },
    Nudge,
    Confirm,
    Measure,
    Report,
    Moving {
        what: Move,
        to: i64,
        begun: bool,
    },
}

/// A motion of commissioning.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Move {
    Nudge,
    Measured,
}

/// What commissioning asks for now.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum CommissioningTask {
    /// Change this input both ways by hand.
    Change(Input),
    /// Keep clear, hold the enable input and ask for the nudge.
    Nudge,
    /// Wait until the motion ends.
    Wait,
    /// Say whether the nudge went toward the high end.
    ConfirmDirection,
    /// Mark where the carriage stands, hold the enable input and ask for the travel to be measured.
    MeasureTravel,
    /// Measure how far it went from the mark and report how that compares.
    ReportTravel,
    /// Find the datum for the first time.
    FindDatum,
}

impl CommissioningProgress {
    pub(super) const fn asks(self) -> Option<CommissioningTask> {
        match self {
            Self::New(progress) => Some(match progress {
                Progress::Inputs { asked, .. } => CommissioningTask::Change(asked),
                Progress::Nudge => CommissioningTask::Nudge,
                Progress::Moving { .. } => CommissioningTask::Wait,
                Progress::Confirm => CommissioningTask::ConfirmDirection,
                Progress::Measure => CommissioningTask::MeasureTravel,
                Progress::Report => CommissioningTask::ReportTravel,
            }),
            Self::Checked => Some(CommissioningTask::FindDatum),
            Self::Commissioned => None,
        }
    }

    pub(super) fn of_a_new_machine(configuration: &CarriageConfig) -> Self {
        Self::New(next_input(configuration, 0))
    }
}

/// Asks for the first fitted input from `from` on in their order.
fn next_input(configuration: &CarriageConfig, from: usize) -> Progress {
    let mut rest = Input::ALL.into_iter().skip(from);
    rest.find(|&input| configuration.has(input))
        .map_or(Progress::Nudge, |asked| Progress::Inputs { asked, seen: [false; 2] })
}

impl Live {
    /// Follows the inputs a person changes by hand.
    pub(super) fn watch_inputs(&mut self, configuration: &CarriageConfig, changes: &Changes) {
        let CommissioningProgress::New(Progress::Inputs { asked, mut seen }) = self.trust else { return };
        for input in Input::ALL {
            let Some(way) = self.shown(input, changes) else { continue };
            if input == asked {
                seen[way] = true;
            } else if configuration.has(input) {
                self.events.push(Event::OtherInput(input));
            }
        }
        self.trust = CommissioningProgress::New(if seen == [true; 2] {
            self.events.push(Event::Seen(asked));
            let place = Input::ALL.iter().position(|&input| input == asked);
            next_input(configuration, place.map_or(0, |place| place + 1))
        } else {
            Progress::Inputs { asked, seen }
        });
    }

    /// Which of its two ways `input` changed, if it did.
    fn shown(&self, input: Input, changes: &Changes) -> Option<usize> {
        let settled =
            |change: Change, contact: &Contact| change.settled.then(|| usize::from(contact.is_pressed()));
        match input {
            Input::Switch(end) => settled(changes.switches[end as usize], &self.switches[end as usize]),
            Input::Probe => settled(changes.probe, &self.probe),
            Input::Enable => settled(changes.enable, &self.enable),
            Input::Dial => (changes.counts != 0).then(|| usize::from(changes.counts.is_positive())),
            Input::Rocker => changes.rocker.map(|end| end as usize),
        }
    }
}

/// How a measured travel compares with the file.
///
/// The causes are those that give just such a ratio; more than one may, and the person knows which of
/// them the machine has.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Verdict {
    /// Measured over expected.
    pub ratio: Exact,
    /// The simple ratio it is taken for; `None` where none is near.
    pub taken_for: Option<Exact>,
    /// What would explain it; empty where the travel agrees or nothing explains it.
    pub causes: &'static [Cause],
}

/// What may be wrong in the file, or on the machine, when the measured travel is not the expected one.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum Cause {
    /// The driver's switches say another step mode than the file.
    StepMode,
    /// The motor has another step angle: 0.9° for 1.8°, or the reverse.
    StepAngle,
    /// The screw has several starts, and pitch was taken for lead, or the reverse.
    Starts,
    /// Teeth of driver and driven wheel are exchanged or miscounted.
    Teeth,
    /// A number in inches was taken for millimetres, or the reverse.
    InchMillimetre,
}

impl Cause {
    /// What to look at.
    pub const fn name(self) -> &'static str {
        match self {
            Self::StepMode => "the step mode set on the driver is not the file's `step_mode`",
            Self::StepAngle => "the motor's step angle is not the file's `step_angle`",
            Self::Starts => "the screw's pitch was taken for its lead: count its starts",
            Self::Teeth => "`driver_teeth` and `driven_teeth` are exchanged or miscounted",
            Self::InchMillimetre => "inches were taken for millimetres",
        }
    }
}

impl Verdict {
    /// Compares the travel a person measured with the one the file says, to within `tolerance`, a
    /// fraction of either: 1/50 where a rule was used.
    ///
    /// ```
    /// use wholestep::Exact;
    /// use wholestep::carriage::{Cause, Verdict};
    /// let verdict = Verdict::of(Exact::integer(20), Exact::integer(40), Exact::new(1, 50)?)?;
    /// assert!(!verdict.agrees() && verdict.causes.contains(&Cause::StepMode));
    /// # Ok::<(), wholestep::Error>(())
    /// ```
    ///
    /// # Errors
    /// [`ErrorKind::DivisionByZero`](crate::ErrorKind::DivisionByZero) for an expected travel of 0,
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a travel below 0 or a tolerance
    /// outside 0 to 1, [`ErrorKind::Overflow`](crate::ErrorKind::Overflow) for numbers of too many
    /// digits.
    pub fn of(expected: Exact, measured: Exact, tolerance: Exact) -> Result<Self> {
        for (subject, travel) in [("expected travel", expected), ("measured travel", measured)] {
            if travel < Exact::ZERO {
                return Err(Error::new(ErrorKind::OutOfRange, subject)
                    .given(Value::Exact(travel))
                    .at_least(Value::Integer(0))
                    .remedy("give how far it went; which way is told by confirming the direction"));
            }
        }
        if tolerance < Exact::ZERO || tolerance > Exact::ONE {
            return Err(Error::new(ErrorKind::OutOfRange, "tolerance")
                .given(Value::Exact(tolerance))
                .between(Value::Integer(0), Value::Integer(1))
                .remedy("give a fraction, such as 1/50"));
        }
        let ratio = measured.div(expected)?;
        for &(numerator, denominator, causes) in KNOWN {
            for known in [Exact::new(numerator, denominator)?, Exact::new(denominator, numerator)?] {
                if ratio.div(known)?.sub(Exact::ONE)?.abs() <= tolerance {
                    return Ok(Self { ratio, taken_for: Some(known), causes });
                }
            }
        }
        Ok(Self { ratio, taken_for: None, causes: &[] })
    }

    /// Whether the machine travels as the file says.
    pub fn agrees(&self) -> bool {
        self.taken_for == Some(Exact::ONE)
    }
}

/// Ratios, either way up, and what explains them.
const KNOWN: &[(i128, i128, &[Cause])] = &[
    (1, 1, &[]),
    (2, 1, &[Cause::StepMode, Cause::StepAngle, Cause::Starts, Cause::Teeth]),
    (4, 1, &[Cause::StepMode, Cause::Starts, Cause::Teeth]),
    (8, 1, &[Cause::StepMode, Cause::Starts]),
    (16, 1, &[Cause::StepMode]),
    (32, 1, &[Cause::StepMode]),
    (64, 1, &[Cause::StepMode]),
    (128, 1, &[Cause::StepMode]),
    (256, 1, &[Cause::StepMode]),
    (3, 1, &[Cause::Starts, Cause::Teeth]),
    (5, 1, &[Cause::Starts, Cause::StepMode]),
    (6, 1, &[Cause::Starts]),
    (10, 1, &[Cause::StepMode]),
    (127, 5, &[Cause::InchMillimetre]),
    (3, 2, &[Cause::Teeth]),
    (9, 4, &[Cause::Teeth]),
    (16, 9, &[Cause::Teeth]),
    (25, 16, &[Cause::Teeth]),
];
