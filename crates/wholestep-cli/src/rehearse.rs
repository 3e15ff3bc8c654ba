//! `wholestep rehearse JOB`.
#![expect(
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "seconds and parts of a progress bar, for people"
)]

use std::io::IsTerminal as _;
use std::ops::ControlFlow;
use std::time::Instant;

use indicatif::{ProgressBar, ProgressStyle};
use serde::Serialize;
use wholestep::Result;
use wholestep::carriage::{Event, Fault};
use wholestep_files::{Existing, Registry, write_whole};
use wholestep_shop::Job;
use wholestep_shop::caution::AT_REST;
use wholestep_shop::{ClosestApproach, Rehearsed, RehearsedMove, rehearse};

use crate::arguments::Rehearse;
use crate::output::Bounds;
use crate::{Answer, UNSOUND, output, plot};

pub(crate) fn answer(task: &Rehearse, json: bool, registry: &Registry) -> Result<Answer> {
    let job = Job::load(&task.job, registry)?;
    output::cautions(job.axis());
    let began = Instant::now();
    let rehearsed = run(&job, task)?;
    let wall = began.elapsed().as_secs_f64();
    if let Some(path) = &task.plot {
        let existing = if task.replace { Existing::Replace } else { Existing::Keep };
        write_whole(path, &plot::rehearsal(&job, task.seed, &rehearsed)?, existing)?;
    }
    if std::io::stderr().is_terminal() {
        let pace = rehearsed.findings.seconds / wall.max(1e-6);
        eprintln!("rehearsed in {wall:.2} s, {pace:.0} times as fast as the machine");
    }
    let told = Told { job: &job, seed: task.seed, rehearsed: &rehearsed };
    let text = if json { output::json(&told.report())? } else { told.text()? };
    Ok(Answer { text, status: if rehearsed.is_sound() { 0 } else { UNSOUND } })
}

fn run(job: &Job, task: &Rehearse) -> Result<Rehearsed> {
    const PARTS: f64 = 1000.0;
    let bar = ProgressBar::new(PARTS as u64);
    if let Ok(style) = ProgressStyle::with_template("{msg:40} {bar:30} {percent:>3} %") {
        bar.set_style(style);
    }
    let rehearsed = rehearse(job, task.seed, &task.faults, &mut |progress| {
        if bar.message() != progress.what {
            bar.set_message(progress.what.to_owned());
        }
        bar.set_position((progress.part * PARTS) as u64);
        ControlFlow::Continue(())
    });
    bar.finish_and_clear();
    rehearsed
}

/// A rehearsal as it is told.
struct Told<'a> {
    job: &'a Job,
    seed: u64,
    rehearsed: &'a Rehearsed,
}

#[derive(Debug, Serialize)]
struct Report<'a> {
    job: &'a str,
    axis: &'a str,
    seed: u64,
    sound: bool,
    fault: Option<&'static str>,
    moves: Vec<Row<'a>>,
    not_reached: &'a [String],
    by_hand: &'a [String],
    seconds: f64,
    steps: u64,
    approach: Option<Nearest>,
    torque_margin: Option<f64>,
    torque_margin_at: Option<f64>,
    torque_is_assumed: bool,
    lost_steps: i64,
    slips: u64,
    end_stop_hits: u64,
    events: Vec<Happened>,
    faults_that_never_came: Vec<&'a str>,
    assumed: &'a [String],
}

#[derive(Debug, Serialize)]
struct Row<'a> {
    what: &'a str,
    step: Option<i64>,
    remainder: Option<Bounds>,
    speed: Option<&'a str>,
    caution: &'a str,
    seconds: f64,
    steps: u64,
    off_by: i64,
    stands_off: f64,
    stopped: Option<&'a str>,
}

#[derive(Debug, Serialize)]
struct Nearest {
    lowest: Bounds,
    highest: Bounds,
    room_below: Bounds,
    room_above: Bounds,
}

#[derive(Debug, Serialize)]
struct Happened {
    seconds: f64,
    event: String,
}

