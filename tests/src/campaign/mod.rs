//! Many seeded lives of a carriage on a twin, with everything that goes wrong on a machine.
//!
//! Each life is a random axis and a random machine, a few requests, and mishaps at random instants:
//! bounce, broken wires, stuck switches, late and uneven polls, stalls, power cuts, a released enable
//! button, drive faults, a screw turned by hand, hands on switches and probe, contacts that flicker, a
//! counter of ticks that ends. The axes have start speeds, play, or next to nothing fitted. Requests come
//! also right after another, before any poll.
//!
//! What must hold is checked at every poll and every edge: what a driver sees at its pins (`pins.rs`); on
//! which flank the nut stands (`play.rs`), so that a target is reached with the play taken up and stands
//! where the last proof says; no proven edge past a soft limit, no more steps past a pressed switch than
//! its brake takes; a proven position that is the rotor's unless the machine lost steps, and then found
//! out by the next datum; everything told, and once (`watch.rs`). Every life ends at rest or in a named
//! fault. Half of them then lose steps or the position on purpose and find the datum again, which must
//! say how many steps were lost. Now and then the planner is tried with rates nobody would set
//! (`kernel.rs`).

mod chance;
mod contact;
mod kernel;
mod life;
mod machine;
mod pins;
mod play;
mod watch;

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::panic::catch_unwind;
use std::thread;

use wholestep::carriage::State;
use wholestep_twin::FaultKind;

use life::{COUNTER_ENDS, FLICKERS, HANDS, Life, PAUSE, UNEVEN, live};

/// What came of many lives.
#[derive(Clone, Debug, Default)]
pub struct Outcome {
    lives: u64,
    edges: u64,
    polls: u64,
    datums: u64,
    arrivals: u64,
    by_mishap: BTreeMap<String, Row>,
    by_fault: BTreeMap<&'static str, u64>,
    broken: Vec<(u64, String)>,
}

#[derive(Clone, Copy, Debug, Default)]
struct Row {
    lives: u64,
    resting_proven: u64,
    resting_unproven: u64,
    commissioning: u64,
    faulted: u64,
    lost_steps: u64,
    found_out: u64,
    proven_again: u64,
}

/// Faults that no mishap of the machine can cause: a plan that does not fit its integers, and a counter
/// that runs backwards; where it ends, another fault is latched long before.
const BEYOND_THE_MACHINE: [&str; 2] = ["plan", "time_backwards"];

/// What is special about some axes.
const TRAITS: [&str; 6] = [
    "start speed below all",
    "start speed between",
    "start speed above all",
    "play",
    "no datum",
    "nothing fitted",
];

/// Every fault that a carriage can latch on a machine.
const FAULTS: [&str; 14] = [
    "never_found",
    "never_released",
    "wrong_switch",
    "both_pressed",
    "pressed_moving_away",
    "switch_reached",
    "drive",
    "probe_closed",
    "never_touched",
    "chatter",
    "polled_late",
    "time_too_large",
    "approaches_differ",
    "touch_contradicts",
];

impl Outcome {
    /// Lives `lives` lives, of the seeds from `seed` on, on so many threads.
    pub fn of(lives: u64, seed: u64, threads: u64) -> Self {
        let threads = threads.max(1);
        let mut all = Self::default();
        thread::scope(|scope| {
            let parts: Vec<_> = (0..threads)
                .map(|thread| {
                    scope.spawn(move || {
                        let mut part = Self::default();
                        for life in (thread..lives).step_by(usize::try_from(threads).unwrap_or(1)) {
                            let seed = seed.wrapping_add(life);
                            let lived = catch_unwind(|| live(seed));
                            part.add(seed, lived.unwrap_or_else(|_| Err("panic: a life panicked".into())));
                        }
                        part
                    })
                })
                .collect();
            for part in parts {
                match part.join() {
                    Ok(part) => all.join(part),
                    Err(_) => all.broken.push((seed, "panic: a thread panicked".into())),
                }
            }
        });
        all
    }

    /// What did not hold, and in which life.
    pub fn broken(&self) -> &[(u64, String)] {
        &self.broken
    }

