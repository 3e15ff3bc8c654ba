//! What would be written in the axis file.

use num_rational::BigRational;
use num_traits::One as _;
use serde::Serialize;
use wholestep::axis::Approach;
use wholestep::carriage::AnyEquipment;
use wholestep::error::Result;
use wholestep::{Axis, Exact, Length, Measure, Mechanism, Rounding};
use wholestep_files::{AxisFile, Document};

use super::Calibration;
use super::fit::{Line, big, small};
use super::words::figure;

/// A figure of the axis file and what would take its place.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Edit {
    /// The key, with its section.
    pub key: String,
    /// What the file says.
    pub old: String,
    /// What the readings tell.
    pub new: String,
}

/// Decimals, in the unit of a figure, to which one is written that was measured.
const DECIMALS: u32 = 6;

impl Calibration {
    /// Returns the axis file with every edit made, its comments kept and the old figure noted behind each new one.
    ///
    /// # Errors
    /// As [`AxisFile::from_toml`], for an edit that does not fit the axis.
    pub fn write_into(&self, file: &AxisFile) -> Result<AxisFile> {
        let edits = self.edits.iter().map(|edit| (&*edit.key, &*edit.new));
        edits.into_iter().try_fold(file.clone(), |file, (key, new)| file.with_noted(key, new))
    }
}

pub(super) fn propose<M: Mechanism>(
    found: &mut Calibration,
    file: &AxisFile,
    axis: &Axis<M>,
    line: &Line,
) -> Result<()> {
    let scaled = found.scale.is_wrong && scale(found, file, axis, line)?;
    if found.zero.is_wrong {
        zero(found, file, axis, line, scaled)?;
    }
    if found.play.as_ref().is_some_and(|play| play.is_wrong) {
        play(found, axis, line)?;
    }
    Ok(())
}

/// The figure that the scale hangs on; whether one is found that can be written.
fn scale<M: Mechanism>(
    found: &mut Calibration,
    file: &AxisFile,
    axis: &Axis<M>,
    line: &Line,
) -> Result<bool> {
    if !is_even(axis)? {
        found.advice.push(
            "the steps of this axis are unequal, so no one figure mends its scale: measure its geometry again".into(),
        );
        return Ok(false);
    }
    let written = |key: &str| WRITTEN.iter().find(|(known, _)| *known == key).map(|(_, section)| *section);
    match &found.explanations[..] {
        [only] => {
            let Some(section) = written(only.key) else {
                found.advice.push(format!(
                    "write {} as the machine has it: {}, not {}",
                    only.key, only.fits, only.says
                ));
                return Ok(false);
            };
            let key = format!("{section}.{}", only.key);
            found.edits.push(Edit { key, old: only.says.clone(), new: only.fits.clone() });
            Ok(true)
        }
        [] => measured(found, file, line),
        _ => {
            found.advice.push(
                "several figures would explain the scale: look which of them the machine has, write that one, and \
                 calibrate again"
                    .into(),
            );
            Ok(false)
        }
    }
}

/// Whether every step travels alike, to within a millionth.
fn is_even<M: Mechanism>(axis: &Axis<M>) -> Result<bool> {
    let (first, last) = (axis.lowest_step(), axis.highest_step());
    let sizes = axis.mechanism().step_sizes(first.min(last)..=first.max(last))?;
    let (finest, coarsest) = (big(sizes.finest.base()), big(sizes.coarsest.base()));
    Ok((&coarsest - finest) * BigRational::from_integer(1_000_000.into()) <= coarsest)
}

/// Keys that an explanation can be written at, and their sections.
const WRITTEN: &[(&str, &str)] = &[
    ("step_mode", "motor"),
    ("step_angle", "motor"),
    ("starts", "mechanism"),
    ("pitch", "mechanism"),
    ("lead", "mechanism"),
    ("threads_per_inch", "mechanism"),
    ("pulley_teeth", "mechanism"),
    ("pinion_teeth", "mechanism"),
    ("tooth_pitch", "mechanism"),
    ("module", "mechanism"),
];

/// The length that the travel hangs on, as long as it was measured to be.
fn measured(found: &mut Calibration, file: &AxisFile, line: &Line) -> Result<bool> {
    let document = Document::from_toml(file.text())?;
    let mut root = document.root();
    root.declare_unit()?;
    if let Some(mut section) = root.optional_section("mechanism")? {
        for key in ["pitch", "lead", "tooth_pitch", "module", "travel"] {
            let Ok(Some(says)) = section.optional::<Length>(key) else { continue };
            let Some(now) = small(&(&line.scale.exact * big(says.base()))) else { continue };
            let unit = section.length_unit().unwrap_or(wholestep::LengthUnit::Millimetre);
            let (old, new) = (says.to_text(unit).to_string(), rounded(Length::from_base(now)?, unit)?);
            found.edits.push(Edit { key: format!("mechanism.{key}"), old, new });
            return Ok(true);
        }
    }
    found.advice.push(
        "no figure of the file can be scaled: measure the travel of a turn, and write what it is".into(),
    );
    Ok(false)
}

/// Where the switch of the datum, or step 0, truly is.
fn zero<M: Mechanism>(
    found: &mut Calibration,
    file: &AxisFile,
    axis: &Axis<M>,
    line: &Line,
    scaled: bool,
) -> Result<()> {
    let unit = axis.unit();
    let datum = match file.equipment() {
        AnyEquipment::Length(equipment) => equipment.datum.map(|datum| datum.switch_at.base()),
        AnyEquipment::Angle(equipment) => equipment.datum.map(|datum| datum.switch_at.base()),
    };
    let Some(at) = datum else {
        let (off, unit) = (figure(found.zero.value), &found.unit);
        found.advice.push(format!("state the position {off} {unit} higher where you set the zero"));
        return Ok(());
    };
    // As the axis goes once its scale is mended, it stands at the switch where it stood there before.
    let scale = if scaled { line.scale.exact.clone() } else { BigRational::one() };
    let Some(now) = small(&(&line.zero.exact + scale * big(at))) else { return Ok(()) };
    let old = M::Measure::from_base(at)?.to_text(unit).to_string();
    let new = rounded(M::Measure::from_base(now)?, unit)?;
    found.edits.push(Edit { key: "datum.switch_at".into(), old, new });
    Ok(())
}

/// What is lost when the motor turns round, beyond what the file already takes up.
fn play<M: Mechanism>(found: &mut Calibration, axis: &Axis<M>, line: &Line) -> Result<()> {
    let (config, unit) = (axis.config(), axis.unit());
    let Some(play) = line.play.as_ref().and_then(|play| small(&play.exact)) else { return Ok(()) };
    let now = rounded(M::Measure::from_base(config.backlash.base().checked_add(play.abs())?)?, unit)?;
    if config.approach == Approach::Either {
        found.advice.push(format!(
            "write backlash = \"{now}\" in [motion] with the approach that suits: from_below if the weight keeps the nut \
             on one flank, from_above for a stop or a fence"
        ));
    } else {
        let old = config.backlash.to_text(unit).to_string();
        found.edits.push(Edit { key: "motion.backlash".into(), old, new: now });
    }
    Ok(())
}

fn rounded<Q: Measure>(measure: Q, unit: Q::Unit) -> Result<String> {
    let value = measure.value_in(unit)?.round_to(10_i128.pow(DECIMALS), Rounding::Nearest)?;
    let value: Exact = value;
    Ok(Q::new(value, unit)?.to_text(unit).to_string())
}
