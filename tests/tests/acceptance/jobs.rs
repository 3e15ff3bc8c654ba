//! Job files, and jobs made at random for every axis that moves along a line: cut lists and moves.

use std::fmt::Write as _;

use wholestep::axis::Approach;
use wholestep::axis::LengthMechanism;
use wholestep::measure::Unit as _;
use wholestep::plan::Planner;
use wholestep::{Axis, Exact, Length, LengthUnit, Measure as _, Rounding};
use wholestep_shop::cut_list::{CutSheet, StockPiece};
use wholestep_shop::{CutList, Job};

use crate::cells::Cells;
use crate::chance::{Chance, moves};
use crate::command::{Caller, cannot_be_rehearsed, same};
use crate::dimension::{Dimension, inside, target, written};
use crate::shipped::{Shipped, axes, jobs, nothing, registry, write};
use crate::study;
use crate::truth::{Move, limits, placed, planned};

/// The verbs that take a job, on every job file and on jobs made at random.
pub(crate) fn on_jobs(cells: &mut Cells, caller: &mut Caller) {
    for path in jobs() {
        let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
        let path = path.display().to_string();
        cuts(cells, caller, &name, &path);
        // A machine drawn by chance may not stop a job that is right.
        (1..=12).for_each(|seed| rehearse(cells, caller, &name, &path, seed));
        options(cells, caller, &name, &path);
        (1..=3).for_each(|seed| study::on_job(cells, &name, &path, seed));
    }
    for shipped in axes() {
        let Some(axis) = shipped.file.axis().as_length() else { continue };
        let mut chance = Chance::of("jobs", &shipped.name);
        for number in 0..moves().div_ceil(400) {
            let text = cut_list(&mut chance, &shipped, axis);
            let path = write(&format!("cuts-{number}.toml"), &text).display().to_string();
            cuts(cells, caller, &shipped.name, &path);
        }
        for number in 0..moves().div_ceil(1_000) {
            let text = some_moves(&mut chance, &shipped, axis);
            let path = write(&format!("moves-{number}.toml"), &text).display().to_string();
            if cannot_be_rehearsed(&shipped.file).is_none() {
                rehearse(cells, caller, &shipped.name, &path, number as u64);
                study::on_job(cells, &shipped.name, &path, number as u64);
            }
        }
    }
}

/// `cuts`, recomputed, in JSON and for people.
fn cuts(cells: &mut Cells, caller: &mut Caller, name: &str, path: &str) {
    let which = || format!("cuts {path}");
    let job = match Job::load(path, &registry()) {
        Ok(job) => job,
        Err(error) => return cells.case(name, Err(format!("refused: {error}")), which),
    };
    if job.cut_list().is_none() {
        let said = caller.say(&["cuts", path]);
        let told = said.status == 2 && said.errors.contains("job without a cut list");
        return cells.case(name, told.then_some(()).ok_or_else(|| format!("{said:?}")), which);
    }
    let answer = job.cuts();
    let outcome = match &answer {
        Ok(cuts) => worked_out(&job, cuts),
        Err(error) => Err(format!("refused: {error}")),
    };
    cells.case(name, outcome, which);
    let Ok(cuts) = answer else { return };
    let told = caller.json(&["cuts", path], &[0]).and_then(|told| {
        same(&told, serde_json::to_value(&cuts).map_err(|error| error.to_string())?)?;
        let text = caller.text(&["cuts", path])?;
        let missing = cuts.cuts.iter().find(|cut| !text.contains(&cut.part));
        missing.map_or(Ok(()), |cut| Err(format!("no line tells of {}", cut.part)))
    });
    cells.case(name, told, which);
    if let Some(list) = job.cut_list().filter(|list| list.kerf > Length::ZERO) {
        cells.case(name, kerf(caller, list), || format!("kerf of {path}"));
    }
}

