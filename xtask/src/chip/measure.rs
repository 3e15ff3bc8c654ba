//! Builds the images, weighs them, and counts in the emulator, twice.

use std::fs;
use std::path::{Path, PathBuf};

use super::elf;
use super::setup::Toolchain;
use super::table::{Row, Table};
use crate::tool::{self, capture, cargo, command, target};

/// A chip, and the board that stands for it.
struct Board {
    target: &'static str,
    /// Which machine the emulator is.
    machine: &'static [&'static str],
    /// Instructions in so many ticks of the system timer, at [`SHIFT`].
    instructions: u64,
    ticks: u64,
}

/// In the order of the table's columns.
///
/// The emulator has no Cortex-M0+; the board's Cortex-M0 runs the same instructions (`ARMv6-M`), and no
/// others. It is given more RAM than it has, for what a configuration takes to be worked out.
const BOARDS: [Board; 2] = [
    // 25 MHz: 40 ns a tick.
    Board { target: "thumbv7em-none-eabihf", machine: &["-M", "mps2-an386"], instructions: 40, ticks: 64 },
    // 16 MHz: 62.5 ns a tick.
    Board {
        target: "thumbv6m-none-eabi",
        machine: &["-M", "microbit", "-global", "nrf51-soc.sram-size=65536"],
        instructions: 125,
        ticks: 128,
    },
];

/// Every instruction takes 2^6 ns.
const SHIFT: &str = "shift=6";

/// What is weighed, in cargo's profile for size.
const WEIGHED: [(&str, &str); 5] = [
    ("empty", "nothing but a start"),
    ("edges", "limits and edges"),
    ("place", "place on an exact drive"),
    ("plan", "place, plan and edges"),
    ("carriage", "everything, with a carriage"),
];

/// What counts, in the release profile.
const COUNTING: [&str; 3] = ["count_edges", "count_axis", "count_carriage"];

/// A loop of as many instructions, and no more than so many around it, by which the clock is checked.
const CALIBRATION: (&str, std::ops::RangeInclusive<u64>) = ("calibration", 40_000..=40_030);

pub(super) fn everything(toolchain: &Toolchain) -> Result<Table, String> {
    let [first, second] =
        [of_board(toolchain, &BOARDS[0])?, of_board(toolchain, &BOARDS[1])?].map(Vec::into_iter);
    let rows = first.zip(second).map(|((name, first), (other, second))| {
        // The same images say the same in the same order.
        if name == other {
            Ok(Row { name, values: [first, second] })
        } else {
            Err(format!("{name} beside {other}"))
        }
    });
    Ok(Table {
        compiler: toolchain.compiler_version.clone(),
        emulator: toolchain.emulator_version.clone(),
        rows: rows.collect::<Result<_, _>>()?,
    })
}

fn of_board(toolchain: &Toolchain, board: &Board) -> Result<Vec<(String, u64)>, String> {
    let images = build(toolchain, board, "small", &WEIGHED.map(|(image, _)| image))?;
    let mut rows = Vec::new();
    for ((_, about), path) in WEIGHED.iter().zip(images) {
        let image = fs::read(&path).map_err(|error| format!("{}: {error}", path.display()))?;
        let weight = elf::weigh(&image).ok_or_else(|| format!("{} is no image", path.display()))?;
        rows.push((format!("flash: {about}"), weight.flash));
        rows.push((format!("static RAM: {about}"), weight.ram));
    }
    for path in build(toolchain, board, "release", &COUNTING)? {
        let [once, again] = [emulate(toolchain, board, &path)?, emulate(toolchain, board, &path)?];
        if once != again {
            return Err(format!("{} counted differently the second time", path.display()));
        }
        rows.extend(read(board, &once)?);
    }
    Ok(rows)
}

