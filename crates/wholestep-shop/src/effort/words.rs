//! An effort in words.

use wholestep::carriage::{AnyEquipment, End};
use wholestep_files::AxisFile;

use super::changes::Change;
use super::figures::Figures;
use super::span::Span;
use super::unpowered::Holding;
use super::{Effort, Lifts};
use crate::caution::SPRING;

/// Returns a figure to three digits.
///
/// ```
/// use wholestep_shop::effort::figure;
/// assert_eq!([0.13926, 135.11, 0.0, -1234.5].map(figure), ["0.139", "135", "0", "\u{2212}1230"]);
/// ```
pub fn figure(value: f64) -> String {
    if value == 0.0 || !value.is_finite() {
        return if value == 0.0 { "0".into() } else { "without limit".into() };
    }
    let power = value.abs().log10().floor();
    let place = 10_f64.powf(power - 2.0);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a number of decimals, 0 to 9"
    )]
    let decimals = (2.0 - power).clamp(0.0, 9.0) as usize;
    let rounded = (value / place).round() * place;
    let text = format!("{rounded:.decimals$}");
    let text = if decimals > 0 { text.trim_end_matches('0').trim_end_matches('.') } else { &text };
    text.replace('-', "\u{2212}")
}

/// Returns both bounds to three digits: `0.139 to 0.215`, or one figure if they are alike.
pub fn figures(span: Span) -> String {
    let (low, high) = (figure(span.low), figure(span.high));
    if low == high { low } else { format!("{low} to {high}") }
}

/// `2.1 times`, or between which bounds; never rounded up.
fn times(span: Span) -> String {
    let round = |value: f64| {
        if value < 10.0 { format!("{:.1}", (value * 10.0).floor() / 10.0) } else { figure(value) }
    };
    let (low, high) = (round(span.low), round(span.high));
    if low == high { format!("{low} times") } else { format!("{low} to {high} times") }
}

impl Effort {
    /// Returns where a spot lies, in words: at the top, at the bottom, at its measure, or all along.
    pub fn place_of(&self, position: Option<f64>) -> String {
        let Some(position) = position else { return "all along".into() };
        let ends = if self.upright {
            ["at the bottom", "at the top"]
        } else {
            ["at the low end", "at the high end"]
        };
        let near = 1e-9 * (self.travel.high - self.travel.low).abs();
        if (position - self.travel.low).abs() <= near {
            ends[0].into()
        } else if (position - self.travel.high).abs() <= near {
            ends[1].into()
        } else {
            format!("at {} {}", figure(position), self.unit)
        }
    }

    /// Whether lowering is harder than raising.
    fn is_harder_to_lower(&self) -> bool {
        self.lowering.is_some_and(|lower| lower.torque.high > self.raising.torque.high)
    }
}

pub(super) fn verdict(effort: &Effort, best: Option<&Change>) -> String {
    let stays = match effort.unpowered.holding {
        Holding::Stays => "Stays put without power, as far as these figures go.",
        Holding::NotCertain => "Stays put: not certain, keep the power on.",
        Holding::Moves => "Does not stay put without power: prop the load before you switch off.",
        Holding::NotKnown => "Whether it stays put: not known, keep the power on.",
    };
    let mut sentences = vec![lifting(effort), stays.to_owned()];
    let spare = effort.motor.as_ref().map_or(0.0, |motor| motor.times.unwrap_or(motor.times_at_rest).low);
    // With twice the margin that was asked for, nobody needs advice.
    let is_ample = spare * (1.0 - effort.margin) >= 2.0;
    if let Some(best) = best.filter(|_| !is_ample) {
        sentences.push(format!("Best change: {}.", brings(best)));
        if best.caution == Some(SPRING) {
            sentences.push("A spring is compressed, and the load can drop: prop it first.".into());
        }
    }
    sentences.join(" ")
}

