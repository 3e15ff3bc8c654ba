//! What many trials come to.

use core::cmp::Reverse;
use std::collections::BTreeMap;

use super::{Study, Trial};

/// What many trials come to.
#[derive(Clone, Debug, PartialEq)]
pub struct Summary {
    /// How many machines there were.
    pub machines: usize,
    /// On how many of them every stop was within the tolerance.
    pub fitting: usize,
    /// The part that fits, between bounds that hold 95 times of a hundred for a chance like this one.
    pub fitting_part: (f64, f64),
    /// On how many the motor fell out of step.
    pub stalled: usize,
    /// On how many something stopped the job.
    pub stopped: usize,
    /// What stopped it, and on how many, the most frequent first.
    pub reasons: Vec<(String, usize)>,
    /// How the carriage stood off once it had found the datum; `None` if fewer than two machines found it.
    pub datum: Option<Spread>,
    /// How it stood off at each stop; `None` if fewer than two machines came to it.
    pub stops: Vec<Option<Spread>>,
    /// The least torque to spare on any machine.
    pub torque_margin: Option<f64>,
    sentence: String,
}

/// How values lie, in mm or degrees.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spread {
    /// The lowest.
    pub lowest: f64,
    /// The mean.
    pub mean: f64,
    /// The highest.
    pub highest: f64,
    /// The standard deviation, of one degree of freedom fewer than values.
    pub deviation: f64,
}

impl Spread {
    /// Returns the spread of two values or more.
    fn of(values: &[f64]) -> Option<Self> {
        if values.len() < 2 {
            return None;
        }
        let count = values.len() as f64;
        let mean = values.iter().sum::<f64>() / count;
        let squares: f64 = values.iter().map(|value| (value - mean) * (value - mean)).sum();
        Some(Self {
            lowest: values.iter().copied().fold(f64::INFINITY, f64::min),
            mean,
            highest: values.iter().copied().fold(f64::NEG_INFINITY, f64::max),
            deviation: (squares / (count - 1.0)).sqrt(),
        })
    }
}

impl Study {
    /// Returns what `trials` come to, each machine counted once whatever their order.
    pub fn summary(&self, trials: &[Trial]) -> Summary {
        let mut trials: Vec<&Trial> = trials.iter().collect();
        trials.sort_by_key(|trial| trial.number);
        trials.dedup_by_key(|trial| trial.number);
        let stops = self.stops.stops.len();
        let fits = |trial: &&&Trial| {
            trial.stopped.is_none()
                && trial.errors.len() == stops
                && trial.errors.iter().all(|error| error.abs() <= self.within)
        };
        let of_stop = |stop: usize| {
            let errors: Vec<f64> =
                trials.iter().filter_map(|trial| trial.errors.get(stop).copied()).collect();
            Spread::of(&errors)
        };
        let found: Vec<f64> = trials.iter().filter_map(|trial| trial.datum_error).collect();
        let margins = trials.iter().filter_map(|trial| trial.torque_margin);
        let fitting = trials.iter().filter(fits).count();
        let mut summary = Summary {
            machines: trials.len(),
            fitting,
            fitting_part: wilson(fitting, trials.len()),
            stalled: trials.iter().filter(|trial| trial.stalls > 0).count(),
            stopped: trials.iter().filter(|trial| trial.stopped.is_some()).count(),
            reasons: reasons(&trials),
            datum: Spread::of(&found),
            stops: (0..stops).map(of_stop).collect(),
            torque_margin: margins.reduce(f64::min),
            sentence: String::new(),
        };
        summary.sentence = self.sentence(&summary);
        summary
    }

    fn sentence(&self, summary: &Summary) -> String {
        let Summary { machines, fitting, fitting_part: (low, high), stalled, datum, .. } = summary;
        if *machines == 0 {
            return "no machine has been tried yet".into();
        }
        let [low, high] = [(100.0 * low).floor(), (100.0 * high).ceil()];
        let mut parts = vec![format!(
            "{fitting} of {machines} machines hold every stop within {}: {low:.0} to {high:.0} of a hundred",
            self.tolerance,
        )];
        if let Some(datum) = datum {
            parts.push(format!("the datum comes back within ±{:.4} {}", 2.0 * datum.deviation, self.unit()));
        }
        parts.push(match stalled {
            0 => "no motor stalls".to_owned(),
            1 => "1 motor stalls".to_owned(),
            stalled => format!("{stalled} motors stall"),
        });
        if let Some((reason, _)) = summary.reasons.first() {
            let stopped = summary.stopped;
            parts.push(format!("{stopped} stop before the end, most often by: {reason}"));
        }
        parts.join("; ")
    }

    /// Of the figures: mm, or degrees on an axis that turns.
    fn unit(&self) -> &'static str {
        if self.job.axis().axis().as_length().is_some() { "mm" } else { "deg" }
    }
}

fn reasons(trials: &[&Trial]) -> Vec<(String, usize)> {
    let mut counts = BTreeMap::new();
    for reason in trials.iter().filter_map(|trial| trial.stopped.as_ref()) {
        *counts.entry(reason).or_insert(0_usize) += 1;
    }
    let mut reasons: Vec<_> = counts.into_iter().map(|(reason, count)| (reason.clone(), count)).collect();
    reasons.sort_by_key(|(_, count)| Reverse(*count));
    reasons
}

impl Summary {
    /// Returns what the study says in one sentence.
    pub fn sentence(&self) -> &str {
        &self.sentence
    }
}

/// The score interval for `fitting` of `machines` at 95 % (E. B. Wilson, J. Am. Stat. Assoc. 22, 1927, second-hand;
/// z = 1.959964).
fn wilson(fitting: usize, machines: usize) -> (f64, f64) {
    const Z: f64 = 1.959_964;
    if machines == 0 {
        return (0.0, 1.0);
    }
    let count = machines as f64;
    let part = fitting as f64 / count;
    let over = 1.0 + Z * Z / count;
    let middle = (part + Z * Z / (2.0 * count)) / over;
    let half = Z * (part * (1.0 - part) / count + Z * Z / (4.0 * count * count)).sqrt() / over;
    ((middle - half).max(0.0), (middle + half).min(1.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The score intervals without continuity correction of R. G. Newcombe, Statistics in Medicine 17, 1998, table I
    /// (memory).
    #[test]
    fn bounds_of_a_part_as_published() {
        for (fitting, machines, low, high) in [
            (81, 263, 0.2553, 0.3662),
            (15, 148, 0.0624, 0.1605),
            (0, 20, 0.0, 0.1611),
            (1, 29, 0.0061, 0.1718),
        ] {
            let bounds = wilson(fitting, machines);
            assert!((bounds.0 - low).abs() < 5e-5 && (bounds.1 - high).abs() < 5e-5, "{bounds:?}");
        }
        assert_eq!(wilson(0, 0), (0.0, 1.0));
        assert!((wilson(20, 20).1 - 1.0).abs() < 1e-12);
    }

    #[test]
    fn spread_by_hand() {
        let spread = Spread::of(&[1.0, 2.0, 4.0, 5.0]).unwrap();
        assert_eq!((spread.lowest, spread.mean, spread.highest), (1.0, 3.0, 5.0));
        // 4 + 1 + 1 + 4 over 3 degrees of freedom.
        assert!((spread.deviation - (10_f64 / 3.0).sqrt()).abs() < 1e-12);
        assert_eq!(Spread::of(&[1.0]), None);
    }
}
