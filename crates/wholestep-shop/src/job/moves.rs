//! The `[[move]]`s and the `[touch_off]` of a job file.

use num_rational::Ratio;
use wholestep::axis::{AnyAxis, LengthMechanism};
use wholestep::error::Value;
use wholestep::plan::{PlanError, Planner};
use wholestep::{Axis, Length, Measure, Mechanism, Placement, Result, Rounding, Speed};
use wholestep_files::{AxisFile, FileMeasure, Section, keys};

use super::check_name;
use super::plunge::{self, Plunge, WorkHeld};
use crate::any_bounds::{AnyBounds, Told};
use crate::bounds::MOVES_MAX;
use crate::cut_list::check::as_typed;
use crate::messages;

/// A place that the carriage is sent to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Move {
    /// What it is for.
    pub name: String,
    /// The step it stands on there.
    pub step: i64,
    /// Where that step stands, less where it was sent.
    pub remainder: AnyBounds,
    /// Its own speed, if it has one.
    pub speed: Option<MoveSpeed>,
    /// What must hold while it goes into the work, if it does.
    pub plunge: Option<Plunge>,
}

/// The speed of one move, which is no higher than that of the axis.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MoveSpeed {
    /// In the unit of the axis, exactly.
    pub text: String,
    /// At the axis's coarsest step.
    pub steps_per_second: Ratio<u64>,
}

keys! {
    pub(super) struct MoveEntry<Q: FileMeasure> {
        /// What the move is for.
        name: String,
        /// Where the carriage goes, on the nearest step.
        to: Q,
        /// The highest speed of this move, such as that of a slow last approach.
        speed: Option<Speed<Q>> = "the axis's speed",
        /// Whether the move raises a turning cutter into the work. Give `pass_depth`, `work`, `end_cutting`
        /// and `speed` with it. Any other move is made with the cutter or blade at rest.
        plunge: Option<bool> = "`false`",
        /// How deep one pass may go: the most that the plunge may rise from the place before it.
        pass_depth: Option<Q>,
        /// How the work is held over the plunge: clamped, or between two stops under a hold-down.
        work: Option<WorkHeld>,
        /// `true` for a cutter that cuts at its end; only such a one may be raised into the work.
        end_cutting: Option<bool>,
    }
}

keys! {
    pub(super) struct TouchEntry {
        /// The height at which the cutter touches the plate.
        gauge: Length,
    }
}

/// Reads the moves; a target is placed on the nearest step.
pub(super) fn read(sections: Vec<Section<'_>>, file: &AxisFile) -> Result<Vec<Move>> {
    if let Some(section) = sections.get(MOVES_MAX) {
        return Err(section.blame(
            messages::MOVES_OF_A_JOB
                .error()
                .given(Value::Integer(sections.len() as i128))
                .at_most(Value::Integer(MOVES_MAX as i128)),
        ));
    }
    match file.axis() {
        AnyAxis::Length(axis) => read_all(sections, file, axis, Section::length_unit),
        AnyAxis::Angle(axis) => read_all(sections, file, axis, Section::angle_unit),
    }
}

fn read_all<'d, M: Mechanism>(
    sections: Vec<Section<'d>>,
    file: &AxisFile,
    axis: &Axis<M>,
    declared: fn(&Section<'d>) -> Option<<M::Measure as Measure>::Unit>,
) -> Result<Vec<Move>>
where
    M::Measure: FileMeasure + Told,
{
    let mut moves = Vec::new();
    let mut before = None;
    for mut section in sections {
        let unit = declared(&section).unwrap_or(axis.unit());
        let entry: MoveEntry<M::Measure> = section.read()?;
        check_name(&entry.name).map_err(|error| section.blame_at("name", error))?;
        let speed = entry.speed.map(|speed| own_speed(file, axis, speed)).transpose();
        let speed = speed.map_err(|error| section.blame_at("speed", error.told_in(unit)))?;
        let plunge = plunge::check(
            &section,
            &plunge::Stated {
                plunge: entry.plunge.unwrap_or(false),
                pass_depth: entry.pass_depth,
                work: entry.work,
                end_cutting: entry.end_cutting,
                has_speed: speed.is_some(),
                from: before,
                to: entry.to,
                unit,
            },
            file,
            axis,
        )?;
        let placement = place(&section, "to", entry.to, axis, unit)?;
        before = Some(entry.to);
        moves.push(Move {
            name: entry.name,
            step: placement.step(),
            remainder: M::Measure::told(placement.remainder(), axis.unit()),
            speed,
            plunge,
        });
    }
    Ok(moves)
}

fn own_speed<M: Mechanism>(file: &AxisFile, axis: &Axis<M>, speed: Speed<M::Measure>) -> Result<MoveSpeed> {
    let pulse = file.pulse();
    let planner = Planner::new(axis, pulse.timer_hz, pulse.timing()?)?.at_speed(speed)?;
    // From beyond a soft limit, where the datum may be found, the way is longer than between the limits.
    let longest = axis.highest_step().abs_diff(axis.lowest_step()).saturating_mul(2);
    planner.limits().profile(longest).map_err(|error| match error {
        PlanError::TooLong { .. } => {
            let given = M::Measure::quoted_rate(speed.base(), axis.unit(), 1);
            messages::SPEED_OF_A_MOVE.error().given(given)
        }
        other => other.into(),
    })?;
    let steps_per_second = planner.limits().rates().speed;
    Ok(MoveSpeed { text: speed.to_text(axis.unit()).to_string(), steps_per_second })
}

/// Reads the height of the gauge that the cutter touches.
pub(super) fn read_touch_off(
    mut section: Section<'_>,
    axis: &Axis<LengthMechanism>,
) -> Result<Placement<Length>> {
    let TouchEntry { gauge } = section.read()?;
    let unit = section.length_unit().unwrap_or(axis.unit());
    if gauge < Length::ZERO {
        let error = messages::GAUGE.error().given(gauge.quoted(unit));
        return Err(section.blame_at("gauge", error.at_least(Length::ZERO.quoted(unit))));
    }
    place(&section, "gauge", gauge, axis, unit)
}

/// Places what stands at `key`; an error is told in the unit of the job.
fn place<M: Mechanism>(
    section: &Section<'_>,
    key: &str,
    target: M::Measure,
    axis: &Axis<M>,
    unit: <M::Measure as Measure>::Unit,
) -> Result<Placement<M::Measure>> {
    axis.place(target, Rounding::Nearest).map_err(|error| section.blame_at(key, as_typed(error, unit)))
}
