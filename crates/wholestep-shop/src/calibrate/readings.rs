//! Readings of a gauge, from a CSV file (RFC 4180) such as a spreadsheet writes.

use std::path::Path;

use csv::StringRecord;
use serde::Serialize;
use wholestep::error::Value;
use wholestep::measure::Unit as _;
use wholestep::{Exact, Length, Measure, Result};
use wholestep_files::{SectionKeys, keys};

use crate::csv_file;
use crate::messages;

/// The way the axis came to where it was read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Way {
    /// Upward, toward the high end.
    Up,
    /// Downward, toward the low end.
    Down,
}

/// One reading, in millimetres or degrees.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Reading {
    /// The line of the file.
    pub line: usize,
    /// Where the axis was sent.
    pub asked: Exact,
    /// What the gauge read.
    pub read: Exact,
    /// How it came there.
    pub way: Way,
}

/// The columns, as a header names them.
const COLUMNS: [&str; 3] = ["asked", "read", "way"];

/// Most readings that are taken; more are better averaged.
const READINGS_MAX: usize = 500;

/// Reads the CSV file at `path`, measures without a unit in the `declared` one.
pub(super) fn load<M: Measure>(path: &Path, declared: Option<M::Unit>) -> Result<Vec<Reading>> {
    let text = csv_file::text(path, || messages::UNREADABLE_READINGS.error())?;
    let readings = read::<M>(&text, declared).and_then(|readings| check(&readings).map(|()| readings));
    readings.map_err(|error| error.in_file(&path.display().to_string()))
}

fn read<M: Measure>(text: &str, declared: Option<M::Unit>) -> Result<Vec<Reading>> {
    let mut reader = csv_file::reader(text);
    let refuse = |error: csv::Error| csv_file::refused(&error, text);
    let header = Header::<M>::of(reader.headers().map_err(refuse)?, declared)?;
    let mut readings = Vec::new();
    for record in reader.records() {
        let record = record.map_err(refuse)?;
        let line = record.position().map_or(0, |position| csv_file::line(position, text));
        readings.push(header.reading(&record, line).map_err(|error| error.on_line(line))?);
    }
    if readings.len() > READINGS_MAX {
        let most = Value::Integer(READINGS_MAX as i128);
        let given = Value::Integer(readings.len() as i128);
        return Err(messages::NUMBER_OF_READINGS.error().given(given).at_most(most));
    }
    Ok(readings)
}

/// Where each column stands, and the units that the header declares.
struct Header<M: Measure> {
    places: [Option<usize>; COLUMNS.len()],
    units: [Option<M::Unit>; 2],
}

impl<M: Measure> Header<M> {
    fn of(record: &StringRecord, declared: Option<M::Unit>) -> Result<Self> {
        let mut header = Self { places: [None; COLUMNS.len()], units: [declared; 2] };
        for (place, cell) in record.iter().enumerate() {
            header.column(place, cell).map_err(|error| error.on_line(1))?;
        }
        for (column, place) in COLUMNS.iter().zip(header.places).take(2) {
            if place.is_none() {
                return Err(messages::MISSING_COLUMN_OF_READINGS.error().on_line(1).at_key(column));
            }
        }
        if let [Some(asked), Some(read)] = header.units
            && asked != read
        {
            return Err(messages::READINGS_IN_TWO_UNITS.error().on_line(1).at_key("read"));
        }
        Ok(header)
    }

    fn column(&mut self, place: usize, cell: &str) -> Result<()> {
        let (column, unit) = csv_file::column((place, cell), &COLUMNS, &mut self.places)?;
        let Some(unit) = unit else { return Ok(()) };
        let read = match self.units.get_mut(column) {
            Some(declared) => M::Unit::read(unit).map(|unit| *declared = Some(unit)),
            None => Err(messages::COLUMN_WITHOUT_A_UNIT.error()),
        };
        read.map_err(|error| error.at_key(COLUMNS[column]))
    }

    fn reading(&self, record: &StringRecord, line: usize) -> Result<Reading> {
        let cell =
            |column: usize| self.places[column].and_then(|place| record.get(place)).unwrap_or_default();
        let measure = |column: usize| {
            let read = M::read(cell(column), self.units[column]).map(M::base);
            read.map_err(|error| error.at_key(COLUMNS[column]))
        };
        Ok(Reading {
            line,
            asked: measure(0)?,
            read: measure(1)?,
            way: way(cell(2)).map_err(|error| error.at_key(COLUMNS[2]))?,
        })
    }
}

fn way(cell: &str) -> Result<Way> {
    match cell {
        "" | "up" => Ok(Way::Up),
        "down" => Ok(Way::Down),
        _ => Err(messages::WAY_OF_A_READING.error().given(Value::text(cell)).spelling("up or down")),
    }
}

/// Refuses readings that tell nothing.
fn check(readings: &[Reading]) -> Result<()> {
    let each = |way| readings.iter().filter(|reading| reading.way == way).count();
    let unknown = 2 + usize::from(each(Way::Up) > 0 && each(Way::Down) > 0);
    if readings.len() <= unknown {
        let least = Value::Integer(unknown as i128 + 1);
        let given = Value::Integer(readings.len() as i128);
        return Err(messages::TOO_FEW_READINGS.error().given(given).at_least(least));
    }
    if readings.windows(2).all(|pair| pair[0].asked == pair[1].asked) {
        return Err(messages::READINGS_AT_ONE_PLACE.error().given(Value::Integer(readings.len() as i128)));
    }
    if readings.windows(2).all(|pair| pair[0].read == pair[1].read) {
        return Err(messages::READINGS_ALL_ALIKE.error());
    }
    Ok(())
}

keys! {
    fn columns {
        /// Where the axis was sent.
        asked: Length,
        /// What the gauge read there.
        read: Length,
        /// The way the axis came there: `up`, or `down` toward the low end.
        way: Option<String> = "`up`",
    }
}

/// Returns the columns of a CSV file of readings.
pub fn reference() -> SectionKeys {
    SectionKeys::new(
        "The CSV file of readings",
        "The first line names the columns; each further line is a reading (RFC 4180). A unit stands in the value, in the \
         column's name (`read (mm)`), or is that of the axis.",
        columns(),
    )
}
