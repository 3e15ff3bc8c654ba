//! A shell session: commands after `$ `, each followed by what it prints.

use std::path::Path;

use super::{Block, compare};
use crate::python::programs;
use crate::tool::{capture, cargo, command};

/// What a line of the session asks for.
#[derive(Debug, PartialEq, Eq)]
enum Kind<'a> {
    /// The command as the wheel installs it.
    Wheel(&'a str),
    /// The command as cargo builds it.
    Cargo(&'a str),
    /// Something that this very run does, or that fetches; shown without output.
    Elsewhere,
}

pub(crate) fn check(venv: &Path, block: &Block) -> Result<(), String> {
    for (line, shown) in session(&block.body)? {
        let (mut command, arguments) = match kind(line)? {
            Kind::Wheel(arguments) => (command(programs(venv).join("wholestep"), &[]), arguments),
            Kind::Cargo(arguments) => (cargo(&["run", "--release", "--quiet", "--"]), arguments),
            Kind::Elsewhere if shown.is_empty() => continue,
            Kind::Elsewhere => {
                return Err(format!("`{line}` is not run here, so it cannot be shown with output"));
            }
        };
        let written = capture(command.args(words(arguments)?))?;
        compare(&(written.output + &written.errors), &shown)
            .map_err(|reason| format!("`{line}`: {reason}"))?;
    }
    Ok(())
}

/// Each command with the lines below it.
fn session(body: &str) -> Result<Vec<(&str, String)>, String> {
    let mut commands: Vec<(&str, String)> = Vec::new();
    for line in body.lines() {
        if let Some(command) = line.strip_prefix("$ ") {
            commands.push((command, String::new()));
        } else if let Some((_, shown)) = commands.last_mut() {
            shown.push_str(line);
            shown.push('\n');
        } else {
            return Err("a session starts with a command after `$ `".into());
        }
    }
    Ok(commands)
}

fn kind(line: &str) -> Result<Kind<'_>, String> {
    if let Some(arguments) = line.strip_prefix("wholestep ") {
        return Ok(Kind::Wheel(arguments));
    }
    if let Some(arguments) = line.strip_prefix("cargo run --release -- ") {
        return Ok(Kind::Cargo(arguments));
    }
    let elsewhere = ["cargo xtask ", "git clone ", "cd ", "pip install ", "python3 -m venv "];
    if elsewhere.iter().any(|start| line.starts_with(start)) {
        return Ok(Kind::Elsewhere);
    }
    Err(format!("`{line}` is neither `wholestep` nor `cargo run --release --`, so nobody checks it"))
}

/// The arguments of a line, split at spaces; one with spaces stands in quotes.
fn words(line: &str) -> Result<Vec<String>, String> {
    let mut words = Vec::new();
    let mut word: Option<String> = None;
    let mut quote: Option<char> = None;
    for character in line.chars() {
        match quote {
            Some(mark) if character == mark => quote = None,
            None if character == '"' || character == '\'' => {
                quote = Some(character);
                word.get_or_insert_default();
            }
            None if character == ' ' => words.extend(word.take()),
            None if "\\|><&;$*`#~".contains(character) => {
                return Err(format!("`{character}` would need a shell, and none is used"));
            }
            Some(_) | None => word.get_or_insert_default().push(character),
        }
    }
    if let Some(mark) = quote {
        return Err(format!("a {mark} is never closed"));
    }
    words.extend(word);
    Ok(words)
}

#[cfg(test)]
mod tests {
    use super::{Kind, kind, session, words};

    #[test]
    fn words_are_split_as_a_shell_does() {
        let cases: &[(&str, &[&str])] = &[
            ("place a.toml 18mm", &["place", "a.toml", "18mm"]),
            ("place  'a b.toml' \"1-3/8 in\" ", &["place", "a b.toml", "1-3/8 in"]),
            ("place '1-3/8\"' ''", &["place", "1-3/8\"", ""]),
        ];
        for (line, expected) in cases {
            assert_eq!(words(line).unwrap(), *expected, "{line}");
        }
        for refused in ["place 'a", "place a | head", "place $HOME"] {
            assert!(words(refused).is_err(), "{refused}");
        }
    }

    #[test]
    fn a_session_is_cut_at_its_commands() {
        let body = "$ wholestep a\none\ntwo\n$ wholestep b\n";
        assert_eq!(
            session(body),
            Ok(vec![("wholestep a", "one\ntwo\n".into()), ("wholestep b", String::new())])
        );
        assert!(session("one\n$ wholestep a\n").is_err());
    }

    #[test]
    fn a_command_nobody_runs_is_refused() {
        assert_eq!(kind("wholestep place x"), Ok(Kind::Wheel("place x")));
        assert_eq!(kind("cargo run --release -- cuts x"), Ok(Kind::Cargo("cuts x")));
        assert_eq!(kind("cargo xtask test"), Ok(Kind::Elsewhere));
        assert!(kind("ls").is_err());
    }
}
