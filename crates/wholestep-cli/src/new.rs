//! `wholestep new lift`, `stop`, `fence`, `blade`, `tilt` or `table`.

use std::io::{BufRead, IsTerminal, Write};
use std::path::PathBuf;

use serde::Serialize;
use wholestep::error::Value;
use wholestep::{Error, Result};
use wholestep_files::{AxisFile, Existing, NewAxis, Template, write_whole};

use crate::arguments::New;
use crate::messages;
use crate::output;

pub(crate) fn answer(task: &New, json: bool) -> Result<String> {
    let machine = Template::read(&task.machine)?;
    let mut axis = NewAxis::new(machine);
    let mut answered = Vec::new();
    for pair in &task.answers {
        let (key, text) = pair.split_once('=').ok_or_else(|| {
            messages::ANSWER.error().given(Value::text(pair)).spelling("--set pitch=\"2 mm\"")
        })?;
        axis.answer(key.trim(), text)?;
        answered.push(key.trim());
    }
    if !task.suggested {
        ask(&mut axis, &answered)?;
    }
    let path = task.file.clone().unwrap_or_else(|| PathBuf::from(format!("{}.toml", machine.name())));
    let existing = if task.replace { Existing::Replace } else { Existing::Keep };
    write_whole(&path, &axis.text()?, existing)?;
    output::cautions(&AxisFile::open(&path)?);
    let file = path.display().to_string();
    if json {
        output::json(&Written { file })
    } else {
        Ok(format!("Wrote {file}; read it through, then: wholestep commission {file}\n"))
    }
}

#[derive(Debug, Serialize)]
struct Written {
    file: String,
}

/// Asks at the terminal whatever has not been answered; an empty line takes the suggestion.
fn ask(axis: &mut NewAxis, answered: &[&str]) -> Result<()> {
    let open: Vec<_> = axis.questions().filter(|question| !answered.contains(&question.key())).collect();
    if open.is_empty() {
        return Ok(());
    }
    let terminal = std::io::stdin().is_terminal();
    let mut lines = std::io::stdin().lock().lines();
    for question in open {
        loop {
            eprint!("{} [{}] ", question.text(), question.suggestion());
            drop(std::io::stderr().flush());
            let Some(Ok(line)) = lines.next() else { return Err(unanswered(question.key())) };
            if line.trim().is_empty() {
                break;
            }
            match axis.answer(question.key(), &line) {
                Ok(()) => break,
                // A person can try again; a script cannot.
                Err(error) if terminal => eprintln!("{error}"),
                Err(error) => return Err(error),
            }
        }
    }
    Ok(())
}

fn unanswered(key: &str) -> Error {
    messages::QUESTION_WITHOUT_AN_ANSWER.error().given(Value::text(key))
}
