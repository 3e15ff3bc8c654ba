//! How long the stop's moves take.

use serde::{Serialize, Serializer};
use wholestep::plan::Planner;
use wholestep::{Exact, Length, Mechanism, Result};

use super::check::as_typed;
use super::{CutSheet, Setting};

/// A move of the stop from the setting before: its steps and how long it takes, approach included.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct StopMove {
    /// Whole steps from setting to setting, signed.
    pub steps: i64,
    /// Ticks of the timer.
    pub ticks: u64,
    /// The same in seconds.
    pub seconds: Seconds,
}

impl CutSheet {
    /// Plans the stop's moves from each setting to the next, in the order of cutting.
    ///
    /// The first setting has no move, since where the stop came from is not known, and a cut that is
    /// set by hand leaves the stop where it was. A move that cannot be planned, because its approach
    /// would pass a soft limit, becomes a warning of its cut, and the total says how many such moves
    /// it leaves out.
    ///
    /// # Errors
    /// [`ErrorKind::Overflow`](wholestep::ErrorKind::Overflow) if seconds do not fit.
    pub fn plan_moves<M: Mechanism<Measure = Length>>(&mut self, planner: &Planner<'_, M>) -> Result<()> {
        let axis = planner.axis();
        let approach = axis.config().approach;
        let mut before = None;
        let mut without_time = 0;
        let mut moving = Exact::ZERO;
        let mut move_to = |setting: &Setting, warnings: &mut Vec<String>| -> Result<Option<StopMove>> {
            let Some(placed) = &setting.placement else { return Ok(None) };
            let here = axis.at_step(placed.step)?;
            let start = before.replace(here);
            let Some(start) = start.filter(|start| start.step() != here.step()) else { return Ok(None) };
            match planner.plan(&start, approach, &here) {
                Ok(plan) => {
                    let seconds = Exact::new(plan.ticks().into(), plan.timer_hz().into())?;
                    moving = moving.checked_add(seconds)?;
                    let (steps, ticks) = (plan.steps(), plan.ticks());
                    Ok(Some(StopMove { steps, ticks, seconds: Seconds(seconds) }))
                }
                Err(error) => {
                    without_time += 1;
                    let error = as_typed(error, setting.stop.low.unit);
                    warnings.push(format!("the stop's move cannot be planned: {error}"));
                    Ok(None)
                }
            }
        };
        for cut in &mut self.cuts {
            cut.stop_move = move_to(&cut.setting, &mut cut.warnings)?;
            if let Some(backed_off) = &cut.backed_off {
                cut.back_off_move = move_to(backed_off, &mut cut.warnings)?;
            }
        }
        self.totals.seconds_moving = Some(Seconds(moving));
        self.totals.moves_without_time = without_time;
        Ok(())
    }
}

/// A duration in seconds, exactly; serialized as its text.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Seconds(pub Exact);

impl Serialize for Seconds {
    fn serialize<S: Serializer>(&self, serializer: S) -> core::result::Result<S::Ok, S::Error> {
        serializer.collect_str(&self.0)
    }
}
