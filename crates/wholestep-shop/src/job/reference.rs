//! The reference of every key of a job file and every column of its CSV file.

use wholestep_files::{Keys, SectionKeys, keys};

use super::cut_list::{CutListKeys, MarksEntry, PartEntry, StockEntry};
use super::moves::{MoveEntry, TouchEntry};

keys! {
    fn root_keys {
        /// The version of the format: 1.
        version: i64,
        /// The name of the job, one line of at most 80 characters.
        name: String,
        /// The axis file, named from the folder of the job file.
        axis: String,
        /// The unit of every quoted number without one: `"mm"`, `"in"`.
        unit: Option<String>,
    }
}

/// Returns every section of a job file with its keys, and the columns of a CSV file of parts.
///
/// ```
/// let reference = wholestep_shop::job::reference();
/// assert!(reference.iter().any(|section| section.heading == "`[cut_list]`"));
/// ```
pub fn reference() -> Vec<SectionKeys> {
    vec![
        SectionKeys::new("At the top", "What the job is, and for which axis.", root_keys()),
        SectionKeys::new(
            "`[cut_list]`",
            "Parts to be cut from stock against the axis as a stop.",
            CutListKeys::keys(),
        ),
        SectionKeys::new("`[[cut_list.stock]]`", "Once for each length of stock.", StockEntry::keys()),
        SectionKeys::new("`[[cut_list.part]]`", "Once for each part.", PartEntry::keys()),
        SectionKeys::new("`[[cut_list.marks]]`", "Once for each row of marks.", MarksEntry::keys()),
        SectionKeys::new(
            "`[[move]]`",
            "Once for each place; the moves follow one another. Only one with `plunge = true` may go into the work.",
            MoveEntry::<wholestep::Length>::keys(),
        ),
        SectionKeys::new("`[touch_off]`", "A touch-off at a gauge, before the moves.", TouchEntry::keys()),
        SectionKeys::new(
            "The CSV file of parts",
            "The first line names the columns, which are the keys of `[[cut_list.part]]`; each further line is a \
             part (RFC 4180). A unit stands in the value, in the column's name (`length (in)`), or is declared by \
             the job.",
            PartEntry::keys(),
        ),
    ]
}
