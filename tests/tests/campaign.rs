//! The campaign's first five thousand lives.

use wholestep_tests::campaign::Outcome;

#[test]
fn five_thousand_lives_end_at_rest_or_in_a_named_fault() {
    let outcome = Outcome::of(5_000, 1, 1);
    println!("{}", outcome.table());
    assert!(outcome.broken().is_empty(), "{}", outcome.table());
    assert_eq!(outcome.missing(), Vec::<String>::new());
}
