//! `wholestep rehearse JOB`.
#![expect(
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "seconds and parts of a progress bar, for people"
)]

use std::time::{Duration, Instant};

use std::io::IsTerminal as _;

use indicatif::{ProgressBar, ProgressStyle};
use serde::Serialize;
use wholestep::carriage::{End, Event};
use wholestep::spec::{AnyEquipment, Existing, Registry, write_whole};
use wholestep::{Axis, Error, ErrorKind, Exact, LengthUnit, Measure, Mechanism, Result};
use wholestep_shop::Job;
use wholestep_twin::{Done, Findings, Rehearsal};

use crate::arguments::Rehearse;
use crate::{fault, plot, present};

/// A height or a stop to go to.
struct Target {
    name: String,
    step: i64,
    remainder: String,
}

pub(crate) fn answer(task: &Rehearse, json: bool, registry: &Registry) -> Result<String> {
    let job = Job::load(&task.job, registry)?;
    let axis = job.axis().axis().as_length().ok_or_else(|| {
        Error::new(ErrorKind::Job, "axis that turns")
            .remedy("a twin moves along a line; rehearse a linear axis")
    })?;
    let targets = targets(&job, axis.unit())?;
    let mut rehearsal = Rehearsal::new(job.axis(), task.seed)?;
    for fault in &task.faults {
        rehearsal.inject(fault::read(fault, job.axis().pulse().timer_hz)?);
    }
    let began = Instant::now();
    let rows = run(&job, &targets, &mut rehearsal)?;
    let wall = began.elapsed();
    let findings = rehearsal.finish();
    if let Some(path) = &task.plot {
        let picture = plot::svg(job.name(), job.axis(), axis, &findings)?;
        write_whole(path, &picture, Existing::Replace)?;
    }
    let not_reached = targets.len() + 1 + 2 * usize::from(job.touch_off().is_some()) - rows.len();
    let report = Report { not_reached, ..report(&job, axis, task.seed, rows, &findings)? };
    if json { present::json(&report) } else { Ok(report.text(wall)) }
}

/// Every place that the job goes to, in order: the stops of its cut list, and its moves.
fn targets(job: &Job, unit: LengthUnit) -> Result<Vec<Target>> {
    let mut targets = Vec::new();
    if job.cut_list().is_some() {
        for cut in job.cuts()?.cuts {
            if let Some(placed) = &cut.setting.placement {
                let name = format!("cut {}, {}", cut.number, cut.part);
                targets.push(Target {
                    name,
                    step: placed.step,
                    remainder: present::bounds(&placed.residual)?,
                });
            }
        }
    }
    for stop in job.moves() {
        targets.push(Target {
            name: stop.name.clone(),
            step: stop.placement.step(),
            remainder: present::measure(stop.placement.residual(), unit)?,
        });
    }
    if targets.is_empty() {
        return Err(Error::new(ErrorKind::Job, "job without anything to rehearse")
            .remedy("add a [cut_list] or [[move]]s that the axis reaches"));
    }
    Ok(targets)
}

fn run(job: &Job, targets: &[Target], rehearsal: &mut Rehearsal) -> Result<Vec<Row>> {
    let bar = ProgressBar::new(100 * (targets.len() as u64 + 2));
    if let Ok(style) = ProgressStyle::with_template("{msg:40} {bar:30} {percent:>3} %") {
        bar.set_style(style);
    }
    let mut rows = vec![Row::new("the datum", None, String::new(), rehearsal.find_datum())];
    bar.set_position(100);
    if let Some(gauge) = job.touch_off().filter(|_| rows[0].stopped.is_none()) {
        let near = step_before_plate(job, gauge)?;
        let done = rehearsal.go_to(near, |_| {});
        let arrived = done.stopped.is_none();
        rows.push(Row::new("near the plate", Some(near), String::new(), done));
        if arrived {
            let done = rehearsal.touch_off(gauge.step(), gauge.position().low());
            rows.push(Row::new("touch-off", Some(gauge.step()), String::new(), done));
        }
    }
    bar.set_position(200);
    for (number, target) in targets.iter().enumerate() {
        if rows.iter().any(|row| row.stopped.is_some()) {
            break;
        }
        bar.set_message(target.name.clone());
        let done = rehearsal.go_to(target.step, |part| {
            bar.set_position(200 + 100 * number as u64 + (part * 100.0) as u64);
        });
        rows.push(Row::new(&target.name, Some(target.step), target.remainder.clone(), done));
    }
    bar.finish_and_clear();
    Ok(rows)
}

