//! A new axis file from a handful of answers.

mod questions;

use std::collections::BTreeMap;

use super::axis_file::AxisFile;
use super::registry::Registry;
use super::suggest::instead;
use crate::messages;
use wholestep::carriage::End;
use wholestep::error::{Result, Value};
use wholestep::exact;
use wholestep::exact::Exact;
use wholestep::measure::{Acceleration, Angle, AngleUnit, Length, LengthUnit, Measure, Speed, Unit};
use wholestep::mechanism::ScrewMotion;
use wholestep::mechanism::StepMode;

/// What a new axis moves.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Template {
    /// A router lift, by a lead screw.
    Lift,
    /// A stop block, by a toothed belt.
    Stop,
    /// A saw fence, by a rack.
    Fence,
    /// The height of a saw blade, by an arm that a screw swings.
    Blade,
    /// The tilt of a saw blade, by a screw between frame and trunnion.
    Tilt,
    /// A tilting table, by a worm and its wheel.
    Table,
}

impl Template {
    /// Every machine, in the order in which they are documented.
    pub const ALL: [Self; 6] = [Self::Lift, Self::Stop, Self::Fence, Self::Blade, Self::Tilt, Self::Table];

    /// Returns the machine's name, as the command line spells it.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Lift => "lift",
            Self::Stop => "stop",
            Self::Fence => "fence",
            Self::Blade => "blade",
            Self::Tilt => "tilt",
            Self::Table => "table",
        }
    }

    /// Reads `lift`, `stop`, `fence`, `blade`, `tilt` or `table`.
    ///
    /// # Errors
    /// [`ErrorKind::UnknownKind`](wholestep::ErrorKind::UnknownKind) for anything else.
    pub fn read(text: &str) -> Result<Self> {
        let is = |machine: &Self| machine.name() == text.trim();
        Self::ALL.into_iter().find(is).ok_or_else(|| {
            let advice = instead(text, Self::ALL.map(Self::name), "name one of the known ones");
            messages::KIND_OF_NEW_AXIS.error().given(Value::text(text)).advice(advice)
        })
    }

    const fn kind(self) -> &'static str {
        match self {
            Self::Lift => "lead_screw",
            Self::Stop => "belt",
            Self::Fence => "rack",
            Self::Blade => "swing_arm",
            Self::Tilt => "screw_tilt",
            Self::Table => "rotary",
        }
    }

    /// Whether its positions are angles.
    const fn turns(self) -> bool {
        matches!(self, Self::Tilt | Self::Table)
    }

    /// The end whose switch gives the datum: the one away from the blade, or below the table.
    const fn datum(self) -> End {
        match self {
            Self::Stop | Self::Fence => End::High,
            Self::Lift | Self::Blade | Self::Tilt | Self::Table => End::Low,
        }
    }

    /// Whether a cutter or blade is touched off from below.
    const fn touches(self) -> bool {
        matches!(self, Self::Lift | Self::Blade)
    }

    /// Whether the load stays with the drive off, and why.
    const fn holds(self) -> &'static str {
        match self {
            Self::Lift => "true  # a screw of one start; try yours with the load on",
            Self::Blade | Self::Tilt => "true  # a screw of a small lead; try yours with the load on",
            Self::Table => "true  # a worm of one start; try yours with the load on",
            Self::Stop => "false  # a belt gives way; clamp the stop before you cut",
            Self::Fence => "false  # a rack gives way; lock the fence before you cut",
        }
    }

    const fn caution(self) -> &'static str {
        match self {
            Self::Lift => {
                "# CAUTION: this motor moves beside a cutter. Unplug the router before you reach near the cutter
# or change it; never raise a turning cutter into a hand or a loose workpiece."
            }
            Self::Stop => {
                "# CAUTION: the stop moves towards a saw. Set it with the blade at rest and hands away, and hold
# every piece as the saw's manual says; a short piece between blade and stop can be thrown."
            }
            Self::Fence => {
                "# CAUTION: keep the fence still while the blade turns, and set it parallel or open at the far
# end; a piece pinched between fence and blade is thrown back. Guard and riving knife stay in use."
            }
            Self::Blade => {
                "# CAUTION: this motor moves a saw blade. Set it at rest only, and isolate the saw before you reach
# near the blade or change it. Guard and riving knife stay in use; check that they clear the blade."
            }
            Self::Tilt => {
                "# CAUTION: this motor moves a saw blade. Tilt it at rest only, and check that blade, guard and
# riving knife clear insert and fence at the new tilt. Isolate the saw before you reach near the blade."
            }
            Self::Table => {
                "# CAUTION: a tilting table pinches. Keep fingers from under it, and set it while the disc or cutter
# stands still."
            }
        }
    }

    const fn approach(self) -> &'static str {
        match self {
            Self::Lift | Self::Blade => {
                "# approach = \"from_below\"  # the weight keeps the nut on one flank"
            }
            Self::Tilt | Self::Table => {
                "# approach = \"from_below\"  # always from one side, so the play is on one side"
            }
            Self::Stop | Self::Fence => {
                "# approach = \"from_above\"  # always pushed towards the blade, so the play is on one side"
            }
        }
    }
}

