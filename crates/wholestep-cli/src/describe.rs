//! `wholestep describe AXIS`.

use core::fmt;

use serde::Serialize;
use wholestep::axis::AnyAxis;
use wholestep::axis::GridFit;
use wholestep::mechanism::{StepMode, StepSizes};
use wholestep::{Angle, AngleUnit, Axis, Enclosure, Exact, Length, LengthUnit, Measure, Mechanism, Result};
use wholestep_files::{AxisFile, Registry};

use crate::arguments::Describe;
use crate::output;

pub(crate) fn answer(task: &Describe, json: bool, registry: &Registry) -> Result<String> {
    let file = AxisFile::load(&task.axis, registry)?;
    output::cautions(&file);
    let description = match file.axis() {
        AnyAxis::Length(axis) => describe(&file, axis, length_grids()?)?,
        AnyAxis::Angle(axis) => describe(&file, axis, angle_grids()?)?,
    };
    if json { output::json(&description) } else { Ok(description.text()) }
}

/// The marks that people ask for, with their names.
type Grids<M> = [(&'static str, M); 3];

fn length_grids() -> Result<Grids<Length>> {
    let length = |n, d, unit| Length::new(Exact::new(n, d)?, unit);
    Ok([
        ("1/64 in", length(1, 64, LengthUnit::Inch)?),
        ("0.001 in", length(1, 1000, LengthUnit::Inch)?),
        ("0.1 mm", length(1, 10, LengthUnit::Millimetre)?),
    ])
}

fn angle_grids() -> Result<Grids<Angle>> {
    let angle = |n, d, unit| Angle::new(Exact::new(n, d)?, unit);
    Ok([
        ("1 deg", angle(1, 1, AngleUnit::Degree)?),
        ("0.1 deg", angle(1, 10, AngleUnit::Degree)?),
        ("1 arcmin", angle(1, 1, AngleUnit::ArcMinute)?),
    ])
}

/// The motor, and what stands between it and the mechanism.
#[derive(Debug, Serialize)]
struct Motor {
    step_angle: Angle,
    step_mode: String,
    turns_per_motor_turn: Exact,
}

impl fmt::Display for Motor {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} a full step, step mode {}; the driven shaft ", self.step_angle, self.step_mode)?;
        if self.turns_per_motor_turn == Exact::ONE {
            return write!(f, "turns with it");
        }
        write!(f, "makes {} of a turn for each of its turns", self.turns_per_motor_turn)
    }
}

#[derive(Debug, Serialize)]
struct Description {
    name: String,
    mechanism: String,
    motor: Motor,
    low: String,
    high: String,
    lowest_step: i64,
    highest_step: i64,
    #[serde(skip)]
    step: String,
    finest_step: String,
    coarsest_step: String,
    certified: bool,
    #[serde(skip)]
    unit: String,
    approach: &'static str,
    backlash: String,
    speed: String,
    /// For each step mode, the present one first.
    step_modes: Vec<Mode>,
    /// What in the file looks wrong.
    cautions: Vec<output::Cautioned>,
}

#[derive(Debug, Serialize)]
#[expect(clippy::struct_field_names, reason = "the step mode is called so in files and in JSON")]
struct Mode {
    step_mode: String,
    travel_per_step: String,
    #[serde(skip)]
    travel: String,
    steps_per_second: String,
    marks: Vec<Marks>,
}

#[derive(Debug, Serialize)]
struct Marks {
    every: &'static str,
    /// Every how many of them one lands exactly.
    exact: i128,
    worst_remainder: String,
    #[serde(skip)]
    shown: String,
}

fn describe<M: Mechanism>(file: &AxisFile, axis: &Axis<M>, grids: Grids<M::Measure>) -> Result<Description> {
    let (settings, unit, drive) = (axis.config(), axis.unit(), file.drive_train());
    let exact = |value: M::Measure| value.to_text(unit).to_string();
    let steps = axis.lowest_step().min(axis.highest_step())..=axis.lowest_step().max(axis.highest_step());
    let StepSizes { finest, coarsest, certified } = axis.mechanism().step_sizes(steps)?;
    let mut modes = vec![drive.step_mode()];
    modes.extend(StepMode::USUAL.into_iter().filter(|mode| *mode != drive.step_mode()));
    let step_modes = match axis.mechanism().uniform_travel() {
        Some(travel) => modes
            .into_iter()
            .map(|mode| describe_mode(axis, travel.abs(), drive.step_mode(), mode, &grids))
            .collect::<Result<_>>()?,
        None => Vec::new(),
    };
    Ok(Description {
        name: file.name().into(),
        mechanism: file.description().into(),
        motor: Motor {
            step_angle: drive.step_angle(),
            step_mode: drive.step_mode().to_string(),
            turns_per_motor_turn: drive.turns_per_motor_turn(),
        },
        low: exact(settings.low),
        high: exact(settings.high),
        lowest_step: axis.lowest_step(),
        highest_step: axis.highest_step(),
        step: output::measure(Enclosure::new(finest, coarsest)?, unit)?,
        finest_step: exact(finest),
        coarsest_step: exact(coarsest),
        certified,
        unit: unit.to_string(),
        approach: settings.approach.name(),
        backlash: exact(settings.backlash),
        speed: settings.rates.speed.to_text(unit).to_string(),
        step_modes,
        cautions: output::Cautioned::all(file),
    })
}

