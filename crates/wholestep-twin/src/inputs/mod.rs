//! What the machine's inputs read.

mod contact;
mod dial;
mod switch;

pub(crate) use contact::{Contact, NEVER};
pub(crate) use dial::Dial;
pub(crate) use switch::SwitchState;

/// A direction of the carriage asked for by hand.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Direction {
    /// Steps count up.
    Forward,
    /// Steps count down.
    Backward,
}

/// A contact with a wire of its own.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Input {
    /// The switch at the low end.
    LowSwitch,
    /// The switch at the high end.
    HighSwitch,
    /// The touch probe.
    Probe,
    /// The enable button that must be held.
    Enable,
}

impl Input {
    pub(crate) const ALL: [Self; 4] = [Self::LowSwitch, Self::HighSwitch, Self::Probe, Self::Enable];

    /// Returns the input's word in the name of a fault.
    pub const fn name(self) -> &'static str {
        match self {
            Self::LowSwitch => "low",
            Self::HighSwitch => "high",
            Self::Probe => "probe",
            Self::Enable => "enable",
        }
    }
}

/// Input levels at one instant, bounce included. A contact reads `true` while current flows in it, so a
/// broken wire reads `false`: a normally closed switch is pressed where its level is `false`, a normally
/// open one where it is `true`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[expect(clippy::struct_excessive_bools, reason = "one level a wire")]
pub struct RawInputs {
    /// Current flows in the low switch. Always `false` if there is none.
    pub low_switch: bool,
    /// Current flows in the high switch. Always `false` if there is none.
    pub high_switch: bool,
    /// The cutter touches the plate.
    pub probe: bool,
    /// The enable button is held.
    pub enable: bool,
    /// First channel of the dial; it leads when the dial turns forward.
    pub dial_a: bool,
    /// Second channel of the dial.
    pub dial_b: bool,
    /// The driver reports a fault.
    pub drive_fault: bool,
    /// The direction a held rocker asks for.
    pub jog: Option<Direction>,
}
