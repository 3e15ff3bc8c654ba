//! The command: every verb and every option on every file, called as a program calls it.

use std::collections::BTreeSet;

use serde_json::Value;
use wholestep::axis::AnyAxis;
use wholestep::axis::Approach;
use wholestep::measure::Unit as _;
use wholestep::plan::{Plan, Planner};
use wholestep::{Axis, Enclosure, Exact, Measure, Mechanism, Placement, Result as Answer, Rounding, Speed};
use wholestep_cli::{Said, definition, say};
use wholestep_files::{AxisFile, Registry, Template};

use crate::cells::Cells;
use crate::chance::{Chance, moves};
use crate::dimension::{Dimension, ODD_PARTS, target, written};
use crate::jobs;
use crate::shipped::{Shipped, axes, nothing, registry};
use crate::truth::{Move, limits, placed, planned};
use crate::{calibrate, effort};

/// Calls the command, and notes which verbs and options it has been given.
pub(crate) struct Caller {
    registry: Registry,
    given: BTreeSet<(String, String)>,
}

impl Caller {
    pub(crate) fn new() -> Self {
        Self { registry: registry(), given: BTreeSet::new() }
    }

    pub(crate) fn say(&mut self, arguments: &[&str]) -> Said {
        let verb = arguments.first().copied().unwrap_or_default();
        self.given.insert((verb.into(), String::new()));
        for option in arguments.iter().filter_map(|argument| argument.strip_prefix("--")) {
            self.given.insert((verb.into(), option.into()));
        }
        let arguments = ["wholestep"].iter().chain(arguments).map(Into::into).collect();
        say(arguments, &self.registry)
    }

    /// The answer in JSON, if the status is one of those that are `well`.
    pub(crate) fn json(&mut self, arguments: &[&str], well: &[u8]) -> Result<Value, String> {
        let said = self.say(&[arguments, &["--json"]].concat());
        if !well.contains(&said.status) {
            return Err(format!("status {}: {}", said.status, said.errors.trim_end()));
        }
        let told = serde_json::from_str(&said.output).map_err(|error| format!("no JSON: {error}"))?;
        only_exact(&told)?;
        Ok(told)
    }

    /// The answer for people, if it is given.
    pub(crate) fn text(&mut self, arguments: &[&str]) -> Result<String, String> {
        let said = self.say(arguments);
        match said.status {
            0 => Ok(said.output),
            status => Err(format!("status {status}: {}", said.errors.trim_end())),
        }
    }

    /// Verbs and options that the command has and that nothing here has tried.
    fn untried(&self) -> Vec<String> {
        let definition = definition();
        let mut untried = Vec::new();
        for verb in definition.get_subcommands() {
            let name = verb.get_name().to_owned();
            let options =
                verb.get_arguments().chain(definition.get_arguments()).filter_map(clap::Arg::get_long);
            for option in std::iter::once("").chain(options) {
                if !self.given.contains(&(name.clone(), option.to_owned())) {
                    untried.push(format!("{name} {option}"));
                }
            }
        }
        untried
    }
}

#[test]
fn every_verb_and_option_is_answered_on_every_file() {
    let mut cells = Cells::new("command");
    let mut caller = Caller::new();
    for shipped in axes() {
        match shipped.file.axis() {
            AnyAxis::Length(axis) => on_axis(&mut cells, &mut caller, &shipped, axis),
            AnyAxis::Angle(axis) => on_axis(&mut cells, &mut caller, &shipped, axis),
        }
        commission(&mut cells, &mut caller, &shipped);
        effort::on_axis(&mut cells, &mut caller, &shipped);
        calibrate::on_axis(&mut cells, &mut caller, &shipped);
    }
    for machine in Template::ALL {
        new(&mut cells, &mut caller, machine);
    }
    jobs::on_jobs(&mut cells, &mut caller);
    let untried = caller.untried();
    cells.finish();
    // A verb that takes an axis or a job gets a row here, over every file; so does an option.
    assert!(untried.is_empty(), "neither a row nor an option of one: {untried:?}");
}

fn on_axis<M: Mechanism + Clone>(cells: &mut Cells, caller: &mut Caller, shipped: &Shipped, axis: &Axis<M>) {
    let mut chance = Chance::of("command", &shipped.name);
    describe(cells, caller, shipped, axis);
    for _ in 0..moves().div_ceil(200) {
        place(cells, caller, &mut chance, shipped, axis);
    }
    for _ in 0..moves().div_ceil(100) {
        time(cells, caller, &mut chance, shipped, axis);
    }
}

