//! Efforts, as the JSON that the command prints too; `wholestep.effort` makes classes of it.

use pyo3::prelude::*;
use wholestep::{Error, ErrorKind};
use wholestep_shop::effort::{Effort, read_margin};

use crate::axis::Axis;
use crate::boundary::cross;

/// The effort of an axis; `wholestep.Effort.of`.
#[pyfunction]
pub(crate) fn work_out_effort(axis: &Bound<'_, Axis>, margin: &str) -> PyResult<String> {
    cross(axis.py(), || {
        let Some(file) = axis.get().file() else {
            let error = Error::new(ErrorKind::Refused, "effort of an axis without a file");
            return Err(error.remedy("load it from an axis file whose [machine] tells what moves it"));
        };
        let effort = Effort::new(file, read_margin(margin)?)?;
        serde_json::to_string(&effort)
            .map_err(|error| Error::new(ErrorKind::File, "effort in JSON").advice(error.to_string()))
    })
}
