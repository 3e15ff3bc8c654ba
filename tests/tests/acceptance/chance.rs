//! Seeded chance, and how much of it is wanted.

use rand_pcg::Pcg64;
use rand_pcg::rand_core::{Rng as _, SeedableRng as _};

/// A stream of chance of its own for each row and file.
pub(crate) struct Chance(Pcg64);

/// Where chance begins.
pub(crate) fn seed() -> u64 {
    set("ACCEPTANCE_SEED").unwrap_or(1)
}

/// How many moves are made on each axis file.
pub(crate) fn moves() -> usize {
    set("ACCEPTANCE_MOVES").and_then(|moves| usize::try_from(moves).ok()).unwrap_or(2_000)
}

fn set(name: &str) -> Option<u64> {
    std::env::var(name).ok().map(|text| text.parse().expect("a whole number"))
}

impl Chance {
    pub(crate) fn of(row: &str, file: &str) -> Self {
        let mixed = row
            .bytes()
            .chain(file.bytes())
            .fold(seed(), |mixed, byte| (mixed ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3));
        Self(Pcg64::seed_from_u64(mixed))
    }

    /// A whole number from `least` to `most`, both included.
    pub(crate) fn between(&mut self, least: i64, most: i64) -> i64 {
        let count = most.abs_diff(least).saturating_add(1);
        least.wrapping_add((self.0.next_u64() % count).cast_signed())
    }

    pub(crate) fn once_in(&mut self, times: u64) -> bool {
        self.0.next_u64().is_multiple_of(times)
    }

    pub(crate) fn of_these<'a, T>(&mut self, choices: &'a [T]) -> &'a T {
        &choices[usize::try_from(self.0.next_u64() % choices.len() as u64).unwrap_or(0)]
    }
}