/// `describe`: its limits are taken by `place` and by `time`, on the way the axis approaches.
fn describe<M: Mechanism>(cells: &mut Cells, caller: &mut Caller, shipped: &Shipped, axis: &Axis<M>) {
    let Shipped { name, path, .. } = shipped;
    let told = caller.json(&["describe", path], &[0]);
    let steps = told.as_ref().map_err(Clone::clone).and_then(|told| {
        same(&told["lowest_step"], axis.lowest_step())?;
        same(&told["highest_step"], axis.highest_step())
    });
    cells.case(name, steps, || "describe --json".into());
    let in_json =
        told.ok().and_then(|told| Some([told["low"].as_str()?.into(), told["high"].as_str()?.into()]));
    let for_people = caller.text(&["describe", path]).ok().and_then(|text| {
        let line = text.lines().find(|line| line.starts_with("soft limits"))?;
        let (limits, _) = line.trim_start_matches("soft limits").split_once(", steps ")?;
        let (low, high) = limits.trim().split_once(" to ")?;
        Some([low.to_owned(), high.to_owned()])
    });
    for limits in [in_json, for_people] {
        let Some([low, high]) = limits else {
            cells.case(name, Err("no limits are told".into()), || "describe".into());
            continue;
        };
        for limit in [&low, &high] {
            let answer = caller.json(&["place", path, limit], &[0]).map(drop);
            cells.case(name, answer, || format!("place {limit}, which describe told"));
        }
        let [from, to] =
            if axis.config().approach == Approach::FromAbove { [&high, &low] } else { [&low, &high] };
        let answer = caller.json(&["time", path, from, to], &[0]).map(drop);
        cells.case(name, answer, || format!("time {from} {to}, which describe told"));
    }
}

/// Several targets at once, with one rounding, unit and zero.
fn place<M: Mechanism + Clone>(
    cells: &mut Cells,
    caller: &mut Caller,
    chance: &mut Chance,
    shipped: &Shipped,
    axis: &Axis<M>,
) {
    const AT_ONCE: usize = 20;
    let Shipped { name, path, .. } = shipped;
    let (axis, zero) = somewhere(chance, axis);
    let (rounding, spelled) = *chance.of_these(&[
        (Rounding::Nearest, "nearest"),
        (Rounding::Below, "below"),
        (Rounding::Above, "above"),
    ]);
    let unit = *chance.of_these(<M::Measure as Measure>::Unit::ALL);
    let mut options = vec!["--rounding", spelled, "--unit", unit.symbol()];
    if let Some(zero) = &zero {
        options.extend(["--zero", &zero.text]);
    }
    let (mut targets, mut expected) = (Vec::new(), Vec::new());
    for _ in 0..AT_ONCE {
        let Some(mut asked) = target(chance, &axis) else { continue };
        if chance.once_in(3) {
            asked.text = bare(&asked, unit);
        }
        let answer = axis.place(asked.value, rounding);
        let which = || format!("{} {}", asked.text, options.join(" "));
        let judged = placed(&axis, asked.value, rounding, &answer);
        let right = judged.is_ok();
        cells.case(name, judged, which);
        match answer {
            Ok(placement) => {
                expected.push(row(&placement, axis.unit()));
                targets.push(asked.text);
            }
            Err(error) if right => {
                let said = caller.say(&[&["place", path, &asked.text], options.as_slice()].concat());
                let agrees = said.status == 2 && said.errors == format!("wholestep: {error}\n");
                cells.case(name, agrees.then_some(()).ok_or_else(|| format!("{said:?}")), which);
            }
            Err(_) => {}
        }
    }
    if targets.is_empty() {
        return;
    }
    let asked: Vec<&str> = ["place", path].into_iter().chain(targets.iter().map(String::as_str)).collect();
    let arguments = [asked, options].concat();
    let which = || arguments.join(" ");
    let answer = caller.json(&arguments, &[0]);
    let decided = expected.iter().all(|row| row["is_decided"] == true);
    cells.case(name, answer.and_then(|rows| same(&rows, expected.clone())), which);
    let text = caller.text(&arguments).and_then(|text| lines_tell(&text, &expected));
    cells.case(name, text, which);
    if decided {
        let strict = caller.json(&[arguments.as_slice(), &["--strict"]].concat(), &[0]);
        cells.case(name, strict.and_then(|rows| same(&rows, expected)), which);
    }
}

/// The target as a number without its unit, in the unit that is declared.
fn bare<Q: Measure>(asked: &Dimension<Q>, unit: Q::Unit) -> String {
    let text = asked.value.to_text(unit).to_string();
    text.trim_end_matches(unit.symbol()).trim_end().to_owned()
}

/// The axis from its own zero or from one at an odd place.
fn somewhere<M: Mechanism + Clone>(
    chance: &mut Chance,
    axis: &Axis<M>,
) -> (Axis<M>, Option<Dimension<M::Measure>>) {
    let units = <M::Measure as Measure>::Unit::ALL;
    let zero = if chance.once_in(2) { written(chance, &limits(axis), units, &ODD_PARTS) } else { None };
    let Some(zero) = zero else { return (axis.clone(), None) };
    match axis.clone().with_zero(zero.value) {
        Ok(zeroed) => (zeroed, Some(zero)),
        // Counted as wrong where zeros are set.
        Err(_) => (axis.clone(), None),
    }
}

