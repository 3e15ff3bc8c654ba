//! Axis files.

use std::path::Path;

use super::axis_keys::{LimitsKeys, MotionKeys, MotorKeys};
use super::caution::{self, Caution};
use super::document::Document;
use super::edit::{changed, noted};
use super::equipment::Fitted;
use super::machine_data::{MachineData, MachineSections};
use super::pulse::Pulse;
use super::registry::Registry;
use super::section::Section;
use super::suggest::listed;
use super::value::FileMeasure;
use crate::messages;
use wholestep::axis::{
    AngleMechanism, AnyAxis, AnyMechanism, Axis, AxisConfig, LengthMechanism, Rates, SharedMechanism,
};
use wholestep::carriage::{AnyEquipment, CarriageConfig};
use wholestep::error::{Error, ErrorKind, Result, Value};
use wholestep::measure::{Length, Speed};
use wholestep::mechanism::{DriveTrain, StepMode};

/// An axis read from its file.
///
/// A file is TOML. `docs/files.md`, which `wholestep help files` prints too, and
/// [`Registry::reference`] say what each key is.
#[derive(Clone, Debug)]
pub struct AxisFile {
    name: String,
    kind: String,
    description: String,
    drive: DriveTrain,
    axis: AnyAxis,
    pulse: Pulse,
    equipment: AnyEquipment,
    configuration: CarriageConfig,
    figures: MachineData,
    cautions: Vec<Caution>,
    file: Option<String>,
    text: String,
    registry: Registry,
}

impl AxisFile {
    /// Reads the axis file at `path`, of the built-in kinds; [`load`](Self::load) knows others.
    ///
    /// ```
    /// # use wholestep_files::AxisFile;
    /// let lift = AxisFile::open("../../examples/axes/router_lift.toml")?;
    /// let placed = lift.length_axis()?.place("23/32 in".parse()?, wholestep::Rounding::Nearest)?;
    /// assert_eq!(placed.step(), 19_473);
    /// # Ok::<(), wholestep::Error>(())
    /// ```
    ///
    /// # Errors
    /// As [`load`](Self::load).
    pub fn open(path: impl AsRef<Path>) -> Result<Self> {
        Self::load(path, &Registry::standard())
    }

    /// Reads the axis file at `path`, of the kinds in `registry`.
    ///
    /// # Errors
    /// As [`Document::load`] and, with file, line and key, as everything that the file sets.
    pub fn load(path: impl AsRef<Path>, registry: &Registry) -> Result<Self> {
        Self::from_document(&Document::load(path)?, registry)
    }

    /// Reads the text of an axis file, of the kinds in `registry`.
    ///
    /// # Errors
    /// As [`load`](Self::load).
    pub fn from_toml(text: &str, registry: &Registry) -> Result<Self> {
        Self::from_document(&Document::from_toml(text)?, registry)
    }

    /// Returns the text of the file, as it was read.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// Returns the name of the axis.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// Returns the kind of its mechanism.
    pub fn kind(&self) -> &str {
        &self.kind
    }

    /// Returns the mechanism in words, such as `lead screw: pitch 3 mm, starts 1`.
    pub fn description(&self) -> &str {
        &self.description
    }

    /// Returns the motor, its driver and the teeth behind it.
    pub const fn drive_train(&self) -> DriveTrain {
        self.drive
    }

    /// Returns the axis.
    pub const fn axis(&self) -> &AnyAxis {
        &self.axis
    }

    /// Returns the axis if its positions are lengths.
    ///
    /// # Errors
    /// [`ErrorKind::Refused`] for an axis that turns.
    pub fn length_axis(&self) -> Result<&Axis<LengthMechanism>> {
        self.axis
            .as_length()
            .ok_or_else(|| self.other("axis that turns", "angle_axis, or an axis that moves along a line"))
    }

    /// Returns the axis if its positions are angles.
    ///
    /// # Errors
    /// [`ErrorKind::Refused`] for an axis that moves along a line.
    pub fn angle_axis(&self) -> Result<&Axis<AngleMechanism>> {
        self.axis
            .as_angle()
            .ok_or_else(|| self.other("axis that moves along a line", "length_axis, or an axis that turns"))
    }

    fn other(&self, subject: &'static str, instead: &str) -> Error {
        let error = Error::new(ErrorKind::Refused, subject).given(Value::text(&self.name));
        error.advice(format!("take {instead}"))
    }

