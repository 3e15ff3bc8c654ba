//! `wholestep time AXIS FROM TO`.

use serde::Serialize;
use wholestep::axis::AnyAxis;
use wholestep::axis::Approach;
use wholestep::error::Value;
use wholestep::measure::Unit;
use wholestep::plan::{Plan, Planner, Shape};
use wholestep::{Axis, Exact, Measure, Mechanism, Result, Rounding, Speed};
use wholestep_files::{AxisFile, Pulse, Registry};

use crate::arguments::{Arrival, Time};
use crate::messages;
use crate::output;

pub(crate) fn answer(task: &Time, json: bool, registry: &Registry) -> Result<String> {
    let file = AxisFile::load(&task.axis, registry)?;
    output::cautions(&file);
    let answer = match file.axis() {
        AnyAxis::Length(axis) => time(&file, axis, task)?,
        AnyAxis::Angle(axis) => time(&file, axis, task)?,
    };
    if json { output::json(&answer) } else { Ok(answer.text()) }
}

#[derive(Debug, Serialize)]
struct Timed {
    from: String,
    to: String,
    steps: i64,
    timer_hz: u64,
    ticks: u64,
    seconds: String,
    #[serde(skip)]
    shown: String,
    legs: Vec<Leg>,
    first_edges: Vec<u64>,
    last_edges: Vec<u64>,
}

#[derive(Debug, Serialize)]
struct Leg {
    steps: i64,
    starts_at_tick: u64,
    ticks: u64,
    shape: &'static str,
    peak_steps_per_second: Exact,
}

fn time<M: Mechanism>(file: &AxisFile, axis: &Axis<M>, task: &Time) -> Result<Timed> {
    let declared = task.unit.as_deref().map(<M::Measure as Measure>::Unit::read).transpose()?;
    let place = |text: &str| axis.place(M::Measure::read(text, declared)?, Rounding::Nearest);
    let (from, to) = (place(&task.from)?, place(&task.to)?);
    let timer_hz = task.timer_hz.unwrap_or(file.pulse().timer_hz);
    let timing = Pulse { timer_hz, ..file.pulse() }.timing()?;
    let mut planner = Planner::new(axis, timer_hz, timing)?;
    if let Some(speed) = &task.speed {
        planner = planner.at_speed(Speed::read(speed, declared)?)?;
    }
    let plan = planner.plan(&from, arrived(task.arrived, axis.config().approach), &to)?;
    let seconds = Exact::new(plan.ticks().into(), timer_hz.into())?;
    let (first_edges, last_edges) = ends(&plan, task.edges)?;
    Ok(Timed {
        from: from.target().to_text(axis.unit()).to_string(),
        to: to.target().to_text(axis.unit()).to_string(),
        steps: plan.steps(),
        timer_hz,
        ticks: plan.ticks(),
        seconds: seconds.to_string(),
        shown: seconds.decimal(6)?.to_string(),
        legs: plan.legs().map(|leg| describe_leg(leg, timer_hz)).collect::<Result<_>>()?,
        first_edges,
        last_edges,
    })
}

fn arrived(arrival: Arrival, approach: Approach) -> Approach {
    match arrival {
        Arrival::Approach => approach,
        Arrival::FromBelow => Approach::FromBelow,
        Arrival::FromAbove => Approach::FromAbove,
        Arrival::Unknown => Approach::Either,
    }
}

/// The ticks of the first and the last `count` edges.
fn ends(plan: &Plan, count: u64) -> Result<(Vec<u64>, Vec<u64>)> {
    const MOST: u64 = 1_000_000;
    if count > MOST {
        return Err(messages::EDGES_TO_SHOW
            .error()
            .given(Value::Integer(count.into()))
            .at_most(Value::Integer(MOST.into())));
    }
    let edges = plan.edge_count();
    let ticks = |first: u64, most: u64| -> Result<Vec<u64>> {
        let most = usize::try_from(most).unwrap_or(usize::MAX);
        Ok(plan.edges_from(first)?.map(|edge| edge.tick).take(most).collect())
    };
    let last = count.min(edges.saturating_sub(count));
    Ok((ticks(1, count)?, ticks(edges + 1 - last, last)?))
}

fn describe_leg(leg: &wholestep::plan::Leg, timer_hz: u64) -> Result<Leg> {
    let profile = leg.profile();
    let shape = match profile.shape() {
        Shape::Constant { .. } => "constant_speed",
        Shape::Trapezoid { cruise: 0, .. } => "triangle",
        Shape::Trapezoid { .. } => "trapezoid",
        Shape::JerkLimited { .. } => "jerk_limited",
        _ => "rest",
    };
    let peak = profile.peak_speed()?;
    let peak = Exact::new(*peak.numer(), *peak.denom())?.checked_mul(Exact::new(timer_hz.into(), 1)?)?;
    Ok(Leg {
        steps: leg.direction().sign() * i64::try_from(profile.steps()).unwrap_or(i64::MAX),
        starts_at_tick: leg.start(),
        ticks: profile.ticks(),
        shape,
        peak_steps_per_second: peak,
    })
}

impl Timed {
    fn text(&self) -> String {
        let mut text = format!(
            "{} to {}: {} steps in {} s, {} ticks of 1/{} s\n\n",
            self.from, self.to, self.steps, self.shown, self.ticks, self.timer_hz
        );
        let mut legs =
            output::table(&["leg", ">steps", ">starts at tick", ">ticks", "shape", ">peak steps/s"]);
        for (number, leg) in self.legs.iter().enumerate() {
            legs.add_row([
                (number + 1).to_string(),
                leg.steps.to_string(),
                leg.starts_at_tick.to_string(),
                leg.ticks.to_string(),
                leg.shape.replace('_', " "),
                leg.peak_steps_per_second
                    .decimal(3)
                    .map_or_else(|error| error.to_string(), |peak| peak.to_string()),
            ]);
        }
        text += &output::lines(&mut legs);
        let list = |edges: &[u64]| edges.iter().map(u64::to_string).collect::<Vec<_>>().join(" ");
        if !self.first_edges.is_empty() {
            text += &format!("\nedges at ticks {}", list(&self.first_edges));
            if !self.last_edges.is_empty() {
                text += &format!(" … {}", list(&self.last_edges));
            }
            text.push('\n');
        }
        text
    }
}
