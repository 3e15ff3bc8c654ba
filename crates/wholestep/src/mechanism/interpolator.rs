//! Where to look next: between two steps, where the target would stand if they were joined by a
//! straight line, and never so far off the middle that bisection would have been quicker.

use crate::exact::{Enclosure, Exact};
use crate::measure::Measure;

/// The looks that are left.
///
/// Bisection between ends `w` steps apart needs ⌈log₂ w⌉ looks. Every look leaves two parts; it is
/// kept so near the middle that the larger can still be bisected in the looks that remain. A smooth
/// mechanism is found in a few, and none takes more than bisection does. (The idea is that of
/// Oliveira and Takahashi, “An Enhancement of the Bisection Method Average Performance Preserving
/// Minmax Optimality”, ACM Transactions on Mathematical Software 47 (2020); here in whole steps.)
pub(super) struct Interpolator {
    first_distance: i128,
    left: u32,
}

impl Interpolator {
    /// For two ends `distance` steps apart.
    pub(super) fn between(distance: u64) -> Self {
        Self { first_distance: distance.into(), left: u64::BITS - (distance.max(1) - 1).leading_zeros() }
    }

    /// The step to look at, strictly between `lower` and `upper`, which are at least two apart.
    pub(super) fn next<M: Measure>(
        &mut self,
        (lower, low): (i64, Enclosure<M>),
        (upper, high): (i64, Enclosure<M>),
        target: M,
    ) -> i64 {
        let distance = i128::from(upper) - i128::from(lower);
        let (size, sign) = (distance.abs(), distance.signum());
        self.left = self.left.saturating_sub(1);
        // No part may be longer than can be bisected in the looks that remain.
        let longest = 1_i128 << self.left.min(64);
        let offset = estimate(low.low(), high.high(), target, size)
            .map_or(size / 2, |estimate| self.towards_the_middle(estimate, size));
        let offset = offset.clamp((size - longest).clamp(1, size / 2), longest.clamp(size / 2, size - 1));
        i64::try_from(i128::from(lower) + sign * offset).unwrap_or(lower)
    }

    /// A little past the estimate, so that the target is soon caught between two near looks.
    fn towards_the_middle(&self, estimate: i128, size: i128) -> i128 {
        let past = size * size / (5 * self.first_distance);
        match size / 2 - estimate {
            0.. => (estimate + past).min(size / 2),
            _ => (estimate - past).max(size / 2),
        }
    }
}

/// How many of `size` steps lie below `target` on the straight line from `low` to `high`.
fn estimate<M: Measure>(low: M, high: M, target: M, size: i128) -> Option<i128> {
    let (low, high, target) = (fixed(low.base()), fixed(high.base()), fixed(target.base()));
    (low <= target && target < high).then(|| (target - low) * size / (high - low))
}

/// In multiples of 2^-30. A measure is below 2^24 in size and its denominator at most 2^64, so the
/// product stays below 2^118.
const fn fixed(value: Exact) -> i128 {
    (value.numerator() << 30) / value.denominator()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::Length;

    #[test]
    fn whatever_the_answers_the_looks_are_no_more_than_bisection_needs() {
        let at = |n: i64| Enclosure::exact(Length::from_base(Exact::new(n.into(), 100).unwrap()).unwrap());
        for distance in [1_u64, 2, 3, 5, 7, 8, 9, 1000, 1024, 1025, 65_535, 999_999] {
            let bisections = u64::BITS - (distance - 1).leading_zeros();
            for seed in 0..200_u64 {
                let (mut lower, mut upper) = (0_i64, i64::try_from(distance).unwrap());
                let (mut interpolator, mut looks, mut dice) = (Interpolator::between(distance), 0, seed);
                while upper - lower > 1 {
                    dice = dice.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695);
                    let target =
                        Length::from_base(Exact::new((dice >> 20).into(), 1 << 30).unwrap()).unwrap();
                    let middle = interpolator.next((lower, at(lower)), (upper, at(upper)), target);
                    assert!(lower < middle && middle < upper);
                    if dice >> 63 == 0 {
                        lower = middle;
                    } else {
                        upper = middle;
                    }
                    looks += 1;
                }
                assert!(looks <= bisections, "{looks} looks for {distance}");
            }
        }
    }
}
