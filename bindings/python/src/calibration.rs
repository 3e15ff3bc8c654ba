//! Calibrations, as the JSON that the command prints too; `wholestep.calibration` makes classes of it.

use std::path::PathBuf;

use pyo3::prelude::*;
use wholestep::{Error, ErrorKind};
use wholestep_files::{Existing, write_whole};
use wholestep_shop::Calibration;

use crate::axis::Axis;
use crate::boundary::cross;

/// An axis held against readings, and its file mended at `write`; `wholestep.Calibration.of`.
#[pyfunction]
pub(crate) fn hold_against(
    axis: &Bound<'_, Axis>,
    readings: PathBuf,
    resolution: &str,
    within: Option<&str>,
    write: Option<PathBuf>,
) -> PyResult<String> {
    cross(axis.py(), || {
        let Some(file) = axis.get().file() else {
            let error = Error::new(ErrorKind::Refused, "calibration of an axis without a file");
            return Err(error.remedy("load it from an axis file"));
        };
        let found = Calibration::of(file, &readings, resolution, within)?;
        if let Some(path) = write.filter(|_| !found.edits.is_empty()) {
            write_whole(&path, found.write_into(file)?.text(), Existing::Replace)?;
        }
        serde_json::to_string(&found)
            .map_err(|error| Error::new(ErrorKind::File, "calibration in JSON").advice(error.to_string()))
    })
}
