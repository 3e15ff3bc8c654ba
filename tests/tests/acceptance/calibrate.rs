//! `calibrate` on every axis file: readings of a machine with a known scale, zero and play come back as they were made,
//! and what is written makes an axis that is read again.

use std::fs;

use wholestep::axis::AnyAxis;
use wholestep::{Axis, Exact, Measure, Mechanism};
use wholestep_files::AxisFile;
use wholestep_shop::Calibration;

use crate::cells::Cells;
use crate::command::{Caller, same};
use crate::shipped::{Shipped, registry, write};

pub(crate) fn on_axis(cells: &mut Cells, caller: &mut Caller, shipped: &Shipped) {
    let readings = match shipped.file.axis() {
        AnyAxis::Length(axis) => readings(axis),
        AnyAxis::Angle(axis) => readings(axis),
    };
    let (csv, resolution) = match readings {
        Ok(made) => made,
        Err(error) => return cells.case(&shipped.name, Err(error.to_string()), || "readings".into()),
    };
    let csv = write("readings.csv", &csv);
    let (path, readings) = (shipped.path.as_str(), csv.to_str().expect("a path of ours"));
    let arguments = ["calibrate", path, readings, "--resolution", &resolution, "--within", &resolution];
    let told = caller.json(&arguments, &[1]);
    let found = Calibration::of(&shipped.file, &csv, &resolution, Some(&resolution))
        .map_err(|error| error.to_string());
    let outcome = told.and_then(|told| {
        let found = found?;
        let text = serde_json::to_string(&found).map_err(|error| error.to_string())?;
        same(&told, serde_json::from_str::<serde_json::Value>(&text).map_err(|error| error.to_string())?)?;
        same(&told["scale"]["exact"], "1001/1000")?;
        let near = |value: f64, expected: f64| (value - expected).abs() < 1e-9;
        let play = found.play.as_ref().map_or(0.0, |play| play.value);
        if !near(found.zero.value, 0.05) || !near(play, 0.03) || !found.scale.is_wrong || found.is_true() {
            return Err(format!("{found:?}"));
        }
        Ok(())
    });
    cells.case(&shipped.name, outcome, || arguments.join(" "));
    cells.case(&shipped.name, written(caller, shipped, &arguments), || {
        format!("{} --write", arguments.join(" "))
    });
}

/// Five places and back, and the resolution of the gauge: in whole units and parts of them, exactly.
fn readings<M: Mechanism>(axis: &Axis<M>) -> wholestep::Result<(String, String)> {
    let unit = axis.unit();
    let (low, high) = (axis.config().low.value_in(unit)?, axis.config().high.value_in(unit)?);
    let apart = high.checked_sub(low)?.checked_div(Exact::integer(4))?;
    let mut lines = vec!["asked,read,way".to_owned()];
    for (way, play) in [("up", Exact::ZERO), ("down", Exact::new(3, 100)?)] {
        for place in 0..5 {
            let asked = low.checked_add(apart.checked_mul(Exact::integer(place))?)?;
            let read = asked
                .checked_mul(Exact::new(1001, 1000)?)?
                .checked_add(Exact::new(1, 20)?)?
                .checked_add(play)?;
            let [asked, read] = [asked, read]
                .map(|value| M::Measure::new(value, unit).map(|measure| measure.to_text(unit).to_string()));
            lines.push(format!("{},{},{way}", asked?, read?));
        }
    }
    Ok((lines.join("\n"), M::Measure::new(Exact::new(1, 100)?, unit)?.to_text(unit).to_string()))
}

/// A copy is mended and read again, or left as it was where the figure that was measured does not fit the axis.
fn written(caller: &mut Caller, shipped: &Shipped, arguments: &[&str]) -> Result<(), String> {
    let before = fs::read_to_string(&shipped.path).map_err(|error| error.to_string())?;
    let copy = write("calibrated.toml", &before);
    let path = copy.to_str().expect("a path of ours");
    let said = caller.say(&[&["calibrate", path], &arguments[2..], &["--write"]].concat());
    let after = fs::read_to_string(&copy).map_err(|error| error.to_string())?;
    match said.status {
        1 if after != before => {
            AxisFile::load(&copy, &registry()).map(|_| ()).map_err(|error| error.to_string())
        }
        1 if !said.output.contains("Wrote") => Ok(()),
        2 if after == before && said.errors.contains(path) => Ok(()),
        status => Err(format!("status {status}: {}{}", said.output, said.errors)),
    }
}
