//! `wholestep place AXIS TARGET…`.

use serde::Serialize;
use wholestep::axis::AnyAxis;
use wholestep::measure::Unit;
use wholestep::{Axis, Measure, Mechanism, Placement, Result};
use wholestep_files::{AxisFile, Registry};

use crate::arguments::Place;
use crate::output::{self, Bounds};

pub(crate) fn answer(task: &Place, json: bool, registry: &Registry) -> Result<String> {
    let file = AxisFile::load(&task.axis, registry)?;
    output::cautions(&file);
    let rows = match file.axis() {
        AnyAxis::Length(axis) => rows(axis, task)?,
        AnyAxis::Angle(axis) => rows(axis, task)?,
    };
    if json {
        return output::json(&rows);
    }
    let mut table = output::table(&["target", ">step", "position", "remainder", ""]);
    for row in rows {
        let note = if row.is_decided { "" } else { "undecided: as near as bounds can tell, a tie" };
        table.add_row([
            row.asked,
            row.step.to_string(),
            row.shown[0].clone(),
            row.shown[1].clone(),
            note.into(),
        ]);
    }
    Ok(output::lines(&mut table))
}

#[derive(Debug, Serialize)]
struct Row {
    #[serde(rename = "target")]
    asked: String,
    step: i64,
    position: Bounds,
    remainder: Bounds,
    is_decided: bool,
    #[serde(skip)]
    shown: [String; 2],
}

fn rows<M: Mechanism + Clone>(axis: &Axis<M>, task: &Place) -> Result<Vec<Row>> {
    type UnitOf<M> = <<M as Mechanism>::Measure as Measure>::Unit;
    let declared = task.unit.as_deref().map(UnitOf::<M>::read).transpose()?;
    let mut axis = axis.clone();
    if let Some(zero) = &task.zero {
        axis = axis.with_zero(M::Measure::read(zero, declared)?)?;
    }
    let rounding = task.rounding.into();
    let placed = |target: &String| {
        let target = M::Measure::read(target, declared)?;
        let placed = axis.place(target, rounding)?;
        if task.strict { placed.require_decided() } else { Ok(placed) }
    };
    task.targets.iter().map(|target| row(&placed(target)?, axis.unit())).collect()
}

fn row<M: Measure>(placed: &Placement<M>, unit: M::Unit) -> Result<Row> {
    Ok(Row {
        asked: placed.target().to_text(unit).to_string(),
        step: placed.step(),
        position: Bounds::of(placed.position(), unit),
        remainder: Bounds::of(placed.remainder(), unit),
        is_decided: placed.is_decided(),
        shown: [output::measure(placed.position(), unit)?, output::measure(placed.remainder(), unit)?],
    })
}
