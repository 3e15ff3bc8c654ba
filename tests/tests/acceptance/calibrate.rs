//! `calibrate` on every axis file: readings of a machine with a known scale, zero and play come back as they were made,
//! and what is written makes an axis that is read again.

use std::fs;

use wholestep::axis::AnyAxis;
use wholestep::{Axis, Exact, Measure, Mechanism};
use wholestep_files::AxisFile;
use wholestep_shop::Calibration;

use crate::cells::Cells;
use crate::chance::Chance;
use crate::command::{Caller, same};
use crate::float::float;
use crate::shipped::{Shipped, registry, write};

/// A machine as a gauge would find it: what is read is zero and scale times what was asked, and the play more from above.
struct Truth {
    scale: Exact,
    zero: Exact,
    play: Exact,
}

pub(crate) fn on_axis(cells: &mut Cells, caller: &mut Caller, shipped: &Shipped) {
    let mut chance = Chance::of("calibrate", &shipped.name);
    for _ in 0..4 {
        let mut part = |least, most, of| Exact::new(chance.between(least, most).into(), of).expect("a part");
        let truth =
            Truth { scale: part(900, 1_100, 1_000), zero: part(-300, 300, 100), play: part(0, 50, 100) };
        let readings = match shipped.file.axis() {
            AnyAxis::Length(axis) => readings(axis, &truth),
            AnyAxis::Angle(axis) => readings(axis, &truth),
        };
        match readings {
            Ok(readings) => on_readings(cells, caller, shipped, &truth, &readings),
            Err(error) => cells.case(&shipped.name, Err(error.to_string()), || "readings".into()),
        }
    }
}

fn on_readings(cells: &mut Cells, caller: &mut Caller, shipped: &Shipped, truth: &Truth, made: &Readings) {
    let csv = write("readings.csv", &made.csv);
    let (path, readings, resolution) =
        (shipped.path.as_str(), csv.to_str().expect("a path of ours"), &*made.resolution);
    let arguments = ["calibrate", path, readings, "--resolution", resolution, "--within", resolution];
    let found =
        Calibration::of(&shipped.file, &csv, resolution, Some(resolution)).map_err(|error| error.to_string());
    let status = u8::from(!found.as_ref().is_ok_and(Calibration::is_true));
    let outcome = caller.json(&arguments, &[status]).and_then(|told| {
        let found = found?;
        let text = serde_json::to_string(&found).map_err(|error| error.to_string())?;
        same(&told, serde_json::from_str::<serde_json::Value>(&text).map_err(|error| error.to_string())?)?;
        let exact: Exact = found.scale.exact.parse().map_err(|error: wholestep::Error| error.to_string())?;
        let near = |value: f64, expected: Exact| (value - float(expected)).abs() < 1e-9;
        let play = found.play.as_ref().is_some_and(|play| near(play.value, truth.play));
        let off = truth.scale.checked_sub(Exact::ONE).expect("a part").abs();
        let right = exact == truth.scale && near(found.zero.value, truth.zero) && play;
        (right && found.scale.is_wrong == (off > made.tells))
            .then_some(())
            .ok_or_else(|| format!("{found:?}"))
    });
    cells.case(&shipped.name, outcome, || arguments.join(" "));
    let written = written(caller, shipped, &arguments, status);
    cells.case(&shipped.name, written, || format!("{} --write", arguments.join(" ")));
}

struct Readings {
    csv: String,
    resolution: String,
    /// What part of the scale such readings tell: the resolution over the way between the outermost of them.
    tells: Exact,
}

/// Five places and back, in whole units and parts of them, exactly.
fn readings<M: Mechanism>(axis: &Axis<M>, truth: &Truth) -> wholestep::Result<Readings> {
    let unit = axis.unit();
    let (low, high) = (axis.config().low.value_in(unit)?, axis.config().high.value_in(unit)?);
    let (all, resolution) = (high.checked_sub(low)?, Exact::new(1, 100)?);
    let apart = all.checked_div(Exact::integer(4))?;
    let written = |value| M::Measure::new(value, unit).map(|measure| measure.to_text(unit).to_string());
    let mut lines = vec!["asked,read,way".to_owned()];
    for (way, play) in [("up", Exact::ZERO), ("down", truth.play)] {
        for place in 0..5 {
            let asked = low.checked_add(apart.checked_mul(Exact::integer(place))?)?;
            let read = asked.checked_mul(truth.scale)?.checked_add(truth.zero)?.checked_add(play)?;
            lines.push(format!("{},{},{way}", written(asked)?, written(read)?));
        }
    }
    Ok(Readings {
        csv: lines.join("\n"),
        resolution: written(resolution)?,
        tells: resolution.checked_div(all)?,
    })
}

/// A copy is mended and read again, or left as it was where the figure that was measured does not fit the axis.
fn written(caller: &mut Caller, shipped: &Shipped, arguments: &[&str], well: u8) -> Result<(), String> {
    let before = fs::read_to_string(&shipped.path).map_err(|error| error.to_string())?;
    let copy = write("calibrated.toml", &before);
    let path = copy.to_str().expect("a path of ours");
    let said = caller.say(&[&["calibrate", path], &arguments[2..], &["--write"]].concat());
    let after = fs::read_to_string(&copy).map_err(|error| error.to_string())?;
    match said.status {
        status if status == well && after != before => {
            AxisFile::load(&copy, &registry()).map(|_| ()).map_err(|error| error.to_string())
        }
        status if status == well && !said.output.contains("Wrote") => Ok(()),
        2 if after == before && said.errors.contains(path) => Ok(()),
        status => Err(format!("status {status}: {}{}", said.output, said.errors)),
    }
}
