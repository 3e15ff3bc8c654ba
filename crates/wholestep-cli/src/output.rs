//! How answers are laid out: tables for a terminal, JSON for programs, measures in the axis's unit.

use crate::messages;
use comfy_table::{CellAlignment, ColumnConstraint, ContentArrangement, Table, Width, presets};
use serde::Serialize;
use wholestep::{Enclosure, Measure, Result};
use wholestep_files::{AxisFile, Caution};
use wholestep_shop::AnyBounds;
use wholestep_shop::cut_list::Dimension;

/// Decimals to which an enclosure's position is told.
pub(crate) const PLACES: u8 = 6;

/// A table without lines; the columns whose head starts with `>` are set to the right.
///
/// Without heads the table has none.
pub(crate) fn table(heads: &[&str]) -> Table {
    let mut table = Table::new();
    table.load_preset(presets::NOTHING).set_content_arrangement(ContentArrangement::Disabled);
    if !heads.is_empty() {
        table.set_header(heads.iter().map(|head| head.trim_start_matches('>')));
    }
    for (column, head) in table.column_iter_mut().zip(heads) {
        if head.starts_with('>') {
            column.set_cell_alignment(CellAlignment::Right);
        }
    }
    table
}

/// The table as lines, two blanks between columns and none at either end. Where it would be wider than a terminal,
/// the cells of its widest column break at their blanks.
pub(crate) fn lines(table: &mut Table) -> String {
    const GAP: u16 = 2;
    for column in table.column_iter_mut() {
        column.set_padding((0, GAP));
    }
    let widths = table.column_max_content_widths();
    let filled = widths.iter().filter(|width| **width > 0);
    let excess = filled.map(|width| width + GAP).sum::<u16>().saturating_sub(WIDTH + GAP);
    if excess > 0
        && let Some((index, width)) = widths.iter().enumerate().max_by_key(|(_, width)| **width)
        && let Some(widest) = table.column_mut(index)
    {
        widest.set_constraint(ColumnConstraint::UpperBoundary(Width::Fixed(width.saturating_sub(excess))));
    }
    table.lines().map(|line| format!("{}\n", line.trim_end())).collect()
}

/// `answer` as JSON, on lines of its own.
pub(crate) fn json(answer: &impl Serialize) -> Result<String> {
    serde_json::to_string_pretty(answer)
        .map(|text| text + "\n")
        .map_err(|error| messages::ANSWER_IN_JSON.error().advice(error.to_string()))
}

/// Longest exact form that a table shows; a longer one is told as a decimal that says it is rounded.
const EXACT_LENGTH: usize = 16;

/// A measure in `unit`: exact if that is short, otherwise a decimal that says it is rounded.
pub(crate) fn measure<M: Measure>(value: Enclosure<M>, unit: M::Unit) -> Result<String> {
    let exact = value.low().to_text(unit).to_string();
    if value.is_exact() && exact.chars().count() <= EXACT_LENGTH {
        return Ok(exact);
    }
    let [low, high] = [value.low(), value.high()].map(|bound| bound.decimal_in(unit, PLACES));
    let (low, high) = (low?.to_string(), high?.to_string());
    Ok(if low == high { low } else { format!("{low} to {high}") })
}

/// A measure of either kind, as [`measure`].
pub(crate) fn any(bounds: AnyBounds) -> Result<String> {
    match bounds {
        AnyBounds::Length(bounds, unit) => measure(bounds, unit),
        AnyBounds::Angle(bounds, unit) => measure(bounds, unit),
    }
}

/// A length from a cut list, as [`measure`].
pub(crate) fn bounds(bounds: &wholestep_shop::cut_list::Bounds) -> Result<String> {
    measure(Enclosure::new(bounds.low.length, bounds.high.length)?, bounds.low.unit)
}

/// A length from a cut list: exact if it has no more than three decimals or a denominator that people know,
/// otherwise to three decimals.
pub(crate) fn told(length: Dimension) -> Result<String> {
    let exact = length.to_string();
    let decimals =
        exact.split_once('.').map_or(0, |(_, rest)| rest.chars().take_while(char::is_ascii_digit).count());
    if decimals <= READ_PLACES.into() && exact.chars().count() <= EXACT_LENGTH {
        return Ok(exact);
    }
    Ok(length.length.decimal_in(length.unit, READ_PLACES)?.to_string())
}

/// Decimals that are read off at the bench.
const READ_PLACES: u8 = 3;

/// The width that a terminal has at least.
const WIDTH: u16 = 80;

/// The text in lines of a terminal's width; those behind the first begin with `indent`.
pub(crate) fn wrapped(text: &str, indent: &str) -> String {
    textwrap::fill(text, textwrap::Options::new(WIDTH.into()).subsequent_indent(indent))
}

/// Conditions parted by `; `, each on lines of its own behind a dash.
pub(crate) fn bulleted(conditions: &str) -> String {
    let options = textwrap::Options::new(WIDTH.into()).initial_indent("  - ").subsequent_indent("    ");
    conditions.split("; ").map(|one| textwrap::fill(one, &options)).collect::<Vec<_>>().join("\n")
}

/// What was assumed because the axis file does not say, each on a line of its own.
pub(crate) fn assumed(parts: &[String]) -> String {
    if parts.is_empty() {
        return String::new();
    }
    format!("assumed, because the axis file does not say:\n{}\n", bulleted(&parts.join("; ")))
}

/// An enclosure for programs: both bounds as exact text.
#[derive(Debug, Serialize)]
pub(crate) struct Bounds {
    low: String,
    high: String,
}

impl Bounds {
    pub(crate) fn any(bounds: AnyBounds) -> Self {
        match bounds {
            AnyBounds::Length(bounds, unit) => Self::of(bounds, unit),
            AnyBounds::Angle(bounds, unit) => Self::of(bounds, unit),
        }
    }

    pub(crate) fn of<M: Measure>(value: Enclosure<M>, unit: M::Unit) -> Self {
        Self { low: value.low().to_text(unit).to_string(), high: value.high().to_text(unit).to_string() }
    }
}

/// Tells a person, beside the answer, what in the axis file looks wrong.
pub(crate) fn cautions(file: &AxisFile) {
    for caution in file.cautions() {
        eprintln!("caution: {caution}");
    }
}

/// A caution for programs.
#[derive(Debug, Serialize)]
pub(crate) struct Cautioned {
    key: &'static str,
    line: usize,
    text: String,
}

impl Cautioned {
    pub(crate) fn all(file: &AxisFile) -> Vec<Self> {
        let told = |caution: &Caution| Self {
            key: caution.key(),
            line: caution.line(),
            text: caution.text().into(),
        };
        file.cautions().iter().map(told).collect()
    }
}
