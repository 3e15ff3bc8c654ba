//! Touching off: the step of the first contact becomes the height of the gauge.

use super::hand::Hand;
use super::{Detent, Direction};
use crate::Axis;
use crate::error::Result;
use crate::exact::Enclosure;
use crate::measure::Measure;
use crate::mechanism::Mechanism;

/// What leads a touch-off, and so what the contact does.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Touch {
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
    Begin { becomes: Option<i64> },
    /// Creeping to `to` at the latest; `contact` is the step of the first contact that counts.
    Creep { becomes: Option<i64>, to: i64, contact: Option<i64>, stepped: bool, false_contacts: u8 },
    /// Led by hand; `sure` once the first contact has settled.
    ByHand { becomes: Option<i64>, hand: Hand, contact: Option<i64>, sure: bool, begun: bool, stepped: bool },
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

/// The same axis measured from where a gauge of height `gauge` stands on the cutter: its temporary
/// zero is the position of the step of first contact, less the gauge.
///
/// After a change of cutter one touch-off that only measures gives the step, and this the new zero;
/// heights recorded from the zero, that is from the cutter, stay valid, and so do datum and soft
/// limits. Where the position is an enclosure the zero is rounded to 1e-12 of a millimetre or degree.
///
/// # Errors
/// As [`Axis::at_step`] and [`Axis::with_zero`].
pub fn zeroed_at<M: Mechanism>(axis: Axis<M>, contact: i64, gauge: M::Measure) -> Result<Axis<M>> {
    let axis = axis.with_zero(M::Measure::ZERO)?;
    let zero = axis.at_step(contact)?.position().checked_sub(Enclosure::exact(gauge))?;
    axis.with_zero(zero.to_measure()?)
}

/// Where a creep of `bound` steps from `step` ends at the latest.
pub(super) const fn creep_end(step: i64, direction: Direction, bound: u64) -> i64 {
    step + direction.sign() * bound.cast_signed()
}
