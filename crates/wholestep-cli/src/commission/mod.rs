//! `wholestep commission AXIS`.

mod instructions;
mod prompt;

use serde::Serialize;
use wholestep::axis::AnyAxis;
use wholestep::carriage::{CommissioningTask, Event, Fault, Input};
use wholestep::error::Value;
use wholestep::measure::Unit as _;
use wholestep::{Axis, Enclosure, Exact, Measure, Mechanism, Result, Rounding, exact};
use wholestep_files::{AxisFile, Registry, TravelCheck};
use wholestep_twin::{Commissioning, Exchanged, Moved, Rehearsable};

use crate::arguments::Commission;
use crate::messages;
use crate::{Answer, UNSOUND, output};
use prompt::{Person, Way};

pub(crate) fn answer(task: &Commission, json: bool, registry: &Registry) -> Result<Answer> {
    let file = AxisFile::load(&task.axis, registry)?;
    output::cautions(&file);
    match file.axis() {
        AnyAxis::Length(axis) => power_up(task, json, &file, axis),
        AnyAxis::Angle(axis) => power_up(task, json, &file, axis),
    }
}

fn power_up<M: Mechanism>(task: &Commission, json: bool, file: &AxisFile, axis: &Axis<M>) -> Result<Answer> {
    let (machine, exchanged) = really(file, &task.really)?;
    let mut lives = Commissioning::new(file, &machine, &exchanged, task.seed)?;
    for text in &task.faults {
        lives.inject(wholestep_twin::Fault::read(text, file.pulse().timer_hz)?)?;
    }
    let person = Person::new(task, axis.unit())?;
    person.say(&format!(
        "{}: first power-up, on a simulated machine\n\n{}",
        file.name(),
        instructions::CAUTIONS
    ));
    let mut session = Session { file, axis, lives, person, last: None, steps: Vec::new(), wrong: None };
    session.run()?;
    let status = if session.wrong.is_none() { 0 } else { UNSOUND };
    let talked = session.person.talks();
    let report = session.report(task.seed);
    let text = if json { output::json(&report)? } else { report.text(talked) };
    Ok(Answer { text, status })
}

/// Nothing leads the machine by its own file, so whatever step mode it is in, its pulses may be as close
/// as they like.
const CLOSE_PULSES: [(&str, &str); 2] = [("pulse.pulse_high", "1 ns"), ("pulse.pulse_low", "1 ns")];

/// The machine as it is, and which of its wires are exchanged.
fn really(file: &AxisFile, pairs: &[String]) -> Result<(AxisFile, Vec<Exchanged>)> {
    let (mut machine, mut exchanged) = (file.clone(), Vec::new());
    for (key, value) in CLOSE_PULSES {
        machine = machine.with(key, value)?;
    }
    for pair in pairs {
        let (key, value) = pair.split_once('=').ok_or_else(|| {
            messages::DIFFERENCE_TEXT.error().given(Value::text(pair)).spelling("--really step_mode=1/16")
        })?;
        if key.trim() == "exchanged" {
            let named = Exchanged::ALL.into_iter().find(|one| one.name() == value.trim());
            exchanged.push(named.ok_or_else(|| {
                messages::WIRES_TO_EXCHANGE
                    .error()
                    .given(Value::text(value))
                    .spelling("exchanged=switches, exchanged=dial or exchanged=rocker")
            })?);
        } else {
            let other = machine.with(key, value)?;
            if Rehearsable::new(&other, 0)?.machine == Rehearsable::new(&machine, 0)?.machine {
                return Err(messages::NO_DIFFERENCE.error().given(Value::text(pair)));
            }
            machine = other;
        }
    }
    Ok((machine, exchanged))
}

/// A first power-up under way.
struct Session<'f, M: Mechanism> {
    file: &'f AxisFile,
    axis: &'f Axis<M>,
    lives: Commissioning,
    person: Person<M::Measure>,
    /// The last motion.
    last: Option<Moved>,
    steps: Vec<Step>,
    /// What is wrong, if the last step was.
    wrong: Option<Wrong>,
}

/// A step of commissioning, and what came of it.
#[derive(Debug, Serialize)]
struct Step {
    what: &'static str,
    found: String,
    good: bool,
}

