//! The table of costs: written, read and compared.

use std::fmt::{self, Write as _};

const COLUMNS: [&str; 2] = ["Cortex-M4", "Cortex-M0+"];

/// One cost on each chip.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Row {
    pub(super) name: String,
    pub(super) values: [u64; 2],
}

/// Costs, and with what they were measured.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Table {
    pub(super) compiler: String,
    pub(super) emulator: String,
    pub(super) rows: Vec<Row>,
}

impl Table {
    /// Reads what [`fmt::Display`] writes.
    pub(super) fn read(text: &str) -> Result<Self, String> {
        let mut lines = text.lines().filter(|line| !line.is_empty() && !line.starts_with('#'));
        let mut version = |key: &str| {
            let line = lines.next().unwrap_or_default();
            line.strip_prefix(key).map(|rest| rest.trim().to_string()).ok_or(format!("no line of `{key}`"))
        };
        let (compiler, emulator) = (version("compiler")?, version("emulator")?);
        let row = |line: &str| {
            let (rest, second) = line.rsplit_once(' ')?;
            let (name, first) = rest.trim_end().rsplit_once(' ')?;
            Some(Row { name: name.trim_end().into(), values: [first.parse().ok()?, second.parse().ok()?] })
        };
        let rows = lines.map(|line| row(line).ok_or(format!("not a row: {line}")));
        Ok(Self { compiler, emulator, rows: rows.collect::<Result<_, _>>()? })
    }

    fn named(&self, name: &str) -> Option<&Row> {
        self.rows.iter().find(|row| row.name == name)
    }

    /// What this table costs, and what the other said where it says otherwise, for a person to read.
    pub(super) fn compared(&self, agreed: &Self) -> String {
        let mut text =
            format!("Instructions as emulated, not cycles; bytes. {}; {}.\n", self.compiler, self.emulator);
        if (&self.compiler, &self.emulator) != (&agreed.compiler, &agreed.emulator) {
            let _ = writeln!(text, "The table was made with {}; {}.", agreed.compiler, agreed.emulator);
        }
        let width = self.width();
        let _ = writeln!(text, "{:<width$} {:>22} {:>22}", "", COLUMNS[0], COLUMNS[1]);
        for row in &self.rows {
            let before = agreed.named(&row.name);
            let cell = |chip: usize| match before.map(|before| before.values[chip]) {
                Some(before) if before == row.values[chip] => before.to_string(),
                Some(before) => format!("{} (was {before})", row.values[chip]),
                None => format!("{} (new)", row.values[chip]),
            };
            let _ = writeln!(text, "{:<width$} {:>22} {:>22}", row.name, cell(0), cell(1));
        }
        text
    }

    /// What is more than `hundredths` above the other table, or missing from either: a line each.
    pub(super) fn grown(&self, agreed: &Self, hundredths: u64) -> Vec<String> {
        let mut found = Vec::new();
        for row in &self.rows {
            let Some(before) = agreed.named(&row.name) else {
                found.push(format!("{}: not in the table", row.name));
                continue;
            };
            for (chip, (now, before)) in COLUMNS.iter().zip(row.values.iter().zip(before.values)) {
                if now * 100 > before * (100 + hundredths) {
                    found.push(format!("{}: {now} on {chip}, was {before}", row.name));
                }
            }
        }
        let gone = agreed.rows.iter().filter(|row| self.named(&row.name).is_none());
        found.extend(gone.map(|row| format!("{}: no longer measured", row.name)));
        found
    }

    fn width(&self) -> usize {
        self.rows.iter().map(|row| row.name.len()).max().unwrap_or_default()
    }
}

impl fmt::Display for Table {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(f, "# What the core costs on a Cortex-M: instructions as emulated, not cycles, and bytes.")?;
        writeln!(f, "# Written by `cargo xtask chip --update`; `cargo xtask chip` measures and compares.\n")?;
        writeln!(f, "compiler {}\nemulator {}\n", self.compiler, self.emulator)?;
        let width = self.width();
        writeln!(f, "# {:<1$} {2:>10} {3:>10}", "", width - 2, COLUMNS[0], COLUMNS[1])?;
        for Row { name, values: [first, second] } in &self.rows {
            writeln!(f, "{name:<width$} {first:>10} {second:>10}")?;
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::{Row, Table};

    fn table(rows: &[(&str, u64, u64)]) -> Table {
        let row =
            |&(name, first, second): &(&str, u64, u64)| Row { name: name.into(), values: [first, second] };
        Table {
            compiler: "rustc 1".into(),
            emulator: "an emulator 2".into(),
            rows: rows.iter().map(row).collect(),
        }
    }

    #[test]
    fn what_is_written_is_read_back() {
        let written = table(&[("flash: a part, and another", 10, 2_000_000), ("place, mean", 0, 7)]);
        assert_eq!(Table::read(&written.to_string()), Ok(written));
        for text in
            ["", "compiler x\n", "compiler x\nemulator y\nplace 1\n", "compiler x\nemulator y\nplace 1 b\n"]
        {
            assert!(Table::read(text).is_err(), "{text}");
        }
    }

    #[test]
    fn growth_is_found_from_a_hundredth_above() {
        let agreed = table(&[("place", 100, 1_000), ("plan", 100, 100), ("gone", 1, 1)]);
        let measured = table(&[("place", 105, 1_051), ("plan", 1, 106), ("added", 1, 1)]);
        let found = [
            "place: 1051 on Cortex-M0+, was 1000",
            "plan: 106 on Cortex-M0+, was 100",
            "added: not in the table",
            "gone: no longer measured",
        ];
        assert_eq!(measured.grown(&agreed, 5), found);
        assert!(agreed.grown(&agreed, 5).is_empty());
        assert!(measured.compared(&agreed).contains("1051 (was 1000)"));
    }

    #[test]
    fn other_versions_are_told() {
        let agreed = table(&[("place", 100, 100)]);
        let measured = Table { compiler: "rustc 3".into(), ..agreed.clone() };
        assert!(measured.compared(&agreed).contains("made with rustc 1; an emulator 2."));
        assert!(!agreed.compared(&agreed).contains("made with"));
    }
}
