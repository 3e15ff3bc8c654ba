//! Touching off: the step of the first contact becomes the height of the gauge.

use super::hand::Hand;
use super::{Detent, Direction};

/// What leads a touch-off, and so what the contact does.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum TouchMode {
    /// The carriage creeps toward the probe and the contact stops it, within the room its brake takes
    /// at that creep. The enable input must be held.
    Stop,
    /// Dial or rocker lead the carriage and the contact only signals; the hand stops it.
    Signal(Option<Detent>),
}

/// A touch-off under way.
///
/// A contact counts only if a step has been made and the play is taken up: before that it is not the
/// carriage that met the probe, or not on the flank on which targets are reached.
#[derive(Clone, Copy, Debug)]
pub(super) enum Touching {
    /// Not begun: the probe has not been looked at.
    Begin { contact_step: Option<i64> },
    /// Creeping to `to` at the latest; `contact` is the step of the first contact that counts.
    Creep { contact_step: Option<i64>, to: i64, contact: Option<i64>, stepped: bool, false_contacts: u8 },
    /// Led by hand; `sure` once the first contact has settled.
    ByHand {
        contact_step: Option<i64>,
        hand: Hand,
        contact: Option<i64>,
        sure: bool,
        begun: bool,
        stepped: bool,
    },
}

impl Touching {
    /// Notes that the probe changed for the first time, at `step`; `loaded` if the play is taken up.
    pub(super) const fn first_contact(&mut self, step: i64, loaded: bool) {
        match self {
            Self::Begin { .. } | Self::ByHand { sure: true, .. } => {}
            Self::Creep { contact, stepped, .. } | Self::ByHand { contact, stepped, .. } => {
                *contact = if *stepped && loaded { Some(step) } else { None };
            }
        }
    }

    /// Notes that an edge has been given out.
    pub(super) const fn note_step(&mut self) {
        match self {
            Self::Begin { .. } => {}
            Self::Creep { stepped, .. } | Self::ByHand { stepped, .. } => *stepped = true,
        }
    }
}

/// Where a creep of `bound` steps from `step` ends at the latest.
pub(super) const fn creep_end(step: i64, direction: Direction, bound: u64) -> i64 {
    step + direction.sign() * bound.cast_signed()
}
