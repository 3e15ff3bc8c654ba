//! How long the stop's moves take.

use serde::{Serialize, Serializer};
use wholestep::plan::Planner;
use wholestep::{Exact, Length, Mechanism, Result};

use super::Cuts;

/// A move of the stop from the setting before: its steps and how long it takes, approach included.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct StopMove {
    /// Whole steps from setting to setting, signed.
    pub steps: i64,
    /// Ticks of the timer.
    pub ticks: u64,
    /// The same in seconds, exactly.
    #[serde(serialize_with = "as_text")]
    pub seconds: Exact,
}

impl Cuts {
    /// Plans the stop's moves from each setting to the next, in the order of cutting.
    ///
    /// The first setting has no move, since where the stop came from is not known, and a cut that is
    /// set by hand leaves the stop where it was. A move that cannot be planned, because its approach
    /// would pass a soft limit, becomes a warning of its cut.
    ///
    /// # Errors
    /// [`ErrorKind::Overflow`](wholestep::ErrorKind::Overflow) where seconds do not fit.
    pub fn plan_moves<M: Mechanism<Measure = Length>>(&mut self, planner: &Planner<'_, M>) -> Result<()> {
        let axis = planner.axis();
        let approach = axis.settings().approach;
        let mut before = None;
        for cut in &mut self.cuts {
            let Some(placed) = &cut.setting.placement else { continue };
            let here = axis.at_step(placed.step)?;
            let start = before.replace(here);
            let Some(start) = start.filter(|start| start.step() != here.step()) else { continue };
            match planner.plan(&start, approach, &here) {
                Ok(plan) => {
                    let seconds = Exact::new(plan.ticks().into(), plan.timer_hz().into())?;
                    cut.stop_move = Some(StopMove { steps: plan.steps(), ticks: plan.ticks(), seconds });
                }
                Err(error) => cut.warnings.push(error.to_string()),
            }
        }
        let mut moving = Exact::ZERO;
        for stop_move in self.cuts.iter().filter_map(|cut| cut.stop_move) {
            moving = moving.add(stop_move.seconds)?;
        }
        self.totals.seconds_moving = Some(moving);
        Ok(())
    }
}

/// An exact number as its text, or nothing.
pub(super) fn as_text_where_known<S: Serializer>(
    value: &Option<Exact>,
    serializer: S,
) -> core::result::Result<S::Ok, S::Error> {
    match value {
        Some(value) => as_text(value, serializer),
        None => serializer.serialize_none(),
    }
}

fn as_text<S: Serializer>(value: &Exact, serializer: S) -> core::result::Result<S::Ok, S::Error> {
    serializer.collect_str(value)
}