fn row<Q: Measure>(placed: &Placement<Q>, unit: Q::Unit) -> Value {
    let bounds = |bounds: Enclosure<Q>| {
        serde_json::json!({
            "low": bounds.low().to_text(unit).to_string(),
            "high": bounds.high().to_text(unit).to_string(),
        })
    };
    serde_json::json!({
        "target": placed.target().to_text(unit).to_string(),
        "step": placed.step(),
        "position": bounds(placed.position()),
        "remainder": bounds(placed.remainder()),
        "is_decided": placed.is_decided(),
    })
}

/// Whether a table has a line for each row, with its target and its step.
fn lines_tell(text: &str, rows: &[Value]) -> Result<(), String> {
    let lines: Vec<&str> = text.lines().skip(1).collect();
    let told = lines.len() == rows.len()
        && lines.iter().zip(rows).all(|(line, row)| {
            let target = row["target"].as_str().unwrap_or_default();
            line.trim_start().starts_with(target) && line.contains(&row["step"].to_string())
        });
    if told { Ok(()) } else { Err(format!("the table does not tell each step:\n{text}")) }
}

/// A move, from a side, at a speed, on a timer.
fn time<M: Mechanism>(
    cells: &mut Cells,
    caller: &mut Caller,
    chance: &mut Chance,
    shipped: &Shipped,
    axis: &Axis<M>,
) {
    let Shipped { name, path, file } = shipped;
    let (Some(from), Some(to)) = (target(chance, axis), target(chance, axis)) else { return };
    let (arrived, spelled) = *chance.of_these(&[
        (axis.config().approach, "approach"),
        (Approach::FromBelow, "from-below"),
        (Approach::FromAbove, "from-above"),
        (Approach::Either, "unknown"),
    ]);
    let unit = *chance.of_these(<M::Measure as Measure>::Unit::ALL);
    let part = chance.between(1, 16);
    let Ok(speed) = part_of_speed(axis, part) else { return };
    let timer_hz = file.pulse().timer_hz * *chance.of_these(&[1, 2, 3]);
    let told_edges = chance.between(0, 6).unsigned_abs();
    let expected = plan(axis, file, [&from, &to], arrived, speed, timer_hz);
    if let Ok((asked, answer)) = &expected {
        let judged = planned(axis, *asked, answer);
        let right = judged.is_ok();
        cells.case(name, judged, || format!("{} to {}, arrived {spelled}", from.text, to.text));
        if !right {
            return;
        }
    }
    let (from, to) =
        if chance.once_in(3) { (bare(&from, unit), bare(&to, unit)) } else { (from.text, to.text) };
    let rate = format!(
        "{}/s",
        M::Measure::from_base(speed.base())
            .map_or(String::new(), |speed| { speed.to_text(unit).to_string() })
    );
    let (timer, edges) = (timer_hz.to_string(), told_edges.to_string());
    let arguments = [
        "time",
        path,
        &from,
        &to,
        "--arrived",
        spelled,
        "--speed",
        &rate,
        "--timer-hz",
        &timer,
        "--edges",
        &edges,
        "--unit",
        unit.symbol(),
    ];
    let outcome = match expected {
        Ok((_, Ok(plan))) => caller.json(&arguments, &[0]).and_then(|told| {
            timed(&told, &plan, told_edges)?;
            let text = caller.text(&arguments)?;
            let said = format!(": {} steps in ", plan.steps());
            if text.contains(&said) { Ok(()) } else { Err(format!("no steps are told: {text}")) }
        }),
        Ok((_, Err(error))) | Err(error) => {
            let said = caller.say(&arguments);
            let agrees = said.status == 2 && said.errors == format!("wholestep: {error}\n");
            agrees.then_some(()).ok_or_else(|| format!("{said:?}, and the library: {error}"))
        }
    };
    cells.case(name, outcome, || arguments.join(" "));
}

fn part_of_speed<M: Mechanism>(axis: &Axis<M>, part: i64) -> Answer<Speed<M::Measure>> {
    Speed::from_base(axis.config().rates.speed.base().checked_mul(Exact::new(part.into(), 16)?)?)
}

fn plan<M: Mechanism>(
    axis: &Axis<M>,
    file: &AxisFile,
    ends: [&Dimension<M::Measure>; 2],
    arrived: Approach,
    speed: Speed<M::Measure>,
    timer_hz: u64,
) -> Answer<(Move, Answer<Plan>)> {
    let [from, to] = ends.map(|end| axis.place(end.value, Rounding::Nearest));
    let (from, to) = (from?, to?);
    let pulse = wholestep_files::Pulse { timer_hz, ..file.pulse() };
    let planner = Planner::new(axis, timer_hz, pulse.timing()?)?.at_speed(speed)?;
    Ok((Move { from: from.step(), arrived, to: to.step() }, planner.plan(&from, arrived, &to)))
}

