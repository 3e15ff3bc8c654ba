//! How well positions repeat, where each was read more than once from a way.
//!
//! The formulas are those of ISO 230-2 (memory); the figures are not that standard's unless five positions or more
//! were each approached five times from either way with the gauge and the warming-up it asks for.

use serde::Serialize;

use super::fit::{big, float};
use super::readings::{Reading, Way};

/// How well positions repeat and where they lie, in millimetres or degrees.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Accuracy {
    /// The largest of the positions' repeatabilities from one way: four standard deviations.
    pub repeatability: f64,
    /// The largest difference of the mean from above and from below at one position; `None` from one way alone.
    pub reversal: Option<f64>,
    /// The largest of the positions' repeatabilities from both ways; `None` from one way alone.
    pub repeatability_both: Option<f64>,
    /// From the lowest to the highest of mean ± two standard deviations over all positions and ways.
    pub accuracy: f64,
    /// How many positions were read more than once from each way that was read.
    pub positions: usize,
}

/// Mean and standard deviation of what a way reads at a position, less what was asked.
fn of(readings: &[&Reading], way: Way) -> Option<(f64, f64)> {
    let errors: Vec<f64> = readings
        .iter()
        .filter(|one| one.way == way)
        .map(|one| float(&(big(one.read) - big(one.asked))))
        .collect();
    let count = errors.len() as f64;
    if errors.len() < 2 {
        return None;
    }
    let mean = errors.iter().sum::<f64>() / count;
    let squares: f64 = errors.iter().map(|error| (error - mean) * (error - mean)).sum();
    Some((mean, (squares / (count - 1.0)).sqrt()))
}

impl Accuracy {
    /// `None` if some position was read but once from a way.
    pub(super) fn of(readings: &[Reading]) -> Option<Self> {
        let mut places: Vec<_> = readings.iter().map(|one| one.asked).collect();
        places.sort_unstable();
        places.dedup();
        let (mut one_way, mut reversal, mut both): (f64, Option<f64>, Option<f64>) = (0.0, None, None);
        let (mut lowest, mut highest) = (f64::INFINITY, f64::NEG_INFINITY);
        for place in &places {
            let there: Vec<&Reading> = readings.iter().filter(|one| one.asked == *place).collect();
            let up = of(&there, Way::Up);
            let down = of(&there, Way::Down);
            let ways = [(Way::Up, up), (Way::Down, down)];
            if ways.iter().any(|(way, told)| told.is_none() && there.iter().any(|one| one.way == *way)) {
                return None;
            }
            for (mean, deviation) in ways.iter().filter_map(|(_, told)| *told) {
                one_way = one_way.max(4.0 * deviation);
                lowest = lowest.min(mean - 2.0 * deviation);
                highest = highest.max(mean + 2.0 * deviation);
            }
            if let (Some((up, rough)), Some((down, rougher))) = (up, down) {
                let turned = (up - down).abs();
                let from_both = (2.0 * rough + 2.0 * rougher + turned).max(4.0 * rough).max(4.0 * rougher);
                reversal = Some(reversal.unwrap_or(0.0).max(turned));
                both = Some(both.unwrap_or(0.0).max(from_both));
            }
        }
        Some(Self {
            repeatability: one_way,
            reversal,
            repeatability_both: both,
            accuracy: highest - lowest,
            positions: places.len(),
        })
    }
}

impl Accuracy {
    /// In a unit of so many millimetres or degrees.
    pub(super) fn in_unit(self, base: f64) -> Self {
        let told = |figure: f64| figure / base;
        Self {
            repeatability: told(self.repeatability),
            reversal: self.reversal.map(told),
            repeatability_both: self.repeatability_both.map(told),
            accuracy: told(self.accuracy),
            positions: self.positions,
        }
    }
}
