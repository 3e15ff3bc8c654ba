//! What happens to the machine: hands on its controls, and faults.

use crate::inputs::{Direction, Input};
use crate::parameters::{ParameterError, consistent, within};

/// What a person does.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub enum Hand {
    /// Holds a contact down, or lets it go: a switch, the plate against the cutter, the enable button.
    Press(Input, bool),
    /// Holds the rocker in a direction, or lets it go.
    Jog(Option<Direction>),
    /// Turns the dial by a number of counts, four to a cycle of its channels, at a rate in counts a
    /// second; a turn still going on is given up.
    Turn {
        /// How many counts; negative backward.
        counts: i32,
        /// How fast, counts a second.
        counts_per_second: f64,
    },
    /// Lays the touch plate in place, or takes it away.
    Plate(bool),
    /// Puts the plate's underside at this height, m.
    PlateAt(f64),
    /// Fits a cutter that stands this far above the carriage, m.
    Cutter(f64),
    /// Turns the screw by a number of full steps. A motor that is driven holds against it.
    TurnScrew(f64),
}

/// The most a hand turns the screw at once, in full steps.
const FULL_STEPS_MAX: f64 = 1e9;
/// The slowest and the fastest that a dial is turned, counts a second.
const DIAL_SPEEDS: (f64, f64) = (1e-3, 1e6);
/// How far from the carriage's zero a plate or the end of a cutter is, m.
const HEIGHTS: (f64, f64) = (-1e4, 1e4);

impl Hand {
    /// Refuses what no hand can do.
    ///
    /// # Errors
    /// [`ParameterError::OutOfRange`] for a number that is none, or is outside its range.
    pub fn check_range(&self) -> Result<(), ParameterError> {
        match *self {
            Self::Press(..) | Self::Jog(_) | Self::Plate(_) => Ok(()),
            Self::Turn { counts_per_second, .. } => {
                within("speed of the dial", counts_per_second, DIAL_SPEEDS, "counts/s")
            }
            Self::PlateAt(height) => within("height of the plate", height, HEIGHTS, "m"),
            Self::Cutter(length) => within("length of the cutter", length, HEIGHTS, "m"),
            Self::TurnScrew(full_steps) => full_steps_of_a_hand(full_steps),
        }
    }
}

fn full_steps_of_a_hand(full_steps: f64) -> Result<(), ParameterError> {
    within("turn of the screw", full_steps, (-FULL_STEPS_MAX, FULL_STEPS_MAX), "full steps")
}

/// What goes wrong.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub enum FaultKind {
    /// The wire of an input is broken: no current flows.
    BrokenWire(Input),
    /// A contact is stuck closed (`true`) or open (`false`).
    Stuck(Input, bool),
    /// A contact chatters.
    BounceStorm(Input),
    /// Something holds the carriage back in either direction with this much torque at the motor, N·m.
    Stall(f64),
    /// The supply fails. When it returns the drive is released, and the driver starts its cycle anew.
    PowerCut,
    /// The enable button slips out of the hand, and stays out until it is pressed again.
    EnableReleased,
    /// The driver reports a fault and lets go of the motor.
    DriveFault,
    /// A hand turns the screw by this many full steps.
    HandTurn(f64),
    /// The controller polls this many seconds late; the machine only passes it on, see
    /// [`Machine::poll_delay`](crate::Machine::poll_delay).
    LatePolls(f64),
}

impl FaultKind {
    /// One of each, with sizes large enough to matter on any machine.
    pub fn all() -> Vec<Self> {
        let mut all = Vec::new();
        for input in Input::ALL {
            all.extend([
                Self::BrokenWire(input),
                Self::Stuck(input, true),
                Self::Stuck(input, false),
                Self::BounceStorm(input),
            ]);
        }
        all.extend([
            Self::Stall(1e3),
            Self::PowerCut,
            Self::EnableReleased,
            Self::DriveFault,
            Self::HandTurn(3.0),
            Self::LatePolls(0.005),
        ]);
        all
    }