/// What keeps a machine from being commissioned.
#[derive(Debug, Serialize)]
struct Wrong {
    what: &'static str,
    check: String,
    /// Figures of the file that would explain it.
    explained_by: Vec<Figure>,
}

#[derive(Debug, Serialize)]
struct Figure {
    key: &'static str,
    says: String,
    fits: String,
}

/// Most steps until a machine whose power fails again and again is given up.
const STEPS_MOST: usize = 100;

impl<M: Mechanism> Session<'_, M> {
    fn run(&mut self) -> Result<()> {
        while let Some(asked) = self.lives.commissioning_task() {
            self.wrong = None;
            match asked {
                CommissioningTask::Change(input) => self.change(input)?,
                CommissioningTask::Nudge => self.nudge()?,
                CommissioningTask::ConfirmDirection => self.confirm_direction()?,
                CommissioningTask::MeasureTravel => self.measure_travel()?,
                CommissioningTask::ReportTravel => self.report_travel()?,
                CommissioningTask::FindDatum => self.find_datum()?,
                CommissioningTask::Wait => {
                    self.bad("motion", "did not end".into(), "look at the machine".into());
                }
            }
            if self.wrong.is_some() && (self.steps.len() >= STEPS_MOST || !self.person.again()?) {
                break;
            }
            if let Err(refusal) = self.lives.clear_fault() {
                self.bad("fault", "is still there".into(), refusal.to_string());
                break;
            }
        }
        Ok(())
    }

    fn good(&mut self, what: &'static str, found: String) {
        self.person.say(&format!("  {}: {found}\n", words(what)));
        self.steps.push(Step { what, found, good: true });
    }

    fn bad(&mut self, what: &'static str, found: String, check: String) {
        self.person.say(&format!("  {}: {found}\n  {check}\n", words(what)));
        self.steps.push(Step { what, found, good: false });
        self.wrong = Some(Wrong { what, check, explained_by: Vec::new() });
    }

    fn change(&mut self, input: Input) -> Result<()> {
        self.person.wait(instructions::task(input))?;
        match self.lives.change(input) {
            Ok(()) => self.good(input.name(), instructions::seen(input).into()),
            Err(trouble) => {
                let configuration = self.file.carriage_config();
                let [found, check] = instructions::trouble(input, trouble, configuration);
                self.bad(input.name(), found, check);
            }
        }
        Ok(())
    }

    fn nudge(&mut self) -> Result<()> {
        if self.file.carriage_config().parts().probe.is_some() {
            self.person.wait(instructions::LEADS_PARKED)?;
        }
        let nudge = self.shown(self.travel_of(self.file.carriage_config().parts().nudge)?)?;
        self.person.wait(&format!(
            "Keep clear, and hold the enable button: the carriage creeps {nudge} toward the high end, where its \
             measure grows."
        ))?;
        let moved = self.lives.nudge();
        match &moved.stopped {
            Some(why) => self.bad("nudge", "did not come about".into(), why.clone()),
            None => self.last = Some(moved),
        }
        Ok(())
    }

    fn confirm_direction(&mut self) -> Result<()> {
        let (nudge, moved) = (self.travel_of(self.file.carriage_config().parts().nudge)?, self.travelled()?);
        let unnoticed = nudge.checked_mul(Exact::new(1, 100)?)?;
        let shown = match moved {
            still if still.abs() < unnoticed => Way::None,
            down if down < M::Measure::ZERO => Way::Low,
            _ => Way::High,
        };
        let way = self.person.which_way(shown)?;
        let nudge = self.shown(nudge)?;
        if let Err(refusal) = self.lives.confirm_direction(way == Way::High) {
            self.bad("nudge", "could not be confirmed".into(), refusal.to_string());
            return Ok(());
        }
        match way {
            Way::High => self.good("nudge", format!("asked for {nudge}; it went toward the high end")),
            Way::Low => self.bad(
                "nudge",
                "went toward the low end".into(),
                "the motor turns the other way round: write the other `direction` in [motion], or exchange the two \
                 wires of one winding, with the supply off"
                    .into(),
            ),
            Way::None => self.bad(
                "nudge",
                "the carriage stood still".into(),
                "look whether the drive has its supply and is switched on, at the motor's wires, the step and \
                 direction wires, the coupling, and for something that jams"
                    .into(),
            ),
        }
        Ok(())
    }

    fn measure_travel(&mut self) -> Result<()> {
        let travel = self.shown(self.travel_of(self.file.carriage_config().parts().measured)?)?;
        self.person.wait(&format!(
            "Mark where the carriage stands, keep clear, and hold the enable button: by the file it goes {travel} \
             toward the high end."
        ))?;
        let moved = self.lives.measure_travel();
        // A switch ends a travel that is too long; what it went until then tells why.
        let met_switch = matches!(moved.fault, Some(Fault::SwitchReached(_))) && moved.steps > 0;
        match &moved.stopped {
            Some(why) if !met_switch => self.bad("travel", "did not come about".into(), why.clone()),
            stopped => {
                let why = stopped.clone();
                self.last = Some(moved);
                if let Some(why) = why {
                    self.person.say(&format!("  {why}"));
                    let compared = self.compare()?;
                    self.disagree(compared, Some(why))?;
                }
            }
        }
        Ok(())
    }

    fn report_travel(&mut self) -> Result<()> {
        let compared = self.compare()?;
        let (check, told) = &compared;
        if let Err(refusal) = self.lives.report_travel(check.agrees) {
            self.bad("travel", "could not be compared".into(), refusal.to_string());
            return Ok(());
        }
        if check.agrees {
            self.good("travel", told.clone());
            return Ok(());
        }
        self.disagree(compared, None)
    }

    /// How the travel that a person measures compares, and that in words.
    fn compare(&self) -> Result<(TravelCheck, String)> {
        let steps = self.last.as_ref().map_or(0, |moved| moved.steps);
        let (expected, shown) = (self.travel_of(steps)?, self.travelled()?.abs());
        let measured = self.person.how_far(shown, &self.shown(shown)?)?;
        let check = self.file.check_travel(expected.base(), measured.base(), TOLERANCE)?;
        Ok((check, format!("{} by the file, {} measured", self.shown(expected)?, self.shown(measured)?)))
    }

    /// Names what explains a measured travel that is not the expected one.
    fn disagree(&mut self, (check, told): (TravelCheck, String), stopped: Option<String>) -> Result<()> {
        if check.agrees {
            let why = stopped.unwrap_or_default();
            self.bad(
                "travel",
                format!("{told}, and then it was stopped"),
                format!("{why}; or it began too near the end: begin from the middle"),
            );
            return Ok(());
        }
        let far = instructions::how_much(check.ratio, TOLERANCE)?;
        let why = if check.explanations.is_empty() {
            "no single figure of the file that is in common use explains it: measure once more from a clear \
             mark, look for slack and slipping, then check every figure of [motor] and [mechanism]"
        } else {
            "any one of these would explain it; check which the machine has, and correct the file or the machine"
        };
        self.bad("travel", told, format!("the carriage goes {far} as the file says: {why}"));
        let figures: Vec<_> = check
            .explanations
            .into_iter()
            .map(|one| Figure { key: one.key, says: one.says, fits: one.fits })
            .collect();
        self.person.say(&lines_of(&figures));
        if let Some(wrong) = &mut self.wrong {
            wrong.explained_by = figures;
        }
        Ok(())
    }

    fn find_datum(&mut self) -> Result<()> {
        self.person.wait(
            "Keep clear, and hold the enable button: the carriage looks for the switch that gives the datum.",
        )?;
        let moved = self.lives.find_datum();
        if let Some(why) = moved.stopped {
            self.bad("datum", "was not found".into(), why);
            return Ok(());
        }
        let twin = self.lives.twin();
        let met_at = twin.events().iter().rev().find_map(|(_, event)| match event {
            Event::DatumFound { met_at, .. } => Some(*met_at),
            _ => None,
        });
        let rests = self.axis.at_step(twin.carriage().step())?.target();
        let stands = measured::<M::Measure>(self.lives.stands())?;
        let mut found = format!(
            "found at step {}; by the file the carriage rests at {} now, and really at {}",
            met_at.unwrap_or_default(),
            self.shown(rests)?,
            self.shown(stands)?
        );
        let off = Enclosure::exact(stands).checked_sub(Enclosure::exact(rests))?.to_measure()?;
        let play = Enclosure::exact(M::Measure::from_base(Exact::new(1, 4)?)?)
            .checked_add(Enclosure::exact(self.axis.config().backlash))?
            .high();
        if off.abs() > play {
            let up = if off > M::Measure::ZERO { "higher" } else { "lower" };
            found += &format!(": write `switch_at` in [datum] {} {up}", self.shown(off.abs())?);
        }
        self.good("datum", found);
        Ok(())
    }

    /// How far `steps` go by the file, from the middle of the travel, where the carriage stands.
    fn travel_of(&self, steps: u64) -> Result<M::Measure> {
        let middle = i64::midpoint(self.axis.lowest_step(), self.axis.highest_step());
        let to = middle.saturating_add_unsigned(steps);
        let travel = self.axis.at_step(middle)?.distance_to(&self.axis.at_step(to)?)?;
        Ok(travel.to_measure()?.abs())
    }

    /// As closely as a person could measure: to a thousandth of a millimetre or degree, or a
    /// ten-thousandth of another unit.
    fn shown(&self, measure: M::Measure) -> Result<String> {
        let unit = self.axis.unit();
        let parts = if unit.in_base() == Exact::ONE { 1_000 } else { 10_000 };
        let rounded = measure.base().checked_div(unit.in_base())?.round_to(parts, Rounding::Nearest)?;
        Ok(M::Measure::new(rounded, unit)?.to_text(unit).to_string())
    }

    /// How far the carriage really went in the last motion, as a rule reads it.
    fn travelled(&self) -> Result<M::Measure> {
        measured(self.last.as_ref().map_or(0.0, |moved| moved.travelled))
    }

    fn report(self, seed: u64) -> Report {
        Report {
            axis: self.file.name().into(),
            seed,
            commissioned: self.wrong.is_none(),
            steps: self.steps,
            wrong: self.wrong,
            assumed: self.lives.assumed().to_vec(),
        }
    }
}

