//! Raising a turning cutter into the work, and what must hold for it (HSE WIS 18, stopped work,
//! second-hand).

use wholestep::axis::Approach;
use wholestep::{Axis, Measure, Mechanism, Result};
use wholestep_files::{AxisFile, Section, words};

use crate::{caution, messages};

/// A move that goes into the work, under the conditions that its job states.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Plunge {
    /// How deep one pass may go, in the unit of the job, exactly.
    pub pass_depth: String,
    /// How the work is held.
    pub work: WorkHeld,
}

/// How work is held over a cutter that rises into it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum WorkHeld {
    /// Clamped to the table.
    Clamped,
    /// Between two stops, under a hold-down.
    BetweenStops,
}

impl WorkHeld {
    /// Both, in the order in which they are documented.
    pub const ALL: [Self; 2] = [Self::Clamped, Self::BetweenStops];

    /// Returns the name, as files spell it.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Clamped => "clamped",
            Self::BetweenStops => "between_stops",
        }
    }
}

words! {
    WorkHeld: Self::ALL;
}

impl Plunge {
    /// Returns what a person must see to.
    pub fn caution(&self) -> String {
        caution::plunge(&self.pass_depth, self.work)
    }
}

/// What a move states.
pub(super) struct Stated<Q: Measure> {
    pub(super) plunge: bool,
    pub(super) pass_depth: Option<Q>,
    pub(super) work: Option<WorkHeld>,
    pub(super) end_cutting: Option<bool>,
    pub(super) has_speed: bool,
    /// Where the move before it ends, if there is one.
    pub(super) from: Option<Q>,
    pub(super) to: Q,
    pub(super) unit: Q::Unit,
}

/// Refuses a plunge that does not state its conditions or cannot keep them, and conditions without one.
pub(super) fn check<M: Mechanism>(
    section: &Section<'_>,
    stated: &Stated<M::Measure>,
    file: &AxisFile,
    axis: &Axis<M>,
) -> Result<Option<Plunge>> {
    let Stated { pass_depth, work, end_cutting, from, to, unit, .. } = *stated;
    if !stated.plunge {
        let lone = [
            ("pass_depth", pass_depth.is_some()),
            ("work", work.is_some()),
            ("end_cutting", end_cutting.is_some()),
        ];
        return match lone.into_iter().find(|(_, given)| *given) {
            Some((key, _)) => Err(section.blame_at(key, messages::CONDITION_WITHOUT_A_PLUNGE.error())),
            None => Ok(None),
        };
    }
    let refused = |message: &'static wholestep::error::Message| section.blame_at("plunge", message.error());
    if file.axis().as_length().is_none() || file.machine_data().upright != Some(true) {
        return Err(refused(&messages::PLUNGE_OF_NO_LIFT));
    }
    if axis.config().approach == Approach::FromAbove {
        return Err(refused(&messages::PLUNGE_FROM_ABOVE));
    }
    let (Some(pass_depth), Some(work), Some(end_cutting), true) =
        (pass_depth, work, end_cutting, stated.has_speed)
    else {
        let missing: Vec<&str> = [
            (pass_depth.is_none(), "pass_depth, how deep one pass may go"),
            (work.is_none(), "work = \"clamped\" or \"between_stops\""),
            (end_cutting.is_none(), "end_cutting = true, if the cutter cuts at its end"),
            (!stated.has_speed, "speed, how fast it rises into the work"),
        ]
        .into_iter()
        .filter_map(|(missing, key)| missing.then_some(key))
        .collect();
        let error = messages::PLUNGE_WITHOUT_ITS_CONDITIONS.error();
        return Err(section.blame_at("plunge", error.advice(format!("write {}", missing.join("; ")))));
    };
    if !end_cutting {
        return Err(section.blame_at("end_cutting", messages::CUTTER_THAT_CANNOT_PLUNGE.error()));
    }
    if pass_depth <= M::Measure::ZERO {
        let error = messages::PASS_DEPTH.error().given(pass_depth.quoted(unit));
        return Err(section.blame_at("pass_depth", error));
    }
    let Some(from) = from else { return Err(refused(&messages::PLUNGE_FROM_NOWHERE)) };
    let rise = to.checked_sub(from)?;
    if rise <= M::Measure::ZERO {
        let error = messages::PLUNGE_THAT_DOES_NOT_RISE.error().given(rise.quoted(unit));
        return Err(section.blame_at("plunge", error));
    }
    if rise > pass_depth {
        let error = messages::PLUNGE_DEEPER_THAN_A_PASS.error().given(rise.quoted(unit));
        return Err(section.blame_at("to", error.at_most(pass_depth.quoted(unit))));
    }
    Ok(Some(Plunge { pass_depth: pass_depth.to_text(unit).to_string(), work }))
}