impl<'a> Told<'a> {
    /// For programs.
    fn report(&self) -> Report<'a> {
        let (job, rehearsed, findings) = (self.job, self.rehearsed, &self.rehearsed.findings);
        let nearest = |near: ClosestApproach| {
            let [lowest, highest, room_below, room_above] =
                [near.lowest, near.highest, near.room_below, near.room_above].map(Bounds::any);
            Nearest { lowest, highest, room_below, room_above }
        };
        Report {
            job: job.name(),
            axis: job.axis().name(),
            seed: self.seed,
            sound: rehearsed.is_sound(),
            fault: rehearsed.fault().map(Fault::name),
            moves: rehearsed.moves.iter().map(row).collect(),
            not_reached: &rehearsed.not_reached,
            by_hand: &rehearsed.by_hand,
            seconds: findings.seconds,
            steps: findings.steps,
            approach: rehearsed.approach.map(nearest),
            torque_margin: findings.worst_torque.map(|worst| worst.margin()),
            torque_margin_at: findings.worst_torque.map(|worst| self.seconds(worst.tick)),
            torque_is_assumed: findings.torque_is_assumed,
            lost_steps: findings.lost_steps,
            slips: findings.record.slips,
            end_stop_hits: findings.record.end_stop_hits,
            events: self.events().map(|(seconds, told)| Happened { seconds, event: told }).collect(),
            faults_that_never_came: self.never_came().collect(),
            assumed: &findings.assumed,
        }
    }

    /// For people.
    fn text(&self) -> Result<String> {
        let (rehearsed, findings) = (self.rehearsed, &self.rehearsed.findings);
        let mut text = format!(
            "{}, rehearsed on a twin of {}, seed {}\n\n",
            self.job.name(),
            self.job.axis().name(),
            self.seed
        );
        text += &self.table()?;
        for one in &rehearsed.moves {
            if let Some(why) = &one.done.stopped {
                text += &format!("\nSTOPPED at {}: {why}\n", one.what);
            }
        }
        text += &listed("not rehearsed, because of that", &rehearsed.not_reached);
        text += &listed("set by hand, and not rehearsed", &rehearsed.by_hand);
        text.push('\n');
        for (seconds, told) in self.events() {
            text += &format!("{seconds:9.3} s  {told}\n");
        }
        text += &format!(
            "\n{:.1} s on the machine, {} steps, {} lost\n",
            findings.seconds,
            findings.steps,
            findings.lost_steps.unsigned_abs()
        );
        if let Some(near) = rehearsed.approach {
            text += &format!(
                "once proven, between {}, {} above the low soft limit,\n         and {}, {} below the high one\n",
                output::any(near.lowest)?,
                output::any(near.room_below)?,
                output::any(near.highest)?,
                output::any(near.room_above)?,
            );
        }
        text += &self.mishaps();
        text += &output::assumed(&findings.assumed);
        Ok(text + &self.cautions() + CAUTION)
    }

    /// What a person must see to, by move; those that share it are named together if there are others.
    fn cautions(&self) -> String {
        let mut text = String::new();
        let mut others = "every move";
        for one in self.rehearsed.moves.iter().filter(|one| one.caution != AT_REST) {
            text += &format!("\n{}:\n{}\n", one.what, output::bulleted(&one.caution));
            others = "every other move";
        }
        text + &format!("\n{others}:\n{}\n", output::bulleted(AT_REST))
    }

    fn table(&self) -> Result<String> {
        let mut table = output::table(&["what", ">step", "remainder", ">seconds", ">steps", ""]);
        for RehearsedMove { what, step, remainder, speed, done, .. } in &self.rehearsed.moves {
            let remainder = remainder.map(output::any).transpose()?;
            let note = match (&done.stopped, done.off_by, speed) {
                (Some(_), ..) => "STOPPED".into(),
                (None, 0, None) => String::new(),
                (None, 0, Some(speed)) => format!("at {}", speed.text),
                (None, off, _) => format!("{} STEPS OFF", off.unsigned_abs()),
            };
            table.add_row([
                what.clone(),
                step.map_or(String::new(), |step| step.to_string()),
                remainder.unwrap_or_default(),
                format!("{:.3}", done.seconds),
                done.steps.to_string(),
                note,
            ]);
        }
        Ok(output::lines(&mut table))
    }

    /// Torque to spare, and what came of too little of it.
    fn mishaps(&self) -> String {
        let record = &self.rehearsed.findings.record;
        let mut text = String::new();
        if let Some(worst) = record.worst_torque {
            let at = self.seconds(worst.tick);
            text += &if worst.margin() >= 0.0 {
                let spare = worst.margin() * 100.0;
                format!("least torque to spare: {spare:.0} % of what the motor has, at {at:.3} s")
            } else {
                format!("the motor was asked for more torque than it has, at {at:.3} s")
            };
            let assumed = self.rehearsed.findings.torque_is_assumed;
            text += if assumed { ", by figures\nthat are assumed, below\n" } else { "\n" };
        }
        if let Some(first) = record.first_slip {
            text += &format!(
                "the motor fell out of step {}, first at {:.3} s\n",
                times(record.slips),
                self.seconds(first)
            );
        }
        if self.rehearsed.moves.iter().any(|one| one.done.stopped.is_none() && one.done.off_by != 0) {
            text += "from then on the carriage does not stand where it believes to; only the datum or\n\
                     a touch-off would find that out\n";
        }
        if record.end_stop_hits > 0 {
            text += &format!("it ran into an end stop {}\n", times(record.end_stop_hits));
        }
        self.never_came().for_each(|fault| text += &format!("over before {fault} came\n"));
        text
    }

    fn never_came(&self) -> impl Iterator<Item = &'a str> {
        self.rehearsed.faults.iter().filter(|fault| !fault.came).map(|fault| fault.text.as_str())
    }

    fn events(&self) -> impl Iterator<Item = (f64, String)> {
        let events = self.rehearsed.findings.events.iter();
        events.filter_map(|(seconds, event)| Some((*seconds, told(*event)?)))
    }

    fn seconds(&self, tick: u64) -> f64 {
        tick as f64 / self.job.axis().pulse().timer_hz as f64
    }
}

