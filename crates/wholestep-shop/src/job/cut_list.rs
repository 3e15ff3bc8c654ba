//! The `[cut_list]` of a job file.

use std::path::Path;

use wholestep::{Angle, Length, LengthUnit, Measure, Result, Rounding};
use wholestep_files::{Section, keys, words};

use super::{check_name, load_parts};
use crate::cut_list::{CutList, Marks, MarksFrom, MeasuredTo, Part, Stock, Turning};

keys! {
    pub(super) struct CutListKeys {
        /// The width of the saw's cut.
        kerf: Length,
        /// By how much the kerf may be wider than that. A board whose spare its cuts could use up is named.
        kerf_error: Option<Length> = "0",
        /// What is cut off one end of each piece of stock before the first part.
        end_trim: Option<Length> = "0",
        /// The shortest offcut worth keeping.
        smallest_offcut: Option<Length> = "0",
        /// The shortest piece that may be held while it is cut, from the saw's manual. A shorter part is cut with
        /// the stock held and the stop backed off.
        shortest_to_hold: Option<Length> = "not checked",
        /// How far the stop is backed off, with the blade at rest, before a cut for which the stock is held.
        stop_gap: Option<Length> = "by hand",
        /// The width of the stock; parts with mitres need it.
        width: Option<Length>,
        /// How a stop position becomes a whole step.
        rounding: Option<Rounding> = "`\"nearest\"`",
        /// Whether each piece of stock is finished before the next is taken up; if not, the stop moves least, as
        /// for a stop that is set by hand.
        finish_each_piece: Option<bool> = "`true`",
        /// Whether parts may be turned so that one mitre cut makes the ends of two: `"end_for_end"` for stock
        /// with like edges, `"over"` for stock with like edges and like faces.
        turning: Option<Turning> = "`\"none\"`",
        /// A CSV file of parts, named from the folder of the job file.
        parts: Option<String>,
    }
}

keys! {
    pub(super) struct StockEntry {
        /// The length of each piece.
        length: Length,
        /// How many pieces there are.
        quantity: Option<u32> = "as many as needed",
    }
}

keys! {
    /// A part as files write it.
    pub(super) struct PartEntry {
        /// What the part is called.
        name: String,
        /// Its length.
        length: Length,
        /// How many of it are wanted.
        quantity: Option<u32> = "1",
        /// The angle of its left end from square.
        left: Option<Angle> = "0",
        /// The angle of its right end from square.
        right: Option<Angle> = "0",
        /// Which points of mitred ends the length is measured between.
        measured_to: Option<MeasuredTo> = "`\"long_point\"`",
    }
}

keys! {
    pub(super) struct MarksEntry {
        /// What the marks are for.
        name: String,
        /// The length of the piece that is marked.
        length: Length,
        /// How many marks there are.
        count: Option<u32>,
        /// From one mark to the next.
        spacing: Option<Length>,
        /// Where the marks are counted from.
        from: Option<MarksFrom> = "`\"end\"`",
        /// From there to the first mark.
        first: Option<Length>,
    }
}

words! {
    Turning: Self::ALL;
    MeasuredTo: Self::ALL;
    MarksFrom: Self::ALL;
}

/// Reads the section; lengths are told in `unit`.
pub(super) fn read(mut section: Section<'_>, folder: &Path, unit: LengthUnit) -> Result<CutList> {
    let mut list = CutList::new(unit);
    let stock = section.sections("stock")?;
    let parts = section.sections("part")?;
    let marks = section.sections("marks")?;
    let keys: CutListKeys = section.read()?;
    list.kerf = keys.kerf;
    list.kerf_error = keys.kerf_error.unwrap_or(Length::ZERO);
    list.stop_gap = keys.stop_gap;
    list.end_trim = keys.end_trim.unwrap_or(Length::ZERO);
    list.smallest_offcut = keys.smallest_offcut.unwrap_or(Length::ZERO);
    list.shortest_to_hold = keys.shortest_to_hold.unwrap_or(Length::ZERO);
    list.width = keys.width;
    list.rounding = keys.rounding.unwrap_or(Rounding::Nearest);
    list.finish_each_piece = keys.finish_each_piece.unwrap_or(true);
    list.turning = keys.turning.unwrap_or_default();
    list.check_settings().map_err(|error| section.blame(error))?;
    for entry in stock {
        list.stock.push(read_stock(entry, unit)?);
    }
    for entry in parts {
        let part = read_part(entry, &list)?;
        list.parts.push(part);
    }
    if let Some(csv) = keys.parts {
        let declared = section.length_unit();
        let parts = load_parts(folder.join(&csv), declared, &list);
        list.parts.extend(parts.map_err(|error| match error.file() {
            Some(_) => error,
            None => section.blame_at("parts", error),
        })?);
    }
    for entry in marks {
        list.marks.push(read_marks(entry, unit)?);
    }
    list.check().map_err(|error| section.blame(error))?;
    Ok(list)
}

fn read_stock(mut section: Section<'_>, unit: LengthUnit) -> Result<Stock> {
    let entry: StockEntry = section.read()?;
    let stock = Stock { length: entry.length, quantity: entry.quantity };
    stock.check(unit).map_err(|error| section.blame(error))?;
    Ok(stock)
}

fn read_part(mut section: Section<'_>, list: &CutList) -> Result<Part> {
    let entry: PartEntry = section.read()?;
    check_name(&entry.name).map_err(|error| section.blame(error))?;
    let part = Part {
        name: entry.name,
        length: entry.length,
        quantity: entry.quantity.unwrap_or(1),
        left: entry.left.unwrap_or(Angle::ZERO),
        right: entry.right.unwrap_or(Angle::ZERO),
        measured_to: entry.measured_to.unwrap_or_default(),
    };
    list.check_part(&part).map_err(|error| section.blame(error))?;
    Ok(part)
}

fn read_marks(mut section: Section<'_>, unit: LengthUnit) -> Result<Marks> {
    let entry: MarksEntry = section.read()?;
    check_name(&entry.name).map_err(|error| section.blame(error))?;
    let MarksEntry { name, length, count, spacing, from, first } = entry;
    let marks = Marks { name, length, count, spacing, from: from.unwrap_or_default(), first };
    marks.places(unit).map_err(|error| section.blame(error))?;
    Ok(marks)
}
