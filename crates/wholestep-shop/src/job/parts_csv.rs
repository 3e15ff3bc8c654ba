//! Parts from a CSV file (RFC 4180), such as a spreadsheet writes.

use std::path::Path;

use csv::StringRecord;
use wholestep::error::Value;
use wholestep::measure::Unit;
use wholestep::{Angle, AngleUnit, Error, Length, LengthUnit, Measure, Result};

use super::check_name;
use crate::csv_file;
use crate::cut_list::{CutList, MeasuredTo, Part};
use crate::messages;

/// The columns, as a header names them.
const COLUMNS: [&str; 6] = ["name", "length", "quantity", "left", "right", "measured_to"];

/// Reads the parts of the CSV file at `path`, as a job's `parts` does: parts that `list` could cut, with
/// lengths without a unit in the `declared` one. `docs/files.md` lists the columns.
///
/// # Errors
/// What is wrong with the file or a cell of it, with file, line and column.
pub fn load_parts(path: impl AsRef<Path>, declared: Option<LengthUnit>, list: &CutList) -> Result<Vec<Part>> {
    let path = path.as_ref();
    let text = csv_file::text(path, || messages::UNREADABLE_PARTS.error())?;
    read(&text, declared, list).map_err(|error| error.in_file(&path.display().to_string()))
}

fn read(text: &str, declared: Option<LengthUnit>, list: &CutList) -> Result<Vec<Part>> {
    let mut reader = csv_file::reader(text);
    let refuse = |error: csv::Error| csv_file::refused(&error, text);
    let header = Header::of(reader.headers().map_err(refuse)?, declared)?;
    let mut parts = Vec::new();
    for record in reader.records() {
        let record = record.map_err(refuse)?;
        let part = header.part(&record, list);
        parts.push(part.map_err(|error| csv_file::placed(error, record.position(), text))?);
    }
    Ok(parts)
}

/// Where each column stands, and the units that the header declares.
#[derive(Default)]
struct Header {
    places: [Option<usize>; COLUMNS.len()],
    length: Option<LengthUnit>,
    angle: [Option<AngleUnit>; 2],
}

impl Header {
    fn of(record: &StringRecord, declared: Option<LengthUnit>) -> Result<Self> {
        let mut header = Self { length: declared, ..Self::default() };
        for (place, cell) in record.iter().enumerate() {
            header.column(place, cell).map_err(|error| error.on_line(1))?;
        }
        for column in ["name", "length"] {
            if header.place(column).is_none() {
                return Err(messages::MISSING_COLUMN.error().on_line(1).at_key(column));
            }
        }
        Ok(header)
    }

    fn column(&mut self, place: usize, cell: &str) -> Result<()> {
        let (column, unit) = csv_file::column((place, cell), &COLUMNS, &mut self.places)?;
        let (name, Some(unit)) = (COLUMNS[column], unit) else { return Ok(()) };
        let read = match name {
            "length" => LengthUnit::read(unit).map(|unit| self.length = Some(unit)),
            "left" => AngleUnit::read(unit).map(|unit| self.angle[0] = Some(unit)),
            "right" => AngleUnit::read(unit).map(|unit| self.angle[1] = Some(unit)),
            _ => Err(messages::COLUMN_WITHOUT_A_UNIT.error()),
        };
        read.map_err(|error| error.at_key(name))
    }

    fn place(&self, name: &str) -> Option<usize> {
        COLUMNS.iter().position(|column| *column == name).and_then(|column| self.places[column])
    }

    fn part(&self, record: &StringRecord, list: &CutList) -> Result<Part> {
        let cell = |column| self.place(column).and_then(|place| record.get(place)).unwrap_or_default();
        let at = |column| move |error: Error| error.at_key(column);
        let angle = |column: &'static str, unit| match cell(column) {
            "" => Ok(Angle::ZERO),
            text => Angle::read(text, unit).map_err(at(column)),
        };
        check_name(cell("name")).map_err(at("name"))?;
        let part = Part {
            name: cell("name").into(),
            length: Length::read(cell("length"), self.length).map_err(at("length"))?,
            quantity: quantity(cell("quantity")).map_err(at("quantity"))?,
            left: angle("left", self.angle[0])?,
            right: angle("right", self.angle[1])?,
            measured_to: measured_to(cell("measured_to")).map_err(at("measured_to"))?,
        };
        list.check_part(&part).map_err(|error| {
            match error.parameter().filter(|parameter| COLUMNS.contains(parameter)) {
                Some(column) => error.at_key(column),
                None => error,
            }
        })?;
        Ok(part)
    }
}

fn quantity(cell: &str) -> Result<u32> {
    if cell.is_empty() {
        return Ok(1);
    }
    cell.parse().map_err(|_| messages::QUANTITY_TEXT.error().given(Value::text(cell)).spelling("12"))
}

fn measured_to(cell: &str) -> Result<MeasuredTo> {
    if cell.is_empty() {
        return Ok(MeasuredTo::default());
    }
    MeasuredTo::ALL.into_iter().find(|point| point.name() == cell).ok_or_else(|| {
        messages::MEASURED_TO.error().given(Value::text(cell)).spelling("long_point or short_point")
    })
}
