//! CSV files (RFC 4180), such as a spreadsheet writes: read whole, and refused at the line that is wrong.

use std::fs;
use std::path::Path;

use csv::{Position, Reader, ReaderBuilder};
use wholestep::error::Value;
use wholestep::{Error, Result};

use crate::bounds::CSV_BYTES_MAX;
use crate::messages;

/// The text of the file at `path`, without the mark that some spreadsheets begin it with; `unreadable` is what a file
/// that cannot be read is called.
pub(crate) fn text(path: &Path, unreadable: impl Fn() -> Error) -> Result<String> {
    let file = path.display().to_string();
    if fs::metadata(path).is_ok_and(|found| found.len() > CSV_BYTES_MAX) {
        return Err(messages::LARGE_FILE.error().in_file(&file));
    }
    let text = fs::read_to_string(path).map_err(|error| {
        let given = Value::text(&path.file_name().unwrap_or_default().to_string_lossy());
        unreadable().given(given).advice(error.to_string()).os_error(&file, error.raw_os_error())
    })?;
    Ok(text.strip_prefix('\u{feff}').map(ToOwned::to_owned).unwrap_or(text))
}

pub(crate) fn reader(text: &str) -> Reader<&[u8]> {
    ReaderBuilder::new().trim(csv::Trim::All).from_reader(text.as_bytes())
}

/// Notes at which place a column of those `known` stands, and returns which it is with the unit in brackets behind its
/// name.
pub(crate) fn column<'c>(
    (place, cell): (usize, &'c str),
    known: &[&'static str],
    places: &mut [Option<usize>],
) -> Result<(usize, Option<&'c str>)> {
    let (name, unit) = match cell.strip_suffix(')').and_then(|cell| cell.rsplit_once('(')) {
        Some((name, unit)) => (name.trim(), Some(unit.trim())),
        None => (cell, None),
    };
    let name = name.to_lowercase().replace(' ', "_");
    let Some(column) = known.iter().position(|column| *column == name) else {
        return Err(messages::UNKNOWN_COLUMN
            .error()
            .given(Value::text(cell))
            .advice(format!("known here: {}; put commas between columns", known.join(", "))));
    };
    if places[column].replace(place).is_some() {
        return Err(messages::COLUMN_GIVEN_TWICE.error().at_key(&name));
    }
    Ok((column, unit))
}

/// The error with the line of a record; the position is that before the empty lines in front of it.
pub(crate) fn placed(error: Error, position: Option<&Position>, text: &str) -> Error {
    match position {
        Some(position) => error.on_line(line(position, text)),
        None => error,
    }
}

pub(crate) fn line(position: &Position, text: &str) -> usize {
    let start = usize::try_from(position.byte()).unwrap_or(usize::MAX);
    let record = text.get(start..).unwrap_or_default();
    let empty = record.len() - record.trim_start_matches(['\r', '\n']).len();
    text.bytes().take(start + empty).filter(|byte| *byte == b'\n').count() + 1
}

pub(crate) fn refused(error: &csv::Error, text: &str) -> Error {
    let refused = match error.kind() {
        csv::ErrorKind::UnequalLengths { expected_len, len, .. } => messages::COLUMNS_OF_A_ROW.error().advice(format!(
            "it has {len} where the first line has {expected_len}; put a text with a comma in it in quotes"
        )),
        _ => messages::NOT_CSV.error().advice(error.to_string()),
    };
    placed(refused, error.position(), text)
}