    /// Returns the contact it is about, if it is about one.
    pub const fn input(self) -> Option<Input> {
        match self {
            Self::BrokenWire(input) | Self::Stuck(input, _) | Self::BounceStorm(input) => Some(input),
            _ => None,
        }
    }

    /// Returns the name a command line knows the fault by, its size left out.
    ///
    /// ```
    /// use wholestep_twin::{FaultKind, Input};
    /// assert_eq!(FaultKind::BrokenWire(Input::LowSwitch).name(), "broken_wire_low");
    /// assert_eq!(FaultKind::Stuck(Input::Probe, true).name(), "stuck_closed_probe");
    /// ```
    pub fn name(self) -> String {
        match self {
            Self::BrokenWire(input) => format!("broken_wire_{}", input.name()),
            Self::Stuck(input, true) => format!("stuck_closed_{}", input.name()),
            Self::Stuck(input, false) => format!("stuck_open_{}", input.name()),
            Self::BounceStorm(input) => format!("bounce_storm_{}", input.name()),
            Self::Stall(_) => "stall".into(),
            Self::PowerCut => "power_cut".into(),
            Self::EnableReleased => "enable_released".into(),
            Self::DriveFault => "drive_fault".into(),
            Self::HandTurn(_) => "hand_turn".into(),
            Self::LatePolls(_) => "late_polls".into(),
        }
    }
}

impl core::str::FromStr for FaultKind {
    type Err = ParameterError;

    /// The fault of that name, of the size it has in [`FaultKind::all`].
    fn from_str(name: &str) -> Result<Self, ParameterError> {
        let all = Self::all();
        all.iter().find(|kind| kind.name() == name).copied().ok_or_else(|| ParameterError::UnknownFault {
            given: name.into(),
            known: all.iter().map(|kind| kind.name()).collect::<Vec<_>>().join(", "),
        })
    }
}

/// A fault and when it is there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fault {
    /// What goes wrong.
    pub kind: FaultKind,
    /// From which tick.
    pub at: u64,
    /// Up to which tick; `None` for good.
    pub until: Option<u64>,
}

impl Fault {
    /// Refuses a fault that cannot be.
    ///
    /// # Errors
    /// [`ParameterError::Contradiction`] if it ends before it begins, [`ParameterError::OutOfRange`] for
    /// a size that is no number or is outside its range.
    pub fn check_range(&self) -> Result<(), ParameterError> {
        match self.kind {
            FaultKind::Stall(torque) => within("torque of a stall", torque, (0.0, 1e6), "N·m")?,
            FaultKind::HandTurn(full_steps) => full_steps_of_a_hand(full_steps)?,
            FaultKind::LatePolls(seconds) => within("delay of polls", seconds, (0.0, 3_600.0), "s")?,
            _ => {}
        }
        let in_order = self.until.is_none_or(|until| until >= self.at);
        consistent("fault", in_order, "it ends before it begins: give an end that is later, or none")
    }
}

#[derive(Clone, Copy, Debug)]
pub(crate) enum Event {
    Hand(Hand),
    Begins(FaultKind, Option<u64>),
    Ends(FaultKind),
}

/// Events in the order in which they happen.
#[derive(Clone, Debug, Default)]
pub(crate) struct Schedule {
    /// Latest first, so that the next is popped off the end.
    events: Vec<(u64, Event)>,
}

impl Schedule {
    /// Adds an event; of two at one tick the one added first happens first.
    pub(crate) fn add(&mut self, tick: u64, event: Event) {
        let place = self.events.partition_point(|(other, _)| *other > tick);
        self.events.insert(place, (tick, event));
    }

    pub(crate) fn next(&self) -> u64 {
        self.events.last().map_or(crate::inputs::NEVER, |(tick, _)| *tick)
    }

    pub(crate) fn pop(&mut self, up_to: u64) -> Option<(u64, Event)> {
        self.events.pop_if(|(tick, _)| *tick <= up_to)
    }
}
