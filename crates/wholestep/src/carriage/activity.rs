//! What the carriage is doing, each with its own data and nothing more.

use core::fmt;

use super::Fault;
use super::datum::Search;
use super::event::Stop;
use super::hand::Hand;
use super::touch::Touching;
use super::travel::Travel;

/// The state of a carriage, for people and programs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum State {
    /// It stands and waits for a request.
    Resting,
    /// It goes to a target.
    Travelling,
    /// It stops under control.
    Braking,
    /// Dial and rocker lead it.
    Jogging,
    /// It finds the datum.
    FindingDatum,
    /// It touches off.
    TouchingOff,
    /// It is a new machine that is being checked.
    Commissioning,
    /// A fault is latched.
    Faulted,
}

impl State {
    /// Every state.
    pub const ALL: [Self; 8] = [
        Self::Resting,
        Self::Travelling,
        Self::Braking,
        Self::Jogging,
        Self::FindingDatum,
        Self::TouchingOff,
        Self::Commissioning,
        Self::Faulted,
    ];

    /// Returns the state's name for programs; `Display` writes it for people.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Resting => "resting",
            Self::Travelling => "travelling",
            Self::Braking => "braking",
            Self::Jogging => "jogging",
            Self::FindingDatum => "finding_datum",
            Self::TouchingOff => "touching_off",
            Self::Commissioning => "commissioning",
            Self::Faulted => "faulted",
        }
    }

    pub(super) const fn words(self) -> &'static str {
        match self {
            Self::FindingDatum => "finding its datum",
            Self::TouchingOff => "touching off",
            other => other.name(),
        }
    }
}

impl fmt::Display for State {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.words())
    }
}

#[derive(Clone, Copy, Debug)]
pub(super) enum Activity {
    Resting,
    Travelling(Travel),
    Braking { why: Stop, release: bool },
    Jogging(Hand),
    FindingDatum(Search),
    TouchingOff(Touching),
    Commissioning,
    Faulted { fault: Fault, stops: Option<Stopping> },
}

/// How it comes to rest behind a fault.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Stopping {
    Holding,
    Releasing,
}

impl Activity {
    /// Whether the drive is to be released once it stands.
    pub(super) const fn releases(&self) -> bool {
        matches!(
            self,
            Self::Braking { release: true, .. } | Self::Faulted { stops: Some(Stopping::Releasing), .. }
        )
    }

    pub(super) const fn state(&self) -> State {
        match self {
            Self::Resting => State::Resting,
            Self::Travelling(_) => State::Travelling,
            Self::Braking { .. } => State::Braking,
            Self::Jogging(_) => State::Jogging,
            Self::FindingDatum(_) => State::FindingDatum,
            Self::TouchingOff(_) => State::TouchingOff,
            Self::Commissioning => State::Commissioning,
            Self::Faulted { .. } => State::Faulted,
        }
    }

    /// Notes that an edge has been given out.
    pub(super) const fn note_step(&mut self) {
        match self {
            Self::FindingDatum(search) => search.stepped = true,
            Self::TouchingOff(touching) => touching.note_step(),
            _ => {}
        }
    }

    /// Whether the motion is led by a hand, which stops it by letting go.
    pub(super) const fn is_by_hand(&self) -> bool {
        matches!(self, Self::Jogging(_) | Self::TouchingOff(Touching::ByHand { .. }))
    }
}
