//! The `[cut_list]` of a job file.

use std::borrow::Cow;
use std::path::Path;

use serde::Deserialize;
use wholestep::{Angle, Length, LengthUnit, Measure, Result, Rounding};
use wholestep_files::{FileValue, Section, keys};

use super::{check_name, parts_csv};
use crate::cut_list::{CutList, Marks, MarksFrom, MeasuredTo, Part, Stock, Turning};

keys! {
    pub(super) fn cut_list_keys {
        /// The width of the saw's cut.
        kerf: Length,
        /// What is cut off one end of each piece of stock before the first part.
        end_trim: Option<Length> = "0",
        /// The shortest offcut worth keeping.
        smallest_offcut: Option<Length> = "0",
        /// The shortest piece that may be held while it is cut; a shorter part is held by what remains.
        shortest_to_hold: Option<Length> = "0",
        /// The width of the stock; parts with mitres need it.
        width: Option<Length>,
        /// How a stop position becomes a whole step.
        rounding: Option<RoundingWord> = "`\"nearest\"`",
        /// Whether each piece of stock is finished before the next is taken up.
        finish_each_piece: Option<bool> = "`false`",
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
        #[serde(default)]
        measured_to: MeasuredTo = "`\"long_point\"`",
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
        #[serde(default)]
        from: MarksFrom = "`\"end\"`",
        /// From there to the first mark.
        first: Option<Length>,
    }
}

#[derive(Clone, Copy, Deserialize)]
#[serde(rename_all = "snake_case")]
enum RoundingWord {
    Nearest,
    Below,
    Above,
}

macro_rules! words {
    ($($type:ty: $words:literal;)*) => { $(
        impl FileValue for $type {
            fn value() -> Cow<'static, str> {
                $words.into()
            }
        }
    )* };
}

words! {
    RoundingWord: "`\"nearest\"`, `\"below\"` or `\"above\"`";
    Turning: "`\"none\"`, `\"end_for_end\"` or `\"over\"`";
    MeasuredTo: "`\"long_point\"` or `\"short_point\"`";
    MarksFrom: "`\"end\"` or `\"centre\"`";
}

/// Reads the section; lengths are told in `unit`.
pub(super) fn read(mut section: Section<'_>, folder: &Path, unit: LengthUnit) -> Result<CutList> {
    let mut list = CutList::new(unit);
    list.kerf = section.required("kerf")?;
    list.end_trim = section.optional("end_trim")?.unwrap_or(Length::ZERO);
    list.smallest_offcut = section.optional("smallest_offcut")?.unwrap_or(Length::ZERO);
    list.shortest_to_hold = section.optional("shortest_to_hold")?.unwrap_or(Length::ZERO);
    list.width = section.optional("width")?;
    list.rounding = match section.optional("rounding")? {
        None | Some(RoundingWord::Nearest) => Rounding::Nearest,
        Some(RoundingWord::Below) => Rounding::Below,
        Some(RoundingWord::Above) => Rounding::Above,
    };
    list.finish_each_piece = section.optional("finish_each_piece")?.unwrap_or(false);
    list.turning = section.optional("turning")?.unwrap_or(Turning::None);
    let stock = section.sections("stock")?;
    let parts = section.sections("part")?;
    let marks = section.sections("marks")?;
    let csv: Option<String> = section.optional("parts")?;
    section.finish()?;
    list.check_settings().map_err(|error| section.blame(error))?;
    for entry in stock {
        list.stock.push(read_stock(entry, unit)?);
    }
    for entry in parts {
        let part = read_part(entry, &list)?;
        list.parts.push(part);
    }
    if let Some(csv) = csv {
        let declared = section.length_unit();
        let parts = parts_csv::load(&folder.join(&csv), declared, &list);
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
        measured_to: entry.measured_to,
    };
    list.check_part(&part).map_err(|error| section.blame(error))?;
    Ok(part)
}

fn read_marks(mut section: Section<'_>, unit: LengthUnit) -> Result<Marks> {
    let entry: MarksEntry = section.read()?;
    check_name(&entry.name).map_err(|error| section.blame(error))?;
    let MarksEntry { name, length, count, spacing, from, first } = entry;
    let marks = Marks { name, length, count, spacing, from, first };
    marks.places(unit).map_err(|error| section.blame(error))?;
    Ok(marks)
}
