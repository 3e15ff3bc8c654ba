//! A rehearsal drawn: position and speed against time, with the lines of switches and soft limits.

use wholestep::axis::AnyAxis;
use wholestep::carriage::{AnyEquipment, End, Equipment, Event};
use wholestep::measure::Unit;
use wholestep::{Axis, Measure, Mechanism, Result};
use wholestep_shop::Job;
use wholestep_shop::Rehearsed;
use wholestep_twin::Sample;

use super::page::{Panel, curve, escaped, float, line, number, page, text};
use super::scale::{Scale, spread};

const WIDTH: f64 = 1000.0;
/// Its height without the names of faults.
const HEIGHT: f64 = 600.0;
const LEFT: f64 = 64.0;
/// The lines are named to the right of this.
const RIGHT: f64 = 836.0;
/// Top and bottom of the two panels.
const POSITION: (f64, f64) = (92.0, 372.0);
const SPEED: (f64, f64) = (416.0, 546.0);
const LINE_HEIGHT: f64 = 14.0;

/// A level across the position, and what it is.
struct Level {
    class: &'static str,
    name: String,
    value: f64,
}

pub(crate) fn svg(job: &Job, seed: u64, rehearsed: &Rehearsed) -> Result<String> {
    match (job.axis().axis(), job.axis().equipment()) {
        (AnyAxis::Length(axis), AnyEquipment::Length(equipment)) => {
            drawn(job, seed, rehearsed, axis, equipment)
        }
        (AnyAxis::Angle(axis), AnyEquipment::Angle(equipment)) => {
            drawn(job, seed, rehearsed, axis, equipment)
        }
        // A file fits out the axis that it tells of.
        _ => Ok(String::new()),
    }
}

fn drawn<M: Mechanism>(
    job: &Job,
    seed: u64,
    rehearsed: &Rehearsed,
    axis: &Axis<M>,
    equipment: &Equipment<M::Measure>,
) -> Result<String> {
    let (unit, findings) = (axis.unit(), &rehearsed.findings);
    let shown = |base: f64| base / float(unit.in_base());
    let levels = levels(axis, equipment);
    let believed = believed(axis, rehearsed)?;
    let time = Scale::of([0.0, findings.seconds.max(1e-3)].into_iter(), 0.0, (LEFT, RIGHT));
    let heights = findings.trace.iter().map(|sample| shown(sample.position));
    let heights = heights.chain(levels.iter().map(|level| level.value)).chain(believed.iter().map(|at| at.1));
    let position = Scale::of(heights, 0.05, (POSITION.1, POSITION.0));
    let speeds = findings.trace.iter().map(|sample| shown(sample.speed)).chain([-1e-3, 1e-3]);
    let speed = Scale::of(speeds, 0.08, (SPEED.1, SPEED.0));

    let mishaps = mishaps(rehearsed);
    let names: f64 = mishaps.iter().map(|_| LINE_HEIGHT).sum();
    let height = HEIGHT + names;
    let mut page = page(WIDTH, height);
    let title = format!("{}, rehearsed on a twin of {}", job.name(), job.axis().name());
    text(&mut page, (LEFT, 26.0), "start", "title", &title);
    text(&mut page, (LEFT, 44.0), "start", "faint", &outcome(seed, rehearsed));
    page += &format!("<g transform=\"translate(0 {names})\">\n");
    for panel in [POSITION, SPEED] {
        bands(&mut page, &time, panel, rehearsed);
    }
    let panel = |(top, bottom)| Panel { left: LEFT, right: RIGHT, top, bottom };
    panel(POSITION).draw(&mut page, &time, &position, &format!("position, {}", unit.symbol()));
    panel(SPEED).draw(&mut page, &time, &speed, &format!("speed, {}/s", unit.symbol()));
    text(&mut page, (f64::midpoint(LEFT, RIGHT), SPEED.1 + 34.0), "middle", "", "time, s");
    text(&mut page, (RIGHT, SPEED.1 + 34.0), "end", "faint", "shaded: every other move");
    draw_levels(&mut page, &position, &levels);
    let curve_of = |scale: Scale, value: fn(&Sample) -> f64| {
        findings.trace.iter().map(move |sample| (time.at(sample.seconds), scale.at(shown(value(sample)))))
    };
    curve(&mut page, "true", curve_of(position, |sample| sample.position));
    curve(&mut page, "speed", curve_of(speed, |sample| sample.speed));
    if !believed.is_empty() {
        let points = believed.iter().map(|(seconds, at)| (time.at(*seconds), position.at(*at)));
        curve(&mut page, "believed", points);
        legend(&mut page);
    }
    draw_mishaps(&mut page, &time, &mishaps);
    Ok(page + "</g>\n</svg>\n")
}

fn outcome(seed: u64, rehearsed: &Rehearsed) -> String {
    let findings = &rehearsed.findings;
    let stopped = rehearsed.moves.iter().find(|one| one.done.stopped.is_some());
    let came = match stopped {
        Some(one) => format!("stopped at \u{201c}{}\u{201d}", one.what),
        None if rehearsed.is_sound() => "the whole job came about".into(),
        None => "the carriage lost steps or ran into an end stop".into(),
    };
    format!("{came}; {:.1} s on the machine, {} steps; seed {seed}", findings.seconds, findings.steps)
}