/// A question about a new axis.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Question {
    key: &'static str,
    text: &'static str,
    suggestion: &'static str,
    answer: Answer,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Answer {
    Name,
    Unit,
    Angle,
    StepMode,
    Length,
    Count,
    Motion,
    /// A length, or an angle on an axis that turns.
    Position,
    Speed,
    Acceleration,
}

impl Question {
    const fn new(key: &'static str, text: &'static str, suggestion: &'static str, answer: Answer) -> Self {
        Self { key, text, suggestion, answer }
    }

    /// Returns the key that the answer is written at.
    pub const fn key(&self) -> &'static str {
        self.key
    }

    /// Returns the question.
    pub const fn text(&self) -> &'static str {
        self.text
    }

    /// Returns what is written where no answer is given.
    pub const fn suggestion(&self) -> &'static str {
        self.suggestion
    }
}

/// A new axis file while its questions are answered.
///
/// ```
/// use wholestep_files::{AxisFile, Template, NewAxis, Registry};
/// let mut lift = NewAxis::new(Template::Lift);
/// lift.answer("pitch", "1/10 in")?;
/// lift.answer("high", "65 mm")?;
/// assert!(lift.answer("starts", "none").is_err());
/// let file = AxisFile::from_toml(&lift.text()?, &Registry::standard())?;
/// assert_eq!(file.description(), "lead screw: pitch 1/10 in, starts 1");
/// # Ok::<(), wholestep::Error>(())
/// ```
#[derive(Clone, Debug)]
pub struct NewAxis {
    machine: Template,
    answers: BTreeMap<&'static str, String>,
}

impl NewAxis {
    /// Makes a new axis of `machine`, nothing answered yet.
    pub const fn new(machine: Template) -> Self {
        Self { machine, answers: BTreeMap::new() }
    }

    /// Returns the questions, in the order in which to ask them.
    pub fn questions(&self) -> impl Iterator<Item = Question> + use<> {
        self.machine.questions().into_iter()
    }

    /// Takes the answer to the question of `key`, checked at once.
    ///
    /// A measure without a unit is in the one answered before, or in mm.
    ///
    /// # Errors
    /// [`ErrorKind::Key`](wholestep::ErrorKind::Key) for a key that is no question; as the answer's type reads it.
    pub fn answer(&mut self, key: &str, answer: &str) -> Result<()> {
        let question = self.questions().find(|question| question.key == key).ok_or_else(|| {
            let keys = self.machine.questions().into_iter().map(|question| question.key);
            messages::NO_SUCH_QUESTION.error().given(Value::text(key)).advice(instead(
                key,
                keys,
                "leave it out",
            ))
        })?;
        let answer = answer.trim();
        self.check(question.answer, answer).map_err(|error| error.at_key(key))?;
        self.answers.insert(question.key, answer.into());
        Ok(())
    }

    /// Returns the file, commented; it has been read back.
    ///
    /// # Errors
    /// Whatever keeps the answers together from being an axis.
    pub fn text(&self) -> Result<String> {
        let text = if self.machine.turns() { self.compose::<Angle>()? } else { self.compose::<Length>()? };
        AxisFile::from_toml(&text, &Registry::standard())?;
        Ok(text)
    }

    fn unit<U: Unit>(&self) -> Option<U> {
        self.answers.get("unit").and_then(|unit| U::read(unit).ok())
    }