    /// What never occurred: mishaps, a datum proving the position again after each, or saying how many
    /// steps a stall had lost; and faults.
    pub fn missing(&self) -> Vec<String> {
        let count = |name: &str, of: fn(&Row) -> u64| self.by_mishap.get(name).map_or(0, of);
        let mut missing: Vec<String> = FaultKind::all()
            .into_iter()
            .map(FaultKind::name)
            .filter(|name| count(name, |row| row.proven_again) == 0)
            .map(|name| format!("{name}, and a datum after it"))
            .collect();
        missing.extend(
            TRAITS
                .into_iter()
                .chain(HANDS)
                .chain(FLICKERS)
                .chain([COUNTER_ENDS, PAUSE, UNEVEN])
                .filter(|name| count(name, |row| row.lives) == 0)
                .map(String::from),
        );
        if self.arrivals == 0 {
            missing.push("a target on an axis with play, held against the proof before".into());
        }
        for name in ["(none)", "stall"] {
            if count(name, |row| row.found_out) == 0 {
                missing.push(format!("{name}, steps lost and found out"));
            }
        }
        missing
            .extend(FAULTS.into_iter().filter(|fault| !self.by_fault.contains_key(fault)).map(String::from));
        missing
    }

    fn add(&mut self, seed: u64, life: Result<Life, String>) {
        self.lives += 1;
        let life = match life {
            Ok(life) => life,
            Err(broken) => {
                self.broken.push((seed, broken));
                return;
            }
        };
        self.edges += life.edges;
        self.polls += life.polls;
        self.datums += life.datums;
        for fault in &life.faults {
            *self.by_fault.entry(fault.name()).or_default() += 1;
        }
        self.arrivals += life.arrivals;
        let mut names = life.mishaps;
        names.sort();
        names.dedup();
        if names.is_empty() {
            names.push("(none)".into());
        }
        for name in names {
            let row = self.by_mishap.entry(name).or_default();
            row.lives += 1;
            match life.ended {
                State::Resting if life.proven => row.resting_proven += 1,
                State::Resting => row.resting_unproven += 1,
                State::Commissioning => row.commissioning += 1,
                _ => row.faulted += 1,
            }
            row.lost_steps += u64::from(life.lost);
            row.found_out += u64::from(life.found_out > 0);
            row.proven_again += u64::from(life.proven_again > 0);
        }
    }

    fn join(&mut self, other: Self) {
        self.lives += other.lives;
        self.edges += other.edges;
        self.polls += other.polls;
        self.datums += other.datums;
        self.arrivals += other.arrivals;
        for (name, row) in other.by_mishap {
            self.by_mishap.entry(name).or_default().join(row);
        }
        for (name, count) in other.by_fault {
            *self.by_fault.entry(name).or_default() += count;
        }
        self.broken.extend(other.broken);
        self.broken.sort();
    }

    /// The tables of outcomes by mishap and of the faults latched.
    pub fn table(&self) -> String {
        let mut text = format!(
            "{} lives, {} edges, {} polls, {} datums found, {} arrivals with play held against a proof\n\n{:<22}{:>9}{:>9}{:>10}{:>9}{:>9}{:>9}{:>11}{:>14}\n",
            self.lives,
            self.edges,
            self.polls,
            self.datums,
            self.arrivals,
            "mishap",
            "lives",
            "resting",
            "unproven",
            "new",
            "faulted",
            "slipped",
            "found out",
            "proven again"
        );
        for (name, row) in &self.by_mishap {
            let _ = writeln!(
                text,
                "{name:<22}{:>9}{:>9}{:>10}{:>9}{:>9}{:>9}{:>11}{:>14}",
                row.lives,
                row.resting_proven,
                row.resting_unproven,
                row.commissioning,
                row.faulted,
                row.lost_steps,
                row.found_out,
                row.proven_again
            );
        }
        text += "\nfault latched             times\n";
        for (name, count) in &self.by_fault {
            let _ = writeln!(text, "{name:<22}{count:>9}");
        }
        let _ = writeln!(text, "(no mishap causes {})", BEYOND_THE_MACHINE.join(" or "));
        let mut kinds: BTreeMap<&str, (u64, u64, &str)> = BTreeMap::new();
        for (seed, broken) in &self.broken {
            let name = broken.split(':').next().unwrap_or(broken);
            kinds.entry(name).or_insert((0, *seed, broken)).0 += 1;
        }
        for (times, seed, broken) in kinds.values() {
            let _ = writeln!(text, "\nBROKEN, {times} times, first seed {seed}: {broken}");
        }
        text
    }
}

impl Row {
    fn join(&mut self, other: Self) {
        self.lives += other.lives;
        self.resting_proven += other.resting_proven;
        self.resting_unproven += other.resting_unproven;
        self.commissioning += other.commissioning;
        self.faulted += other.faulted;
        self.lost_steps += other.lost_steps;
        self.found_out += other.found_out;
        self.proven_again += other.proven_again;
    }
}
