//! Commissioning: what a new machine must show before it may search for its datum.
//!
//! Every input is changed both ways by hand, one after the other as asked, while the drive is off.
//! Then the carriage nudges a little toward the high end and a person confirms that it did. Then it
//! travels a length that a person measures and compares with the file.

use super::contact::{Change, Contact};
use super::live::{Changes, Live};
use super::{CarriageConfig, Event, Input};

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
