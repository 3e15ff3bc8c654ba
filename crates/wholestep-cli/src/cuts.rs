//! `wholestep cuts JOB`.

use wholestep::Result;

use crate::arguments::Cuts;

pub(crate) fn answer(_task: &Cuts, _json: bool) -> Result<String> {
    Ok(String::new())
}
