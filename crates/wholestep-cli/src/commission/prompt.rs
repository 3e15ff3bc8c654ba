//! The person at the machine: what they are told, and what they answer.

use std::io::{BufRead, IsTerminal, Write};

use wholestep::error::Value;
use wholestep::{Angle, Error, Measure, Result};

use crate::arguments::Commission;
use crate::messages;

/// Which way the carriage went.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Way {
    High,
    Low,
    None,
}

impl Way {
    const ALL: [Self; 3] = [Self::High, Self::Low, Self::None];

    pub(super) const fn name(self) -> &'static str {
        match self {
            Self::High => "high",
            Self::Low => "low",
            Self::None => "none",
        }
    }

    fn read(text: &str) -> Result<Self> {
        Self::ALL.into_iter().find(|way| way.name() == text.trim()).ok_or_else(|| {
            messages::WAY_OF_THE_NUDGE.error().given(Value::text(text)).spelling("high, low or none")
        })
    }
}

/// Answers given beforehand, or a person at a terminal.
pub(super) struct Person<Q: Measure> {
    way: Option<Way>,
    travel: Option<Q>,
    suggested: bool,
    /// Whether there is somebody to talk to.
    talks: bool,
    unit: Q::Unit,
}

impl<Q: Measure> Person<Q> {
    pub(super) fn new(task: &Commission, unit: Q::Unit) -> Result<Self> {
        let (mut way, mut travel) = (None, None);
        for pair in &task.answers {
            match pair.split_once('=').map(|(key, answer)| (key.trim(), answer)) {
                Some(("nudge", answer)) => way = Some(Way::read(answer)?),
                Some(("travel", answer)) => travel = Some(Q::read(answer, Some(unit))?),
                _ => {
                    return Err(messages::ANSWER.error().given(Value::text(pair)).spelling(
                        if Q::NAME == Angle::NAME {
                            "--set nudge=high or --set travel=\"3 deg\""
                        } else {
                            "--set nudge=high or --set travel=\"10 mm\""
                        },
                    ));
                }
            }
        }
        let missing: Vec<_> = [("nudge", way.is_none()), ("travel", travel.is_none())]
            .into_iter()
            .filter_map(|(key, missing)| (missing && !task.suggested).then_some(key))
            .collect();
        if !missing.is_empty() && !std::io::stdin().is_terminal() {
            return Err(unanswered(&missing.join(", ")));
        }
        Ok(Self { way, travel, suggested: task.suggested, talks: !missing.is_empty(), unit })
    }

    pub(super) const fn talks(&self) -> bool {
        self.talks
    }

    pub(super) fn say(&self, text: &str) {
        if self.talks {
            eprintln!("{text}");
        }
    }

    /// Tells what to do, and waits until it is done.
    pub(super) fn wait(&self, text: &str) -> Result<()> {
        if self.talks {
            line(&format!("{text} [Enter] "))?.ok_or_else(|| unanswered("Enter"))?;
        }
        Ok(())
    }

    /// Which way the carriage went.
    pub(super) fn which_way(&self, shown: Way) -> Result<Way> {
        let question = "Which way did it go: high, low, or none if it stood still?";
        self.ask("nudge", self.way, question, shown, shown.name(), Way::read)
    }

    /// How far the carriage went from its mark.
    pub(super) fn how_far(&self, shown: Q, suggestion: &str) -> Result<Q> {
        let question = "How far did it go from the mark?";
        self.ask("travel", self.travel, question, shown, suggestion, |text| Q::read(text, Some(self.unit)))
    }

    /// Whether to try once more what went wrong.
    pub(super) fn again(&self) -> Result<bool> {
        if !self.talks {
            return Ok(false);
        }
        let answer = line("Once more, yes or no? [no] ")?.unwrap_or_default();
        Ok(matches!(answer.trim(), "y" | "yes"))
    }

    /// The answer given beforehand, what the machine shows, or what the person says.
    fn ask<T>(
        &self,
        key: &str,
        given: Option<T>,
        question: &str,
        shown: T,
        suggestion: &str,
        read: impl Fn(&str) -> Result<T>,
    ) -> Result<T> {
        if let Some(given) = given {
            return Ok(given);
        }
        if self.suggested {
            return Ok(shown);
        }
        loop {
            let prompt = format!("{question} The simulated machine shows {suggestion}. [{suggestion}] ");
            let answer = line(&prompt)?.ok_or_else(|| unanswered(key))?;
            if answer.trim().is_empty() {
                return Ok(shown);
            }
            match read(&answer) {
                Ok(answer) => return Ok(answer),
                Err(error) => eprintln!("{error}"),
            }
        }
    }
}

/// A line typed at the terminal; `None` if it has ended.
fn line(prompt: &str) -> Result<Option<String>> {
    eprint!("{prompt}");
    drop(std::io::stderr().flush());
    let mut line = String::new();
    match std::io::stdin().lock().read_line(&mut line) {
        Ok(0) => {
            eprintln!();
            Ok(None)
        }
        Ok(_) => Ok(Some(line)),
        Err(error) => Err(messages::TERMINAL.error().advice(error.to_string())),
    }
}

fn unanswered(keys: &str) -> Error {
    messages::QUESTION_AT_THE_MACHINE.error().given(Value::text(keys))
}
