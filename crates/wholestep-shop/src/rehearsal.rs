//! A whole job: what is asked of the carriage, one thing after another, and what came of it.
#![expect(
    clippy::float_arithmetic,
    clippy::cast_precision_loss,
    reason = "seconds on a simulated machine; nothing exact is decided by them"
)]

use std::ops::ControlFlow;

use num_rational::Ratio;
use wholestep::axis::AnyAxis;
use wholestep::carriage::AnyEquipment;
use wholestep::carriage::{End, Event, Fault as Latched};
use wholestep::{
    Angle, Axis, Enclosure, Exact, Length, Measure as _, Mechanism, Placement, Result, Rounding,
};
use wholestep_files::AxisFile;
use wholestep_twin::{Done, Fault, Findings, Rehearsal};

use crate::any_bounds::{AnyBounds, Told};
use crate::caution::{AT_REST, LEADS_PARKED, TOUCH_OFF};
use crate::float::float;
use crate::job::{Job, MoveSpeed, Stop, Stops};

/// A job rehearsed.
#[derive(Clone, Debug, PartialEq)]
pub struct Rehearsed {
    /// What was asked for, in order: the datum, the touch-off where the job has one, and every stop.
    pub moves: Vec<RehearsedMove>,
    /// What was not come to, because something stopped before it.
    pub not_reached: Vec<String>,
    /// The cuts that are set by hand, which are not rehearsed.
    pub by_hand: Vec<String>,
    /// How near the carriage came to its soft limits, once its position was proven.
    pub approach: Option<ClosestApproach>,
    /// The faults that were asked for.
    pub faults: Vec<Planted>,
    /// What the twin showed.
    pub findings: Findings,
}

/// One thing that a job asks for, and what came of it.
#[derive(Clone, Debug, PartialEq)]
pub struct RehearsedMove {
    /// What it is for.
    pub what: String,
    /// The step it ends on; `None` for the datum.
    pub step: Option<i64>,
    /// Where that step stands, less where it was sent.
    pub remainder: Option<AnyBounds>,
    /// Its own speed, if it has one.
    pub speed: Option<MoveSpeed>,
    /// What a person must see to.
    pub caution: String,
    /// The second at which it was asked for.
    pub began: f64,
    /// By how much the carriage then truly stood above where it was sent, in mm or degrees; below if negative.
    /// Of the datum and the touch-off, above where it believed to stand. Since a touch-off, the tip of the cutter.
    pub stands_off: f64,
    /// What came of it.
    pub done: Done,
}

/// How near the carriage came to its soft limits.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ClosestApproach {
    /// The lowest that it believed to be.
    pub lowest: AnyBounds,
    /// The highest that it believed to be.
    pub highest: AnyBounds,
    /// The lowest, less the low soft limit.
    pub room_below: AnyBounds,
    /// The high soft limit, less the highest.
    pub room_above: AnyBounds,
}

/// A fault that was asked for.
#[derive(Clone, Debug, PartialEq)]
pub struct Planted {
    /// As it was written.
    pub text: String,
    /// Its name.
    pub name: String,
    /// From which second.
    pub seconds: f64,
    /// Whether the rehearsal lasted until it was there.
    pub came: bool,
}

/// How far a rehearsal has come.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Progress<'a> {
    /// What is being done.
    pub what: &'a str,
    /// The part of the job that is done, 0 to 1.
    pub part: f64,
}

impl Rehearsed {
    /// Tells whether the whole job came about as written: nothing stopped it, the carriage stood where it
    /// believed to after each move, and it never ran into an end stop.
    pub fn is_sound(&self) -> bool {
        self.not_reached.is_empty()
            && self.findings.record.end_stop_hits == 0
            && self.moves.iter().all(|one| one.done.stopped.is_none() && one.done.off_by == 0)
    }

    /// Returns the first fault that the carriage named.
    pub fn fault(&self) -> Option<Latched> {
        self.findings.events.iter().find_map(|(_, event)| match event {
            Event::Faulted(fault) => Some(*fault),
            _ => None,
        })
    }
}