/// The kerf of a list, found again in the pieces of a board that two of its cuts part.
fn kerf(caller: &mut Caller, list: &CutList) -> Result<(), String> {
    let written = |length: Length| length.to_text(list.unit).to_string();
    let pieces: Vec<Length> = list.parts.iter().cycle().map(|part| part.length).take(3).collect();
    let mut board = list.kerf.checked_add(list.kerf);
    for piece in &pieces {
        board = board.and_then(|board| board.checked_add(*piece));
    }
    let board = written(board.map_err(|error| error.to_string())?);
    let pieces: Vec<String> = pieces.into_iter().map(written).collect();
    let arguments: Vec<&str> = ["kerf", "--unit", list.unit.symbol(), &board]
        .into_iter()
        .chain(pieces.iter().map(String::as_str))
        .collect();
    same(&caller.json(&arguments, &[0])?, serde_json::json!({ "kerf": written(list.kerf), "cuts": 2 }))?;
    let told = caller.text(&arguments)?;
    told.starts_with(&format!("kerf {}, of 2 cuts", written(list.kerf))).then_some(()).ok_or(told)
}

fn worked_out(job: &Job, cuts: &CutSheet) -> Result<(), String> {
    let axis = job.axis().axis().as_length().ok_or("its axis turns")?;
    cuts.stock.iter().try_for_each(adds_up)?;
    let pulse = job.axis().pulse();
    let timing = pulse.timing().map_err(|error| error.to_string())?;
    let planner = Planner::new(axis, pulse.timer_hz, timing).map_err(|error| error.to_string())?;
    let (mut before, mut moving, mut missing) = (None, Exact::ZERO, false);
    // At each cut the stop stands at its setting, and where the stock is held it is then backed off.
    let stands = cuts.cuts.iter().flat_map(|cut| {
        let backed_off = cut.backed_off.iter().map(move |setting| (cut, setting, cut.back_off_move));
        [(cut, &cut.setting, cut.stop_move)].into_iter().chain(backed_off)
    });
    for (cut, setting, stop_move) in stands {
        let Some(set) = &setting.placement else {
            let reached = [&setting.stop.low, &setting.stop.high].map(|stop| inside(axis, stop.length));
            if reached == [true, true] {
                return Err(format!("set by hand: {}", setting.by_hand.as_deref().unwrap_or_default()));
            }
            continue;
        };
        if setting.stop.low.length == setting.stop.high.length {
            let answer = axis.place(setting.stop.low.length, Rounding::Nearest);
            placed(axis, setting.stop.low.length, Rounding::Nearest, &answer)?;
            if answer.is_ok_and(|answer| answer.step() != set.step) {
                return Err(format!("cut {} is set on another step than its stop", cut.number));
            }
        }
        let Some(from) = before.replace(set.step).filter(|from| *from != set.step) else { continue };
        let ends = axis.at_step(from).and_then(|start| Ok((start, axis.at_step(set.step)?)));
        let (start, end) = ends.map_err(|error| error.to_string())?;
        let arrived = axis.config().approach;
        let plan = planner.plan(&start, arrived, &end);
        planned(axis, Move { from, arrived, to: set.step }, &plan)?;
        match (plan, stop_move) {
            (Ok(plan), Some(told)) if told.steps == plan.steps() && told.ticks == plan.ticks() => {
                moving = moving.checked_add(told.seconds.0).map_err(|error| error.to_string())?;
            }
            (Err(_), None) => missing = true,
            (_, told) => return Err(format!("cut {}: {told:?} is not the stop's move", cut.number)),
        }
    }
    let total = cuts.totals.seconds_moving.map(|seconds| seconds.0);
    // A total with a missing part says so.
    if total == Some(moving) || missing {
        Ok(())
    } else {
        Err(format!("its moves last {moving} s, not {total:?}"))
    }
}

fn adds_up(piece: &StockPiece) -> Result<(), String> {
    let parts = [&piece.trim, &piece.parts, &piece.kerf, &piece.offcut];
    let sum = parts.into_iter().try_fold(Length::ZERO, |sum, part| sum.checked_add(part.length));
    if sum.ok() == Some(piece.length.length) {
        Ok(())
    } else {
        Err(format!("stock {} does not add up", piece.number))
    }
}

