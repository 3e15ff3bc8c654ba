//! What would change the effort, each change with what it brings.

use serde::Serialize;
use wholestep::carriage::End;
use wholestep::{Enclosure, Exact, Measure as _, Result, exact};

use super::figures::Figures;
use super::motor::Curves;
use super::span::Span;
use super::torque::{self, Place};
use crate::caution::SPRING;

/// A change of the machine, and what it would bring.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Change {
    /// What to change, in words.
    pub what: String,
    /// Torque that the motor would then need where that is hardest, without acceleration, N·m.
    pub torque: Span,
    /// By which part of today's the higher bound of that changes: −0.3 for 30 % less.
    pub part: f64,
    /// How many times what it needs the motor would then have at the file's rates, if its curve is told.
    pub times: Option<Span>,
    /// The greatest speed with the margin that was asked for, in units of the axis a second, if the motor's
    /// curve is told.
    pub greatest_speed: Option<Span>,
    /// What to beware of: conditions parted by `; `.
    pub caution: Option<&'static str>,
    /// Whether it is a stronger motor or supply, and not a lighter task.
    #[serde(skip)]
    is_motor: bool,
}

/// What a machine needs and can.
#[derive(Clone, Copy, Debug)]
pub(super) struct Outcome {
    pub(super) torque: Span,
    pub(super) times: Option<Span>,
    /// Units of the axis a second.
    pub(super) greatest_speed: Option<Span>,
}

impl Outcome {
    pub(super) fn new(figures: &Figures, places: &[Place], margin: f64) -> Result<Self> {
        let curves = Curves::new(figures)?;
        let greatest = |curves: &Curves| {
            let speed = curves.greatest_speed(places, figures.acceleration, margin);
            speed.map(|speed| speed / figures.metre)
        };
        Ok(Self {
            torque: hardest(places).turn(),
            times: curves.as_ref().map(|curves| curves.times(places, figures.speed, figures.acceleration)),
            greatest_speed: curves.as_ref().map(greatest),
        })
    }
}

/// The place where turning is hardest, one way or the other.
pub(super) fn hardest(places: &[Place]) -> &Place {
    let mut hardest = &places[0];
    for place in places {
        if place.turn().high > hardest.turn().high {
            hardest = place;
        }
    }
    hardest
}

/// Every change that the figures allow, what helps most first.
pub(super) fn changes(figures: &Figures, places: &[Place], margin: f64) -> Result<Vec<Change>> {
    let today = Outcome::new(figures, places, margin)?;
    let mut changes = Vec::new();
    for Idea { what, figures, caution, is_motor } in ideas(figures, places)? {
        let places = torque::places(&figures)?;
        let Outcome { torque, times, greatest_speed } = Outcome::new(&figures, &places, margin)?;
        let part = torque.high / today.torque.high - 1.0;
        changes.push(Change { what, torque, part, times, greatest_speed, caution, is_motor });
    }
    // What makes a figure certain, but the machine no better, gains nothing at the easier end.
    let gain = |change: &Change| match (change.times, today.times) {
        (Some(times), Some(now)) if now.low > 0.0 => (times.low / now.low).min(times.high / now.high),
        _ => (today.torque.high / change.torque.high).min(today.torque.low / change.torque.low),
    };
    changes.sort_by(|one, other| gain(other).total_cmp(&gain(one)));
    Ok(changes)
}

/// The change that helps most, if it takes off a twentieth or more: a lighter task before a stronger motor.
pub(super) fn best(changes: &[Change]) -> Option<&Change> {
    changes.iter().find(|change| !change.is_motor && change.part < -0.05).or_else(|| changes.first())
}

struct Idea {
    what: String,
    figures: Figures,
    caution: Option<&'static str>,
    is_motor: bool,
}