/// From where the cutter creeps to the plate: half of what it may creep short of the gauge.
fn step_before_plate(job: &Job, gauge: &wholestep::Placement<wholestep::Length>) -> Result<i64> {
    let (Some(axis), AnyEquipment::Length(equipment)) =
        (job.axis().axis().as_length(), job.axis().equipment())
    else {
        return Ok(gauge.step());
    };
    let Some(touch) = equipment.touch_off else { return Ok(gauge.step()) };
    let half = touch.within.times(Exact::new(1, 2)?)?;
    let short = match touch.toward {
        End::High => gauge.target().sub(half)?,
        End::Low => gauge.target().add(half)?,
    };
    let within = short.clamp(axis.settings().low, axis.settings().high);
    Ok(axis.place(within, wholestep::Rounding::Nearest)?.step())
}

#[derive(Debug, Serialize)]
struct Row {
    what: String,
    step: Option<i64>,
    remainder: String,
    seconds: f64,
    steps: u64,
    stopped: Option<String>,
}

impl Row {
    fn new(what: &str, step: Option<i64>, remainder: String, done: Done) -> Self {
        let Done { seconds, steps, stopped } = done;
        Self { what: what.to_owned(), step, remainder, seconds, steps, stopped }
    }
}

#[derive(Debug, Serialize)]
struct Report {
    job: String,
    axis: String,
    seed: u64,
    moves: Vec<Row>,
    not_reached: usize,
    seconds: f64,
    steps: u64,
    lowest: Option<String>,
    highest: Option<String>,
    room_to_low_limit: Option<String>,
    room_to_high_limit: Option<String>,
    torque_margin: Option<f64>,
    torque_margin_at: Option<f64>,
    lost_steps: i64,
    slips: u64,
    end_stop_hits: u64,
    events: Vec<String>,
    assumed: Vec<String>,
}

fn report<M: Mechanism>(
    job: &Job,
    axis: &Axis<M>,
    seed: u64,
    moves: Vec<Row>,
    findings: &Findings,
) -> Result<Report> {
    let unit = axis.unit();
    let stands = |step: i64| Ok::<_, Error>(axis.at_step(step)?.position());
    let [mut lowest, mut highest, mut low_room, mut high_room] = [const { None }; 4];
    if let Some((first, last)) = findings.reached {
        let (one, other) = (stands(first)?, stands(last)?);
        let (low, high) = if one.low() <= other.low() { (one, other) } else { (other, one) };
        lowest = Some(present::measure(low, unit)?);
        highest = Some(present::measure(high, unit)?);
        low_room = Some(present::measure(low.map(|bound| bound.sub(axis.settings().low))?, unit)?);
        high_room = Some(present::measure(high.map(|bound| axis.settings().high.sub(bound))?, unit)?);
    }
    let events = findings
        .events
        .iter()
        .filter_map(|(seconds, event)| told(*event).map(|told| format!("{seconds:9.3} s  {told}")));
    Ok(Report {
        job: job.name().into(),
        axis: job.axis().name().into(),
        seed,
        not_reached: 0,
        moves,
        seconds: findings.seconds,
        steps: findings.steps,
        lowest,
        highest,
        room_to_low_limit: low_room,
        room_to_high_limit: high_room,
        torque_margin: findings.worst_torque.map(|worst| worst.margin()),
        torque_margin_at: findings
            .worst_torque
            .map(|worst| worst.tick as f64 / job.axis().pulse().timer_hz as f64),
        lost_steps: findings.lost_steps,
        slips: findings.record.slips,
        end_stop_hits: findings.record.end_stop_hits,
        events: events.collect(),
        assumed: findings.assumed.clone(),
    })
}

