//! What the carriage is told at every poll, as electrical levels.

use core::fmt;

use super::End;

/// The levels read from the machine at one instant.
///
/// Switches, probe, enable and drive fault are given as read from their pins, `true` for high. What a
/// level means follows from how the contact is wired ([`Wiring`]); of the enable and the drive fault
/// see their fields.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[expect(clippy::struct_excessive_bools, reason = "each is the level of a pin")]
pub struct Inputs {
    /// The switch at the low end.
    pub low_switch: bool,
    /// The switch at the high end.
    pub high_switch: bool,
    /// The touch probe.
    pub probe: bool,
    /// Whether the enable input is held: high while held, so that a broken wire reads as let go.
    pub enable: bool,
    /// Whether the drive reports a fault: high while it does.
    pub drive_fault: bool,
    /// Counts of the dial since some start, from [`Quadrature`](super::Quadrature) or a counter in
    /// hardware; it may wrap.
    pub dial: u32,
    /// The end toward which the jog rocker is held.
    pub rocker: Option<End>,
}

/// How a contact is wired.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Wiring {
    /// The contact is normally closed to ground and opens when pressed: a high level is pressed, and
    /// so is a broken wire.
    #[default]
    NormallyClosed,
    /// The contact is normally open and closes to ground when pressed: a low level is pressed, and a
    /// broken wire goes unnoticed.
    NormallyOpen,
}

impl Wiring {
    /// Returns the wiring's name, as files, Python and the command line spell it.
    pub const fn name(self) -> &'static str {
        match self {
            Self::NormallyClosed => "normally_closed",
            Self::NormallyOpen => "normally_open",
        }
    }

    /// Both, in the order in which they are documented.
    pub const ALL: [Self; 2] = [Self::NormallyClosed, Self::NormallyOpen];

    /// Tells whether `level`, read with a pull-up, means pressed.
    pub const fn is_pressed(self, level: bool) -> bool {
        match self {
            Self::NormallyClosed => level,
            Self::NormallyOpen => !level,
        }
    }
}

/// An input a person can change by hand.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Input {
    /// The switch at an end.
    Switch(End),
    /// The touch probe.
    Probe,
    /// The enable input.
    Enable,
    /// The dial.
    Dial,
    /// The jog rocker.
    Rocker,
}

impl Input {
    /// Every input, in the order in which commissioning asks for them.
    pub const ALL: [Self; 6] = [
        Self::Switch(End::Low),
        Self::Switch(End::High),
        Self::Probe,
        Self::Enable,
        Self::Dial,
        Self::Rocker,
    ];

    /// Returns the input's name for programs; `Display` writes it for people.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Switch(End::Low) => "low_switch",
            Self::Switch(End::High) => "high_switch",
            Self::Probe => "probe",
            Self::Enable => "enable",
            Self::Dial => "dial",
            Self::Rocker => "rocker",
        }
    }
}

impl fmt::Display for Input {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Switch(end) => write!(f, "{} switch", end.name()),
            other => f.write_str(other.name()),
        }
    }
}
