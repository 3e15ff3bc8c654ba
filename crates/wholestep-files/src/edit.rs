//! The text of a file with one value changed.

use toml_edit::{DocumentMut, Item, Table, TableLike, Value as Written};

use super::suggest::listed;
use crate::messages;
use wholestep::error::{Result, Value};

/// `text` with `value` at `key`, which is `section.key`, or a key that only one section has.
///
/// A value takes the place of a text as a text, and otherwise is what TOML takes it for: a number, a
/// list, or a text after all.
pub(super) fn changed(text: &str, key: &str, value: &str) -> Result<String> {
    put(text, key, value, |_| None)
}

/// As [`changed`], with what stood there before noted behind it.
pub(super) fn noted(text: &str, key: &str, value: &str) -> Result<String> {
    put(text, key, value, |old| Some(format!("was {old}")))
}

fn put(text: &str, key: &str, value: &str, note: impl Fn(&str) -> Option<String>) -> Result<String> {
    let unreadable = |error: toml_edit::TomlError| messages::NOT_TOML.error().advice(error.to_string());
    let mut tree: DocumentMut = text.parse().map_err(unreadable)?;
    let (section, name) = match key.split_once('.') {
        Some((section, name)) => (section.trim().to_string(), name.trim()),
        None => (section_of(tree.as_table(), key.trim())?, key.trim()),
    };
    let table: &mut dyn TableLike = if section.is_empty() {
        tree.as_table_mut()
    } else {
        let known = tree.iter().filter(|(_, item)| item.is_table_like()).map(|(name, _)| name.to_string());
        let known: Vec<String> = known.collect();
        tree.get_mut(&section).and_then(Item::as_table_like_mut).ok_or_else(|| {
            let advice = format!("the file has {}", listed(known.iter().map(String::as_str)));
            messages::VALUE_OF_A_SECTION.error().given(Value::text(&section)).advice(advice)
        })?
    };
    if let Some(present) = table.get_mut(name).and_then(Item::as_value_mut) {
        let mut decor = present.decor().clone();
        let old = present.clone().decorated("", "").to_string();
        *present = if present.is_str() { Written::from(value) } else { written(value) };
        if let Some(note) = note(&old) {
            let suffix = decor.suffix().and_then(|suffix| suffix.as_str()).unwrap_or_default().to_owned();
            let parted = if suffix.contains('#') {
                format!("{}; {note}", suffix.trim_end())
            } else {
                format!("  # {note}")
            };
            decor.set_suffix(parted);
        }
        *present.decor_mut() = decor;
    } else {
        table.insert(name, Item::Value(written(value)));
    }
    Ok(tree.to_string())
}

fn written(value: &str) -> Written {
    value.trim().parse().unwrap_or_else(|_| Written::from(value))
}

/// The one section that has `key`; empty for the top of the file.
fn section_of(root: &Table, key: &str) -> Result<String> {
    let sections = root.iter().filter_map(|(name, item)| Some((name, item.as_table_like()?)));
    let mut having: Vec<&str> =
        sections.filter(|(_, section)| section.contains_key(key)).map(|(name, _)| name).collect();
    if root.get(key).is_some_and(Item::is_value) {
        having.push("");
    }
    match having[..] {
        [only] => Ok(only.to_string()),
        [] => Err(messages::NO_SUCH_KEY.error().given(Value::text(key))),
        [first, ..] => Err(messages::KEY_IN_SEVERAL_SECTIONS
            .error()
            .given(Value::text(key))
            .advice(format!("write it with its section, as in {first}.{key}"))),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const FILE: &str = "name = \"Lift\"\n[motor]\nteeth = 20 # counted\n[limits]\nlow = \"0\"\n[switches]\nlow = \"normally_closed\"\n";

    #[test]
    fn one_value_is_changed_and_nothing_else() {
        let cases = [
            ("teeth", "40", "teeth = 20 #", "teeth = 40 #"),
            ("motor.teeth", "[15, 16]", "teeth = 20 #", "teeth = [15, 16] #"),
            ("limits.low", "5", "low = \"0\"", "low = \"5\""),
            ("name", "Stop", "\"Lift\"", "\"Stop\""),
            ("motor.mode", "1/8", "# counted\n", "# counted\nmode = \"1/8\"\n"),
        ];
        for (key, value, before, after) in cases {
            assert_eq!(changed(FILE, key, value).unwrap(), FILE.replacen(before, after, 1), "{key}");
        }
    }

    #[test]
    fn what_stood_there_is_noted_behind_it() {
        let cases = [
            ("teeth", "40", "teeth = 20 # counted", "teeth = 40 # counted; was 20"),
            ("limits.low", "5", "low = \"0\"", "low = \"5\"  # was \"0\""),
            ("motor.mode", "1/8", "# counted\n", "# counted\nmode = \"1/8\"\n"),
        ];
        for (key, value, before, after) in cases {
            let text = noted(FILE, key, value).unwrap();
            assert_eq!(text, FILE.replacen(before, after, 1), "{key}");
            assert!(text.parse::<DocumentMut>().is_ok());
        }
    }

    #[test]
    fn a_key_that_does_not_say_which_is_refused() {
        let cases = [("low", "limits.low"), ("mode", "motor.driver_teeth"), ("belt.teeth", "switches")];
        for (key, told) in cases {
            let error = changed(FILE, key, "1").unwrap_err();
            assert!(error.kind() == wholestep::ErrorKind::Key && error.to_string().contains(told), "{error}");
        }
    }
}