fn describe_mode<M: Mechanism>(
    axis: &Axis<M>,
    travel: Exact,
    present_mode: StepMode,
    mode: StepMode,
    grids: &Grids<M::Measure>,
) -> Result<Mode> {
    let finer = Exact::new(present_mode.division().into(), mode.division().into())?;
    let travel = M::Measure::from_base(travel.checked_mul(finer)?)?;
    let marks = grids
        .iter()
        .map(|(every, grid)| {
            let fit = GridFit::of(travel, *grid)?;
            Ok(Marks {
                every,
                exact: fit.every,
                worst_remainder: fit.worst.to_text(axis.unit()).to_string(),
                shown: match fit.every {
                    1 => "all".into(),
                    every => format!("{}, {}", ordinal(every), at_most(fit.worst.value_in(axis.unit())?)?),
                },
            })
        })
        .collect::<Result<_>>()?;
    let pulses = axis.config().rates.speed.base().checked_div(travel.base())?;
    let travel_per_step = travel.to_text(axis.unit()).to_string();
    let suffix = format!(" {}", axis.unit());
    Ok(Mode {
        step_mode: mode.to_string(),
        travel: travel_per_step.strip_suffix(&suffix).unwrap_or(&travel_per_step).to_owned(),
        travel_per_step,
        steps_per_second: pulses.round(wholestep::Rounding::Above).to_string(),
        marks,
    })
}

/// To [`output::PLACES`], rounded up.
fn at_most(worst: Exact) -> Result<String> {
    let grains = 10_i128.pow(output::PLACES.into());
    let decimal = worst.round_to(grains, wholestep::Rounding::Above)?.decimal(output::PLACES)?.to_string();
    Ok(decimal.trim_end_matches('0').to_owned())
}

fn ordinal(number: i128) -> String {
    let ending = match (number % 10, number % 100) {
        (_, 11..=13) => "th",
        (1, _) => "st",
        (2, _) => "nd",
        (3, _) => "rd",
        _ => "th",
    };
    format!("{number}{ending}")
}

impl Description {
    fn text(&self) -> String {
        let mut text = format!("{}\n\n", self.name);
        let mut facts = output::table(&[]);
        let approach = match self.approach {
            "either" => "from either side; backlash is not taken up".into(),
            side => format!("{}, backlash {} taken up", side.replace('_', " "), self.backlash),
        };
        let proof = if self.certified { "" } else { " (sampled, not proven)" };
        let step = format!("{}{proof}", self.step);
        for (fact, value) in [
            ("mechanism", self.mechanism.clone()),
            ("motor", self.motor.to_string()),
            ("travel of a step", step),
            (
                "soft limits",
                format!("{} to {}, steps {} to {}", self.low, self.high, self.lowest_step, self.highest_step),
            ),
            ("approach", approach),
            ("speed", self.speed.clone()),
        ] {
            facts.add_row([fact.into(), value]);
        }
        text += &output::lines(&mut facts);
        if let Some(first) = self.step_modes.first() {
            let marks = format!(
                "Marks that land exactly, and how far off the others are at most, rounded up: \u{201c}3rd, \
                 0.001\u{201d} if every third mark lands exactly and any other is off by at most 0.001 {}. The \
                 present step mode comes first:",
                self.unit
            );
            text += &format!("\n{}\n\n", output::wrapped(&marks, ""));
            let travel = format!("travel, {}", self.unit);
            let heads = ["step mode", &travel, ">steps/s"];
            let heads: Vec<&str> =
                heads.into_iter().chain(first.marks.iter().map(|marks| marks.every)).collect();
            let mut modes = output::table(&heads);
            for mode in &self.step_modes {
                let marks = mode.marks.iter().map(|marks| marks.shown.clone());
                let row = [mode.step_mode.clone(), mode.travel.clone(), mode.steps_per_second.clone()];
                modes.add_row(row.into_iter().chain(marks));
            }
            text += &output::lines(&mut modes);
        } else {
            text += &format!("\n{}\n", output::wrapped(NO_FRACTION, ""));
        }
        text
    }
}

const NO_FRACTION: &str = "The travel of a step is no fraction, so marks land exactly only where the geometry makes \
    them; any other is off by at most half a step, which a finer step mode makes smaller.";