fn ideas(figures: &Figures, places: &[Place]) -> Result<Vec<Idea>> {
    let mut ideas: Vec<Idea> = Vec::new();
    let mut idea = |what: String, figures: Figures, caution, is_motor| {
        ideas.push(Idea { what, figures, caution, is_motor });
    };
    let data = &figures.data;
    let is_raised = places.first().is_some_and(|place| place.net.is_some());
    if let Some(springs) = data.springs.filter(|springs| springs.toward == End::Low) {
        let mut fewer = figures.clone();
        let what = match springs.count {
            1 => "the spring out".into(),
            2 => "one spring out".into(),
            count => format!("one spring out of {count}"),
        };
        fewer.data.springs.iter_mut().for_each(|springs| springs.count -= 1);
        // A push on a scale felt all the springs.
        if without_a_spring(figures, &mut fewer)? {
            idea(what, fewer, Some(SPRING), false);
        }
    }
    if is_raised {
        let (what, finer) = finer(figures)?;
        idea(what, finer, None, false);
    }
    if let Some(friction) = data.screw.friction.filter(|friction| !friction.is_exact()) {
        let mut oiled = figures.clone();
        oiled.data.screw.friction = Some(Enclosure::exact(friction.low()));
        let low = torque::of(friction).low;
        idea(format!("oiled to friction {low}"), oiled, None, false);
    }
    if let Some(winding) = data.winding {
        let mut faster = figures.clone();
        let supply = doubled(winding.supply)?;
        faster.data.winding.iter_mut().for_each(|winding| winding.supply = supply);
        let what = format!("{} V in place of {}", torque::of(supply).low, torque::of(winding.supply).low);
        idea(what, faster, Some("only if the driver is made for it"), true);
    }
    if data.holding_torque.is_some() || !data.torque_points.is_empty() {
        let mut larger = figures.clone();
        larger.data.holding_torque = data.holding_torque.map(doubled).transpose()?;
        for (_, torque) in &mut larger.data.torque_points {
            *torque = doubled(*torque)?;
        }
        idea("a motor of twice the torque".into(), larger, None, true);
    }
    Ok(ideas)
}

fn doubled(range: wholestep_files::Range) -> Result<wholestep_files::Range> {
    Ok(range.checked_mul(Enclosure::exact(Exact::integer(2)))?)
}

/// Takes what a spring pushes off the forces that were measured with it; whether that leaves any.
fn without_a_spring(figures: &Figures, fewer: &mut Figures) -> Result<bool> {
    let (Some(pushed), Some(springs)) = (&mut fewer.data.pushed, figures.data.springs) else {
        return Ok(true);
    };
    let (low, high) = (figures.places.first(), figures.places.last());
    let travel = low.zip(high).map_or(0.0, |(low, high)| high.metres - low.metres) * 1e3;
    #[expect(clippy::cast_possible_truncation, reason = "micrometres of travel, below 2^53")]
    let travel = Exact::new((travel * 1e3).round() as i128, 1_000)?;
    let compressed = springs.preload.checked_add(springs.rate.checked_mul(Enclosure::exact(travel))?)?;
    for (end, force) in [springs.preload, compressed].into_iter().enumerate() {
        pushed.push[end] = pushed.push[end].checked_sub(force)?;
        if let Some(sink) = &mut pushed.sink {
            sink[end] = sink[end].checked_sub(force)?;
        }
    }
    Ok(pushed.push.iter().all(|push| push.low().signum() >= 0))
}

/// The same machine with half the travel for each turn of the motor.
fn finer(figures: &Figures) -> Result<(String, Figures)> {
    let mut finer = figures.clone();
    for at in &mut finer.places {
        at.ratio *= 0.5;
    }
    if !figures.is_screw {
        return Ok(("gears for half the travel".into(), finer));
    }
    let half = |length: wholestep::Length| length.checked_mul(exact!(1 / 2));
    if figures.data.screw.friction.is_some() {
        finer.data.screw.lead = figures.data.screw.lead.map(half).transpose()?;
    } else {
        // As the thread gets flatter, it must slide twice as far for the same travel.
        finer.friction *= 2.0;
    }
    let what = match figures.data.screw.lead.map(half).transpose()? {
        Some(lead) => format!("half the lead, {}", lead.to_text(figures.unit)),
        None => "half the lead".into(),
    };
    Ok((what, finer))
}
