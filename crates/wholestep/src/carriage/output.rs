//! What the carriage asks for at every poll.

use super::{Direction, Events};

/// What to do now, and when to poll again.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Output {
    /// An edge that is due: give the driver its pulse now, after setting the levels below.
    pub edge: Option<StepEdge>,
    /// The level of the direction pin, high or low.
    pub direction: bool,
    /// Whether the drive is switched on.
    pub drive: bool,
    /// What happened since the last poll.
    pub events: Events,
    /// When to poll again at the latest, if no input changes before; not before the tick of this
    /// poll. `None` if nothing but an input or a request can bring anything new.
    pub poll_again_at: Option<u64>,
}

/// An edge for the driver.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct StepEdge {
    /// The tick for which it was due. A poll that comes later gets it all the same, and what follows
    /// shifts by as much.
    pub due: u64,
    /// The way it turns the motor.
    pub direction: Direction,
}
