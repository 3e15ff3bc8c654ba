//! Seeded chance, the same on every machine: Vigna's splitmix64.

/// A stream of chance.
#[derive(Clone, Debug)]
pub(super) struct Chance(u64);

impl Chance {
    pub(super) fn new(seed: u64) -> Self {
        Self(seed)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mixed = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    /// A whole number from `least` to `most`, both included.
    pub(super) fn between(&mut self, least: i64, most: i64) -> i64 {
        least + (self.next() % (most - least + 1).unsigned_abs()).cast_signed()
    }

    pub(super) fn ticks(&mut self, least: u64, most: u64) -> u64 {
        least + self.next() % (most - least + 1)
    }

    /// True once in `times`.
    pub(super) fn once_in(&mut self, times: u64) -> bool {
        self.next().is_multiple_of(times)
    }

    pub(super) fn of<T: Copy>(&mut self, choices: &[T]) -> T {
        choices[usize::try_from(self.next() % choices.len() as u64).unwrap_or(0)]
    }

    /// A number from 0 to below 1.
    #[expect(clippy::cast_precision_loss, reason = "53 bits fit")]
    pub(super) fn part(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }
}
