//! Breaks one guard of the live axis after another, in a copy, and asks that the campaign notices.

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
        file: "guard.rs",
        whole: "        if self.inputs.drive_fault && !told {",
        broken: "        if self.inputs.drive_fault && !told && self.now == 0 {",
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
        let whole = fs::read_to_string(&path).map_err(|error| format!("{}: {error}", path.display()))?;
        let places = whole.matches(guard.whole).count();
        if places != 1 {
            return Err(format!("{}: {places} places read\n{}", guard.file, guard.whole));
        }
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
