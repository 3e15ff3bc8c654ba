//! Torque at the motor along the travel, to raise and to lower.

use serde::Serialize;
use wholestep::{Error, Result};
use wholestep_twin::{Forces, GRAVITY, Taken, Transmission};

use super::figures::{At, Figures};
use super::span::Span;
use crate::messages;

/// What a place on the travel asks of the motor, without acceleration.
#[derive(Clone, Copy, Debug)]
pub(super) struct Place {
    pub(super) at: At,
    /// What weight and springs press toward the low end, N; `None` if only a crank tells of it.
    pub(super) net: Option<Span>,
    /// What the nut must push upward to raise the carriage, and downward to lower it, N.
    pub(super) push: Option<Span>,
    pub(super) down: Option<Span>,
    /// N·m to keep turning upward, and downward.
    pub(super) raise: Span,
    pub(super) lower: Option<Span>,
    /// What half of all friction leaves of the torque to keep the load from moving; below zero, it may move.
    pub(super) sink: Option<Span>,
    /// Inertia at the motor, kg·m².
    pub(super) inertia: Span,
}

impl Place {
    /// The harder way to turn.
    pub(super) fn turn(&self) -> Span {
        match self.lower {
            Some(lower) => Span::new(self.raise.low.max(lower.low), self.raise.high.max(lower.high)),
            None => self.raise,
        }
    }
}

/// A part of the torque at the hardest place.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Share {
    /// What asks for it, in words.
    pub of: &'static str,
    /// How much, N·m at the motor, all figures taken so that raising asks for most; negative if it helps.
    pub torque: f64,
}

/// Every place of the travel.
pub(super) fn places(figures: &Figures) -> Result<Vec<Place>> {
    let forces = both(|taken| Forces::told(&figures.data, figures.travel, 0.0, taken));
    figures.places.iter().map(|at| place(figures, forces, *at)).collect()
}

/// Both ends of what may be taken, if both are told.
fn both<T>(told: impl Fn(Taken) -> Option<T>) -> Option<[T; 2]> {
    Some([told(Taken::Low)?, told(Taken::High)?])
}

fn place(figures: &Figures, forces: Option<[Forces; 2]>, at: At) -> Result<Place> {
    let inertia = inertia(figures, forces, at);
    let Some(forces) = forces else {
        // Whatever the load is, the crank has felt it.
        let cranked = figures.data.cranked.map_or(Span::new(0.0, 0.0), of);
        let raise = cranked.map(|torque| torque * figures.turns);
        return Ok(Place { at, net: None, push: None, down: None, raise, lower: None, sink: None, inertia });
    };
    let drives = drives(figures, at)?;
    let Pressed { push, down, net, guides } = pressed(figures, forces, at.part);
    Ok(Place {
        at,
        net: Some(net),
        push: Some(push),
        down: Some(down),
        raise: torque(&drives, push),
        lower: Some(torque(&drives, down)),
        sink: Some(sink(&drives.map(|drive| eased(drive, 0.5)), net, 0.5 * guides.low)),
        inertia,
    })
}

/// Forces at a place, N: what the nut must push up and down, the load, and the friction of the guides.
struct Pressed {
    push: Span,
    down: Span,
    net: Span,
    guides: Span,
}

fn pressed(figures: &Figures, forces: [Forces; 2], part: f64) -> Pressed {
    let span = |of: fn(&Forces, f64) -> f64| Span::around(forces.each_ref().map(|forces| of(forces, part)));
    let (push, net) = (span(Forces::push_up), span(Forces::net_at));
    let pushed = figures.data.pushed;
    if pushed.is_some_and(|pushed| pushed.sink.is_some()) {
        // Both forces were felt, and load and guides follow from them.
        let down = span(Forces::push_down);
        return Pressed { push, down, net, guides: push.plus(down).map(|sum| 0.5 * sum) };
    }
    let guides = span(Forces::guides_at);
    let net = match pushed {
        Some(_) => Span::new(push.low - guides.high, push.high - guides.low),
        None => net,
    };
    Pressed { push, down: Span::new(guides.low - net.high, guides.high - net.low), net, guides }
}

/// The torque to keep the load from moving by itself, with so much friction in the guides: the way it presses.
fn sink(drives: &[Transmission; 2], net: Span, guides: f64) -> Span {
    let presses = [net.low, net.high].map(|net| guides - net.abs());
    torque(drives, Span::around(presses))
}

/// The torque for any push of the span on any of the drives: at an end of each, or where the push changes sign.
fn torque(drives: &[Transmission; 2], push: Span) -> Span {
    let turning = (push.low < 0.0 && push.high > 0.0).then_some(0.0);
    let pushes = [push.low, push.high].into_iter().chain(turning);
    Span::around(pushes.flat_map(|push| drives.each_ref().map(|drive| drive.torque(push))))
}

/// The drive with the least friction and with the most.
fn drives(figures: &Figures, at: At) -> Result<[Transmission; 2]> {
    let travel = at.ratio * figures.step_angle;
    let drive = |taken: Taken| {
        let told = match figures.by_crank {
            Some(Span { low, high }) => {
                let efficiency = if taken == Taken::Low { high } else { low };
                Transmission::from_efficiency(travel, figures.step_angle, efficiency).map(Some)
            }
            None => Transmission::told(&figures.data, travel, figures.step_angle, None, taken),
        };
        let drive = told.map_err(impossible)?.ok_or_else(|| messages::NO_LOAD.error())?;
        Ok::<_, Error>(eased(drive, figures.friction))
    };
    Ok([drive(Taken::Low)?, drive(Taken::High)?])
}