    fn check(&self, wanted: Answer, answer: &str) -> Result<()> {
        if self.machine.turns() {
            self.check_of::<Angle>(wanted, answer, None)
        } else {
            self.check_of::<Length>(wanted, answer, Some(self.unit().unwrap_or(LengthUnit::BASE)))
        }
    }

    /// Checks an answer on an axis of the measure `Q`; a length without a unit is in `length`.
    fn check_of<Q: Measure>(&self, wanted: Answer, answer: &str, length: Option<LengthUnit>) -> Result<()> {
        let unit = Some(self.unit::<Q::Unit>().unwrap_or(Q::BASE));
        match wanted {
            Answer::Name => super::axis_file::check_name(answer),
            Answer::Unit => Q::Unit::read(answer).map(drop),
            Answer::Angle => Angle::read(answer, self.unit::<AngleUnit>()).map(drop),
            Answer::StepMode => StepMode::read(answer).map(drop),
            Answer::Length => Length::read(answer, length).map(drop),
            Answer::Count => answer
                .parse::<u32>()
                .map(drop)
                .map_err(|_| messages::WHOLE_NUMBER_TEXT.error().given(Value::text(answer)).spelling("20")),
            Answer::Motion => {
                let known = ScrewMotion::ALL.map(ScrewMotion::name);
                if known.contains(&answer) {
                    return Ok(());
                }
                let advice = instead(answer, known, "write lengthening or shortening");
                Err(messages::MOTION_OF_THE_SCREW.error().given(Value::text(answer)).advice(advice))
            }
            Answer::Position => Q::read(answer, unit).map(drop),
            Answer::Speed => Speed::<Q>::read(answer, unit).map(drop),
            Answer::Acceleration => Acceleration::<Q>::read(answer, unit).map(drop),
        }
    }

    fn answered(&self, question: &Question) -> &str {
        self.answers.get(question.key).map_or(question.suggestion, String::as_str)
    }

    /// The answer to `question`, or the suggestion, as TOML.
    fn written(&self, question: &Question) -> String {
        let answer = self.answered(question);
        match question.answer {
            Answer::Count => answer.parse::<u32>().unwrap_or_default().to_string(),
            // A unit may be answered by a mark, which is short for more than one.
            Answer::Unit if self.machine.turns() => {
                quoted(self.unit::<AngleUnit>().unwrap_or(AngleUnit::BASE).symbol())
            }
            Answer::Unit => quoted(self.unit::<LengthUnit>().unwrap_or(LengthUnit::BASE).symbol()),
            _ => quoted(answer),
        }
    }

    /// What follows from the answers: where the switch is met, how it is searched for, and the rest of it.
    fn fitted<Q: Measure>(&self) -> Result<Fitted> {
        let unit = self.unit::<Q::Unit>().unwrap_or(Q::BASE);
        let answer = |key: &str| -> Result<Q> {
            let question = self.questions().find(|question| question.key == key);
            let text = question.map_or_else(String::new, |question| self.answered(&question).to_owned());
            Q::read(&text, Some(unit)).map_err(|error| error.at_key(key))
        };
        let (low, high) = (answer("low")?, answer("high")?);
        let room = high.checked_sub(low)?;
        let told =
            |base: Exact| -> Result<String> { Ok(quoted(&Q::from_base(base)?.to_text(unit).to_string())) };
        let outside = Q::from_base(if self.machine.turns() { Exact::ONE } else { Exact::integer(2) })?;
        let switch_at = match self.machine.datum() {
            End::Low => low.checked_sub(outside)?,
            End::High => high.checked_add(outside)?,
        };
        let speed = self.questions().find(|question| question.key == "speed");
        let speed = speed.map_or_else(String::new, |question| self.answered(&question).to_owned());
        let speed = Speed::<Q>::read(&speed, Some(unit)).map_err(|error| error.at_key("speed"))?;
        let part = |part: Exact| -> Result<String> {
            let speed = Speed::<Q>::from_base(speed.base().checked_mul(part)?)?;
            Ok(quoted(&speed.to_text(unit).to_string()))
        };
        Ok(Fitted {
            switch_at: told(switch_at.base())?,
            fast: part(exact!(1 / 4))?,
            slow: part(exact!(1 / 20))?,
            clearance: told(if self.machine.turns() { exact!(1 / 2) } else { exact!(3 / 2) })?,
            search: told(room.base().checked_mul(exact!(5 / 4))?)?,
            touch: told(room.base().checked_mul(exact!(1 / 2))?)?,
            ahead: told(exact!(1 / 2))?,
        })
    }

