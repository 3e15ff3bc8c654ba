//! Job files: what is to be done with an axis.
//!
//! A job file is TOML. `docs/files.md`, which `wholestep help files` prints too, and [`reference()`] say
//! what each key and each column of its CSV file is.

mod cut_list;
mod moves;
mod parts_csv;
mod plunge;
mod reference;
mod stops;

pub use moves::{Move, MoveSpeed};
pub use parts_csv::load_parts;
pub use plunge::{Plunge, WorkHeld};
pub use reference::reference;
pub use stops::{Stop, Stops};

use std::path::Path;

use wholestep::carriage::AnyEquipment;
use wholestep::error::Value;
use wholestep::plan::Planner;
use wholestep::{Error, Length, Measure, Placement, Result};
use wholestep_files::{AxisFile, Document, Registry, Section};

use crate::cut_list::{CutList, CutSheet};
use crate::messages;

/// A job read from its file: an axis, and what is to be done with it.
#[derive(Clone, Debug)]
pub struct Job {
    name: String,
    axis: AxisFile,
    cut_list: Option<CutList>,
    moves: Vec<Move>,
    touch_off: Option<Placement<Length>>,
    file: Option<String>,
}

impl Job {
    /// Reads the job file at `path`, with the mechanisms in `registry`.
    ///
    /// # Errors
    /// Whatever is wrong with the job file, its axis file or its parts, with file, line and key.
    pub fn load(path: impl AsRef<Path>, registry: &Registry) -> Result<Self> {
        let folder = path.as_ref().parent().unwrap_or(Path::new(""));
        Self::read(&Document::load(&path)?, folder, registry)
    }

    /// Reads the text of a job file whose other files are named from `folder`.
    ///
    /// # Errors
    /// As [`load`](Self::load).
    pub fn from_toml(text: &str, folder: impl AsRef<Path>, registry: &Registry) -> Result<Self> {
        Self::read(&Document::from_toml(text)?, folder.as_ref(), registry)
    }

    /// Returns the name of the job.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// Returns the axis it is for.
    pub const fn axis(&self) -> &AxisFile {
        &self.axis
    }

    /// Returns the cut list, if the job has one.
    pub const fn cut_list(&self) -> Option<&CutList> {
        self.cut_list.as_ref()
    }

    /// Returns where the carriage is sent, in order.
    pub fn moves(&self) -> &[Move] {
        &self.moves
    }

    /// Returns the height of the gauge that is touched before the moves, if the job has one.
    pub const fn touch_off(&self) -> Option<&Placement<Length>> {
        self.touch_off.as_ref()
    }

    /// Works the job's cut list out, the stop's moves included.
    ///
    /// # Errors
    /// [`ErrorKind::Job`](wholestep::ErrorKind::Job) if the job has none, or its axis turns; as [`CutList::cuts`].
    pub fn cuts(&self) -> Result<CutSheet> {
        let Some(list) = &self.cut_list else {
            let error = messages::JOB_WITHOUT_A_CUT_LIST.error();
            return Err(self.place(error));
        };
        let Some(axis) = self.axis.axis().as_length() else { return Err(self.place(axis_turns())) };
        let timer_hz = self.axis.pulse().timer_hz;
        let plan = || {
            let mut cuts = list.cuts(axis)?;
            cuts.plan_moves(&Planner::new(axis, timer_hz, self.axis.pulse().timing()?)?)?;
            Ok(cuts)
        };
        plan().map_err(|error| self.place(error))
    }

    /// The error with the job's file.
    fn place(&self, error: Error) -> Error {
        match &self.file {
            Some(file) => error.in_file(file),
            None => error,
        }
    }

    fn read(document: &Document, folder: &Path, registry: &Registry) -> Result<Self> {
        let mut root = document.root();
        root.check_version()?;
        root.declare_unit()?;
        let name: String = root.required("name")?;
        check_name(&name).map_err(|error| root.blame_at("name", error))?;
        let axis = read_axis(&mut root, folder, registry)?;
        let section = root.optional_section("cut_list")?;
        let moves = root.sections("move")?;
        let touch_off = root.optional_section("touch_off")?;
        root.finish()?;
        let file = document.file().map(Into::into);
        let moves = moves::read(moves, &axis)?;
        let Some(along) = axis.axis().as_length() else {
            if section.is_none() && touch_off.is_none() {
                return Ok(Self { name, axis, cut_list: None, moves, touch_off: None, file });
            }
            return Err(root.blame_at("axis", axis_turns()));
        };
        let unit = |section: &Section<'_>| section.length_unit().unwrap_or(along.unit());
        let cut_list = section
            .map(|section| {
                let unit = unit(&section);
                cut_list::read(section, folder, unit)
            })
            .transpose()?;
        let touch_off = touch_off.map(|section| moves::read_touch_off(section, along)).transpose()?;
        if let (Some(gauge), AnyEquipment::Length(equipment)) = (&touch_off, axis.equipment())
            && equipment.touch_off.is_none()
        {
            let error = messages::TOUCH_OFF_WITHOUT_A_PROBE
                .error()
                .given(gauge.target().quoted(root.length_unit().unwrap_or(along.unit())));
            return Err(root.blame_at("touch_off", error));
        }
        Ok(Self { name, axis, cut_list, moves, touch_off, file })
    }
}

fn read_axis(root: &mut Section<'_>, folder: &Path, registry: &Registry) -> Result<AxisFile> {
    let path: String = root.required("axis")?;
    let found = folder.join(&path);
    if !found.is_file() {
        let error = messages::AXIS_FILE_NOT_FOUND.error().given(Value::text(&path));
        return Err(root.blame_at("axis", error.remedy("name it from the folder of the job file")));
    }
    AxisFile::load(found, registry)
}

fn axis_turns() -> Error {
    messages::AXIS_THAT_TURNS.error()
}

/// Refuses a name that is not one line of 1 to 80 characters.
fn check_name(name: &str) -> Result<()> {
    const MOST: usize = 80;
    if (1..=MOST).contains(&name.trim().chars().count()) && !name.chars().any(char::is_control) {
        return Ok(());
    }
    Err(messages::NAME.error().given(Value::text(name)))
}