/// The soft limits and the switch of the datum.
fn levels<M: Mechanism>(axis: &Axis<M>, equipment: &Equipment<M::Measure>) -> Vec<Level> {
    let (unit, settings) = (axis.unit(), axis.config());
    let level = |class, name: &str, at: M::Measure| {
        let value = float(at.base()) / float(unit.in_base());
        Level { class, name: format!("{name} {}", number(value)), value }
    };
    let mut levels = vec![
        level("limit", "high soft limit", settings.high),
        level("limit", "low soft limit", settings.low),
    ];
    if let Some(datum) = equipment.datum {
        let name = if datum.end == End::Low { "low switch" } else { "high switch" };
        levels.push(level("switch", name, datum.switch_at));
    }
    levels.sort_by(|one, other| other.value.total_cmp(&one.value));
    levels
}

/// Where the carriage believed to be, with its seconds, from the first move on after which that was wrong.
fn believed<M: Mechanism>(axis: &Axis<M>, rehearsed: &Rehearsed) -> Result<Vec<(f64, f64)>> {
    if rehearsed.moves.iter().all(|one| one.done.off_by == 0) {
        return Ok(Vec::new());
    }
    let proven = rehearsed.findings.trace.iter().filter_map(|sample| Some((sample.seconds, sample.step?)));
    proven
        .map(|(seconds, step)| {
            let at = axis.at_step(step)?.position().low();
            Ok((seconds, float(at.base()) / float(axis.unit().in_base())))
        })
        .collect()
}

/// A shade over every other move; each tells its name where the pointer rests on it.
fn bands(page: &mut String, time: &Scale, (top, bottom): (f64, f64), rehearsed: &Rehearsed) {
    let moved = rehearsed.moves.iter().filter(|one| one.done.seconds > 0.0);
    for (number, one) in moved.enumerate() {
        let (from, to) = (time.at(one.began), time.at(one.began + one.done.seconds));
        let class = if number % 2 == 0 { "band" } else { "band every" };
        *page += &format!(
            "<rect class=\"{class}\" x=\"{from:.1}\" y=\"{top}\" width=\"{:.1}\" height=\"{}\"><title>{}</title></rect>\n",
            to - from,
            bottom - top,
            escaped(&one.what)
        );
    }
}

/// The levels, each named beside the frame; names that would touch are moved apart and led to.
fn draw_levels(page: &mut String, position: &Scale, levels: &[Level]) {
    let mut names: Vec<f64> = levels.iter().map(|level| position.at(level.value)).collect();
    spread(&mut names, LINE_HEIGHT, POSITION.1);
    for (level, name) in levels.iter().zip(names) {
        let (y, class) = (position.at(level.value), level.class);
        line(page, &format!("{class} dashed"), (LEFT, y), (RIGHT, y));
        line(page, class, (RIGHT, y), (RIGHT + 12.0, name));
        text(page, (RIGHT + 16.0, name + 4.0), "start", class, &level.name);
    }
}

fn legend(page: &mut String) {
    let y = POSITION.0 - 12.0;
    for (from, class, name) in
        [(LEFT + 160.0, "true", "truly"), (LEFT + 250.0, "believed", "as the carriage believes")]
    {
        line(page, &format!("curve {class}"), (from, y), (from + 24.0, y));
        text(page, (from + 30.0, y + 4.0), "start", "", name);
    }
}

/// Something that went wrong: its second, its class, and what it is.
type Mishap = (f64, &'static str, String);

/// What was made to go wrong, dotted, and what the carriage named, in full.
fn mishaps(rehearsed: &Rehearsed) -> Vec<Mishap> {
    let planted = rehearsed.faults.iter().filter(|fault| fault.came);
    let mut all: Vec<Mishap> =
        planted.map(|fault| (fault.seconds, "fault dotted", format!("{} begins", fault.name))).collect();
    for (seconds, event) in &rehearsed.findings.events {
        if let Event::Faulted(fault) = event {
            all.push((*seconds, "fault", format!("fault {}", fault.name())));
        }
    }
    all.sort_by(|one, other| one.0.total_cmp(&other.0));
    all
}

/// Each mishap across both panels, named on a line of its own above them.
fn draw_mishaps(page: &mut String, time: &Scale, mishaps: &[Mishap]) {
    let mut y = POSITION.0 - 28.0;
    for (seconds, class, name) in mishaps.iter().rev() {
        let x = time.at(*seconds);
        line(page, class, (x, y - 8.0), (x, POSITION.1));
        line(page, class, (x, SPEED.0), (x, SPEED.1));
        // Into the page, whichever side there is room on.
        let (x, anchor) = if x > f64::midpoint(LEFT, RIGHT) { (x - 5.0, "end") } else { (x + 5.0, "start") };
        text(page, (x, y), anchor, "fault", name);
        y -= LINE_HEIGHT;
    }
}