    fn compose<Q: Measure>(&self) -> Result<String> {
        let line = |question: &Question| format!("{} = {}\n", question.key, self.written(question));
        let of = |key: &str| {
            self.questions().filter(|question| question.key == key).map(|one| line(&one)).collect()
        };
        let [name, unit, step_angle, step_mode, low, high, speed, acceleration]: [String; 8] =
            ["name", "unit", "step_angle", "step_mode", "low", "high", "speed", "acceleration"].map(of);
        let (caution, approach) = (self.machine.caution(), self.machine.approach());
        let (kind, holds) = (self.machine.kind(), self.machine.holds());
        let mechanism: String = self.machine.mechanism().iter().map(line).collect();
        let (gears, mechanism) = if matches!(self.machine, Template::Table) {
            (mechanism, String::new())
        } else {
            let gears = "# Where the motor drives through a belt or gears, count the teeth:\n\
                         # driver_teeth = 20\n# driven_teeth = 40\n";
            (gears.into(), format!("\n[mechanism]\n{mechanism}"))
        };
        let Fitted { switch_at, fast, slow, clearance, search, touch, ahead } = self.fitted::<Q>()?;
        let play = if self.machine.turns() { "0.1 deg" } else { "0.1 mm" };
        let (end, upright) = (self.machine.datum().name(), self.machine.touches());
        let probe = if self.machine.touches() {
            format!(
                "# A probe that the axis creeps up to. On a mains tool: unplugged, and both leads off and parked before\n\
                 # power.\n[touch_off]\nprobe = \"normally_open\"\nwithin = {touch}\n\n"
            )
        } else {
            String::new()
        };
        Ok(format!(
            "\
{caution}
# Soft limits and switches are not safety devices. Follow the makers' manuals and your local rules.

version = 1
{name}kind = \"{kind}\"
# A quoted number without a unit is in this one.
{unit}
[motor]
{step_angle}# Printed on the motor; 1.8 deg makes 200 full steps a turn. Set the driver's switches as this:
{step_mode}{gears}{mechanism}
# The soft limits: nothing is placed past them.
[limits]
{low}{high}# Where the axis stands at the motor's step 0:
# step_zero_at = \"0\"

[motion]
{speed}{acceleration}# Measure the play: approach one position from both sides and compare. Then take the # from both lines
# and write what you measured; until then the play is not taken up.
{approach}
# backlash = \"{play}\"
# \"reversed\" where the first creep goes the wrong way:
direction = \"normal\"

# Check these against the driver's manual.
[pulse]
timer_hz = 1000000  # ticks of the controller's timer in a second
direction_setup = \"10 us\"
pulse_high = \"5 us\"
pulse_low = \"5 us\"

# A broken wire of a normally closed switch is found. A switch is no safety device.
[switches]
low = \"normally_closed\"
high = \"normally_closed\"
contact_settle = \"10 ms\"  # longer than the bounce in the switch maker's data

# The switch that proves the position; measure where it is met, outside the soft limit.
[datum]
end = \"{end}\"
switch_at = {switch_at}
fast = {fast}
slow = {slow}
clearance = {clearance}  # more than the switch needs to let go
within = {search}

{probe}# Take out what is not fitted.
[hand]
rocker = true
counts_per_detent = 4
ahead = {ahead}  # the dial is never further ahead than this
hand_stops = \"150 ms\"

[drive]
settle = \"100 ms\"
self_holding = {holds}

# For effort and rehearsals; weigh it, and take the rest from the makers' sheets: wholestep help files
[machine]
upright = {upright}
# load_mass = \"5 kg\"
"
        ))
    }
}

/// What follows from the answers, as TOML.
struct Fitted {
    switch_at: String,
    fast: String,
    slow: String,
    clearance: String,
    search: String,
    touch: String,
    ahead: String,
}

fn quoted(text: &str) -> String {
    toml_edit::Value::from(text).to_string()
}
