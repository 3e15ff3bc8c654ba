//! The project's checks, campaigns and measurements.

mod bench;
mod campaign;
mod chip;
mod deny;
mod examples;
mod fuzz;
mod guard_mutations;
mod lint;
mod mutants;
mod no_std;
mod oracle;
mod package;
mod processor;
mod python;
mod readme;
mod rust;
mod stage;
mod tool;
mod walkthrough;

use std::fmt::Write as _;
use std::process::ExitCode;

use stage::Stage;

/// What every change must pass, quickest to fail first.
const TEST: &[Stage] = &[
    Stage { name: "format", about: "every Rust file is formatted", run: lint::format },
    Stage {
        name: "lint",
        about: "clippy finds nothing, with every set of the core's features",
        run: lint::clippy,
    },
    Stage {
        name: "no_std",
        about: "the core links without an operating system, and without a heap",
        run: no_std::check,
    },
    Stage { name: "rust", about: "Rust unit, property and acceptance tests", run: rust::tests },
    Stage {
        name: "doc",
        about: "Rust documentation builds, and its examples and the README's run",
        run: rust::documentation,
    },
    Stage { name: "deny", about: "licences and sources of every dependency", run: deny::if_installed },
    Stage {
        name: "oracle",
        about: "2,000 random plans recomputed in plain Python integers",
        run: oracle::short,
    },
    Stage {
        name: "enclosures",
        about: "500 random cases of every certified function against ball arithmetic",
        run: oracle::enclosures_short,
    },
    Stage {
        name: "placements",
        about: "300 random placements on every curved kind against mpmath",
        run: oracle::placements_short,
    },
    Stage {
        name: "chip",
        about: "instructions and bytes on a Cortex-M against the table, if an emulator is set up",
        run: chip::if_set_up,
    },
    Stage { name: "wheel", about: "the Python wheel builds and installs", run: python::wheel },
    Stage {
        name: "pytest",
        about: "Python tests, and the examples in Python docstrings",
        run: python::pytest,
    },
    Stage { name: "stubs", about: "Python type stubs agree with the built module", run: python::stubs },
    Stage {
        name: "third-party",
        about: "a package of its own adds a kind of mechanism in Python",
        run: python::third_party,
    },
    Stage { name: "examples", about: "the examples print what is written beside them", run: examples::run },
    Stage {
        name: "readme",
        about: "the README's Python and shell examples print what it shows",
        run: readme::run,
    },
];

/// What takes long, run after everything in [`TEST`].
const CAMPAIGNS: &[Stage] = &[
    Stage { name: "deny-installed", about: "installs cargo-deny and runs it", run: deny::installing },
    Stage {
        name: "chip-set-up",
        about: "fetches a compiler and an emulator for a Cortex-M, and does the same",
        run: chip::setting_up,
    },
    Stage {
        name: "oracle-long",
        about: "100,000 random plans recomputed in plain Python integers",
        run: oracle::long,
    },
    Stage {
        name: "enclosures-long",
        about: "20,000 random cases of every certified function against ball arithmetic",
        run: oracle::enclosures_long,
    },
    Stage {
        name: "placements-long",
        about: "20,000 random placements on every curved kind against mpmath",
        run: oracle::placements_long,
    },
    Stage { name: "properties", about: "every property test over 20,000 cases", run: campaign::properties },
    Stage {
        name: "acceptance",
        about: "the acceptance matrix with 50,000 moves of every axis file, 10,000 in Python",
        run: campaign::acceptance,
    },
    Stage {
        name: "kernel",
        about: "a hundred million edges, however they are asked for, and some by the definition",
        run: campaign::kernel,
    },
    Stage { name: "oldest-rust", about: "builds with the oldest Rust promised", run: campaign::oldest_rust },
    Stage { name: "lives", about: "a million lives of a carriage on a twin", run: campaign::lives },
    Stage {
        name: "guard_mutations",
        about: "breaks guards of the live axis one by one, and the campaign notices each",
        run: guard_mutations::check,
    },
    Stage {
        name: "mutants-carriage",
        about: "changes the live axis in every small way, and a test notices each",
        run: mutants::carriage,
    },
    Stage {
        name: "mutants-exact",
        about: "changes exact numbers in every small way, and a test notices each",
        run: mutants::exact,
    },
    Stage {
        name: "mutants-measure",
        about: "changes measures in every small way, and a test notices each",
        run: mutants::measure,
    },
    Stage {
        name: "mutants-mechanism",
        about: "changes mechanisms in every small way, and a test notices each",
        run: mutants::mechanism,
    },
    Stage {
        name: "mutants-axis",
        about: "changes axes in every small way, and a test notices each",
        run: mutants::axis,
    },
    Stage {
        name: "mutants-plan",
        about: "changes plans in every small way, and a test notices each",
        run: mutants::plan,
    },
    Stage {
        name: "mutants-nesting",
        about: "changes the nesting of parts in every small way, and a test notices each",
        run: mutants::nesting,
    },
    Stage {
        name: "studies",
        about: "10,000 machines on four processes and on a local cluster, with the same results",
        run: python::studies,
    },
    Stage {
        name: "walkthrough",
        about: "DEVELOPERS.md's way to add a mechanism, done literally beside a fresh clone",
        run: walkthrough::run,
    },
    Stage {
        name: "package",
        about: "every crate for others packs and builds from its package, and the wheel is in order",
        run: package::check,
    },
    Stage { name: "fuzz", about: "every fuzz target for ten minutes", run: fuzz::campaign },
];

fn main() -> ExitCode {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let Some((command, rest)) = words.split_first() else {
        return usage("a command is missing");
    };
    if let Err(error) = std::env::set_current_dir(tool::root()) {
        return usage(&format!("cannot enter {}: {error}", tool::root().display()));
    }
    match command.as_str() {
        "test" => stage::run(TEST.iter(), rest),
        "full" => {
            let replaced = ["deny", "chip"];
            let test = TEST.iter().filter(|stage| !replaced.contains(&stage.name));
            stage::run(test.chain(CAMPAIGNS), rest)
        }
        "chip" => stage::finish(chip::run(rest)),
        "bench" => stage::finish(bench::run(rest)),
        "fuzz" => stage::finish(fuzz::run(rest)),
        "help" | "--help" | "-h" => {
            print!("{}", help());
            ExitCode::SUCCESS
        }
        other => usage(&format!("there is no command `{other}`")),
    }
}

fn usage(complaint: &str) -> ExitCode {
    eprint!("cargo xtask: {complaint}\n\n{}", help());
    ExitCode::from(2)
}

fn help() -> String {
    let mut text = String::from(
        "cargo xtask test [STAGE…]          what every change must pass\n\
         cargo xtask full [STAGE…]          the same, and the long campaigns\n\
         cargo xtask chip [--update]        what the core costs on a Cortex-M, against the table or into it\n\
         cargo xtask bench [ARGUMENT…]      the benchmarks; arguments go to criterion\n\
         cargo xtask fuzz TARGET [SECONDS]  one fuzz target, until stopped or for so long\n",
    );
    for (heading, stages) in [("\nStages of test:\n", TEST), ("\nFurther stages of full:\n", CAMPAIGNS)] {
        text += heading;
        for stage in stages {
            let _ = writeln!(text, "  {:<18} {}", stage.name, stage.about);
        }
    }
    text
}
