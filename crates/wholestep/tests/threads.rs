//! Screw threads by their designations: `tests/vectors/threads.toml`, and properties.

use proptest::prelude::*;
use serde::Deserialize;
use wholestep::mechanism::{DriveTrain, Hand, Linear, StepMode, Thread, ThreadForm, Trend};
use wholestep::{Length, Measure, Mechanism};

#[derive(Deserialize)]
struct Vectors {
    case: Vec<Case>,
}

#[derive(Deserialize)]
struct Case {
    text: String,
    written: Option<String>,
    pitch: Option<Length>,
    lead: Option<Length>,
    starts: Option<u32>,
    #[serde(default = "right")]
    hand: String,
    standard: Option<String>,
    error: Option<String>,
    message: Option<String>,
}

fn right() -> String {
    "right".into()
}

fn thread(text: &str) -> Thread {
    text.parse().unwrap_or_else(|error| panic!("{error}"))
}

/// What a case says, and what came of it.
fn compared(case: &Case) -> (String, String) {
    let said = match &case.error {
        Some(error) => format!("{error}: {}", case.message.as_deref().unwrap_or_default()),
        None => format!(
            "{:?} pitch {:?} lead {:?} starts {:?} {} {:?}",
            case.written.as_deref().unwrap_or_default(),
            case.pitch,
            case.lead,
            case.starts,
            case.hand,
            case.standard.as_deref(),
        ),
    };
    let found = match Thread::read(&case.text) {
        Err(error) => format!("{}: {error}", error.kind().name()),
        Ok(thread) => {
            assert_eq!(Thread::read(&thread.to_string()), Ok(thread), "{}", case.text);
            format!(
                "{:?} pitch {:?} lead {:?} starts {:?} {} {:?}",
                thread.to_string(),
                Some(thread.pitch()),
                thread.lead().ok(),
                Some(thread.starts()),
                thread.hand().name(),
                thread.standard(),
            )
        }
    };
    (said, found)
}

#[test]
fn designations_are_read_as_their_standards_write_them() {
    let vectors: Vectors = toml::from_str(include_str!("../../../tests/vectors/threads.toml")).unwrap();
    let mut wrong = Vec::new();
    for case in &vectors.case {
        let (said, found) = compared(case);
        if said != found {
            wrong.push(format!("{}\n  said  {said}\n  found {found}", case.text));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    let refused = vectors.case.iter().filter(|case| case.error.is_some()).count();
    assert!(refused >= 24 && vectors.case.len() >= 48, "{refused} of {}", vectors.case.len());
}

#[test]
fn a_diameter_is_that_of_the_designation() {
    for (text, diameter) in
        [("M8", "8 mm"), ("Tr12x3", "12 mm"), ("1-1/4 Acme", "1-1/4 in"), ("#10 UNC", "0.190 in")]
    {
        assert_eq!(thread(text).diameter(), diameter.parse(), "{text}");
    }
    assert_eq!(thread("1/2-10 Acme").form(), ThreadForm::Acme);
}

/// Which way a carriage goes is tried and set by `direction`; the hand of the thread does not turn it.
#[test]
fn a_left_hand_thread_travels_as_its_right_hand_twin() {
    let drive = DriveTrain::new("1.8 deg".parse().unwrap(), StepMode::FULL).unwrap();
    let [right, left] = ["Tr12x3", "Tr12x3LH"].map(thread);
    assert_eq!((right.hand(), left.hand()), (Hand::Right, Hand::Left));
    assert_ne!(right, left);
    let [right, left] = [right, left].map(|thread| Linear::lead_screw_by_thread(drive, thread).unwrap());
    assert_eq!((right, right.trend()), (left, Ok(Trend::Rising)));
}

proptest! {
    #[test]
    fn no_text_makes_it_panic(text in "\\PC{0,30}") {
        let _ = Thread::read(&text);
    }

    #[test]
    fn nearly_a_designation_is_read_or_refused_and_what_is_read_reads_back(
        text in "(Tr|M|#|)?[0-9]{1,3}([./-][0-9]{1,3}){0,3}(x|xPh|)[0-9]{0,2}(\\(?P[0-9]\\)?)? ?(UNC|UNF|Acme|)(, [0-9]{1,3} starts)?(-?LH)?",
    ) {
        if let Ok(thread) = Thread::read(&text) {
            prop_assert_eq!(Thread::read(&thread.to_string()), Ok(thread));
            prop_assert!(thread.pitch() > Length::ZERO && thread.lead().is_ok_and(|lead| lead >= thread.pitch()));
            prop_assert!(thread.diameter().is_ok_and(|diameter| diameter > thread.pitch()));
        }
    }
}
