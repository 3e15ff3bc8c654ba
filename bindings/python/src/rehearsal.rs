//! Rehearsals, as the plain data of `wholestep._rehearsal`.

use std::ops::ControlFlow;
use std::path::PathBuf;
use std::time::Instant;

use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};
use wholestep_files::{AxisFile, Registry};
use wholestep_shop::{AnyBounds, Job};
use wholestep_shop::{Progress, Rehearsed, RehearsedMove, rehearse};

use crate::boundary::{LOOK_EVERY, cross, cross_detached};
use crate::carriage::{Fault, event};
use crate::cut_list::tuple;
use crate::enclosure::Enclosure;
use crate::registry::registry;
use crate::whole;

/// A job run on a twin; `wholestep.rehearse`.
#[pyfunction]
pub(crate) fn run_rehearsal(
    py: Python<'_>,
    path: PathBuf,
    #[pyo3(from_py_with = whole::seed)] seed: u64,
    faults: Vec<String>,
    progress: Option<Py<PyAny>>,
) -> PyResult<Bound<'_, PyAny>> {
    let registry: Registry = registry(py)?;
    let job = cross(py, || Job::load(&path, &registry))?;
    let mut watch = Watch { progress, looked: Instant::now(), told: None, raised: None };
    let rehearsed =
        cross_detached(py, || rehearse(&job, seed, &faults, &mut |progress| watch.look(progress)));
    match watch.raised {
        Some(raised) => Err(raised),
        None => plain(py, &job, seed, &rehearsed?),
    }
}

/// Looks for Ctrl-C now and then, and tells a Python callable how far it is.
struct Watch {
    progress: Option<Py<PyAny>>,
    looked: Instant,
    /// What it was told of last.
    told: Option<String>,
    /// What Ctrl-C or the callable raised.
    raised: Option<PyErr>,
}

impl Watch {
    fn look(&mut self, progress: Progress<'_>) -> ControlFlow<()> {
        let is_new = self.told.as_deref() != Some(progress.what) || progress.part >= 1.0;
        if !is_new && self.looked.elapsed() < LOOK_EVERY {
            return ControlFlow::Continue(());
        }
        self.told = Some(progress.what.to_owned());
        let looked = Python::attach(|py| {
            py.check_signals()?;
            match &self.progress {
                Some(tell) => tell.call1(py, (progress.what, progress.part)).map(|_| ()),
                None => Ok(()),
            }
        });
        self.looked = Instant::now();
        match looked {
            Ok(()) => ControlFlow::Continue(()),
            Err(raised) => {
                self.raised = Some(raised);
                ControlFlow::Break(())
            }
        }
    }
}

fn plain<'py>(py: Python<'py>, job: &Job, seed: u64, rehearsed: &Rehearsed) -> PyResult<Bound<'py, PyAny>> {
    let classes = py.import("wholestep._rehearsal")?;
    let findings = &rehearsed.findings;
    let near = |measure: fn(&wholestep_shop::ClosestApproach) -> AnyBounds| {
        rehearsed.approach.as_ref().map(|near| enclosure(measure(near)))
    };
    let seconds = |tick: u64| tick_seconds(job.axis(), tick);
    let happened = |(seconds, happened): &(f64, _)| {
        Ok((*seconds, event::object(py, *happened)?).into_pyobject(py)?.into_any())
    };
    let never_came = rehearsed.faults.iter().filter(|fault| !fault.came).map(|fault| &fault.text);
    let fields = PyDict::new(py);
    fields.set_item("job", job.name())?;
    fields.set_item("axis", job.axis().name())?;
    fields.set_item("seed", seed)?;
    fields.set_item("sound", rehearsed.is_sound())?;
    fields.set_item("fault", rehearsed.fault().map(Fault))?;
    fields.set_item("moves", tuple(py, &rehearsed.moves, |one| plain_move(&classes, one))?)?;
    fields.set_item("not_reached", PyTuple::new(py, &rehearsed.not_reached)?)?;
    fields.set_item("by_hand", PyTuple::new(py, &rehearsed.by_hand)?)?;
    fields.set_item("seconds", findings.seconds)?;
    fields.set_item("steps", findings.steps)?;
    fields.set_item("lowest", near(|near| near.lowest))?;
    fields.set_item("highest", near(|near| near.highest))?;
    fields.set_item("room_below", near(|near| near.room_below))?;
    fields.set_item("room_above", near(|near| near.room_above))?;
    fields.set_item("torque_margin", findings.worst_torque.map(|worst| worst.margin()))?;
    fields.set_item("torque_margin_at", findings.worst_torque.map(|worst| seconds(worst.tick)))?;
    fields.set_item("lost_steps", findings.lost_steps)?;
    fields.set_item("slips", findings.record.slips)?;
    fields.set_item("end_stop_hits", findings.record.end_stop_hits)?;
    fields.set_item("events", tuple(py, &findings.events, happened)?)?;
    fields.set_item("faults_that_never_came", PyTuple::new(py, never_came.collect::<Vec<_>>())?)?;
    fields.set_item("assumed", PyTuple::new(py, &findings.assumed)?)?;
    fields.set_item("torque_is_assumed", findings.torque_is_assumed)?;
    classes.getattr("Rehearsed")?.call((), Some(&fields))
}

fn plain_move<'py>(classes: &Bound<'py, PyModule>, one: &RehearsedMove) -> PyResult<Bound<'py, PyAny>> {
    let remainder = one.remainder.map(enclosure);
    let done = &one.done;
    let speed = one.speed.as_ref().map(|speed| &speed.text);
    let fields = (
        &one.what,
        one.step,
        remainder,
        speed,
        &one.caution,
        done.seconds,
        done.steps,
        done.off_by,
        one.stands_off,
        &done.stopped,
    );
    classes.getattr("RehearsedMove")?.call1(fields)
}

fn enclosure(bounds: AnyBounds) -> Enclosure {
    match bounds {
        AnyBounds::Length(bounds, _) => Enclosure::of(bounds),
        AnyBounds::Angle(bounds, _) => Enclosure::of(bounds),
    }
}

#[expect(clippy::cast_precision_loss, reason = "seconds of a simulated machine")]
fn tick_seconds(axis: &AxisFile, tick: u64) -> f64 {
    tick as f64 / axis.pulse().timer_hz as f64
}
