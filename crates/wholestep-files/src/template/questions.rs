//! What is asked about each machine, and what is suggested.

use super::{Answer, Question, Template};

impl Template {
    /// Every question, in the order in which to ask it.
    pub(super) fn questions(self) -> Vec<Question> {
        let mut questions = vec![
            Question::new("name", "What is the axis called?", self.called(), Answer::Name),
            if self.turns() {
                Question::new("unit", "In which unit do you work, such as deg?", "deg", Answer::Unit)
            } else {
                Question::new("unit", "In which unit do you work, mm or in?", "mm", Answer::Unit)
            },
            Question::new("step_angle", "What is the motor's step angle?", "1.8 deg", Answer::Angle),
            Question::new("step_mode", "Which step mode is the driver set to?", "1/8", Answer::StepMode),
        ];
        questions.extend_from_slice(self.mechanism());
        questions.extend_from_slice(self.travel());
        questions
    }

    /// What is asked about its mechanism, keys of `[mechanism]` but for a table, whose gears are its mechanism.
    pub(super) const fn mechanism(self) -> &'static [Question] {
        match self {
            Self::Lift => LIFT,
            Self::Stop => STOP,
            Self::Fence => FENCE,
            Self::Blade => BLADE,
            Self::Tilt => TILT,
            Self::Table => TABLE,
        }
    }

    /// Where it travels, and how fast.
    const fn travel(self) -> &'static [Question] {
        match self {
            Self::Lift => LIFT_TRAVEL,
            Self::Stop => STOP_TRAVEL,
            Self::Fence => FENCE_TRAVEL,
            Self::Blade => BLADE_TRAVEL,
            Self::Tilt => TILT_TRAVEL,
            Self::Table => TABLE_TRAVEL,
        }
    }

    const fn called(self) -> &'static str {
        match self {
            Self::Lift => "Router lift",
            Self::Stop => "Stop block",
            Self::Fence => "Saw fence",
            Self::Blade => "Blade height",
            Self::Tilt => "Blade tilt",
            Self::Table => "Tilting table",
        }
    }
}

const LOW_ANGLE: Question = Question::new("low", "Where does its travel begin?", "0 deg", Answer::Position);

const LOW: Question = Question::new("low", "Where does its travel begin?", "0 mm", Answer::Position);

const LIFT: &[Question] = &[
    Question::new("pitch", "What is the pitch of the screw?", "3 mm", Answer::Length),
    Question::new("starts", "How many starts has its thread?", "1", Answer::Count),
];

const STOP: &[Question] = &[
    Question::new("tooth_pitch", "What is the pitch of the belt's teeth?", "3 mm", Answer::Length),
    Question::new("pulley_teeth", "How many teeth has its pulley?", "20", Answer::Count),
];

const FENCE: &[Question] = &[
    Question::new("module", "What is the module of the rack?", "1 mm", Answer::Length),
    Question::new("pinion_teeth", "How many teeth has its pinion?", "20", Answer::Count),
];

const BLADE: &[Question] = &[
    Question::new("arm", "How far is it from the arm's pivot to the arbor?", "150 mm", Answer::Length),
    Question::new(
        "pivot_depth",
        "How far below the table's top is the arm's pivot?",
        "135 mm",
        Answer::Length,
    ),
    Question::new("blade_diameter", "What is the diameter of the blade?", "250 mm", Answer::Length),
    Question::new("nut_along", "How far along the arm is the nut's pivot?", "90 mm", Answer::Length),
    Question::new(
        "anchor_ahead",
        "How far ahead of the arm's pivot, level, is the screw's pivot on the frame?",
        "120 mm",
        Answer::Length,
    ),
    Question::new(
        "anchor_above",
        "How far above the arm's pivot is it, negative below?",
        "-160 mm",
        Answer::Length,
    ),
    Question::new(
        "screw_length",
        "How far apart are the screw's two pivots at step 0?",
        "150 mm",
        Answer::Length,
    ),
    Question::new("lead", "What does a turn of the screw move the nut by?", "4 mm", Answer::Length),
    Question::new(
        "raised_by",
        "Does lengthening or shortening of the screw raise the blade?",
        "lengthening",
        Answer::Motion,
    ),
];

const TILT: &[Question] = &[
    Question::new(
        "nut_distance",
        "How far is it from the trunnion's pivot to the nut's?",
        "180 mm",
        Answer::Length,
    ),
    Question::new(
        "anchor_distance",
        "How far is it from the trunnion's pivot to the screw's on the frame?",
        "240 mm",
        Answer::Length,
    ),
    Question::new(
        "screw_length",
        "How far apart are the screw's two pivots at a tilt of 0?",
        "200 mm",
        Answer::Length,
    ),
    Question::new("lead", "What does a turn of the screw move the nut by?", "4 mm", Answer::Length),
    Question::new(
        "tilted_by",
        "Does lengthening or shortening of the screw increase the tilt?",
        "lengthening",
        Answer::Motion,
    ),
    Question::new("low_stop", "At which tilt is the low stop?", "-2 deg", Answer::Angle),
    Question::new("high_stop", "At which tilt is the high stop?", "47 deg", Answer::Angle),
];

const TABLE: &[Question] = &[
    Question::new("driver_teeth", "How many starts has the worm?", "1", Answer::Count),
    Question::new("driven_teeth", "How many teeth has its wheel?", "60", Answer::Count),
];

const LIFT_TRAVEL: &[Question] = &[
    LOW,
    Question::new("high", "Where does its travel end, at the top?", "60 mm", Answer::Position),
    Question::new("speed", "How fast may it go?", "8 mm/s", Answer::Speed),
    Question::new("acceleration", "How fast may it speed up?", "40 mm/s²", Answer::Acceleration),
];

const STOP_TRAVEL: &[Question] = &[
    LOW,
    Question::new("high", "Where does its travel end, at the far side?", "1200 mm", Answer::Position),
    Question::new("speed", "How fast may it go?", "100 mm/s", Answer::Speed),
    Question::new("acceleration", "How fast may it speed up?", "200 mm/s²", Answer::Acceleration),
];

const FENCE_TRAVEL: &[Question] = &[
    LOW,
    Question::new("high", "Where does its travel end, at the far side?", "800 mm", Answer::Position),
    Question::new("speed", "How fast may it go?", "60 mm/s", Answer::Speed),
    Question::new("acceleration", "How fast may it speed up?", "150 mm/s²", Answer::Acceleration),
];

const BLADE_TRAVEL: &[Question] = &[
    Question::new("low", "Where does its travel begin, the table at 0?", "-5 mm", Answer::Position),
    Question::new("high", "Where does its travel end, at the top?", "75 mm", Answer::Position),
    Question::new("speed", "How fast may it go?", "4 mm/s", Answer::Speed),
    Question::new("acceleration", "How fast may it speed up?", "20 mm/s²", Answer::Acceleration),
];

const TILT_TRAVEL: &[Question] = &[
    LOW_ANGLE,
    Question::new("high", "Where does its travel end?", "45 deg", Answer::Position),
    Question::new("speed", "How fast may it go?", "3 deg/s", Answer::Speed),
    Question::new("acceleration", "How fast may it speed up?", "10 deg/s²", Answer::Acceleration),
];

const TABLE_TRAVEL: &[Question] = &[
    LOW_ANGLE,
    Question::new("high", "Where does its travel end?", "45 deg", Answer::Position),
    Question::new("speed", "How fast may it go?", "6 deg/s", Answer::Speed),
    Question::new("acceleration", "How fast may it speed up?", "20 deg/s²", Answer::Acceleration),
];
