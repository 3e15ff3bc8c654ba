//! The campaign's first five thousand lives, and those that once broke what must hold.

use wholestep_tests::campaign::Outcome;

#[test]
fn five_thousand_lives_end_at_rest_or_in_a_named_fault() {
    let outcome = Outcome::of(5_000, 1, 1);
    println!("{}", outcome.table());
    assert!(outcome.broken().is_empty(), "{}", outcome.table());
    assert_eq!(outcome.missing(), Vec::<String>::new());
}

#[test]
fn lives_that_once_broke_what_must_hold() {
    for seed in [74_321, 267_776, 374_100, 1_181_881, 2_221_347, 3_182_494] {
        let outcome = Outcome::of(1, seed, 1);
        assert!(outcome.broken().is_empty(), "{}", outcome.table());
    }
}
