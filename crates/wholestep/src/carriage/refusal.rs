//! Why a request is not granted.

use core::cmp::Ordering;
use core::fmt;

use super::{End, State};
use crate::axis::Fingerprint;
use crate::error::{Error, Value, messages};

/// Why a request was refused. Nothing has changed then.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum Refusal {
    /// The state does not allow it.
    Busy(State),
    /// A fault is latched.
    Faulted,
    /// What caused the fault is still there.
    FaultPersists,
    /// There is no fault to clear.
    NotFaulted,
    /// The machine is new and has not been commissioned.
    NotCommissioned,
    /// Commissioning is at another step.
    OutOfTurn,
    /// The datum of a new machine has not yet been found.
    DatumFirst,
    /// The position is unproven.
    PositionUnproven,
    /// The enable input is not held.
    EnableNotHeld,
    /// The contacts have not been read for their settling time yet.
    InputsUnsettled,
    /// The switch at the end to which the motion would lead is pressed.
    SwitchPressed(End),
    /// The step lies past the last allowed one.
    BeyondLimit {
        /// The step asked for, or the one from which it would be approached.
        step: i64,
        /// The last step that is allowed on that side.
        last: i64,
    },
    /// The axis has no such equipment.
    NotFitted,
    /// The drive is off, so no step is held.
    DriveOff,
    /// The drive has not been on for its settling time yet, so the motor may still snap to a step.
    DriveSettling,
    /// The play is not taken up on the side from which targets are approached, so that a height would
    /// be off by it.
    PlayNotTakenUp,
    /// A number is outside the range of steps.
    OutOfRange,
    /// The placement is of another machine.
    OtherAxis {
        /// That of the placement.
        given: Fingerprint,
        /// That of the axis the carriage was made for.
        own: Fingerprint,
    },
}

impl Refusal {
    /// The refusal's name, as Python and `--json` spell it.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Busy(_) => "busy",
            Self::Faulted => "faulted",
            Self::FaultPersists => "fault_persists",
            Self::NotFaulted => "not_faulted",
            Self::NotCommissioned => "not_commissioned",
            Self::OutOfTurn => "out_of_turn",
            Self::DatumFirst => "datum_first",
            Self::PositionUnproven => "position_unproven",
            Self::EnableNotHeld => "enable_not_held",
            Self::InputsUnsettled => "inputs_unsettled",
            Self::SwitchPressed(_) => "switch_pressed",
            Self::BeyondLimit { .. } => "beyond_limit",
            Self::NotFitted => "not_fitted",
            Self::DriveOff => "drive_off",
            Self::DriveSettling => "drive_settling",
            Self::PlayNotTakenUp => "play_not_taken_up",
            Self::OutOfRange => "out_of_range",
            Self::OtherAxis { .. } => "other_axis",
        }
    }

    const fn remedy(self) -> &'static str {
        match self {
            Self::Busy(_) => "brake first, or wait until it rests",
            Self::Faulted => "see to the fault, then clear it",
            Self::FaultPersists => "see to what caused the fault, then clear it",
            Self::NotFaulted => "nothing needs clearing",
            Self::NotCommissioned => "commission the machine first",
            Self::OutOfTurn => "do what commissioning asks for now",
            Self::DatumFirst => "find the datum first; on a new machine nothing else proves the travel",
            Self::PositionUnproven => "find the datum, touch off, or state a gauge height",
            Self::EnableNotHeld => "hold the enable input",
            Self::InputsUnsettled => "wait until the contacts have been read for their settling time",
            Self::SwitchPressed(_) => "go the other way; if nothing presses the switch, check its wire",
            Self::BeyondLimit { .. } => "choose a step within the soft limits",
            Self::NotFitted => "fit it and name it in the axis file",
            Self::DriveOff => {
                "hold the motor, or jog; then poll until the drive has settled, and state the height"
            }
            Self::DriveSettling => "poll until the drive has settled, then state the height",
            Self::PlayNotTakenUp => {
                "jog the way in which targets are reached, by the backlash at least; then state the height"
            }
            Self::OutOfRange => "give a number within the range of steps",
            Self::OtherAxis { .. } => "place the target on the axis that is to move",
        }
    }
}

impl From<Refusal> for Error {
    fn from(refusal: Refusal) -> Self {
        let error = match refusal {
            Refusal::BeyondLimit { step, last } => {
                let beyond = messages::STEP_BEYOND
                    .error()
                    .given(Value::Integer(step.into()))
                    .excess(Value::Integer(step.abs_diff(last).into()));
                let last_value = Value::Integer(last.into());
                match step.cmp(&last) {
                    Ordering::Greater => beyond.at_most(last_value),
                    _ => beyond.at_least(last_value),
                }
            }
            Refusal::OtherAxis { given, own } => own.refuse(given),
            Refusal::OutOfRange => messages::STEP_OFF_SPAN.error(),
            Refusal::Busy(state) => messages::BUSY.error().given(Value::Word(state.words())),
            Refusal::SwitchPressed(end) => messages::SWITCH_PRESSED.error().given(Value::Word(end.name())),
            other => messages::REFUSED.error().given(Value::Word(other.name())),
        };
        error.remedy(refusal.remedy())
    }
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(&Error::from(*self), f)
    }
}

impl core::error::Error for Refusal {}
