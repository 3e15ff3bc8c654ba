//! Breaks one guard of the live axis and its plans after another, in a copy, and asks that the campaign notices.

use std::fs;
use std::path::Path;

use crate::stage::{Outcome, Verdict};
use crate::tool::{capture, cargo, command, root, run, target};

/// A guard, and how it is broken: in `file`, the one place that reads `whole` is made to read `broken`.
struct Guard {
    name: &'static str,
    file: &'static str,
    whole: &'static str,
    broken: &'static str,
}

impl Guard {
    /// Returns the whole text of its file, which must hold the guard in one place.
    fn read(&self, path: &Path) -> Result<String, String> {
        let text = fs::read_to_string(path).map_err(|error| format!("{}: {error}", path.display()))?;
        match text.matches(self.whole).count() {
            1 => Ok(text),
            places => Err(format!("{}: {places} places read\n{}", self.file, self.whole)),
        }
    }
}

const GUARDS: &[Guard] = &[
    Guard {
        name: "a target past a soft limit is refused",
        file: "requests.rs",
        whole: "if step == last { Ok(()) } else { Err(Refusal::BeyondLimit { step, last }) }",
        broken: "if step != last || step == last { Ok(()) } else { Err(Refusal::BeyondLimit { step, last }) }",
    },
    Guard {
        name: "letting the enable input go brakes",
        file: "guard.rs",
        whole: "        if self.inputs.enable {\n            return;",
        broken: "        if self.inputs.enable || self.now > 0 {\n            return;",
    },
    Guard {
        name: "a released drive leaves the position unproven",
        file: "live.rs",
        whole: "            self.unprove(Unproven::Released);",
        broken: "",
    },
    Guard {
        name: "the search brakes at the first sign of its switch",
        file: "guard.rs",
        whole: "                    search.contact(self.motor.step());\n                    self.motor.brake(configuration);",
        broken: "                    search.contact(self.motor.step());",
    },
    Guard {
        name: "the direction stands before the first edge",
        file: "motor.rs",
        whole: "            self.turned_at = now;\n        }",
        broken: "        }",
    },
    Guard {
        name: "a switch that is never released is a fault",
        file: "guard.rs",
        whole: "return if released { Ok(()) }",
        broken: "return if released || self.now > 0 { Ok(()) }",
    },
    Guard {
        name: "the drive's own fault switches it off",
        file: "live.rs",
        whole: "        self.guard_drive()?;",
        broken: "",
    },
    Guard {
        name: "the drive's own fault is told behind another",
        file: "guard.rs",
        whole: "matches!(self.activity, Activity::Faulted { fault: Fault::Drive, .. });\n        if self",
        broken: "matches!(self.activity, Activity::Faulted { .. });\n        if self",
    },
    Guard {
        name: "a motion waits until the drive has settled",
        file: "motor.rs",
        whole: "now.max(start).max(self.settled_at)",
        broken: "now.max(start).max(self.settled_at.min(now))",
    },
    Guard {
        name: "a step the other way opens the play",
        file: "motor.rs",
        whole: "            _ => 0,\n        };\n    }\n\n    /// When the pulse",
        broken: "            _ => self.taken_up,\n        };\n    }\n\n    /// When the pulse",
    },
    Guard {
        name: "a motor that has stopped starts as from rest",
        file: "motor.rs",
        whole: "            motion.start_again(configuration, step, now);",
        broken: "            let _unused = step;",
    },
    Guard {
        name: "uneven polls are told",
        file: "motor.rs",
        whole: "            uneven = Some(late);",
        broken: "            uneven = None;",
    },
    Guard {
        name: "a height is stated with the play taken up",
        file: "requests.rs",
        whole: "        if !self.is_loaded(configuration) {",
        broken: "        if !self.is_loaded(configuration) && self.now == 0 {",
    },
    Guard {
        name: "a height is stated with the drive settled",
        file: "requests.rs",
        whole: "        if !self.motor.is_settled(self.now) {",
        broken: "        if !self.motor.is_settled(self.now) && self.now == 0 {",
    },
    Guard {
        name: "a touch proves nothing past a soft limit",
        file: "requests.rs",
        whole: "        contact_step.map_or(Ok(()), |step| Self::refuse_beyond(configuration, step))?;",
        broken: "",
    },
    Guard {
        name: "a contact before a step is no touch",
        file: "touch.rs",
        whole: "if *stepped && loaded {",
        broken: "if (*stepped || step >= i64::MIN) && loaded {",
    },
    Guard {
        name: "a contact with open play is no touch",
        file: "touch.rs",
        whole: "if *stepped && loaded {",
        broken: "if *stepped && (loaded || step >= i64::MIN) {",
    },
    Guard {
        name: "a touch that contradicts the position is a fault",
        file: "stand.rs",
        whole: "if self.proven && contact_step.abs_diff(contact) > agreement {",
        broken: "if self.proven && contact_step.abs_diff(contact) > agreement && self.now == 0 {",
    },
    Guard {
        name: "a search does not start toward a pressed switch",
        file: "stand.rs",
        whole: "        self.start(configuration, pace, search.to)?;",
        broken: "        self.motor.run(configuration, pace, self.now, search.to)?;",
    },
    Guard {
        name: "two approaches to the datum agree",
        file: "datum.rs",
        whole: "if before.abs_diff(self.latch) > search.agreement => {",
        broken: "if before.abs_diff(self.latch) > search.agreement && search.bound == 0 => {",
    },
    Guard {
        name: "time does not come near the end of the counter",
        file: "live.rs",
        whole: "if now > TIME_MAX && !latched {",
        broken: "if now > TIME_MAX && !latched && !self.polled {",
    },
    Guard {
        name: "a brake does not outlast the longest plan",
        file: "../plan/brake.rs",
        whole: "        if ticks > MAX_TICKS {",
        broken: "        if ticks > MAX_TICKS && steps == 0 {",
    },
    Guard {
        name: "a brake does not speed up",
        file: "../plan/brake.rs",
        whole: "            (p, q) = (low.steps, low.ticks);",
        broken: "",
    },
];