/// The efficiency of the drive by the pull at its crank, if nothing else tells its friction.
pub(super) fn efficiency_by_crank(figures: &Figures) -> Result<Option<Span>> {
    let data = &figures.data;
    if data.efficiency.is_some() || data.screw.friction.is_some() {
        return Ok(None);
    }
    let (Some(cranked), Some(forces)) =
        (data.cranked, both(|taken| Forces::told(data, figures.travel, 0.0, taken)))
    else {
        return Ok(None);
    };
    // The crank was turned where that is hardest.
    let hardest = |forces: &Forces| {
        let work = |at: &At| forces.push_up(at.part) * at.ratio / figures.turns;
        figures.places.iter().map(work).fold(0.0, f64::max)
    };
    let (cranked, work) = (of(cranked), forces.each_ref().map(hardest));
    if work[0] > cranked.high {
        return Err(messages::CRANK_TOO_EASY.error());
    }
    Ok(Some(Span::new(work[0] / cranked.high, (work[1] / cranked.low).min(1.0))))
}

#[expect(clippy::needless_pass_by_value, reason = "handed to map_err")]
fn impossible(error: wholestep_twin::ParameterError) -> Error {
    messages::EFFORT.error().advice(error.to_string())
}

/// The same drive with so many times its friction.
fn eased(drive: Transmission, friction: f64) -> Transmission {
    let ideal = 0.5 * (drive.raise - drive.lower);
    let mean = 0.5 * (drive.raise + drive.lower);
    Transmission { raise: ideal + friction * mean, lower: friction * mean - ideal, ..drive }
}

fn inertia(figures: &Figures, forces: Option<[Forces; 2]>, at: At) -> Span {
    let kilogram = 1e-7;
    let rotor = figures.data.rotor_inertia.map_or(Span::new(0.0, 0.0), of);
    let shaft = figures.data.shaft_inertia.map_or(Span::new(0.0, 0.0), of);
    rotor
        .plus(shaft)
        .map(|one| kilogram * one)
        .plus(mass(figures, forces).map(|mass| mass * at.ratio * at.ratio))
}

/// The mass that moves; without a figure for it, anything up to what was pushed.
pub(super) fn mass(figures: &Figures, forces: Option<[Forces; 2]>) -> Span {
    match (figures.data.load_mass, forces) {
        (Some(mass), _) => of(mass),
        (None, Some([_, high])) => {
            let most = high.push_up(0.0).max(high.push_up(1.0)).max(0.0);
            Span::new(0.0, most / GRAVITY)
        }
        (None, None) => Span::new(0.0, 0.0),
    }
}

/// Both ends of a range.
pub(super) fn of(range: wholestep_files::Range) -> Span {
    Span::new(Taken::Low.of(range), Taken::High.of(range))
}

/// What the torque at a place is asked for by, the most first, all taken so that raising asks for most.
pub(super) fn shares(figures: &Figures, place: &Place) -> Vec<Share> {
    let data = &figures.data;
    let Some(forces) = Forces::told(data, figures.travel, 0.0, Taken::High) else { return Vec::new() };
    let ratio = place.at.ratio;
    let (guides, net) = (forces.guides_at(place.at.part), forces.net_at(place.at.part));
    let mut shares = vec![("the friction of the guides", guides * ratio)];
    if data.pushed.is_some() {
        shares.push(("the load", net * ratio));
    } else {
        let springs = Forces::of_springs(data, figures.travel, Taken::High);
        let springs = springs[0] + (springs[1] - springs[0]) * place.at.part;
        shares.extend([("the springs", springs * ratio), ("the weight", (net - springs) * ratio)]);
    }
    let frictionless = forces.push_up(place.at.part) * ratio;
    let drive = if figures.is_screw { "the friction of the screw" } else { "the friction of the drive" };
    shares.push((drive, place.raise.high - frictionless.max(0.0)));
    let mut shares: Vec<_> =
        shares.into_iter().filter(|share| share.1 != 0.0).map(|(of, torque)| Share { of, torque }).collect();
    shares.sort_by(|one, other| other.torque.total_cmp(&one.torque));
    shares
}

/// The positions between which the load changes from one flank of the nut to the other, if it does.
pub(super) fn flank_change(places: &[Place]) -> Option<Span> {
    let crossing = |bound: fn(Span) -> f64| {
        places.windows(2).find_map(|pair| {
            let (before, after) = (bound(pair[0].net?), bound(pair[1].net?));
            let part = before / (before - after);
            let (from, to) = (pair[0].at.position, pair[1].at.position);
            (before.signum() * after.signum() < 0.0).then_some(from + (to - from) * part)
        })
    };
    let (one, other) = (crossing(|net| net.low), crossing(|net| net.high));
    let ends = [places.first()?.at.position, places.last()?.at.position];
    match (one, other) {
        (None, None) => None,
        (Some(one), Some(other)) => Some(Span::around([one, other])),
        // With some of the figures it never does: then up to the end toward which it is put off.
        (Some(at), None) | (None, Some(at)) => {
            let near = places.first()?.net?.low < 0.0 && places.first()?.net?.high > 0.0;
            Some(Span::around([at, if near { ends[0] } else { ends[1] }]))
        }
    }
}