/// An event that a person wants to hear of.
fn told(event: Event) -> Option<String> {
    Some(match event {
        Event::Faulted(fault) => format!("fault: {fault}"),
        Event::Unproven(why) => format!("position unproven: {why:?}").to_lowercase(),
        Event::LoadCanFall => "the drive is released and the load can fall".into(),
        Event::DatumFound { latch, off_by: Some(off) } => {
            format!("datum found at step {latch}; the position had been wrong by {off} steps")
        }
        Event::DatumFound { latch, off_by: None } => format!("datum found at step {latch}"),
        Event::Touched { step, off_by: Some(off) } => {
            format!("touched; that is step {step} now, {off:+} steps from where it seemed")
        }
        Event::Touched { step, off_by: None } => format!("touched at step {step}"),
        Event::FalseContact(input) => format!("a false contact of the {}", input.name()),
        Event::Ready => "power is on; the inputs have settled".into(),
        _ => return None,
    })
}

impl Report {
    fn text(&self, wall: Duration) -> String {
        let mut text = format!("{}, rehearsed on a twin of {}, seed {}\n\n", self.job, self.axis, self.seed);
        let mut table = present::table(&["what", ">step", "remainder", ">seconds", ">steps", ""]);
        for row in &self.moves {
            table.add_row([
                row.what.clone(),
                row.step.map_or(String::new(), |step| step.to_string()),
                row.remainder.clone(),
                format!("{:.3}", row.seconds),
                row.steps.to_string(),
                row.stopped.as_ref().map_or(String::new(), |_| "STOPPED".into()),
            ]);
        }
        text += &present::lines(&mut table);
        for row in &self.moves {
            if let Some(why) = &row.stopped {
                text += &format!("\nSTOPPED at {}: {why}\n", row.what);
            }
        }
        if self.not_reached > 0 {
            text += &format!("{} more were not rehearsed\n", self.not_reached);
        }
        text.push('\n');
        for event in &self.events {
            text += &format!("{event}\n");
        }
        text += &format!(
            "\n{:.1} s on the machine, {} steps, {} lost\n",
            self.seconds, self.steps, self.lost_steps
        );
        if let (Some(low), Some(high), Some(low_room), Some(high_room)) =
            (&self.lowest, &self.highest, &self.room_to_low_limit, &self.room_to_high_limit)
        {
            text += &format!(
                "once proven, between {low} ({low_room} above the low soft limit) and {high} ({high_room} below the high one)\n"
            );
        }
        if let (Some(margin), Some(at)) = (self.torque_margin, self.torque_margin_at) {
            text += &format!(
                "least torque to spare: {:.0} % of what the motor has, at {at:.3} s\n",
                margin * 100.0
            );
        }
        if self.end_stop_hits > 0 {
            text += &format!("it ran into an end stop {} times\n", self.end_stop_hits);
        }
        if !self.assumed.is_empty() {
            text += &format!("assumed, as the axis file does not say: {}\n", self.assumed.join("; "));
        }
        if std::io::stderr().is_terminal() {
            let wall = wall.as_secs_f64();
            eprintln!(
                "rehearsed in {wall:.2} s, {:.0} times as fast as the machine",
                self.seconds / wall.max(1e-6)
            );
        }
        text + CAUTION
    }
}

const CAUTION: &str = "
A rehearsal shows that the numbers of a job are sound on a machine like this one. It proves nothing about
guards, wiring or workholding, and it knows of no cutter: the first real run goes with the cutter at rest,
hands clear, and the emergency stop in reach, as the makers' manuals say.
";
