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
    /// Returns the refusal's name, as Python and `--json` spell it.
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
}

impl From<Refusal> for Error {
    fn from(refusal: Refusal) -> Self {
        let message = match refusal {
            Refusal::BeyondLimit { step, last } => {
                let beyond = messages::STEP_BEYOND
                    .error()
                    .given(Value::Integer(step.into()))
                    .excess(Value::Integer(step.abs_diff(last).into()));
                let last_value = Value::Integer(last.into());
                return match step.cmp(&last) {
                    Ordering::Greater => beyond.at_most(last_value),
                    _ => beyond.at_least(last_value),
                };
            }
            Refusal::OtherAxis { given, own } => return own.refuse(given),
            Refusal::OutOfRange => {
                return messages::STEP_OFF_SPAN.error().remedy("give a number within the range of steps");
            }
            Refusal::Busy(state) => return messages::BUSY.error().given(Value::Word(state.words())),
            Refusal::SwitchPressed(End::Low) => &messages::LOW_SWITCH_PRESSED,
            Refusal::SwitchPressed(End::High) => &messages::HIGH_SWITCH_PRESSED,
            Refusal::Faulted => &messages::FAULTED,
            Refusal::FaultPersists => &messages::FAULT_PERSISTS,
            Refusal::NotFaulted => &messages::NOT_FAULTED,
            Refusal::NotCommissioned => &messages::NOT_COMMISSIONED,
            Refusal::OutOfTurn => &messages::OUT_OF_TURN,
            Refusal::DatumFirst => &messages::DATUM_FIRST,
            Refusal::PositionUnproven => &messages::POSITION_UNPROVEN,
            Refusal::EnableNotHeld => &messages::ENABLE_NOT_HELD,
            Refusal::InputsUnsettled => &messages::INPUTS_UNSETTLED,
            Refusal::NotFitted => &messages::NOT_FITTED,
            Refusal::DriveOff => &messages::DRIVE_OFF,
            Refusal::DriveSettling => &messages::DRIVE_SETTLING,
            Refusal::PlayNotTakenUp => &messages::PLAY_NOT_TAKEN_UP,
        };
        message.error()
    }
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(&Error::from(*self), f)
    }
}

impl core::error::Error for Refusal {}