/// `rehearse`: the whole job comes about, and no step is lost.
fn rehearse(cells: &mut Cells, caller: &mut Caller, name: &str, path: &str, seed: u64) {
    let seed = seed.to_string();
    let arguments = ["rehearse", path, "--seed", &seed];
    let outcome = caller.json(&arguments, &[0]).and_then(|told| {
        same(&told["sound"], true)?;
        for nothing in ["lost_steps", "slips", "end_stop_hits"] {
            same(&told[nothing], 0).map_err(|why| format!("{nothing}: {why}"))?;
        }
        same(&told["not_reached"], Vec::<String>::new())
    });
    cells.case(name, outcome, || arguments.join(" "));
}

/// What else `rehearse` can be asked: a drawing, and a fault that stops the job.
fn options(cells: &mut Cells, caller: &mut Caller, name: &str, path: &str) {
    let drawing = nothing("drawing.svg");
    for options in [&["--plot", &drawing][..], &["--plot", &drawing, "--replace"]] {
        let arguments = [&["rehearse", path, "--fault", "drive_fault@3 s+500 ms"], options].concat();
        let outcome = caller.json(&arguments, &[1]).and_then(|told| {
            let drawn = std::fs::read_to_string(&drawing).unwrap_or_default();
            if drawn.contains("</svg>") {
                same(&told["sound"], false)
            } else {
                Err("nothing is drawn".into())
            }
        });
        cells.case(name, outcome, || arguments.join(" "));
    }
}

/// A cut list whose every stop the axis reaches.
fn cut_list(chance: &mut Chance, shipped: &Shipped, axis: &Axis<LengthMechanism>) -> String {
    let unit = *chance.of_these(&["mm", "in", "cm"]);
    let mut text = head(shipped, unit) + "\n[cut_list]\nkerf = \"1/8 in\"\nend_trim = \"1/2 in\"\n";
    text += "\n[[cut_list.stock]]\nlength = \"12 ft\"\n";
    let (low, high) = limits(axis);
    let least = crate::truth::Big::of_measure("1 mm".parse::<Length>().expect("a length"));
    for number in 1..=7 {
        let units = [LengthUnit::Millimetre, LengthUnit::Inch];
        let within = (low.clone().max(least.clone()), high.clone());
        let Some(length) = written::<Length>(chance, &within, &units, &[1, 8, 32, 3, 10, 1_000]) else {
            continue;
        };
        let quantity = chance.between(1, 4);
        let _ = write!(
            text,
            "\n[[cut_list.part]]\nname = \"part {number}\"\nlength = '''{}'''\nquantity = {quantity}\n",
            length.value.to_text(LengthUnit::Millimetre)
        );
    }
    text
}

/// Moves that have room for the approach.
fn some_moves(chance: &mut Chance, shipped: &Shipped, axis: &Axis<LengthMechanism>) -> String {
    let unit = *chance.of_these(&["mm", "in", "ft"]);
    let mut text = head(shipped, unit);
    let play = axis.config().backlash;
    let mut number = 0;
    while number < 4 {
        let Some(Dimension { value, .. }) = target(chance, axis) else { continue };
        let room = match axis.config().approach {
            Approach::Either => true,
            Approach::FromBelow => value.checked_sub(play).is_ok_and(|turn| turn > axis.config().low),
            Approach::FromAbove => value.checked_add(play).is_ok_and(|turn| turn < axis.config().high),
        };
        if room {
            number += 1;
            let unit = *chance.of_these(LengthUnit::ALL);
            let _ =
                write!(text, "\n[[move]]\nname = \"move {number}\"\nto = '''{}'''\n", value.to_text(unit));
        }
    }
    text
}

fn head(shipped: &Shipped, unit: &str) -> String {
    format!("version = 1\nname = \"Job of the matrix\"\naxis = '''{}'''\nunit = \"{unit}\"\n", shipped.path)
}
