//! `wholestep cuts JOB`.

use wholestep::Result;
use wholestep_files::Registry;
use wholestep_shop::job::Job;

use crate::arguments;
use crate::cut_sheet::{self, title};
use crate::output;

pub(crate) fn answer(task: &arguments::Cuts, json: bool, registry: &Registry) -> Result<String> {
    let job = Job::load(&task.job, registry)?;
    output::cautions(job.axis());
    let cuts = job.cuts()?;
    if json {
        return cut_sheet::json(&cuts);
    }
    Ok(cut_sheet::text(&cut_sheet::blocks(&title(job.name(), job.axis().name()), &cuts)?))
}
