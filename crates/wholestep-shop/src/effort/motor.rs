//! What the motor can do with what is asked of it: speeds, accelerations, and how far its rotor lags.

use std::f64::consts::{FRAC_PI_2, TAU};

use serde::Serialize;
use wholestep::Result;
use wholestep_twin::{Taken, TorqueCurve};

use super::figures::Figures;
use super::span::Span;
use super::torque::Place;
use crate::messages;

/// The motor's torque, with all figures taken so that it has least, and most.
#[derive(Clone, Debug)]
pub(super) struct Curves([TorqueCurve; 2]);

/// Which end of everything is looked at: what makes it hard, or easy.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Side {
    Hard,
    Easy,
}

impl Side {
    pub(super) const fn needed(self, span: Span) -> f64 {
        match self {
            Self::Hard => span.high,
            Self::Easy => span.low,
        }
    }
}

/// A point of a plot: what is available and needed at a speed.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct SpeedPoint {
    /// Speed of the axis, in its unit a second.
    pub speed: f64,
    /// Speed of the motor, turns a minute.
    pub turns_a_minute: f64,
    /// Torque that the motor has, N·m.
    pub available: Span,
}

/// How far the rotor lags behind the field that pulls it, while nothing turns.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Lag {
    /// Microsteps by which it may lag after raising, where that is hardest.
    pub microsteps: Span,
    /// The same in the axis's unit.
    pub travel: Span,
    /// What the lag makes of a turn from raising to lowering, in the axis's unit, besides the play of the screw.
    pub turning_round: Span,
    /// The torque of the first microstep, in hundredths of the holding torque.
    pub microstep_torque: f64,
    /// Microsteps that friction swallows before the carriage moves from a rotor that does not lag.
    pub swallowed: Span,
}

impl Curves {
    /// The curves that the file tells; `None` if it does not tell how torque falls with speed.
    pub(super) fn new(figures: &Figures) -> Result<Option<Self>> {
        let curve = |taken| {
            TorqueCurve::told(&figures.data, figures.full_steps, taken)
                .map_err(|error| messages::EFFORT.error().advice(error.to_string()))
        };
        Ok(curve(Taken::Low)?.zip(curve(Taken::High)?).map(|(least, most)| Self([least, most])))
    }

    /// Torque at a speed of the motor, rad/s.
    pub(super) fn at(&self, speed: f64) -> Span {
        Span::around(self.0.each_ref().map(|curve| curve.at(speed)))
    }

    fn on(&self, side: Side, speed: f64) -> f64 {
        let span = self.at(speed);
        if side == Side::Hard { span.low } else { span.high }
    }

    /// How many times what it needs the motor has, where that is least, at a speed and an acceleration of the
    /// carriage, m/s and m/s².
    pub(super) fn times(&self, places: &[Place], speed: f64, acceleration: f64) -> Span {
        let at = |side: Side| {
            let times =
                |place: &Place| self.on(side, speed / place.at.ratio) / needed(place, side, acceleration);
            places.iter().map(times).fold(f64::INFINITY, f64::min)
        };
        Span::new(at(Side::Hard), at(Side::Easy))
    }

    /// The greatest speed up to which, accelerating so, `margin` of the torque is to spare, m/s.
    pub(super) fn greatest_speed(&self, places: &[Place], acceleration: f64, margin: f64) -> Span {
        let at = |side: Side| {
            let fits = |speed: f64| {
                places.iter().all(|place| {
                    needed(place, side, acceleration)
                        <= (1.0 - margin) * self.on(side, speed / place.at.ratio)
                })
            };
            greatest(self.fastest(places), fits)
        };
        Span::new(at(Side::Hard), at(Side::Easy))
    }

