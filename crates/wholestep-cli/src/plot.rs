//! A rehearsal drawn: position and speed against time, with the lines of switches and soft limits.

use wholestep::measure::Unit;
use wholestep::spec::{AxisFile, LengthMechanism};
use wholestep::{Axis, Exact, Length, Measure, Result};
use wholestep_twin::Findings;

const WIDTH: f64 = 900.0;
const LEFT: f64 = 70.0;
const RIGHT: f64 = 880.0;
/// Top and bottom of the two panels.
const POSITION: (f64, f64) = (50.0, 330.0);
const SPEED: (f64, f64) = (380.0, 520.0);
const HEIGHT: f64 = 570.0;

/// A span of values laid out between two places on the page.
#[derive(Clone, Copy)]
struct Scale {
    least: f64,
    most: f64,
    from: f64,
    to: f64,
}

impl Scale {
    fn at(&self, value: f64) -> f64 {
        self.from + (value - self.least) / (self.most - self.least) * (self.to - self.from)
    }

    /// Round values across the span, about `count` of them.
    fn marks(&self, count: f64) -> Vec<f64> {
        let rough = (self.most - self.least) / count;
        let power = 10_f64.powf(rough.log10().floor());
        let every = [1.0, 2.0, 5.0, 10.0].map(|part| part * power);
        let every = every.into_iter().find(|every| *every >= rough).unwrap_or(10.0 * power);
        let first = (self.least / every).ceil();
        (0..60)
            .map(|number| (first + f64::from(number)) * every)
            .take_while(|mark| *mark <= self.most)
            .collect()
    }
}

pub(crate) fn svg(
    title: &str,
    file: &AxisFile,
    axis: &Axis<LengthMechanism>,
    findings: &Findings,
) -> Result<String> {
    let unit = axis.unit();
    let millimetres = |length: Length| float(length.base());
    let one = float(Length::new(Exact::ONE, unit)?.base());
    let shown = |metres: f64| metres * 1e3 / one;
    let settings = axis.settings();
    let mut lines = vec![
        ("low soft limit", millimetres(settings.low) / one, "#b45309"),
        ("high soft limit", millimetres(settings.high) / one, "#b45309"),
    ];
    if let wholestep::spec::AnyEquipment::Length(equipment) = file.equipment()
        && let Some(home) = equipment.home
    {
        lines.push(("switch of the datum", millimetres(home.switch) / one, "#7c3aed"));
    }
    let positions =
        findings.trace.iter().map(|sample| shown(sample.position)).chain(lines.iter().map(|line| line.1));
    let (least, most) = span(positions);
    let room = 0.06 * (most - least);
    let time = Scale { least: 0.0, most: findings.seconds.max(1e-3), from: LEFT, to: RIGHT };
    let position = Scale { least: least - room, most: most + room, from: POSITION.1, to: POSITION.0 };
    let speeds = span(findings.trace.iter().map(|sample| shown(sample.speed)).chain([-1e-3, 1e-3]));
    let speed = Scale { least: speeds.0 * 1.1, most: speeds.1 * 1.1, from: SPEED.1, to: SPEED.0 };
    let mut page = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {WIDTH} {HEIGHT}\" width=\"{WIDTH}\" \
         height=\"{HEIGHT}\" font-family=\"sans-serif\" font-size=\"12\">\n\
         <rect width=\"100%\" height=\"100%\" fill=\"white\"/>\n\
         <text x=\"{LEFT}\" y=\"24\" font-size=\"16\">{}</text>\n",
        escaped(title)
    );
    let symbol = unit.symbol();
    frame(&mut page, &time, &position, POSITION, &format!("position, {symbol}"), 6.0);
    frame(&mut page, &time, &speed, SPEED, &format!("speed, {symbol}/s"), 6.0);
    for (name, value, colour) in lines {
        let y = position.at(value);
        // The switch stands close to a limit, so its name goes to the other side.
        let (x, anchor) =
            if name.starts_with("switch") { (LEFT + 4.0, "start") } else { (RIGHT - 4.0, "end") };
        page += &format!(
            "<line x1=\"{LEFT}\" x2=\"{RIGHT}\" y1=\"{y:.1}\" y2=\"{y:.1}\" stroke=\"{colour}\" stroke-dasharray=\"6 4\"/>\n\
             <text x=\"{x:.1}\" y=\"{:.1}\" text-anchor=\"{anchor}\" fill=\"{colour}\" font-size=\"10\">{name}</text>\n",
            y - 3.0
        );
    }
    for (seconds, event) in &findings.events {
        if let wholestep::carriage::Event::Faulted(fault) = event {
            let x = time.at(*seconds);
            page += &format!(
                "<line x1=\"{x:.1}\" x2=\"{x:.1}\" y1=\"{}\" y2=\"{}\" stroke=\"#dc2626\"/>\n\
                 <text x=\"{:.1}\" y=\"{}\" text-anchor=\"end\" fill=\"#dc2626\">fault {}</text>\n",
                POSITION.0,
                SPEED.1,
                x - 4.0,
                POSITION.0 + 14.0,
                fault.name()
            );
        }
    }
    curve(
        &mut page,
        "#2563eb",
        findings.trace.iter().map(|sample| (time.at(sample.seconds), position.at(shown(sample.position)))),
    );
    curve(
        &mut page,
        "#059669",
        findings.trace.iter().map(|sample| (time.at(sample.seconds), speed.at(shown(sample.speed)))),
    );
    page += &format!(
        "<text x=\"{:.1}\" y=\"{}\" text-anchor=\"middle\">time, s</text>\n</svg>\n",
        f64::midpoint(LEFT, RIGHT),
        HEIGHT - 8.0
    );
    Ok(page)
}