fn row(
    RehearsedMove { what, step, remainder, speed, caution, stands_off, done, .. }: &RehearsedMove,
) -> Row<'_> {
    Row {
        what,
        step: *step,
        remainder: remainder.map(Bounds::any),
        speed: speed.as_ref().map(|speed| &*speed.text),
        caution,
        seconds: done.seconds,
        steps: done.steps,
        off_by: done.off_by,
        stands_off: *stands_off,
        stopped: done.stopped.as_deref(),
    }
}

fn listed(what: &str, names: &[String]) -> String {
    if names.is_empty() {
        return String::new();
    }
    format!("{}\n", output::wrapped(&format!("{what}: {}", names.join("; ")), "  "))
}

fn times(count: u64) -> String {
    if count == 1 { "once".into() } else { format!("{count} times") }
}

/// An event that a person wants to hear of.
fn told(event: Event) -> Option<String> {
    Some(match event {
        Event::Faulted(fault) => format!("fault: {fault}"),
        Event::Unproven(why) => format!("position unproven: {why:?}").to_lowercase(),
        Event::LoadCanFall => "the drive is released and the load can fall".into(),
        Event::DatumFound { met_at, off_by: Some(off) } => {
            format!("datum found at step {met_at}; the position had been wrong by {off} steps")
        }
        Event::DatumFound { met_at, off_by: None } => format!("datum found at step {met_at}"),
        Event::Touched { step, off_by: Some(off) } => {
            format!("touched; that is step {step} now, {off:+} steps from where it seemed")
        }
        Event::Touched { step, off_by: None } => format!("touched at step {step}"),
        Event::FalseContact(input) => format!("a false contact of the {input}"),
        Event::Ready => "power is on; the inputs have settled".into(),
        _ => return None,
    })
}

const CAUTION: &str = "
A rehearsal shows that the numbers of a job work on a machine like this one. It
proves nothing about guards, wiring or workholding, and it knows of no cutter.
Make the first real run with the cutter at rest, hands clear and the emergency
stop in reach. The makers' manuals and the rules where you work come first.
";
