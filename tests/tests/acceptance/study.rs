//! A study of every job: a machine drawn by chance comes to every stop, nearly where it was sent, and the same again.

use wholestep::axis::AnyAxis;
use wholestep::{Measure as _, Mechanism as _};
use wholestep_shop::{Job, Study};

use crate::cells::Cells;
use crate::float::float;
use crate::shipped::registry;

pub(crate) fn on_job(cells: &mut Cells, name: &str, path: &str, seed: u64) {
    cells.case(name, studied(path, seed), || format!("a study of {path}, seed {seed}"));
}

fn studied(path: &str, seed: u64) -> Result<(), String> {
    let told = |error: wholestep::Error| error.to_string();
    let job = Job::load(path, &registry()).map_err(told)?;
    let steps = 1..=2;
    let (within, step) = match job.axis().axis() {
        AnyAxis::Length(axis) => {
            ("0.5 mm", axis.mechanism().step_sizes(steps).map_err(told)?.coarsest.base())
        }
        AnyAxis::Angle(axis) => {
            ("0.5 deg", axis.mechanism().step_sizes(steps).map_err(told)?.coarsest.base())
        }
    };
    let study = Study::new(job, within, seed).map_err(told)?;
    let number = seed.wrapping_mul(1_000_003) % 10_000_000;
    let trial = study.trial(number).map_err(told)?;
    let again = study.trial(number).map_err(told)?;
    // Switches, calibration and the rotor leave a tenth; a search may end on either of two steps, twice.
    let most = 0.1 + 3.0 * float(step);
    let sound = trial.stopped.is_none() && trial.stalls == 0 && trial.errors.len() == study.stops().count();
    if trial == again && sound && trial.errors.iter().all(|error| error.abs() <= most) {
        Ok(())
    } else {
        Err(format!("{trial:?}, and again {again:?}"))
    }
}