/// What is copied; everything a build of the campaign reads.
const COPIED: &[&str] = &[
    "Cargo.toml",
    "Cargo.lock",
    "clippy.toml",
    "crates",
    "bindings",
    "benches",
    "examples",
    "tests",
    "xtask",
    "README.md",
];

const CARRIAGE: &str = "crates/wholestep/src/carriage";
const LIVES: &str = "5000";

pub(crate) fn check() -> Outcome {
    let copy = target().join("broken-guards");
    for entry in COPIED {
        mirror(&root().join(entry), &copy.join(entry))?;
    }
    if !lives(&copy)? {
        return Err("the campaign fails with every guard in place".into());
    }
    for guard in GUARDS {
        let path = copy.join(CARRIAGE).join(guard.file);
        let whole = guard.read(&path)?;
        write(&path, &whole.replacen(guard.whole, guard.broken, 1))?;
        let unnoticed = lives(&copy);
        write(&path, &whole)?;
        if unnoticed? {
            return Err(format!("the campaign does not notice that this is broken: {}", guard.name));
        }
        println!("broken and noticed: {}", guard.name);
    }
    Ok(Verdict::Passed)
}

/// Builds the campaign in `copy` and lives; whether everything held.
fn lives(copy: &Path) -> Result<bool, String> {
    let built = copy.join("target");
    run(cargo(&["build", "--release", "--quiet", "-p", "wholestep-tests", "--bin", "campaign"])
        .arg("--target-dir")
        .arg(&built)
        .current_dir(copy))?;
    let program = built.join("release").join(format!("campaign{}", std::env::consts::EXE_SUFFIX));
    let lived = capture(&mut command(program, &["--lives", LIVES]))?;
    for line in lived
        .output
        .lines()
        .filter(|line| line.starts_with("BROKEN") || line.starts_with("never occurred"))
        .take(1)
    {
        println!("  {line}");
    }
    Ok(lived.success)
}

fn write(path: &Path, text: &str) -> Result<(), String> {
    fs::write(path, text).map_err(|error| format!("{}: {error}", path.display()))
}

/// Copies a file or a folder over what is there, leaving out what builds and editors leave behind.
fn mirror(from: &Path, to: &Path) -> Result<(), String> {
    let failed = |error: std::io::Error| format!("{}: {error}", from.display());
    if !from.is_dir() {
        if let Some(folder) = to.parent() {
            fs::create_dir_all(folder).map_err(failed)?;
        }
        let same = fs::read(to).is_ok_and(|there| fs::read(from).is_ok_and(|here| here == there));
        return if same { Ok(()) } else { fs::copy(from, to).map(drop).map_err(failed) };
    }
    for entry in fs::read_dir(from).map_err(failed)? {
        let entry = entry.map_err(failed)?;
        let name = entry.file_name();
        if name != "target" && name != "__pycache__" {
            mirror(&entry.path(), &to.join(name))?;
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn guards_stand_in_one_place_each() {
        for guard in GUARDS {
            guard.read(&root().join(CARRIAGE).join(guard.file)).unwrap();
        }
    }
}
