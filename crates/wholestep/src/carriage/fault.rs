//! What goes wrong on a machine, and what to check there.

use core::fmt;

use super::{End, Input};

/// What stopped the carriage. It stays until it is cleared.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum Fault {
    /// The search for the datum went its whole bound without meeting the switch.
    NeverFound(End),
    /// A switch stayed pressed although the carriage went its whole bound away from it.
    NeverReleased(End),
    /// While searching, the switch at this, the other, end was met.
    WrongSwitch(End),
    /// Both switches read pressed.
    BothPressed,
    /// A switch became pressed while the carriage moved away from it.
    PressedMovingAway(End),
    /// A switch was met by a motion that should have ended before it.
    SwitchReached(End),
    /// The drive reports a fault.
    Drive,
    /// The probe was closed before the touch-off began, or closed before a step was made and the play
    /// taken up.
    ProbeClosed,
    /// The touch-off went its whole bound without contact.
    NeverTouched,
    /// A contact went on changing and did not settle.
    Chatter(Input),
    /// A poll came so late that the motor must have stopped at a speed from which it cannot.
    PolledLate,
    /// The time given to a poll lies before that of the poll before.
    TimeBackwards,
    /// The two slow approaches met the datum's switch further apart than they may.
    ApproachesDiffer(End),
    /// A touch says that a proven position is wrong by more than it may be.
    TouchContradicts,
    /// The time given to a poll is above [`TIME_MAX`](super::TIME_MAX).
    TimeTooLarge,
    /// A motion that the plan's integers cannot hold.
    Plan,
}

impl Fault {
    /// Returns the fault's name, as Python and `--json` spell it.
    pub const fn name(self) -> &'static str {
        match self {
            Self::NeverFound(_) => "never_found",
            Self::NeverReleased(_) => "never_released",
            Self::WrongSwitch(_) => "wrong_switch",
            Self::BothPressed => "both_pressed",
            Self::PressedMovingAway(_) => "pressed_moving_away",
            Self::SwitchReached(_) => "switch_reached",
            Self::Drive => "drive",
            Self::ProbeClosed => "probe_closed",
            Self::NeverTouched => "never_touched",
            Self::Chatter(_) => "chatter",
            Self::PolledLate => "polled_late",
            Self::TimeBackwards => "time_backwards",
            Self::ApproachesDiffer(_) => "approaches_differ",
            Self::TouchContradicts => "touch_contradicts",
            Self::TimeTooLarge => "time_too_large",
            Self::Plan => "plan",
        }
    }

    /// Returns what to check on the machine.
    pub const fn check(self) -> &'static str {
        match self {
            Self::NeverFound(_) => {
                "check that the motor turns and the coupling holds, that the switch works when pressed by hand, and \
                 that the search bound is longer than the travel"
            }
            Self::NeverReleased(_) => {
                "check for a broken wire or a stuck switch, and that the motor turns the carriage away from it"
            }
            Self::WrongSwitch(_) => {
                "check whether the two switches are exchanged, or the motor turns the other way round"
            }
            Self::BothPressed => "check the wire that both switches share, and the supply of the inputs",
            Self::PressedMovingAway(_) => {
                "check whether the switches are exchanged, a wire is loose, or the motor turns the other way round"
            }
            Self::SwitchReached(_) => {
                "check for lost steps, for a datum in the wrong place, and for a loose wire; then find the datum again"
            }
            Self::Drive => "read the drive's own indication, and let it cool; check supply and motor wires",
            Self::ProbeClosed => {
                "check that the probe does not touch yet, move further off, and check its wires for a short"
            }
            Self::NeverTouched => "check that the probe lies under the cutter, its wires, and its earth clip",
            Self::Chatter(_) => "check for a loose wire, dirt on the contact, and noise from the spindle",
            Self::PolledLate => "check what keeps the controller from polling in time, or lower the speed",
            Self::TimeBackwards => {
                "check the controller's timer; it must not be reset while a carriage lives"
            }
            Self::ApproachesDiffer(_) => {
                "check for lost steps, a loose coupling, and a switch that is loose or dirty; then find the datum \
                 again"
            }
            Self::TouchContradicts => {
                "check the height that was given, the probe, and for lost steps; then find the datum, or touch off \
                 again"
            }
            Self::TimeTooLarge => "check the controller's timer; give ticks counted from when it starts",
            Self::Plan => {
                "check the lengths and speeds of the axis; a move would take longer than the integers hold"
            }
        }
    }

    /// Whether the step the carriage believes to stand on can no longer be relied on.
    ///
    /// A switch that is not where the position says contradicts it, whichever of the two is wrong.
    pub(super) const fn doubts_position(self) -> bool {
        match self {
            Self::NeverFound(_)
            | Self::NeverReleased(_)
            | Self::WrongSwitch(_)
            | Self::BothPressed
            | Self::PressedMovingAway(_)
            | Self::SwitchReached(_)
            | Self::Drive
            | Self::PolledLate
            | Self::ApproachesDiffer(_)
            | Self::TouchContradicts => true,
            // A halt from speed doubts it separately.
            Self::ProbeClosed
            | Self::NeverTouched
            | Self::Chatter(_)
            | Self::TimeBackwards
            | Self::TimeTooLarge
            | Self::Plan => false,
        }
    }
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NeverFound(end) => write!(f, "the {} switch was never found", end.name())?,
            Self::NeverReleased(end) => write!(f, "the {} switch was never released", end.name())?,
            Self::WrongSwitch(end) => write!(f, "the {} switch was met instead of the other", end.name())?,
            Self::BothPressed => f.write_str("both switches read pressed")?,
            Self::PressedMovingAway(end) => {
                write!(f, "the {} switch became pressed while moving away from it", end.name())?;
            }
            Self::SwitchReached(end) => write!(f, "the {} switch was reached", end.name())?,
            Self::Drive => f.write_str("the drive reports a fault")?,
            Self::ProbeClosed => f.write_str("the probe was closed at the start")?,
            Self::NeverTouched => f.write_str("the probe was never touched")?,
            Self::Chatter(input) => write!(f, "the {input} did not settle")?,
            Self::PolledLate => f.write_str("a poll came too late while moving fast")?,
            Self::TimeBackwards => f.write_str("the time ran backwards")?,
            Self::ApproachesDiffer(end) => {
                write!(f, "two slow approaches met the {} switch at different steps", end.name())?;
            }
            Self::TouchContradicts => f.write_str("the touch contradicts the proven position")?,
            Self::TimeTooLarge => f.write_str("the time is too large")?,
            Self::Plan => f.write_str("the motion does not fit the plan's integers")?,
        }
        write!(f, ": {}", self.check())
    }
}
