//! The reference of every key of the files, as `wholestep help files` prints it.

use wholestep_files::{Registry, SectionKeys};

const HEAD: &str = "\
# The files

Files are TOML (toml.io). A measure stands in quotes with its unit (`\"23/32 in\"`), or without one if the
file declares a `unit`. A bare number is refused if it would need a unit. On an axis that turns, every length
is an angle. A key that is not listed here is refused, with the nearest one that is.
";

/// Returns every section of axis and job files with its keys, and every column of a file of readings, in Markdown.
///
/// ```
/// let reference = wholestep_cli::files(&wholestep_files::Registry::standard());
/// assert!(reference.contains("- `step_angle`: angle."));
/// ```
pub fn files(registry: &Registry) -> String {
    let chapter = |heading: &str, sections: Vec<SectionKeys>| {
        let sections: Vec<String> = sections.iter().map(SectionKeys::to_string).collect();
        format!("\n## {heading}\n\n{}", sections.join("\n"))
    };
    format!(
        "{HEAD}{}{}{}",
        chapter("An axis file", registry.reference()),
        chapter("A job file", wholestep_shop::job::reference()),
        chapter("Readings of a gauge", vec![wholestep_shop::calibrate::reference()])
    )
}
