//! The `[cut_list]` of a job file.

use std::path::Path;

use serde::Deserialize;
use wholestep::{Angle, Length, LengthUnit, Measure, Result, Rounding};
use wholestep_files::Section;

use super::{check_name, parts_csv};
use crate::cut_list::{CutList, Marks, MarksFrom, MeasuredTo, Part, Stock, Turning};

/// A part as files write it.
#[derive(Deserialize)]
struct PartEntry {
    name: String,
    length: Length,
    quantity: Option<u32>,
    left: Option<Angle>,
    right: Option<Angle>,
    #[serde(default)]
    measured_to: MeasuredTo,
}

#[derive(Deserialize)]
struct StockEntry {
    length: Length,
    quantity: Option<u32>,
}

#[derive(Deserialize)]
struct MarksEntry {
    name: String,
    length: Length,
    count: Option<u32>,
    spacing: Option<Length>,
    #[serde(default)]
    from: MarksFrom,
    first: Option<Length>,
}

#[derive(Clone, Copy, Deserialize)]
#[serde(rename_all = "snake_case")]
enum RoundingWord {
    Nearest,
    Below,
    Above,
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
