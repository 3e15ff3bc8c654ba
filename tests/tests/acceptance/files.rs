//! What an axis file tells, in other step modes too, and what would explain a wrong travel.

use wholestep::axis::AnyAxis;
use wholestep::mechanism::StepMode;
use wholestep::{ErrorKind, Exact};
use wholestep_files::{AxisFile, Caution, MachineData};

use crate::cells::Cells;
use crate::shipped::{Shipped, axes, registry};

#[test]
fn every_file_is_read_in_every_step_mode() {
    let mut cells = Cells::new("axis files");
    let registry = registry();
    for Shipped { name, file, .. } in axes() {
        let known = registry.kinds().any(|kind| kind == file.kind());
        let told = known && !file.name().is_empty() && !file.description().is_empty();
        cells.case(&name, told.then_some(()).ok_or_else(|| "it tells nothing".into()), || "its name".into());
        // Until their play is measured, a stop and a fence are told from which side to arrive.
        let cautions: Vec<&str> = file.cautions().iter().map(Caution::key).collect();
        let expected =
            if ["new stop", "new fence"].contains(&&*name) { &["motion.approach"][..] } else { &[] };
        let sound = (cautions == expected).then_some(()).ok_or_else(|| cautions.join("; "));
        cells.case(&name, sound, || format!("cautions {expected:?}"));
        let bare = file.clone().with_machine_data(MachineData::default());
        let is_bare = bare.machine_data() == &MachineData::default() && bare.text() == file.text();
        let outcome = is_bare.then_some(()).ok_or_else(|| "another axis".into());
        cells.case(&name, outcome, || "another machine".into());
        for mode in StepMode::USUAL {
            cells.case(&name, in_mode(&file, mode), || format!("step mode {mode}"));
        }
        for (numerator, denominator) in [(2, 1), (1, 2), (5, 4), (127, 128)] {
            cells.case(&name, explained(&file, (numerator, denominator)), || {
                format!("a travel {numerator}/{denominator} as far")
            });
        }
    }
    cells.finish();
}

/// Whether another step mode scales the steps, or its pulses follow too fast, and that is said.
fn in_mode(file: &AxisFile, mode: StepMode) -> Result<(), String> {
    let other = match file.with_step_mode(mode) {
        Ok(other) => other,
        Err(error)
            if error.kind() == ErrorKind::Plan
                && mode.division() > file.drive_train().step_mode().division() =>
        {
            return Ok(());
        }
        Err(error) => return Err(format!("refused: {error}")),
    };
    let finer = Exact::new(mode.division().into(), file.drive_train().step_mode().division().into())
        .map_err(|error| error.to_string())?;
    let (was, is) = (steps_between_limits(file), steps_between_limits(&other));
    let wanted = Exact::integer(was).checked_mul(finer).map_err(|error| error.to_string())?;
    // At either end the last allowed step may stand up to a whole step within the limit.
    let slack = Exact::integer(2).checked_mul(finer).and_then(|slack| slack.checked_add(Exact::integer(2)));
    let off = Exact::integer(is).checked_sub(wanted).map(Exact::abs);
    match (off, slack) {
        (Ok(off), Ok(slack)) if off <= slack => Ok(()),
        _ => Err(format!("{is} steps between the limits, from {was} in {}", file.drive_train().step_mode())),
    }
}

fn steps_between_limits(file: &AxisFile) -> i64 {
    match file.axis() {
        AnyAxis::Length(axis) => (axis.highest_step() - axis.lowest_step()).abs(),
        AnyAxis::Angle(axis) => (axis.highest_step() - axis.lowest_step()).abs(),
    }
}

/// Whether what would explain a wrong travel is another figure than the file's.
fn explained(file: &AxisFile, (numerator, denominator): (i128, i128)) -> Result<(), String> {
    let measured = || Exact::new(numerator, denominator);
    let asked = || file.check_travel(Exact::ONE, measured()?, Exact::new(1, 50)?);
    let check = asked().map_err(|error| format!("refused: {error}"))?;
    match check.explanations.iter().find(|one| one.says == one.fits) {
        None => Ok(()),
        Some(same) => Err(format!("{} is explained by itself, {}", same.key, same.says)),
    }
}
