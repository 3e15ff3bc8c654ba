//! `wholestep calibrate AXIS READINGS`.

use wholestep::Result;
use wholestep_files::{AxisFile, Existing, Registry, write_whole};
use wholestep_shop::Calibration;
use wholestep_shop::calibrate::{Accuracy, Edit, Next, Way};
use wholestep_shop::effort::figure;

use crate::arguments::Calibrate;
use crate::{Answer, UNSOUND, output};

pub(crate) fn answer(task: &Calibrate, json: bool, registry: &Registry) -> Result<Answer> {
    let file = AxisFile::load(&task.axis, registry)?;
    output::cautions(&file);
    let found = Calibration::of(&file, &task.readings, &task.resolution, task.within.as_deref())?;
    let mut text = if json { output::json(&found)? } else { text(&found) };
    if task.write && !found.edits.is_empty() {
        let mended = found.write_into(&file)?;
        write_whole(&task.axis, mended.text(), Existing::Replace)?;
        if !json {
            text += &format!("\nWrote {}; the old figures stand behind the new ones.\n", task.axis.display());
        }
    }
    Ok(Answer { text, status: if found.is_true() { 0 } else { UNSOUND } })
}

fn text(found: &Calibration) -> String {
    let unit = &found.unit;
    let mut text =
        format!("{}, {} readings\n\n{}\n\n", found.axis, found.readings, output::wrapped(&found.verdict, ""));
    let mut facts = output::table(&[]);
    let mut fact = |what: &str, told: String| {
        facts.add_row([what.to_owned(), told]);
    };
    let scale = &found.scale;
    fact("scale", format!("{:.6} ± {:.6}", scale.value, 2.0 * scale.uncertainty));
    fact(
        "scales allowed",
        match &scale.allowed {
            Some([low, high]) => format!("{low} to {high}"),
            None => "none: the readings contradict the gauge's resolution".into(),
        },
    );
    fact("zero", format!("{} {unit}", found.zero.with_uncertainty()));
    if let Some(play) = &found.play {
        fact("play", format!("{} {unit}", play.with_uncertainty()));
    }
    fact("one reading", format!("± {} {unit}", figure(2.0 * found.reading_uncertainty)));
    fact("over the travel", format!("± {} {unit} as calibrated", figure(found.over_the_travel)));
    for (what, told) in found.accuracy.iter().flat_map(|accuracy| repeats(accuracy, unit)) {
        fact(what, told);
    }
    text += &output::lines(&mut facts);
    text += &next(found);
    text += &edits(&found.edits);
    for advice in &found.advice {
        text += &format!("\n{}\n", output::wrapped(advice, "  "));
    }
    text + &format!(
        "\n± holds 95 times of a hundred.\n{}\n",
        output::bulleted(wholestep_shop::caution::AT_REST)
    )
}

fn repeats(accuracy: &Accuracy, unit: &str) -> Vec<(&'static str, String)> {
    let told = |value: f64| format!("{} {unit}", figure(value));
    let mut facts = vec![("repeats within", told(accuracy.repeatability))];
    facts.extend(accuracy.reversal.map(|reversal| ("reversal", told(reversal))));
    facts.extend(accuracy.repeatability_both.map(|both| ("from both ways", told(both))));
    let positions = accuracy.positions;
    facts.push((
        "accuracy",
        format!("{}, by the formulas of ISO 230-2 at {positions} positions", told(accuracy.accuracy)),
    ));
    facts
}

fn next(found: &Calibration) -> String {
    if found.next.is_empty() {
        return String::new();
    }
    let rounds = found.more_readings.div_ceil(found.next.len() as u64);
    let head = match found.more_readings {
        0 => "read next:".to_owned(),
        more => format!("{more} more readings would settle it; go {rounds} times round:"),
    };
    let told = |next: &Next| {
        let way = if next.way == Way::Up { "from below" } else { "from above" };
        format!("{} {way}", next.asked)
    };
    let list = found.next.iter().map(told).collect::<Vec<_>>().join(", ");
    format!("\n{}\n", output::wrapped(&format!("{head} {list}"), "  "))
}

fn edits(edits: &[Edit]) -> String {
    if edits.is_empty() {
        return String::new();
    }
    let mut table = output::table(&["key", "the file says", "as measured"]);
    table.add_rows(edits.iter().map(|edit| [&edit.key, &edit.old, &edit.new]));
    format!("\n{}", output::lines(&mut table))
}