fn frame(page: &mut String, time: &Scale, values: &Scale, (top, bottom): (f64, f64), name: &str, count: f64) {
    for mark in values.marks(count) {
        let y = values.at(mark);
        *page += &format!(
            "<line x1=\"{LEFT}\" x2=\"{RIGHT}\" y1=\"{y:.1}\" y2=\"{y:.1}\" stroke=\"#e5e7eb\"/>\n\
             <text x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"end\">{}</text>\n",
            LEFT - 6.0,
            y + 4.0,
            number(mark)
        );
    }
    for mark in time.marks(10.0) {
        let x = time.at(mark);
        *page += &format!(
            "<line x1=\"{x:.1}\" x2=\"{x:.1}\" y1=\"{top}\" y2=\"{bottom}\" stroke=\"#e5e7eb\"/>\n\
             <text x=\"{x:.1}\" y=\"{:.1}\" text-anchor=\"middle\">{}</text>\n",
            bottom + 16.0,
            number(mark)
        );
    }
    *page += &format!(
        "<rect x=\"{LEFT}\" y=\"{top}\" width=\"{}\" height=\"{}\" fill=\"none\" stroke=\"#6b7280\"/>\n\
         <text x=\"{LEFT}\" y=\"{}\">{name}</text>\n",
        RIGHT - LEFT,
        bottom - top,
        top - 6.0
    );
}

fn curve(page: &mut String, colour: &str, points: impl Iterator<Item = (f64, f64)>) {
    let points: Vec<String> = points.map(|(x, y)| format!("{x:.1},{y:.1}")).collect();
    *page += &format!(
        "<polyline fill=\"none\" stroke=\"{colour}\" stroke-width=\"1.5\" points=\"{}\"/>\n",
        points.join(" ")
    );
}

fn span(values: impl Iterator<Item = f64>) -> (f64, f64) {
    values
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(least, most), value| (least.min(value), most.max(value)))
}

/// A round number without needless zeros.
fn number(value: f64) -> String {
    let text = format!("{value:.3}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".into() } else { text.into() }
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;")
}

#[expect(clippy::cast_precision_loss, reason = "a picture")]
fn float(value: Exact) -> f64 {
    value.numerator() as f64 / value.denominator() as f64
}