    /// Returns the timer and the pulses of the driver.
    pub const fn pulse(&self) -> Pulse {
        self.pulse
    }

    /// Returns what is fitted to the axis.
    pub const fn equipment(&self) -> &AnyEquipment {
        &self.equipment
    }

    /// Returns what the axis moves and what moves it, as far as the file tells.
    pub const fn machine_data(&self) -> &MachineData {
        &self.figures
    }

    /// Returns the same axis with another machine on it, for comparison; its text stays.
    #[must_use]
    pub fn with_machine_data(self, figures: MachineData) -> Self {
        Self { figures, ..self }
    }

    /// Returns what in the file works but looks wrong; show it to whoever reads the file.
    pub fn cautions(&self) -> &[Caution] {
        &self.cautions
    }

    /// Returns the configuration of a carriage on this axis.
    pub const fn carriage_config(&self) -> &CarriageConfig {
        &self.configuration
    }

    /// Returns the same file with the driver in another step mode, for comparison.
    ///
    /// # Errors
    /// As [`from_toml`](Self::from_toml), where the other step mode does not fit the axis.
    pub fn with_step_mode(&self, step_mode: StepMode) -> Result<Self> {
        self.with("motor.step_mode", &step_mode.to_string())
    }

    /// Returns the same file with another value at `key`, for comparison: `motor.step_mode`, or `step_mode`
    /// alone if no other section has such a key.
    ///
    /// ```
    /// # use wholestep_files::AxisFile;
    /// let lift = AxisFile::open("../../examples/axes/router_lift.toml")?;
    /// let other = lift.with("pitch", "6")?;
    /// assert_eq!(other.description(), "lead screw: pitch 6, starts 1");
    /// # Ok::<(), wholestep::Error>(())
    /// ```
    ///
    /// # Errors
    /// [`ErrorKind::Key`] if the key alone does not say which one is meant; otherwise as
    /// [`from_toml`](Self::from_toml).
    pub fn with(&self, key: &str, value: &str) -> Result<Self> {
        let text = changed(&self.text, key, value)?;
        Self::from_document(&Document::parse(self.file.clone(), &text)?, &self.registry)
    }

    /// As [`with`](Self::with), with what stood at `key` before noted in a comment behind it.
    ///
    /// # Errors
    /// As [`with`](Self::with).
    pub fn with_noted(&self, key: &str, value: &str) -> Result<Self> {
        let text = noted(&self.text, key, value)?;
        Self::from_document(&Document::parse(self.file.clone(), &text)?, &self.registry)
    }

    /// Returns the error with file, line and key of the parameter it is about, such as `machine.load_mass`.
    #[must_use]
    pub fn place(&self, error: Error) -> Error {
        match self.document() {
            Ok(document) => document.place(error),
            Err(_) => error,
        }
    }

    /// The file as it was read.
    pub(super) fn document(&self) -> Result<Document> {
        Document::parse(self.file.clone(), &self.text)
    }

    /// Reads an axis file from its document.
    ///
    /// # Errors
    /// As [`load`](Self::load).
    pub fn from_document(document: &Document, registry: &Registry) -> Result<Self> {
        Self::read(document, registry).map_err(|error| document.place(error))
    }

    fn read(document: &Document, registry: &Registry) -> Result<Self> {
        let mut root = document.root();
        root.check_version()?;
        root.declare_unit()?;
        let name: String = root.required("name")?;
        check_name(&name).map_err(|error| root.blame_at("name", error))?;
        let kind: String = root.required("kind").map_err(|error| {
            error.advice(format!("name one of these in quotes: {}", listed(registry.kinds())))
        })?;
        registry.factory(&kind).map_err(|error| root.blame_at("kind", error))?;
        let drive = read_drive(&mut root.section_of::<MotorKeys>("motor")?)?;
        let mut section = root.section_or_empty("mechanism")?;
        let mechanism = registry.mechanism(&kind, &mut section, drive)?;
        let description = describe(&kind, &section);
        let sections = Sections {
            limits: root.section_of::<LimitsKeys<Length>>("limits")?,
            motion: root.section_of::<MotionKeys<Length>>("motion")?,
        };
        let mut pulses = root.section_of::<Pulse>("pulse")?;
        let fitted = Fitted::of(&mut root)?;
        let machine = MachineSections::of(&mut root)?;
        root.finish()?;
        let axis = match mechanism {
            AnyMechanism::Length(mechanism) => sections.axis(mechanism, root.length_unit())?,
            AnyMechanism::Angle(mechanism) => sections.axis(mechanism, root.angle_unit())?,
        };
        let figures = MachineData::read(machine, &section)?;
        let pulse: Pulse = pulses.read()?;
        pulse.check().map_err(|error| pulses.blame(error))?;
        let (equipment, configuration) = fitted.read(&axis, pulse).map_err(or_limits)?;
        let cautions = caution::all(document, &axis, pulse, &equipment, &configuration, figures.upright)
            .map_err(or_limits)?;
        Ok(Self {
            name,
            kind,
            description,
            drive,
            axis,
            pulse,
            equipment,
            configuration,
            figures,
            cautions,
            file: document.file().map(Into::into),
            text: document.text().into(),
            registry: registry.clone(),
        })
    }
}