fn build(
    toolchain: &Toolchain,
    board: &Board,
    profile: &str,
    images: &[&str],
) -> Result<Vec<PathBuf>, String> {
    let folder = target().join("chip");
    let linker = format!("CARGO_TARGET_{}_LINKER", board.target.to_uppercase().replace('-', "_"));
    let mut build = cargo(&["build", "--locked", "--quiet", "-Zbuild-std=core", "--target", board.target]);
    build.args(["--manifest-path", "xtask/chip/Cargo.toml", "--profile", profile]);
    build.args(images.iter().flat_map(|image| ["--bin", image])).arg("--target-dir").arg(&folder);
    build.env("RUSTC", &toolchain.compiler).env(linker, &toolchain.linker);
    // Building `core` is unstable on any compiler; nothing else that is built asks for more than stable.
    build.env("RUSTC_BOOTSTRAP", "1").env_remove("RUSTFLAGS").env_remove("CARGO_ENCODED_RUSTFLAGS");
    tool::run(&mut build)?;
    Ok(images.iter().map(|image| folder.join(board.target).join(profile).join(image)).collect())
}

/// What an image says until it ends; one that hangs is ended.
fn emulate(toolchain: &Toolchain, board: &Board, image: &Path) -> Result<String, String> {
    let mut run = command("timeout", &["60"]);
    run.arg(&toolchain.emulator).args(board.machine);
    run.args(["-nographic", "-monitor", "none", "-serial", "none", "-icount", SHIFT]);
    run.args(["-semihosting-config", "enable=on,target=native", "-kernel"]).arg(image);
    let done = capture(&mut run)?;
    // The emulator lets the image speak on either stream.
    let said = done.output + &done.errors;
    if done.success { Ok(said) } else { Err(format!("{} did not end well:\n{said}", image.display())) }
}

/// Rows from the lines of `xtask/chip/src/report.rs`, with ticks as instructions.
fn read(board: &Board, said: &str) -> Result<Vec<(String, u64)>, String> {
    let instructions = |ticks: u64| (ticks * board.instructions + board.ticks / 2) / board.ticks;
    let mut about = "";
    let mut rows = Vec::new();
    for line in said.lines() {
        let unread = || format!("not a line of a report: {line}");
        let (kind, rest) = line.split_once(": ").ok_or_else(unread)?;
        let number = |word: &str| word.parse::<u64>().map_err(|_| unread());
        match (kind, rest.rsplitn(4, ' ').collect::<Vec<_>>().as_slice()) {
            ("about", _) => about = rest,
            ("bytes", _) => {
                let (name, bytes) = rest.rsplit_once(' ').ok_or_else(unread)?;
                rows.push((format!("bytes: {about}, {name}"), number(bytes)?));
            }
            ("count", &[worst, total, count, name]) => {
                let (worst, total) = (instructions(number(worst)?), instructions(number(total)?));
                let count = number(count)?.max(1);
                if name == CALIBRATION.0 {
                    if !CALIBRATION.1.contains(&total) {
                        return Err(format!("the clock counts {total} for {:?}", CALIBRATION.1));
                    }
                    continue;
                }
                let name = format!("instructions: {about}, {name}");
                if count == 1 {
                    rows.push((name, total));
                } else {
                    rows.push((format!("{name}, mean"), (total + count / 2) / count));
                    rows.push((format!("{name}, worst"), worst));
                }
            }
            _ => return Err(unread()),
        }
    }
    Ok(rows)
}

#[cfg(test)]
mod tests {
    use super::{BOARDS, read};

    #[test]
    fn ticks_become_instructions() {
        let said =
            "about: a move\ncount: edge of 10 10 1600 320\nbytes: edge, stack 40\ncount: once 1 16 16\n";
        let rows = [
            ("instructions: a move, edge of 10, mean", 100),
            ("instructions: a move, edge of 10, worst", 200),
            ("bytes: a move, edge, stack", 40),
            ("instructions: a move, once", 10),
        ];
        let rows: Vec<_> = rows.iter().map(|&(name, value)| (String::from(name), value)).collect();
        assert_eq!(read(&BOARDS[0], said), Ok(rows));
    }

    #[test]
    fn what_is_no_report_is_refused() {
        for said in ["count: edge 1 2", "panicked", "bytes: edge", "count: calibration 1 3 3"] {
            assert!(read(&BOARDS[0], said).is_err(), "{said}");
        }
    }
}