/// Runs a job on a commissioned twin of its axis, its chance drawn from `seed`, with `faults` as
/// [`Fault::read`] reads them. A job with a touch-off is brought near the plate first. The rehearsal ends
/// at the first thing that does not come about; `watch` is told how far it is, and may break it off.
///
/// # Errors
/// As [`Rehearsal::new`], [`Job::stops`], [`Fault::read`] and [`Rehearsal::inject`].
///
/// ```
/// use std::ops::ControlFlow;
/// use wholestep_files::Registry;
/// use wholestep_shop::{Job, rehearse};
///
/// let job = Job::load("../../examples/jobs/lap_joint.toml", &Registry::standard())?;
/// let sound = rehearse::<&str>(&job, 1, &[], &mut |_| ControlFlow::Continue(()))?;
/// assert!(sound.is_sound());
/// let stopped = rehearse(&job, 1, &["drive_fault@62 s"], &mut |_| ControlFlow::Continue(()))?;
/// assert_eq!(stopped.fault().map(|fault| fault.name()), Some("drive"));
/// assert!(!stopped.is_sound() && stopped.not_reached.len() == 3);
/// # Ok::<(), wholestep::Error>(())
/// ```
pub fn rehearse<T: AsRef<str>>(
    job: &Job,
    seed: u64,
    faults: &[T],
    watch: &mut dyn FnMut(Progress<'_>) -> ControlFlow<()>,
) -> Result<Rehearsed> {
    let rehearsal = Rehearsal::new(job.axis(), seed)?;
    run(rehearsal, job.axis(), job, job.stops()?, faults, watch)
}

/// As [`rehearse`], with the machine of `file`, an axis that is the job's but for that.
pub(crate) fn on_machine(file: &AxisFile, job: &Job, stops: Stops, seed: u64) -> Result<Rehearsed> {
    run::<&str>(Rehearsal::new(file, seed)?, file, job, stops, &[], &mut |_| ControlFlow::Continue(()))
}

fn run<T: AsRef<str>>(
    mut rehearsal: Rehearsal,
    file: &AxisFile,
    job: &Job,
    stops: Stops,
    faults: &[T],
    watch: &mut dyn FnMut(Progress<'_>) -> ControlFlow<()>,
) -> Result<Rehearsed> {
    let hz = file.pulse().timer_hz;
    let mut planted = Vec::new();
    for text in faults.iter().map(AsRef::as_ref) {
        let fault = Fault::read(text, hz)?;
        rehearsal.inject(fault)?;
        let seconds = fault.at as f64 / hz as f64;
        planted.push(Planted { text: text.into(), name: fault.kind.name(), seconds, came: true });
    }
    let asked = asked(job, stops.stops)?;
    let mut moves: Vec<RehearsedMove> = Vec::new();
    for (number, one) in asked.iter().enumerate() {
        if moves.iter().any(|one| one.done.stopped.is_some()) {
            break;
        }
        let began = rehearsal.twin().now() as f64 / hz as f64;
        let mut told = |part: f64| {
            watch(Progress { what: &one.what, part: (number as f64 + part) / asked.len() as f64 })
        };
        let done = match one.kind {
            Kind::Datum => rehearsal.find_datum(&mut told),
            Kind::TouchOff { contact_step, height } => rehearsal.touch_off(contact_step, height, &mut told),
            Kind::GoTo(step, None) => rehearsal.go_to(step, &mut told),
            Kind::GoTo(step, Some(speed)) => rehearsal.go_to_at(step, speed, &mut told),
        };
        if done.stopped.is_none() && told(1.0).is_break() {
            break;
        }
        let (what, speed, caution) = (one.what.clone(), one.speed.clone(), one.caution.clone());
        let (step, remainder) = (one.kind.step(), one.remainder);
        let believes = position(file, rehearsal.twin().carriage().step())?;
        let stands_off = done.stands - believes + remainder.map_or(0.0, middle);
        moves.push(RehearsedMove { what, step, remainder, speed, caution, began, stands_off, done });
    }
    let findings = rehearsal.finish();
    for fault in &mut planted {
        fault.came = fault.seconds <= findings.seconds;
    }
    Ok(Rehearsed {
        not_reached: asked.into_iter().skip(moves.len()).map(|one| one.what).collect(),
        by_hand: stops.by_hand,
        approach: findings.reached.map(|steps| approach(job, steps)).transpose()?,
        faults: planted,
        moves,
        findings,
    })
}

/// One thing to ask for.
struct Asked {
    what: String,
    kind: Kind,
    remainder: Option<AnyBounds>,
    speed: Option<MoveSpeed>,
    caution: String,
}

#[derive(Clone, Copy)]
enum Kind {
    Datum,
    TouchOff { contact_step: i64, height: Length },
    GoTo(i64, Option<Ratio<u64>>),
}

impl Kind {
    const fn step(self) -> Option<i64> {
        match self {
            Self::Datum => None,
            Self::TouchOff { contact_step: step, .. } | Self::GoTo(step, _) => Some(step),
        }
    }
}

fn asked(job: &Job, stops: Vec<Stop>) -> Result<Vec<Asked>> {
    let plain = |what: &str, kind| Asked {
        what: what.into(),
        kind,
        remainder: None,
        speed: None,
        caution: AT_REST.into(),
    };
    let mut asked = vec![plain("the datum", Kind::Datum)];
    if let Some(gauge) = job.touch_off() {
        asked.push(plain("near the plate", Kind::GoTo(step_before_plate(job, gauge)?, None)));
        let height = gauge.position().to_measure()?;
        let touch_off = plain("touch-off", Kind::TouchOff { contact_step: gauge.step(), height });
        asked.push(Asked { caution: TOUCH_OFF.into(), ..touch_off });
    }
    let with_leads = asked.len();
    asked.extend(stops.into_iter().map(|stop| Asked {
        what: stop.name,
        kind: Kind::GoTo(stop.step, stop.speed.as_ref().map(|own| own.steps_per_second)),
        remainder: Some(stop.remainder),
        speed: stop.speed,
        caution: stop.caution,
    }));
    if job.touch_off().is_some()
        && let Some(next) = asked.get_mut(with_leads)
    {
        next.caution = format!("{LEADS_PARKED}; {}", next.caution);
    }
    Ok(asked)
}

/// From where the cutter creeps to the plate: half of what it may creep short of the gauge.
fn step_before_plate(job: &Job, gauge: &Placement<Length>) -> Result<i64> {
    let (Some(axis), AnyEquipment::Length(equipment)) =
        (job.axis().axis().as_length(), job.axis().equipment())
    else {
        return Ok(gauge.step());
    };
    let Some(touch) = equipment.touch_off else { return Ok(gauge.step()) };
    let half = Enclosure::exact(touch.within).checked_div(Exact::integer(2))?;
    let target = Enclosure::exact(gauge.target());
    let short = match touch.toward {
        End::High => target.checked_sub(half)?,
        End::Low => target.checked_add(half)?,
    };
    let within = short.to_measure()?.clamp(axis.config().low, axis.config().high);
    Ok(axis.place(within, Rounding::Nearest)?.step())
}

/// Where a step stands, in mm or degrees.
fn position(file: &AxisFile, step: i64) -> Result<f64> {
    Ok(middle(match file.axis() {
        AnyAxis::Length(axis) => Length::told(axis.at_step(step)?.position(), axis.unit()),
        AnyAxis::Angle(axis) => Angle::told(axis.at_step(step)?.position(), axis.unit()),
    }))
}

/// The middle, in mm or degrees.
fn middle(bounds: AnyBounds) -> f64 {
    let between = |low: Exact, high: Exact| f64::midpoint(float(low), float(high));
    match bounds {
        AnyBounds::Length(bounds, _) => between(bounds.low().base(), bounds.high().base()),
        AnyBounds::Angle(bounds, _) => between(bounds.low().base(), bounds.high().base()),
    }
}

fn approach(job: &Job, steps: (i64, i64)) -> Result<ClosestApproach> {
    match job.axis().axis() {
        AnyAxis::Length(axis) => approach_on(axis, steps),
        AnyAxis::Angle(axis) => approach_on(axis, steps),
    }
}

fn approach_on<M: Mechanism>(axis: &Axis<M>, (first, last): (i64, i64)) -> Result<ClosestApproach>
where
    M::Measure: Told,
{
    let (one, other) = (axis.at_step(first)?.position(), axis.at_step(last)?.position());
    let (lowest, highest) = if one.low() <= other.low() { (one, other) } else { (other, one) };
    let (settings, unit) = (axis.config(), axis.unit());
    Ok(ClosestApproach {
        lowest: M::Measure::told(lowest, unit),
        highest: M::Measure::told(highest, unit),
        room_below: M::Measure::told(lowest.checked_sub(Enclosure::exact(settings.low))?, unit),
        room_above: M::Measure::told(Enclosure::exact(settings.high).checked_sub(highest)?, unit),
    })
}
