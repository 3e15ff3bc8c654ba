//! `wholestep effort AXIS`.

use wholestep::Result;
use wholestep_files::{AxisFile, Existing, Registry, write_whole};
use wholestep_shop::caution::LOAD_CAN_MOVE;
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
    let mut text = format!("{}\n\n{}\n\n", effort.axis, output::wrapped(&effort.verdict, ""));
    let told = load(effort).into_iter().chain(power(effort)).chain(motor(effort)).chain([must_have(effort)]);
    for (what, value) in told {
        // A figure stays on the line of its unit.
        let glued = value
            .replace(" N·m", "\u{a0}N·m")
            .replace(&format!(" {}", effort.unit), &format!("\u{a0}{}", effort.unit));
        let lines = output::wrapped(&format!("{what:LABEL$}{glued}"), &" ".repeat(LABEL));
        text += &format!("{}\n", lines.replace('\u{a0}', " "));
    }
    text += &changes(effort);
    text += &offered(effort);
    for found in &effort.contradictions {
        text += &format!("\n{}\n", output::wrapped(&format!("BUT {found}"), "  "));
    }
    for one in effort.compared.iter().filter(|one| one.agrees) {
        let (measured, figures) = (span_text(one.measured), span_text(one.by_figures));
        let agrees = format!("{}: measured {measured}, and {figures} by the figures: they agree", one.what);
        text += &format!("\n{}\n", output::wrapped(&agrees, "  "));
    }
    if !effort.assumed.is_empty() {
        text += &format!("\n{}", output::assumed(&effort.assumed));
    }
    text += &format!("\nnot known to any figure here:\n{}\n", output::bulleted(&effort.not_known.join("; ")));
    text + &format!("\nThese are estimates.\n{}\n", output::bulleted(LOAD_CAN_MOVE))
}

/// The width of what stands before a fact.
const LABEL: usize = 23;

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
        ["to raise, at worst", "to lower, at worst"]
    } else {
        ["toward the high end", "toward the low end"]
    };
    let mut facts = vec![(ways[0], at(&effort.raising))];
    facts.extend(effort.lowering.iter().map(|lower| (ways[1], at(lower))));
    let presses = |[_, most]: &&[Spot; 2]| most.force.is_some_and(|force| force != Span::new(0.0, 0.0));
    if let Some([least, most]) = effort.load.as_ref().filter(presses) {
        let on = |spot: &Spot| {
            format!("{} N {}", span_text(spot.force.unwrap_or(spot.torque)), effort.place_of(spot.position))
        };
        facts.push(("weight and springs", format!("least {}; most {}", on(least), on(most))));
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
        ("when it returns", "the motor may snap to another step: find the datum, or touch off".into()),
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

fn must_have(effort: &Effort) -> Fact {
    let must = &effort.must_have;
    (
        "a motor must have",
        format!(
            "{} N·m at rest and {} N·m at {} rev/min, besides what its own rotor takes ({} % to spare)",
            figure(must.holding.high),
            figure(must.at_speed.high),
            figure(must.turns_a_minute),
            figure(100.0 * effort.margin)
        ),
    )
}

fn changes(effort: &Effort) -> String {
    let speed = format!("speed, {}/s", effort.unit);
    let mut table = output::table(&["torque, N·m", ">change", "times", &speed, "what would change it"]);
    for Change { what, torque, part, times, greatest_speed, .. } in &effort.changes {
        let span = |span: &Option<Span>| span.map_or_else(String::new, span_text);
        let part =
            if part.abs() < 0.005 { "0 %".into() } else { format!("{} %", figure((100.0 * part).round())) };
        table.add_row([span_text(*torque), part, span(times), span(greatest_speed), what.clone()]);
    }
    let mut text = format!("\n{}", output::lines(&mut table));
    for change in &effort.changes {
        if let Some(caution) = change.caution {
            text += &format!("\n{}:\n{}\n", change.what, output::bulleted(caution));
        }
    }
    text
}

fn offered(effort: &Effort) -> String {
    let Some(offered) = effort.offered else { return String::new() };
    format!(
        "\nfor [motion], rates that keep the margin and cross the travel soonest:\n\nspeed = \"{} {1}/s\"\nacceleration = \
         \"{2} {1}/s²\"\n",
        offered.speed, effort.unit, offered.acceleration
    )
}
