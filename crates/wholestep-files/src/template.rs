//! A new axis file from a handful of answers.

use std::collections::BTreeMap;

use super::axis_file::AxisFile;
use super::registry::Registry;
use super::suggest::instead;
use crate::messages;
use wholestep::error::{Result, Value};
use wholestep::measure::{Acceleration, Angle, Length, LengthUnit, Measure, Speed, Unit};
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
}

impl Template {
    /// Every machine, in the order in which they are documented.
    pub const ALL: [Self; 3] = [Self::Lift, Self::Stop, Self::Fence];

    /// Returns the machine's name, as the command line spells it.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Lift => "lift",
            Self::Stop => "stop",
            Self::Fence => "fence",
        }
    }

    /// Reads `lift`, `stop` or `fence`.
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

    const fn questions(self) -> [Question; 10] {
        let [name, travel, teeth, high, speed, acceleration] = match self {
            Self::Lift => [
                Question::new("name", "What is the axis called?", "Router lift", Answer::Name),
                Question::new("pitch", "What is the pitch of the screw?", "3 mm", Answer::Length),
                Question::new("starts", "How many starts has its thread?", "1", Answer::Count),
                Question::new("high", "Where does its travel end, at the top?", "60 mm", Answer::Length),
                Question::new("speed", "How fast may it go?", "8 mm/s", Answer::Speed),
                Question::new("acceleration", "How fast may it speed up?", "40 mm/s²", Answer::Acceleration),
            ],
            Self::Stop => [
                Question::new("name", "What is the axis called?", "Stop block", Answer::Name),
                Question::new(
                    "tooth_pitch",
                    "What is the pitch of the belt's teeth?",
                    "3 mm",
                    Answer::Length,
                ),
                Question::new("pulley_teeth", "How many teeth has its pulley?", "20", Answer::Count),
                Question::new(
                    "high",
                    "Where does its travel end, at the far side?",
                    "1200 mm",
                    Answer::Length,
                ),
                Question::new("speed", "How fast may it go?", "100 mm/s", Answer::Speed),
                Question::new("acceleration", "How fast may it speed up?", "200 mm/s²", Answer::Acceleration),
            ],
            Self::Fence => [
                Question::new("name", "What is the axis called?", "Saw fence", Answer::Name),
                Question::new("module", "What is the module of the rack?", "1 mm", Answer::Length),
                Question::new("pinion_teeth", "How many teeth has its pinion?", "20", Answer::Count),
                Question::new(
                    "high",
                    "Where does its travel end, at the far side?",
                    "800 mm",
                    Answer::Length,
                ),
                Question::new("speed", "How fast may it go?", "60 mm/s", Answer::Speed),
                Question::new("acceleration", "How fast may it speed up?", "150 mm/s²", Answer::Acceleration),
            ],
        };
        [
            name,
            Question::new("unit", "In which unit do you work, mm or in?", "mm", Answer::Unit),
            Question::new("step_angle", "What is the motor's step angle?", "1.8 deg", Answer::Angle),
            Question::new("step_mode", "Which step mode is the driver set to?", "1/8", Answer::StepMode),
            travel,
            teeth,
            Question::new("low", "Where does its travel begin?", "0 mm", Answer::Length),
            high,
            speed,
            acceleration,
        ]
    }

    const fn kind(self) -> &'static str {
        match self {
            Self::Lift => "lead_screw",
            Self::Stop => "belt",
            Self::Fence => "rack",
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
        }
    }

    const fn approach(self) -> &'static str {
        match self {
            Self::Lift => "# approach = \"from_below\"  # the weight keeps the nut on one flank",
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
            let keys = self.machine.questions().map(|question| question.key);
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
        let text = self.compose();
        AxisFile::from_toml(&text, &Registry::standard())?;
        Ok(text)
    }

    fn unit(&self) -> LengthUnit {
        self.answers.get("unit").and_then(|unit| LengthUnit::read(unit).ok()).unwrap_or(LengthUnit::BASE)
    }

    fn check(&self, wanted: Answer, answer: &str) -> Result<()> {
        let unit = Some(self.unit());
        match wanted {
            Answer::Name => super::axis_file::check_name(answer),
            Answer::Unit => LengthUnit::read(answer).map(drop),
            Answer::Angle => Angle::read(answer, None).map(drop),
            Answer::StepMode => StepMode::read(answer).map(drop),
            Answer::Length => Length::read(answer, unit).map(drop),
            Answer::Count => answer
                .parse::<u32>()
                .map(drop)
                .map_err(|_| messages::WHOLE_NUMBER_TEXT.error().given(Value::text(answer)).spelling("20")),
            Answer::Speed => Speed::<Length>::read(answer, unit).map(drop),
            Answer::Acceleration => Acceleration::<Length>::read(answer, unit).map(drop),
        }
    }

    /// The answer to `question`, or the suggestion, as TOML.
    fn written(&self, question: &Question) -> String {
        let answer = self.answers.get(question.key).map_or(question.suggestion, String::as_str);
        match question.answer {
            Answer::Count => answer.parse::<u32>().unwrap_or_default().to_string(),
            // A unit may be answered by a mark, which is short for more than one.
            Answer::Unit => toml_edit::Value::from(self.unit().symbol()).to_string(),
            _ => toml_edit::Value::from(answer).to_string(),
        }
    }

    fn compose(&self) -> String {
        let questions = self.machine.questions();
        let [name, unit, step_angle, step_mode, travel, teeth, low, high, speed, acceleration] =
            questions.each_ref().map(|question| format!("{} = {}", question.key, self.written(question)));
        let (caution, approach) = (self.machine.caution(), self.machine.approach());
        let kind = self.machine.kind();
        format!(
            "\
{caution}
# Soft limits and switches are not safety devices. Follow the makers' manuals and your local rules.

version = 1
{name}
kind = \"{kind}\"
# A quoted number without a unit is in this one.
{unit}

[motor]
{step_angle}  # printed on the motor; 1.8 deg makes 200 full steps a turn
{step_mode}  # as the driver's switches are set
# Where the motor drives through a belt or gears, count the teeth:
# driver_teeth = 20
# driven_teeth = 40

[mechanism]
{travel}
{teeth}

# The soft limits: nothing is placed past them.
[limits]
{low}
{high}
# Where the axis stands at the motor's step 0:
# step_zero_at = \"0 mm\"

[motion]
{speed}
{acceleration}
# Measure the play: approach one position from both sides and compare. Then take the # from both lines
# and write what you measured; until then the play is not taken up.
{approach}
# backlash = \"0.1 mm\"
# \"reversed\" where the first creep goes the wrong way:
direction = \"normal\"

# Check these against the driver's manual.
[pulse]
timer_hz = 1000000  # ticks of the controller's timer in a second
direction_setup = \"10 us\"
pulse_high = \"5 us\"
pulse_low = \"5 us\"

# Switches, datum, touch-off and what is moved have sections of their own: wholestep help files
"
        )
    }
}
