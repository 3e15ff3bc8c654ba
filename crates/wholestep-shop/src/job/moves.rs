//! The `[[move]]`s and the `[touch_off]` of a job file.

use wholestep::axis::LengthMechanism;
use wholestep::error::Value;
use wholestep::{Axis, Length, Measure, Placement, Result, Rounding};
use wholestep_files::{Section, keys};

use super::check_name;
use crate::bounds::MOVES_MAX;
use crate::cut_list::check::as_typed;
use crate::messages;

/// A place that the carriage is sent to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Move {
    /// What it is for.
    pub name: String,
    /// Where it goes, and the step it stands on there.
    pub placement: Placement<Length>,
}

keys! {
    pub(super) struct MoveEntry {
        /// What the move is for.
        name: String,
        /// Where the carriage goes, on the nearest step.
        to: Length,
    }
}

keys! {
    pub(super) struct TouchEntry {
        /// The height at which the cutter touches the plate.
        gauge: Length,
    }
}

/// Reads the moves; a target is placed on the nearest step.
pub(super) fn read(sections: Vec<Section<'_>>, axis: &Axis<LengthMechanism>) -> Result<Vec<Move>> {
    if let Some(section) = sections.get(MOVES_MAX) {
        return Err(section.blame(
            messages::MOVES_OF_A_JOB
                .error()
                .given(Value::Integer(sections.len() as i128))
                .at_most(Value::Integer(MOVES_MAX as i128)),
        ));
    }
    sections.into_iter().map(|section| read_one(section, axis)).collect()
}

fn read_one(mut section: Section<'_>, axis: &Axis<LengthMechanism>) -> Result<Move> {
    let entry: MoveEntry = section.read()?;
    check_name(&entry.name).map_err(|error| section.blame_at("name", error))?;
    let placement = place(&section, "to", entry.to, axis)?;
    Ok(Move { name: entry.name, placement })
}

/// Reads the height of the gauge that the cutter touches.
pub(super) fn read_touch_off(
    mut section: Section<'_>,
    axis: &Axis<LengthMechanism>,
) -> Result<Placement<Length>> {
    let TouchEntry { gauge } = section.read()?;
    if gauge < Length::ZERO {
        let unit = section.length_unit().unwrap_or(axis.unit());
        let error = messages::GAUGE.error().given(gauge.quoted(unit));
        return Err(section.blame_at("gauge", error.at_least(Length::ZERO.quoted(unit))));
    }
    place(&section, "gauge", gauge, axis)
}

/// Places what stands at `key`; an error is told in the unit of the job.
fn place(
    section: &Section<'_>,
    key: &str,
    target: Length,
    axis: &Axis<LengthMechanism>,
) -> Result<Placement<Length>> {
    let unit = section.length_unit().unwrap_or(axis.unit());
    axis.place(target, Rounding::Nearest).map_err(|error| section.blame_at(key, as_typed(error, unit)))
}