/// Whether what was told of a plan is so.
fn timed(told: &Value, plan: &Plan, edges: u64) -> Result<(), String> {
    same(&told["steps"], plan.steps())?;
    same(&told["ticks"], plan.ticks())?;
    same(&told["timer_hz"], plan.timer_hz())?;
    let legs: Vec<Value> = plan
        .legs()
        .map(|leg| {
            let steps = leg.direction().sign() * i64::try_from(leg.profile().steps()).unwrap_or(i64::MAX);
            serde_json::json!([steps, leg.start(), leg.profile().ticks()])
        })
        .collect();
    let told_legs: Vec<Value> = told["legs"]
        .as_array()
        .into_iter()
        .flatten()
        .map(|leg| serde_json::json!([leg["steps"], leg["starts_at_tick"], leg["ticks"]]))
        .collect();
    same(&Value::Array(told_legs), legs)?;
    let count = plan.edge_count();
    let ticks = |first: u64, most: u64| -> Result<Vec<u64>, String> {
        let some = plan.edges_from(first).map_err(|error| error.to_string())?;
        Ok(some.map(|edge| edge.tick).take(usize::try_from(most).unwrap_or(0)).collect())
    };
    same(&told["first_edges"], ticks(1, edges)?)?;
    let last = edges.min(count.saturating_sub(edges));
    same(&told["last_edges"], ticks(count + 1 - last, last)?)
}

/// Whether a machine of the axis is commissioned by what it shows itself, and told of where it is not.
fn commission(cells: &mut Cells, caller: &mut Caller, Shipped { name, path, file }: &Shipped) {
    if let Some(why) = cannot_be_rehearsed(file) {
        let said = caller.say(&["commission", path, "--suggested"]);
        let told = said.status == 2 && said.errors.contains(why);
        cells.case(name, told.then_some(()).ok_or_else(|| format!("{said:?}")), || "commission".into());
        return;
    }
    for seed in ["1", "2", "3"] {
        let arguments = ["commission", path, "--suggested", "--set", "nudge=high", "--seed", seed];
        let outcome = caller.json(&arguments, &[0]).and_then(|told| same(&told["commissioned"], true));
        cells.case(name, outcome, || arguments.join(" "));
    }
    let text = caller.text(&["commission", path, "--suggested"]);
    cells.case(name, text.map(drop), || "commission".into());
    for trouble in [["--really", "step_mode=1/32"], ["--fault", "drive_fault@0 s"]] {
        let arguments = ["commission", path, "--suggested", trouble[0], trouble[1]];
        let outcome = caller.json(&arguments, &[1]).and_then(|told| same(&told["commissioned"], false));
        cells.case(name, outcome, || arguments.join(" "));
    }
}

/// Why no machine can be simulated on the axis, as the refusal has to say.
pub(crate) fn cannot_be_rehearsed(file: &AxisFile) -> Option<&'static str> {
    use wholestep::carriage::AnyEquipment;
    let has_datum = match file.equipment() {
        AnyEquipment::Angle(equipment) => equipment.datum.is_some(),
        AnyEquipment::Length(equipment) => equipment.datum.is_some(),
    };
    (!has_datum).then_some("axis without a way to find its datum")
}

/// `new`, and what it wrote is described.
fn new(cells: &mut Cells, caller: &mut Caller, machine: Template) {
    let path = nothing(&format!("written-{}.toml", machine.name()));
    let named = machine.name();
    for options in [&[][..], &["--replace"], &["--replace", "--set", "name=Third of the shop"]] {
        let arguments = [&["new", named, "--suggested", "--file", &path], options].concat();
        let outcome = caller.json(&arguments, &[0]).and_then(|told| {
            same(&told["file"], path.as_str())?;
            caller.json(&["describe", &path], &[0]).map(drop)
        });
        cells.case(named, outcome, || arguments.join(" "));
    }
}

/// Whether a value of an answer is what was expected.
pub(crate) fn same(told: &Value, expected: impl Into<Value>) -> Result<(), String> {
    let expected = expected.into();
    if *told == expected { Ok(()) } else { Err(format!("{told} was told, not {expected}")) }
}

/// Refuses rounded numbers, which are for people.
fn only_exact(told: &Value) -> Result<(), String> {
    match told {
        Value::String(text) if text.contains('≈') => Err(format!("rounded in JSON: {text}")),
        Value::Array(values) => values.iter().try_for_each(only_exact),
        Value::Object(values) => values.values().try_for_each(only_exact),
        _ => Ok(()),
    }
}