/// What a rule decides: one part in fifty.
const TOLERANCE: Exact = exact!(1 / 50);

/// Millimetres or degrees of the simulated machine, to a thousandth.
fn measured<Q: Measure>(base: f64) -> Result<Q> {
    Q::read(&format!("{base:.3}"), Some(Q::BASE))
}

/// The figures, one a line.
fn lines_of(figures: &[Figure]) -> String {
    let mut table = output::table(&[]);
    for figure in figures {
        table.add_row([
            format!("  {}", figure.key),
            format!("the file says {}", figure.says),
            format!("{} fits", figure.fits),
        ]);
    }
    if figures.is_empty() { String::new() } else { output::lines(&mut table) }
}

#[derive(Debug, Serialize)]
struct Report {
    axis: String,
    seed: u64,
    commissioned: bool,
    steps: Vec<Step>,
    wrong: Option<Wrong>,
    assumed: Vec<String>,
}

impl Report {
    fn text(&self, talked: bool) -> String {
        let mut text =
            format!("{}, first power-up on a simulated machine, seed {}\n\n", self.axis, self.seed);
        if !talked {
            text += instructions::CAUTIONS;
            text.push('\n');
        }
        let mut table = output::table(&["step", "what was found"]);
        for step in &self.steps {
            let sign = if step.good { "" } else { "WRONG: " };
            table.add_row([words(step.what), format!("{sign}{}", step.found)]);
        }
        text += &output::lines(&mut table);
        match &self.wrong {
            None => text += "\nCommissioned, and the datum is found.\n",
            Some(wrong) => {
                text += &format!("\nNOT COMMISSIONED. {}: {}\n", words(wrong.what), wrong.check);
                text += &lines_of(&wrong.explained_by);
            }
        }
        if !self.assumed.is_empty() {
            text += &format!("\n{}", output::assumed(&self.assumed));
        }
        text
    }
}

/// The name of a step, as people read it.
fn words(name: &str) -> String {
    name.replace('_', " ")
}