    /// The greatest acceleration that leaves `margin` of the torque to spare at every speed up to `speed`, m/s².
    pub(super) fn greatest_acceleration(&self, places: &[Place], speed: f64, margin: f64) -> Span {
        let at = |side: Side| {
            let spare = |place: &Place| {
                let least = (0..=LOOKS).map(|look| {
                    let part = f64::from(look) / f64::from(LOOKS);
                    self.on(side, part * speed / place.at.ratio)
                });
                let least = least.fold(f64::INFINITY, f64::min);
                let torque = (1.0 - margin) * least - side.needed(place.turn());
                torque / side.needed(place.inertia) * place.at.ratio
            };
            places.iter().map(spare).fold(f64::INFINITY, f64::min).max(0.0)
        };
        Span::new(at(Side::Hard), at(Side::Easy))
    }

    /// A speed at which the motor has no torque left, or hardly any, m/s.
    pub(super) fn fastest(&self, places: &[Place]) -> f64 {
        let ratio = places.iter().map(|place| place.at.ratio).fold(0.0, f64::max);
        let turning = match &self.0[1] {
            TorqueCurve::Linear { zero, .. } => *zero,
            TorqueCurve::Inverse { corner, .. } => 20.0 * corner,
            TorqueCurve::Table(rows) => rows.last().map_or(0.0, |row| row.0),
        };
        turning * ratio
    }

    /// Points for a plot, up to `speed` m/s.
    pub(super) fn points(&self, figures: &Figures, place: &Place, speed: f64) -> Vec<SpeedPoint> {
        let point = |look: u32| {
            let speed = speed * f64::from(look) / f64::from(LOOKS);
            let turning = speed / place.at.ratio;
            SpeedPoint {
                speed: speed / figures.metre,
                turns_a_minute: turning / TAU * 60.0,
                available: self.at(turning),
            }
        };
        (0..=LOOKS).map(point).collect()
    }
}

/// At how many speeds a curve is looked at.
const LOOKS: u32 = 200;

/// Torque to raise or lower there and accelerate so, N·m.
pub(super) fn needed(place: &Place, side: Side, acceleration: f64) -> f64 {
    side.needed(place.turn()) + side.needed(place.inertia) * acceleration / place.at.ratio
}

/// The greatest value up to `most` up to which all `fits`.
fn greatest(most: f64, fits: impl Fn(f64) -> bool) -> f64 {
    if !fits(0.0) {
        return 0.0;
    }
    let at = |look: u32| most * f64::from(look) / f64::from(LOOKS);
    let Some(first) = (1..=LOOKS).find(|look| !fits(at(*look))) else { return most };
    let (mut low, mut high) = (at(first - 1), at(first));
    for _ in 0..50 {
        let middle = f64::midpoint(low, high);
        if fits(middle) { low = middle } else { high = middle }
    }
    low
}

impl Lag {
    /// How a rotor held with `holding` N·m lags at `place`; `None` if that does not hold it.
    ///
    /// The field pulls with the sine of the lag, whose period is four full steps.
    pub(super) fn new(figures: &Figures, place: &Place, holding: Span) -> Option<Self> {
        let steps = |torque: f64, holding: f64| {
            let part = torque / holding;
            (part.abs() < 1.0).then(|| part.asin() / FRAC_PI_2 * f64::from(figures.step_mode))
        };
        let span = |torque: Span| {
            Some(Span::around([
                steps(torque.low, holding.low)?,
                steps(torque.low, holding.high)?,
                steps(torque.high, holding.low)?,
                steps(torque.high, holding.high)?,
            ]))
        };
        let travel = |microsteps: f64| microsteps * figures.step_angle * place.at.ratio / figures.metre;
        let microsteps = span(place.raise)?;
        let round = match place.lower {
            Some(lower) => microsteps.plus(span(lower)?),
            None => microsteps,
        };
        Some(Self {
            microsteps,
            travel: microsteps.map(travel),
            turning_round: round.map(travel).map(|travel| travel.max(0.0)),
            microstep_torque: 100.0 * (FRAC_PI_2 / f64::from(figures.step_mode)).sin(),
            swallowed: microsteps.map(f64::floor),
        })
    }
}
