//! Deviations of repeated searches, against figures worked out by hand.
//!
//! The formulas are those of ISO 230-2 (memory): the standard deviation has one degree of freedom
//! fewer than approaches; from one side R = 4 s; from both sides the largest of 2 s↑ + 2 s↓ + |B|,
//! 4 s↑ and 4 s↓, where B is the difference of the means. The numbers are our own.

use wholestep::{Enclosure, ErrorKind, Exact};
use wholestep_shop::Repeatability;

fn of(deviations: &[i64]) -> Repeatability {
    let mut searches = Repeatability::new();
    for &deviation in deviations {
        searches.add(deviation).unwrap();
    }
    searches
}

fn ratio(numerator: i128, denominator: i128) -> Exact {
    Exact::new(numerator, denominator).unwrap()
}

/// Whether `found` holds the root of `square`, and is narrower than a millionth.
fn holds_root(found: Enclosure<Exact>, square: Exact) -> bool {
    let (low, high) = (found.low(), found.high());
    let squared = |bound: Exact| bound.checked_mul(bound).unwrap();
    let narrow = high.checked_sub(low).unwrap() <= ratio(1, 1_000_000);
    narrow && low.signum() >= 0 && squared(low) <= square && square <= squared(high)
}

#[test]
fn mean_and_spread_as_worked_out_by_hand() {
    // Deviations, mean, variance.
    let cases: [(&[i64], Exact, Exact); 6] = [
        // Squares about 5: 9+1+1+1+0+0+4+16 = 32, over 7.
        (&[2, 4, 4, 4, 5, 5, 7, 9], ratio(5, 1), ratio(32, 7)),
        // About 1/2: 4 × 1/4 = 1, over 3.
        (&[0, 1, 0, 1], ratio(1, 2), ratio(1, 3)),
        // About -2: 1+0+1 = 2, over 2.
        (&[-1, -2, -3], ratio(-2, 1), ratio(1, 1)),
        // About 5/2: 2 × 1/4, over 1.
        (&[2, 3], ratio(5, 2), ratio(1, 2)),
        (&[7, 7, 7], ratio(7, 1), ratio(0, 1)),
        // About 0: 2 × 100, over 1.
        (&[-10, 10], ratio(0, 1), ratio(200, 1)),
    ];
    for (deviations, mean, variance) in cases {
        let searches = of(deviations);
        assert_eq!(searches.count() as usize, deviations.len());
        assert_eq!(searches.mean().unwrap(), mean, "{deviations:?}");
        assert_eq!(searches.variance().unwrap(), variance, "{deviations:?}");
        assert!(holds_root(searches.standard_deviation().unwrap(), variance), "{deviations:?}");
        let sixteen = Exact::integer(16);
        let repeatability = searches.repeatability().unwrap();
        assert!(repeatability.high().checked_sub(repeatability.low()).unwrap() <= ratio(1, 1_000_000));
        assert!(holds_root(repeatability, variance.checked_mul(sixteen).unwrap()), "{deviations:?}");
    }
}

#[test]
fn a_whole_root_is_told_exactly() {
    for (deviations, root) in [(&[0_i64, 2, 4][..], 2), (&[-3, 0, 3], 3), (&[5, 5], 0)] {
        let found = of(deviations).standard_deviation().unwrap();
        assert_eq!((found.low(), found.high()), (Exact::integer(root), Exact::integer(root)));
    }
}

#[test]
fn from_both_sides_the_largest_of_three_decides() {
    // s↑ = 1, s↓ = 2.
    let (narrow, wide) = (&[-1_i64, 0, 1][..], &[-2_i64, 0, 2][..]);
    let moved = |deviations: &[i64], by: i64| {
        of(&deviations.iter().map(|deviation| deviation + by).collect::<Vec<_>>())
    };
    for (up, down, expected) in [
        // 2 + 4 + 0 = 6 is below 4 × 2.
        (moved(narrow, 0), moved(wide, 0), 8),
        (moved(wide, 0), moved(narrow, 0), 8),
        // 2 + 4 + 2 = 8 is just that.
        (moved(narrow, 2), moved(wide, 0), 8),
        // 2 + 4 + 3 = 9, whichever side is ahead.
        (moved(narrow, 3), moved(wide, 0), 9),
        (moved(narrow, 0), moved(wide, 3), 9),
        (moved(wide, 7), moved(narrow, -2), 15),
    ] {
        let both = Repeatability::from_both_sides(&up, &down).unwrap();
        assert_eq!((both.low(), both.high()), (Exact::integer(expected), Exact::integer(expected)));
    }
}

#[test]
fn the_widest_and_the_most_that_are_taken() {
    let widest = 1_i64 << 24;
    for outside in [widest + 1, -widest - 1, i64::MAX, i64::MIN] {
        let refused = Repeatability::new().add(outside).unwrap_err();
        assert_eq!(refused.kind(), ErrorKind::OutOfRange);
        assert_eq!(
            refused.to_string(),
            format!(
                "deviation of a search in steps {outside}: -16777216 to 16777216 is allowed; take no more than \
                 65536 searches"
            )
        );
    }
    let mut searches = Repeatability::new();
    for pair in 0..32_768 {
        searches.add(widest).unwrap();
        searches.add(-widest).unwrap();
        assert_eq!(searches.count(), 2 * (pair + 1));
    }
    assert!(searches.add(0).is_err(), "the 65,537th");
    assert_eq!(searches.mean().unwrap(), Exact::ZERO);
    // 2^16 deviations of 2^24 either way: 2^64 over 2^16 - 1.
    let variance = ratio(1 << 64, 65_535);
    assert_eq!(searches.variance().unwrap(), variance);
    // √(2^64 / 65,535) = 2^24 × √(65,536/65,535) = 16,777,344.0014…: 2^24 (1 + 1/131,070 - 1/8/65,535²).
    let found = searches.standard_deviation().unwrap();
    assert!(found.low() >= ratio(16_777_344_001, 1_000) && found.high() <= ratio(16_777_344_002, 1_000));
    assert!(found.high().checked_sub(found.low()).unwrap() <= ratio(1, 1_000_000));
}

#[test]
fn too_few_say_how_many_are_needed() {
    let none = of(&[]).mean().unwrap_err();
    assert_eq!(none.kind(), ErrorKind::OutOfRange);
    assert_eq!(none.to_string(), "number of searches 0: at least 1 is allowed");
    let one = of(&[4]);
    assert_eq!(one.mean().unwrap(), Exact::integer(4));
    for refused in [one.variance().map(drop), one.repeatability().map(drop)] {
        assert_eq!(refused.unwrap_err().to_string(), "number of searches 1: at least 2 is allowed");
    }
    assert!(of(&[4, 4]).variance().is_ok());
}
