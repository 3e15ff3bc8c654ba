//! Switches, the touch probe and how their contacts bounce.

use wholestep::carriage::Wiring;

use super::error::{ParameterError, within};

/// How long a contact bounces.
///
/// A change bounces for `longest` times the cube of a uniform number, so that the mean is a quarter of
/// the longest. That shape and 6.2 ms follow Ganssle, *A Guide to Debouncing*, where 16 of 18 switches
/// averaged 1.56 ms and 6.2 ms was the longest (second-hand).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bounce {
    /// The longest bounce, s, 0 (none) to 1.
    pub longest: f64,
}

impl Bounce {
    /// A contact that does not bounce.
    pub const NONE: Self = Self { longest: 0.0 };
    /// A common small switch.
    pub const COMMON: Self = Self { longest: 6.2e-3 };

    pub(crate) fn check(self) -> Result<(), ParameterError> {
        within("longest bounce", self.longest, (0.0, 1.0), "s")
    }
}

/// The state of a contact that nothing presses.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Normally {
    /// Current flows until it is pressed, so a broken wire reads as pressed.
    Closed,
    /// No current flows until it is pressed.
    Open,
}

impl From<Wiring> for Normally {
    fn from(wiring: Wiring) -> Self {
        match wiring {
            Wiring::NormallyClosed => Self::Closed,
            Wiring::NormallyOpen => Self::Open,
        }
    }
}

/// On which side of its position a switch is pressed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Side {
    /// By a carriage at or below the position.
    Below,
    /// By a carriage at or above the position.
    Above,
}

/// A limit switch pressed by the carriage.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Switch {
    /// Carriage position at which it changes on the way in, m.
    pub at: f64,
    /// Where it is pressed.
    pub side: Side,
    /// How much further back it changes on the way out, m, 0 to 0.05.
    pub hysteresis: f64,
    /// Standard deviation of the position from one time to the next, m, 0 to 0.005; normally distributed.
    pub scatter: f64,
    /// How it is wired.
    pub normally: Normally,
    /// How long it bounces.
    pub bounce: Bounce,
}

impl Switch {
    pub(crate) fn check(&self) -> Result<(), ParameterError> {
        within("switch position", self.at, (-100.0, 100.0), "m")?;
        within("switch hysteresis", self.hysteresis, (0.0, 0.05), "m")?;
        within("switch scatter", self.scatter, (0.0, 0.005), "m")?;
        self.bounce.check()
    }
}

/// A plate that a rising cutter touches.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Probe {
    /// Height of the plate's underside, m.
    pub plate: f64,
    /// How far the cutter stands above the carriage, m.
    pub cutter: f64,
    /// Standard deviation of the height of contact, m, 0 to 0.005.
    pub scatter: f64,
    /// How its contact is wired: open until it is touched, for a cutter that closes a circuit.
    pub normally: Normally,
    /// How long the contact bounces.
    pub bounce: Bounce,
    /// Whether the plate lies in place at first.
    pub in_place: bool,
}

impl Probe {
    pub(crate) fn switch(&self) -> Switch {
        Switch {
            at: self.plate - self.cutter,
            side: Side::Above,
            hysteresis: 0.0,
            scatter: self.scatter,
            normally: self.normally,
            bounce: self.bounce,
        }
    }

    pub(crate) fn check(&self) -> Result<(), ParameterError> {
        within("plate height", self.plate, (-100.0, 100.0), "m")?;
        within("cutter length", self.cutter, (-1.0, 1.0), "m")?;
        self.switch().check()
    }
}
