//! A job rehearsed on many machines, each drawn from what the axis file leaves open: how many would fit, how well the
//! datum comes back, how often the motor stalls.

mod draw;
mod summary;

pub use summary::{Spread, Summary};

use wholestep::axis::AnyAxis;
use wholestep::carriage::Event;
use wholestep::{Angle, Length, Measure, Result};
use wholestep_files::AxisFile;

use crate::float::float;
use crate::job::{Job, Stops};
use crate::messages;
use crate::rehearsal::{Rehearsed, on_machine};

/// A job that is rehearsed on many machines.
///
/// Every figure that the axis file gives as a range is drawn evenly from it, all apart from one another;
/// `travel_error` of `[machine]` is such a range. Where a switch is met and how it bounces is drawn for every search.
/// A job without a touch-off gets its zero as at the bench, by one test cut: each machine finds the datum and goes to
/// the first stop once before, and what it is off there is taken out. A test cut corrects the zero alone, neither scale
/// nor play.
///
/// The same job, seed and number give the same machine and the same trial, in whatever order and on whatever
/// computer they are run.
///
/// ```
/// use wholestep_files::Registry;
/// use wholestep_shop::{Job, Study};
/// let job = Job::load("../../examples/jobs/lap_joint.toml", &Registry::standard())?;
/// let study = Study::new(job, "0.1 mm", 7)?;
/// let trials = (0..20).map(|number| study.trial(number)).collect::<Result<Vec<_>, _>>()?;
/// let summary = study.summary(&trials);
/// assert_eq!((summary.machines, summary.fitting, summary.stalled), (20, 20, 0));
/// # Ok::<(), wholestep::Error>(())
/// ```
#[derive(Clone, Debug)]
pub struct Study {
    job: Job,
    stops: Stops,
    seed: u64,
    /// In mm or degrees.
    within: f64,
    /// As it was read.
    tolerance: String,
}

/// How a job came out on one machine of a study.
#[derive(Clone, Debug, PartialEq)]
pub struct Trial {
    /// Which machine it is, counted from 0.
    pub number: u64,
    /// By how much the carriage truly stood above where it believed to, once it had found the datum, in mm or
    /// degrees; `None` if it did not find it.
    pub datum_error: Option<f64>,
    /// By how much the carriage, or since a touch-off the tip of the cutter, truly stood above where each stop sent
    /// it, in mm or degrees, for those that were come to; without a touch-off, after the test cut.
    pub errors: Vec<f64>,
    /// How often the motor fell out of step.
    pub stalls: u64,
    /// The part of the motor's torque to spare at the worst moment, negative if it was not enough.
    pub torque_margin: Option<f64>,
    /// Why the job did not come about; `None` if it did.
    pub stopped: Option<String>,
}

impl Study {
    /// Makes the study of `job`: each stop fits if it is at most `within` off, such as `0.1 mm`.
    ///
    /// # Errors
    /// As [`Job::stops`]; those of reading a length, or an angle on an axis that turns;
    /// [`ErrorKind::OutOfRange`](wholestep::ErrorKind::OutOfRange) for a tolerance that is not above 0.
    pub fn new(job: Job, within: &str, seed: u64) -> Result<Self> {
        let stops = job.stops()?;
        let (within, tolerance) = match job.axis().axis() {
            AnyAxis::Length(axis) => read::<Length>(within, axis.unit())?,
            AnyAxis::Angle(axis) => read::<Angle>(within, axis.unit())?,
        };
        Ok(Self { job, stops, seed, within, tolerance })
    }

    /// Returns what each stop is for, in order.
    pub fn stops(&self) -> impl Iterator<Item = &str> {
        self.stops.stops.iter().map(|stop| &*stop.name)
    }

    /// Returns the keys of the axis file whose figures are ranges, from which each machine is drawn.
    pub fn open(&self) -> Vec<&'static str> {
        draw::open(self.job.axis().machine_data())
    }

    /// Rehearses the job on machine `number`.
    ///
    /// # Errors
    /// As [`rehearse`](crate::rehearse).
    pub fn trial(&self, number: u64) -> Result<Trial> {
        let file = self.job.axis().clone();
        let data = draw::machine(file.machine_data(), self.seed, number)?;
        let file = file.with_machine_data(data);
        // The chance of each machine is apart from that of its neighbours, and its two runs apart from one another.
        let chance = self.seed.wrapping_add(number).wrapping_mul(0x9e37_79b9_7f4a_7c15);
        let zero = if self.job.touch_off().is_some() {
            0.0
        } else {
            let mut first = self.stops.clone();
            first.stops.truncate(1);
            let test_cut = self.rehearse(&file, first, !chance)?;
            errors(&test_cut).next().unwrap_or(0.0)
        };
        let rehearsed = self.rehearse(&file, self.stops.clone(), chance)?;
        let findings = &rehearsed.findings;
        let found = findings.events.iter().any(|(_, event)| matches!(event, Event::DatumFound { .. }));
        Ok(Trial {
            number,
            datum_error: rehearsed.moves.first().filter(|_| found).map(|datum| datum.stands_off),
            errors: errors(&rehearsed).map(|error| error - zero).collect(),
            stalls: findings.record.slips,
            torque_margin: findings.worst_torque.map(|worst| worst.margin()),
            stopped: rehearsed.moves.iter().find_map(|one| one.done.stopped.clone()),
        })
    }

    fn rehearse(&self, file: &AxisFile, stops: Stops, chance: u64) -> Result<Rehearsed> {
        on_machine(file, &self.job, stops, chance)
    }
}

/// By how much each stop that was come to is off.
fn errors(rehearsed: &Rehearsed) -> impl Iterator<Item = f64> {
    let moves = rehearsed.moves.iter().filter(|one| one.remainder.is_some() && one.done.stopped.is_none());
    moves.map(|one| one.stands_off)
}

/// The tolerance in mm or degrees, and in words.
fn read<M: Measure>(text: &str, unit: M::Unit) -> Result<(f64, String)> {
    let within = M::read(text, None).map_err(|error| error.about("within"))?;
    if within <= M::ZERO {
        return Err(messages::TOLERANCE.error().given(within.quoted(unit)));
    }
    Ok((float(within.base()), text.trim().to_owned()))
}
