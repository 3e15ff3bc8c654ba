//! `wholestep effort AXIS`.

use wholestep::Result;
use wholestep_files::{AxisFile, Existing, Registry, write_whole};
use wholestep_shop::effort::{Change, Effort, Holding, Span, Spot, figure, read_margin, span_text};

use crate::arguments::Effort as Task;
use crate::{Answer, UNSOUND, output, plot};

pub(crate) fn answer(task: &Task, json: bool, registry: &Registry) -> Result<Answer> {
    let file = AxisFile::load(&task.axis, registry)?;
    output::cautions(&file);
    let effort = Effort::new(&file, read_margin(&task.margin)?)?;
    if let Some(path) = &task.plot {
        let existing = if task.replace { Existing::Replace } else { Existing::Keep };
        write_whole(path, &plot::effort(&effort), existing)?;
    }
    let text = if json { output::json(&effort)? } else { text(&effort) };
    Ok(Answer { text, status: if effort.is_sound() { 0 } else { UNSOUND } })
}

fn text(effort: &Effort) -> String {
    let mut text = format!("{}\n\n{}\n\n", effort.axis, effort.verdict);
    let mut facts = output::table(&[]);
    for (what, value) in
        load(effort).into_iter().chain(power(effort)).chain(motor(effort)).chain(must_have(effort))
    {
        facts.add_row([what.to_owned(), value]);
    }
    text += &output::lines(&mut facts);
    text += &changes(effort);
    text += &offered(effort);
    for found in &effort.contradictions {
        text += &format!("\nBUT {found}\n");
    }
    for one in effort.compared.iter().filter(|one| one.agrees) {
        let (measured, figures) = (span_text(one.measured), span_text(one.by_figures));
        text += &format!("\n{}: measured {measured}, and {figures} by the figures: they agree\n", one.what);
    }
    if !effort.assumed.is_empty() {
        text += &format!(
            "\nassumed, because the axis file does not say:\n  - {}\n",
            effort.assumed.join("\n  - ")
        );
    }
    text + &format!("\nnot known to any figure here:\n  - {}\n", effort.not_known.join("\n  - ")) + CAUTION
}

