//! Rates that the motor can keep with its margin, for the axis file.

use serde::Serialize;

use super::figures::Figures;
use super::motor::Curves;
use super::torque::Place;

/// Speed and acceleration to write under `[motion]`: those that cross the whole travel soonest with the margin,
/// each rounded down to two digits, the speed reached in a tenth of a second or more (common practice).
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Offered {
    /// In the axis's unit a second.
    pub speed: f64,
    /// In the axis's unit a second squared.
    pub acceleration: f64,
}

/// How many speeds are tried.
const TRIED: u32 = 200;
/// Shortest time in which a speed is reached, s.
const GENTLE: f64 = 0.1;

impl Offered {
    pub(super) fn new(curves: &Curves, figures: &Figures, places: &[Place], margin: f64) -> Option<Self> {
        let fastest = curves.greatest_speed(places, 0.0, margin).low;
        let tried = (1..=TRIED).filter_map(|part| {
            let speed = fastest * f64::from(part) / f64::from(TRIED);
            let acceleration = curves.greatest_acceleration(places, speed, margin).low.min(speed / GENTLE);
            (acceleration > 0.0).then_some((
                crossing(figures.travel, speed, acceleration),
                speed,
                acceleration,
            ))
        });
        let (_, speed, acceleration) = tried.min_by(|one, other| one.0.total_cmp(&other.0))?;
        Some(Self {
            speed: rounded_down(speed / figures.metre),
            acceleration: rounded_down(acceleration / figures.metre),
        })
    }
}

/// Seconds for a travel from rest to rest.
fn crossing(travel: f64, speed: f64, acceleration: f64) -> f64 {
    if speed * speed / acceleration >= travel {
        2.0 * (travel / acceleration).sqrt()
    } else {
        travel / speed + speed / acceleration
    }
}

/// Two digits, never more than `value`.
fn rounded_down(value: f64) -> f64 {
    let place = 10_f64.powf(value.log10().floor() - 1.0);
    let digits = (value / place).floor();
    // Written as a whole number of places, so that 0.1 + 0.2 stays 0.3.
    if place >= 1.0 { digits * place } else { digits / (1.0 / place).round() }
}