/// What a change is and what it brings: `one spring out, −30 %`.
fn brings(change: &Change) -> String {
    if change.part.abs() >= 0.005 {
        return format!("{}, {} %", change.what, figure((100.0 * change.part).round()));
    }
    match change.times {
        Some(now) => format!("{}, {} what it needs", change.what, times(now)),
        None => change.what.clone(),
    }
}

fn lifting(effort: &Effort) -> String {
    let hardest =
        if effort.is_harder_to_lower() { effort.lowering.unwrap_or(effort.raising) } else { effort.raising };
    let task = match (effort.upright, effort.is_harder_to_lower()) {
        (true, false) => ["Lifts", "lift"],
        (true, true) => ["Lowers against its springs", "lower against its springs"],
        (false, _) => ["Moves", "move"],
    };
    let place = effort.place_of(hardest.position);
    let Some(motor) = &effort.motor else {
        return format!(
            "Needs {} N·m to {} {place}; the file tells of no motor, which must hold {} N·m.",
            figures(hardest.torque),
            task[1],
            figure(effort.must_have.holding.high)
        );
    };
    let at = if motor.times.is_some() { "" } else { ", at rest" };
    let has = motor.times.unwrap_or(motor.times_at_rest);
    let least = times(Span::new(has.low, has.low));
    let asked = figure(1.0 / (1.0 - effort.margin));
    match effort.lifts {
        Lifts::WithMargin => format!("{}, {least} what it needs {place}{at}.", task[0]),
        Lifts::Barely => {
            format!(
                "{}, but with {least} what it needs {place}{at}, not the {asked} times asked for.",
                task[0]
            )
        }
        Lifts::NotCertain => {
            format!("May not {}: {} what it needs {place}{at}, as the figures go.", task[1], times(has))
        }
        Lifts::No | Lifts::NotKnown => format!(
            "Does not {}{}: at best {} what it needs {place}.",
            task[1],
            if motor.times.is_some() { " at these rates" } else { "" },
            times(Span::new(has.high, has.high))
        ),
    }
}

/// What in the file contradicts its own figures.
pub(super) fn contradictions(file: &AxisFile, effort: &Effort) -> Vec<String> {
    let holds = match file.equipment() {
        AnyEquipment::Length(equipment) => equipment.self_holding,
        AnyEquipment::Angle(equipment) => equipment.self_holding,
    };
    let mut found = Vec::new();
    let toward = if effort.unpowered.toward == Some(End::High) { "fly up" } else { "drop" };
    if holds && matches!(effort.unpowered.holding, Holding::NotCertain | Holding::Moves) {
        found.push(format!(
            "the file says drive.self_holding = true (or leaves it out), but these figures do not promise it: the load \
             may {toward}; try it with the load propped, and write false if you are not certain"
        ));
    }
    for comparison in effort.compared.iter().filter(|one| !one.agrees) {
        found.push(format!(
            "{}: measured {}, but the figures of the file make it {}; trust the measurement, and look for what the \
             figures leave out",
            comparison.what,
            figures(comparison.measured),
            figures(comparison.by_figures)
        ));
    }
    found
}

/// What no figure of the file can tell.
pub(super) fn not_known(figures: &Figures, has_curve: bool) -> Vec<&'static str> {
    let mut unknown = vec![
        "speeds at which the motor hums and loses torque (resonance)",
        "how warm motor and driver get, and what that takes off",
        "ways that bind, a screw out of line, dirt, cold grease, wear",
        "what gears and belts between motor and screw lose",
        "how hard the cut pushes: these are moves with the cutter or blade at rest",
        "vibration, which loosens a thread that barely holds",
    ];
    if !has_curve {
        unknown.push("how the motor's torque falls with speed: give torque_points, full_torque_to and no_torque_at, or supply, current and inductance");
    }
    if figures.data.lever.is_some() {
        unknown.push("how the weight's lever changes as it tilts: it is taken level with its pivot, where it is heaviest");
    }
    unknown
}