type Fact = (&'static str, String);

fn load(effort: &Effort) -> Vec<Fact> {
    let at = |spot: &Spot| {
        let pushing = spot.force.map_or_else(String::new, |force| match force {
            Span { low, high } if high <= 0.0 => {
                format!(", holding back {} N", span_text(Span::new(-high, -low)))
            }
            force => format!(", pushing {} N", span_text(force)),
        });
        format!("{} N·m {}{pushing}", span_text(spot.torque), effort.place_of(spot.position))
    };
    let ways = if effort.upright {
        ["torque to raise, at worst", "torque to lower, at worst"]
    } else {
        ["torque toward the high end, at worst", "torque toward the low end, at worst"]
    };
    let mut facts = vec![(ways[0], at(&effort.raising))];
    facts.extend(effort.lowering.iter().map(|lower| (ways[1], at(lower))));
    let presses = |[_, most]: &&[Spot; 2]| most.force.is_some_and(|force| force != Span::new(0.0, 0.0));
    if let Some([least, most]) = effort.load.as_ref().filter(presses) {
        let on = |spot: &Spot| {
            format!("{} N {}", span_text(spot.force.unwrap_or(spot.torque)), effort.place_of(spot.position))
        };
        facts.push(("load of weight and springs", format!("least {}; most {}", on(least), on(most))));
    }
    if let Some(change) = effort.flank_change {
        let at = if change.low < change.high { "between" } else { "at" };
        let places = span_text(change).replace(" to ", " and ");
        facts.push((
            "flank of the nut",
            format!(
                "changes {at} {places} {}; there the play opens, and a height is not held as well",
                effort.unit
            ),
        ));
    }
    if !effort.shares.is_empty() {
        let shares = effort.shares.iter().map(|share| format!("{} {} N·m", share.of, figure(share.torque)));
        facts.push(("asked for by", shares.collect::<Vec<_>>().join(", ")));
    }
    let inertia = effort.inertia;
    let grams = Span::new(inertia.low * 1e7, inertia.high * 1e7);
    facts.push(("inertia at the motor", format!("{} g·cm²", span_text(grams))));
    facts
}

fn power(effort: &Effort) -> Vec<Fact> {
    let unpowered = &effort.unpowered;
    let mut told = match unpowered.holding {
        Holding::Stays => "the load stays, even with half of the least friction".to_owned(),
        Holding::NotCertain => "it may stay, but vibration loosens what barely holds".into(),
        Holding::Moves => "the load moves by itself".into(),
        Holding::NotKnown => "not known: give the load too".into(),
    };
    if let Some(friction) = unpowered.friction_that_holds {
        told += &format!("; the thread holds only above a friction of {}", figure(friction));
    }
    if let (Some(end), Some(speed)) = (unpowered.toward, unpowered.arrives_at) {
        let end = end.name();
        told += &format!("; at worst it reaches the {end} end at {} {}/s", figure(speed), effort.unit);
    }
    vec![
        ("without power", told),
        ("when power returns", "the motor may snap to another step: find the datum, or touch off".into()),
    ]
}

fn motor(effort: &Effort) -> Vec<Fact> {
    let Some(motor) = &effort.motor else { return Vec::new() };
    let to_spare = format!("{} % to spare", figure(100.0 * effort.margin));
    let mut facts = vec![(
        "motor",
        format!(
            "holds {} N·m, {} times what turning needs at rest",
            span_text(motor.holding),
            span_text(motor.times_at_rest)
        ),
    )];
    if let Some(times) = motor.times {
        let (speed, acceleration) = (figure(effort.speed), figure(effort.acceleration));
        let rates = format!("at {speed} {0}/s and {acceleration} {0}/s²", effort.unit);
        facts.push(("at the file's rates", format!("{} times what it needs, {rates}", span_text(times))));
    }
    if let Some(speed) = motor.greatest_speed {
        facts.push(("greatest speed", format!("{} {}/s with {to_spare}", span_text(speed), effort.unit)));
    }
    if let Some(greatest) = motor.greatest_acceleration {
        facts.push((
            "greatest acceleration",
            format!("{} {}/s² with {to_spare}", span_text(greatest), effort.unit),
        ));
    }
    match &motor.lag {
        Some(lag) => {
            let unit = effort.unit;
            let behind = format!(
                "up to {} microsteps behind, {} {unit}; up to {} {unit} between raising and lowering",
                figure(lag.microsteps.high),
                figure(lag.travel.high),
                figure(lag.turning_round.high)
            );
            facts.push(("rotor at rest", behind));
            let pulls = figure(lag.microstep_torque);
            let swallows = match span_text(lag.swallowed) {
                none if none == "0" => "the load gives way to the first".into(),
                first => format!("before the load gives way, {first} are swallowed"),
            };
            facts.push(("one microstep", format!("pulls with {pulls} % of the holding torque; {swallows}")));
        }
        None => facts.push(("rotor at rest", "the motor may not hold the load".into())),
    }
    facts
}

fn must_have(effort: &Effort) -> Vec<Fact> {
    let must = &effort.must_have;
    vec![(
        "a motor must have",
        format!(
            "{} N·m at rest and {} N·m at {} rev/min, besides what its own rotor takes ({} % to spare)",
            figure(must.holding.high),
            figure(must.at_speed.high),
            figure(must.turns_a_minute),
            figure(100.0 * effort.margin)
        ),
    )]
}

fn changes(effort: &Effort) -> String {
    let speed = format!("greatest speed, {}/s", effort.unit);
    let mut table = output::table(&["what would change it", "torque, N·m", ">change", "times", &speed]);
    for Change { what, torque, part, times, greatest_speed, .. } in &effort.changes {
        let span = |span: &Option<Span>| span.map_or_else(String::new, span_text);
        let part =
            if part.abs() < 0.005 { "0 %".into() } else { format!("{} %", figure((100.0 * part).round())) };
        table.add_row([what.clone(), span_text(*torque), part, span(times), span(greatest_speed)]);
    }
    let mut text = format!("\n{}", output::lines(&mut table));
    for caution in effort.changes.iter().filter_map(|change| Some((change.caution?, &change.what))) {
        text += &format!("  {}: {}\n", caution.1, caution.0);
    }
    text
}

fn offered(effort: &Effort) -> String {
    let Some(offered) = effort.offered else { return String::new() };
    format!(
        "\nrates that keep the margin and cross the travel soonest, for [motion]:\n\nspeed = \"{} {1}/s\"\nacceleration = \
         \"{2} {1}/s²\"\n",
        offered.speed, effort.unit, offered.acceleration
    )
}

const CAUTION: &str = "
CAUTION: prop the load before you take off a nut, a belt or a spring, or switch off: it can drop or fly up. These
are estimates from the figures of the file; try the machine slowly, with the cutter at rest, unplugged if you can,
and hands clear. Limits are not guards. The makers' manuals and the rules where you work come first.
";