/// What is about nothing a file names comes from the figures between the soft limits.
fn or_limits(error: Error) -> Error {
    match (error.parameter(), error.key()) {
        (None, None) => error.about("limits"),
        _ => error,
    }
}

fn read_drive(section: &mut Section<'_>) -> Result<DriveTrain> {
    let MotorKeys { step_angle, step_mode, driver_teeth: driver, driven_teeth: driven } = section.read()?;
    let geared = || {
        if driver.len() != driven.len() {
            return Err(messages::TEETH_IN_PAIRS.error().about(if driven.is_empty() {
                "motor.driver_teeth"
            } else {
                "motor.driven_teeth"
            }));
        }
        let drive = DriveTrain::new(step_angle, step_mode)?;
        driver.iter().zip(&driven).try_fold(drive, |drive, (driver, driven)| drive.geared(*driver, *driven))
    };
    geared().map_err(|error| section.blame(error))
}

/// The sections that make an axis of a mechanism.
struct Sections<'d> {
    limits: Section<'d>,
    motion: Section<'d>,
}

impl Sections<'_> {
    fn axis<M: FileMeasure>(mut self, mechanism: SharedMechanism<M>, unit: Option<M::Unit>) -> Result<AnyAxis>
    where
        AnyAxis: From<Axis<SharedMechanism<M>>>,
    {
        let limits: LimitsKeys<M> = self.limits.read()?;
        let motion: MotionKeys<M> = self.motion.read()?;
        let rates = Rates {
            speed: motion.speed,
            acceleration: motion.acceleration,
            deceleration: motion.deceleration.unwrap_or(motion.acceleration),
            jerk: motion.jerk,
            start_speed: motion.start_speed.unwrap_or(Speed::ZERO),
        };
        let settings = AxisConfig {
            unit: unit.unwrap_or(M::BASE),
            step_zero_at: limits.step_zero_at.unwrap_or(M::ZERO),
            low: limits.low,
            high: limits.high,
            direction: motion.direction.unwrap_or_default(),
            approach: motion.approach.unwrap_or_default(),
            backlash: motion.backlash.unwrap_or(M::ZERO),
            rates,
        };
        Axis::new(mechanism, settings).map(AnyAxis::from).map_err(or_limits)
    }
}

pub(super) fn check_name(name: &str) -> Result<()> {
    const MOST: usize = 80;
    let length = name.chars().count();
    if (1..=MOST).contains(&length) && !name.chars().any(char::is_control) {
        return Ok(());
    }
    Err(messages::NAME.error().given(Value::text(name)))
}

fn describe(kind: &str, section: &Section<'_>) -> String {
    let spaced = |key: &str| key.replace('_', " ");
    let parameters: Vec<String> = section
        .keys()
        .map(|key| format!("{} {}", spaced(key), section.written(key).unwrap_or_default()))
        .collect();
    if parameters.is_empty() { spaced(kind) } else { format!("{}: {}", spaced(kind), parameters.join(", ")) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_is_one_short_line() {
        for (name, allowed) in [("Lift", true), ("", false), ("a\nb", false), ("\u{1b}[2J", false)] {
            assert_eq!(check_name(name).is_ok(), allowed, "{name:?}");
        }
        assert!(check_name(&"x".repeat(80)).is_ok() && check_name(&"x".repeat(81)).is_err());
    }
}
