//! An effort drawn: the torque that the motor has, and that which is needed, against speed.

use wholestep_shop::effort::{Effort, Span, SpeedPoint, figure, span_text};

use super::page::{Panel, area, curve, line, page, text};
use super::scale::{Scale, spread};

const WIDTH: f64 = 1000.0;
const HEIGHT: f64 = 500.0;
const PANEL: Panel = Panel { left: 64.0, right: 760.0, top: 128.0, bottom: 430.0 };
const LINE_HEIGHT: f64 = 14.0;

/// What is named to the right of the panel, and at which torque.
struct Named {
    class: &'static str,
    name: String,
    torque: f64,
}

/// The drawing; without a curve of the motor it shows what is needed alone.
pub(crate) fn svg(effort: &Effort) -> String {
    let fastest = effort.curve.last().map_or(1.5 * effort.speed, |point| point.speed);
    let along = Scale::of([0.0, fastest].into_iter(), 0.0, (PANEL.left, PANEL.right));
    let most = effort.curve.iter().map(|point| point.available.high).fold(effort.needed.high, f64::max);
    let torque = Scale::of([0.0, 1.08 * most].into_iter(), 0.0, (PANEL.bottom, PANEL.top));
    let mut page = page(WIDTH, HEIGHT);
    text(&mut page, (PANEL.left, 26.0), "start", "title", &format!("{}: effort", effort.axis));
    for (index, sentence) in lines(&effort.verdict).iter().enumerate() {
        let y = 44.0 + LINE_HEIGHT * if index == 0 { 0.0 } else { 1.0 };
        text(&mut page, (PANEL.left, y), "start", "faint", sentence);
    }
    PANEL.draw(&mut page, &along, &torque, "torque at the motor, N·m");
    text(
        &mut page,
        (f64::midpoint(PANEL.left, PANEL.right), PANEL.bottom + 34.0),
        "middle",
        "",
        &format!("speed, {}/s", effort.unit),
    );
    if let Some(last) = effort.curve.last() {
        let turns =
            format!("{} {}/s is {} rev/min", figure(last.speed), effort.unit, figure(last.turns_a_minute));
        text(&mut page, (PANEL.right, PANEL.bottom + 34.0), "end", "faint", &turns);
    }
    let mut named = available(&mut page, effort, &along, &torque);
    named.extend(needed(&mut page, effort, &along, &torque, fastest));
    names(&mut page, named, &torque);
    speeds(&mut page, effort, &along);
    page + "</svg>\n"
}

/// The verdict on two lines at most.
fn lines(verdict: &str) -> Vec<String> {
    match verdict.split_once(". ") {
        Some((first, rest)) => vec![format!("{first}."), rest.to_owned()],
        None => vec![verdict.to_owned()],
    }
}

/// A band for what the motor has, and a dashed line for what is left of its least with the margin.
fn available(page: &mut String, effort: &Effort, along: &Scale, torque: &Scale) -> Vec<Named> {
    let Some(last) = effort.curve.last() else { return Vec::new() };
    let at = |point: &SpeedPoint, value: f64| (along.at(point.speed), torque.at(value));
    let points = |of: fn(&SpeedPoint) -> f64| effort.curve.iter().map(move |point| at(point, of(point)));
    area(page, "has", points(|point| point.available.high), points(|point| point.available.low));
    curve(page, "has", points(|point| point.available.high));
    curve(page, "has", points(|point| point.available.low));
    let left = |point: &SpeedPoint| point.available.low * (1.0 - effort.margin);
    curve(page, "has dashed", effort.curve.iter().map(|point| at(point, left(point))));
    let spare = figure(100.0 * effort.margin);
    vec![
        Named { class: "has", name: "the motor has".into(), torque: last.available.high },
        Named { class: "has", name: format!("less {spare} % to spare"), torque: left(last) },
    ]
}

/// A band for what turning needs at the hardest place, and one above it for what acceleration adds.
fn needed(page: &mut String, effort: &Effort, along: &Scale, torque: &Scale, fastest: f64) -> [Named; 2] {
    let turn = match effort.lowering {
        Some(lower) if lower.torque.high > effort.raising.torque.high => lower.torque,
        _ => effort.raising.torque,
    };
    let level = |value: f64| [0.0, fastest].map(|speed| (along.at(speed), torque.at(value)));
    let mut band = |class, Span { low, high }: Span| {
        area(page, class, level(high).into_iter(), level(low).into_iter());
        curve(page, class, level(high).into_iter());
    };
    band("added", Span::new(turn.high, effort.needed.high));
    band("needs", turn);
    [
        Named { class: "needs", name: format!("turning needs {} N·m", span_text(turn)), torque: turn.high },
        Named {
            class: "added",
            name: format!("with acceleration up to {} N·m", figure(effort.needed.high)),
            torque: effort.needed.high,
        },
    ]
}

/// The names beside the panel, moved apart and led to.
fn names(page: &mut String, mut named: Vec<Named>, torque: &Scale) {
    named.sort_by(|one, other| other.torque.total_cmp(&one.torque));
    let mut places: Vec<f64> = named.iter().map(|one| torque.at(one.torque)).collect();
    spread(&mut places, LINE_HEIGHT, PANEL.bottom);
    for (Named { class, name, torque: value }, place) in named.iter().zip(places) {
        line(page, class, (PANEL.right, torque.at(*value)), (PANEL.right + 12.0, place));
        text(page, (PANEL.right + 16.0, place + 4.0), "start", class, name);
    }
}

/// The speed of the file, and the one that is offered.
fn speeds(page: &mut String, effort: &Effort, along: &Scale) {
    let mut speeds =
        vec![("limit dashed", format!("file {} {}/s", figure(effort.speed), effort.unit), effort.speed)];
    if let Some(offered) = effort.offered {
        speeds.push((
            "switch dotted",
            format!("offered {} {}/s", figure(offered.speed), effort.unit),
            offered.speed,
        ));
    }
    for (number, (class, name, speed)) in speeds.into_iter().enumerate() {
        let (x, y) = (along.at(speed), PANEL.top - 24.0 - LINE_HEIGHT * if number == 0 { 0.0 } else { 1.0 });
        line(page, class, (x, y - 8.0), (x, PANEL.bottom));
        let is_right = x > f64::midpoint(PANEL.left, PANEL.right);
        let (x, anchor) = if is_right { (x - 5.0, "end") } else { (x + 5.0, "start") };
        text(page, (x, y), anchor, class.split(' ').next().unwrap_or_default(), &name);
    }
}
