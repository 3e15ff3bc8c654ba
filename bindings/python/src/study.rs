//! Studies, as the plain data of `wholestep._study`.

use std::collections::BTreeSet;
use std::path::PathBuf;

use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};
use wholestep_shop::study::{Spread, Trial};
use wholestep_shop::{Job, Study};

use crate::boundary::{cross, cross_detached};
use crate::registry::registry;
use crate::whole;

/// A trial as Python has it: the fields of `wholestep.Trial`, in order.
type Plain = (u64, Option<f64>, Vec<f64>, u64, Option<f64>, Option<String>);

/// What stops a job has, and from which keys its machines are drawn; for `wholestep.Study`.
#[pyfunction]
pub(crate) fn look_at_study(
    py: Python<'_>,
    path: PathBuf,
    within: &str,
    #[pyo3(from_py_with = whole::seed)] seed: u64,
) -> PyResult<(Vec<String>, Vec<&'static str>)> {
    let study = load(py, path, within, seed)?;
    Ok((study.stops().map(Into::into).collect(), study.open()))
}

/// Runs of the machines up to `machines` that are not among `done`, each the first and how many; for
/// `wholestep.Study.run`.
#[pyfunction]
pub(crate) fn machines_left(
    #[pyo3(from_py_with = whole::machines)] machines: u64,
    done: BTreeSet<u64>,
) -> Vec<(u64, u64)> {
    // Few enough at a time that progress is seen, and enough that sending them costs little.
    let most = (machines / 64).clamp(1, 16);
    let mut runs: Vec<(u64, u64)> = Vec::new();
    for number in (0..machines).filter(|number| !done.contains(number)) {
        match runs.last_mut() {
            Some((first, count)) if *first + *count == number && *count < most => *count += 1,
            _ => runs.push((number, 1)),
        }
    }
    runs
}

/// Rehearses a job on so many machines from `first` on; for the workers of `wholestep.Study.run`.
#[pyfunction]
pub(crate) fn run_trials(
    py: Python<'_>,
    path: PathBuf,
    within: &str,
    #[pyo3(from_py_with = whole::seed)] seed: u64,
    #[pyo3(from_py_with = whole::machine)] first: u64,
    #[pyo3(from_py_with = whole::machines)] count: u64,
) -> PyResult<Vec<Plain>> {
    let study = load(py, path, within, seed)?;
    let trial = |number| {
        py.check_signals()?;
        cross_detached(py, || study.trial(number)).map(plain)
    };
    (first..first + count).map(trial).collect()
}

/// What trials come to; for `wholestep.Study`.
#[pyfunction]
pub(crate) fn sum_up<'py>(
    py: Python<'py>,
    path: PathBuf,
    within: &str,
    #[pyo3(from_py_with = whole::seed)] seed: u64,
    trials: Vec<Plain>,
) -> PyResult<Bound<'py, PyAny>> {
    let study = load(py, path, within, seed)?;
    let trials: Vec<Trial> = trials.into_iter().map(trial).collect();
    let summary = study.summary(&trials);
    let classes = py.import("wholestep._study")?;
    let spread = |one: Option<Spread>| {
        let fields = one.map(|one| (one.lowest, one.mean, one.highest, one.deviation));
        fields.map(|fields| classes.getattr("Spread")?.call1(fields)).transpose()
    };
    let stops = summary.stops.iter().map(|stop| spread(*stop)).collect::<PyResult<Vec<_>>>()?;
    let fields = PyDict::new(py);
    fields.set_item("machines", summary.machines)?;
    fields.set_item("fitting", summary.fitting)?;
    fields.set_item("fitting_part", summary.fitting_part)?;
    fields.set_item("stalled", summary.stalled)?;
    fields.set_item("stopped", summary.stopped)?;
    fields.set_item("reasons", PyTuple::new(py, summary.reasons.iter().cloned())?)?;
    fields.set_item("datum", spread(summary.datum)?)?;
    fields.set_item("stops", PyTuple::new(py, stops)?)?;
    fields.set_item("torque_margin", summary.torque_margin)?;
    fields.set_item("sentence", summary.sentence())?;
    classes.getattr("Summary")?.call((), Some(&fields))
}

fn load(py: Python<'_>, path: PathBuf, within: &str, seed: u64) -> PyResult<Study> {
    let registry = registry(py)?;
    cross(py, || Study::new(Job::load(&path, &registry)?, within, seed))
}

fn plain(trial: Trial) -> Plain {
    let Trial { number, datum_error, errors, stalls, torque_margin, stopped } = trial;
    (number, datum_error, errors, stalls, torque_margin, stopped)
}

fn trial((number, datum_error, errors, stalls, torque_margin, stopped): Plain) -> Trial {
    Trial { number, datum_error, errors, stalls, torque_margin, stopped }
}
