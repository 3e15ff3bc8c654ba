//! What every drawing is made of: its colours, frames, lines and texts.

use wholestep::Exact;

use super::scale::Scale;

/// Colours for a light page, and for a dark one where the reader prefers that.
const STYLE: &str = "\
svg { background: #ffffff; font: 12px sans-serif; }
text { fill: #1f2937; } .title { font-size: 16px; } .faint { fill: #6b7280; }
.page { fill: #ffffff; } .band { fill: #6b7280; fill-opacity: 0.07; } .every { fill-opacity: 0; }
.grid { stroke: #d1d5db; stroke-width: 0.6; } .zero { stroke: #6b7280; stroke-width: 0.8; }
.frame { fill: none; stroke: #6b7280; } .curve { fill: none; stroke-width: 1.6; stroke-linejoin: round; }
.true { stroke: #2563eb; } .speed { stroke: #047857; }
.believed { stroke: #c2410c; stroke-dasharray: 5 3; } text.believed { fill: #c2410c; stroke: none; }
.limit { stroke: #b45309; } text.limit { fill: #b45309; stroke: none; } .switch { stroke: #7c3aed; }
text.switch { fill: #7c3aed; stroke: none; } .dashed { stroke-dasharray: 6 4; } .dotted { stroke-dasharray: 2 3; }
.fault { stroke: #dc2626; } text.fault { fill: #dc2626; stroke: none; }
.has { stroke: #2563eb; } text.has { fill: #2563eb; stroke: none; } .needs { stroke: #c2410c; }
text.needs { fill: #c2410c; stroke: none; } .added { stroke: #b45309; } text.added { fill: #b45309; stroke: none; }
.area { stroke: none; fill-opacity: 0.18; } .area.has { fill: #2563eb; } .area.needs { fill: #c2410c; }
.area.added { fill: #b45309; fill-opacity: 0.1; }
@media (prefers-color-scheme: dark) {
svg { background: #111827; } text { fill: #e5e7eb; } .faint { fill: #9ca3af; } .page { fill: #111827; }
.band { fill: #9ca3af; } .grid { stroke: #374151; } .zero, .frame { stroke: #9ca3af; }
.true { stroke: #60a5fa; } .speed { stroke: #34d399; }
.believed { stroke: #fb923c; } text.believed { fill: #fb923c; } .limit { stroke: #fbbf24; }
text.limit { fill: #fbbf24; } .switch { stroke: #a78bfa; } text.switch { fill: #a78bfa; }
.fault { stroke: #f87171; } text.fault { fill: #f87171; } .has { stroke: #60a5fa; }
text.has { fill: #60a5fa; } .needs { stroke: #fb923c; } text.needs { fill: #fb923c; } .added { stroke: #fbbf24; }
text.added { fill: #fbbf24; } .area.has { fill: #60a5fa; } .area.needs { fill: #fb923c; }
.area.added { fill: #fbbf24; } .area { stroke: none; }
}
";

/// The beginning of a page of so many points.
pub(super) fn page(width: f64, height: f64) -> String {
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {width} {height}\" width=\"{width}\" \
         height=\"{height}\">\n<style>\n{STYLE}</style>\n<rect class=\"page\" width=\"100%\" height=\"100%\"/>\n"
    )
}

/// The two edges of a panel.
pub(super) struct Panel {
    pub(super) left: f64,
    pub(super) right: f64,
    pub(super) top: f64,
    pub(super) bottom: f64,
}

impl Panel {
    /// A frame with marks along both edges, and the name of what stands upright.
    pub(super) fn draw(&self, page: &mut String, along: &Scale, values: &Scale, name: &str) {
        let Self { left, right, top, bottom } = *self;
        for mark in values.marks(6.0) {
            let y = values.at(mark);
            let class = if mark == 0.0 { "zero" } else { "grid" };
            line(page, class, (left, y), (right, y));
            text(page, (left - 6.0, y + 4.0), "end", "", &number(mark));
        }
        for mark in along.marks(10.0) {
            let x = along.at(mark);
            line(page, "grid", (x, top), (x, bottom));
            text(page, (x, bottom + 16.0), "middle", "", &number(mark));
        }
        *page += &format!(
            "<rect class=\"frame\" x=\"{left}\" y=\"{top}\" width=\"{}\" height=\"{}\"/>\n",
            right - left,
            bottom - top
        );
        text(page, (left, top - 8.0), "start", "", name);
    }
}

pub(super) fn line(page: &mut String, class: &str, (x1, y1): (f64, f64), (x2, y2): (f64, f64)) {
    *page +=
        &format!("<line class=\"{class}\" x1=\"{x1:.1}\" y1=\"{y1:.1}\" x2=\"{x2:.1}\" y2=\"{y2:.1}\"/>\n");
}

pub(super) fn text(page: &mut String, (x, y): (f64, f64), anchor: &str, class: &str, words: &str) {
    let words = escaped(words);
    *page += &format!(
        "<text class=\"{class}\" x=\"{x:.1}\" y=\"{y:.1}\" text-anchor=\"{anchor}\">{words}</text>\n"
    );
}

/// The points, without those that lie level between their neighbours.
pub(super) fn curve(page: &mut String, class: &str, points: impl Iterator<Item = (f64, f64)>) {
    let points: Vec<(String, String)> = points.map(|(x, y)| (format!("{x:.1}"), format!("{y:.1}"))).collect();
    let level = |index: usize| {
        let before = index.checked_sub(1).and_then(|index| points.get(index));
        let pair = before.zip(points.get(index + 1));
        pair.is_some_and(|(before, after)| before.1 == points[index].1 && after.1 == points[index].1)
    };
    let kept: Vec<String> = (0..points.len())
        .filter(|index| !level(*index))
        .map(|index| format!("{},{}", points[index].0, points[index].1))
        .collect();
    *page += &format!("<polyline class=\"curve {class}\" points=\"{}\"/>\n", kept.join(" "));
}

/// What lies between two curves, of which each runs from left to right.
pub(super) fn area(
    page: &mut String,
    class: &str,
    above: impl DoubleEndedIterator<Item = (f64, f64)>,
    below: impl DoubleEndedIterator<Item = (f64, f64)>,
) {
    let points: Vec<String> = above.chain(below.rev()).map(|(x, y)| format!("{x:.1},{y:.1}")).collect();
    *page += &format!("<polygon class=\"area {class}\" points=\"{}\"/>\n", points.join(" "));
}

/// A round number without needless zeros.
pub(super) fn number(value: f64) -> String {
    let text = format!("{value:.3}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".into() } else { text.replace('-', "\u{2212}") }
}

pub(super) fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;")
}

#[expect(clippy::cast_precision_loss, reason = "a picture")]
pub(super) fn float(value: Exact) -> f64 {
    value.numerator() as f64 / value.denominator() as f64
}
