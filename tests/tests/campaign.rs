//! The campaign's first lives; `cargo xtask full` lives a million.

use wholestep_tests::campaign::Outcome;

/// As many as take seven seconds of processor time, which is what there is at every change.
#[test]
fn the_first_lives_end_at_rest_or_in_a_named_fault() {
    let outcome = Outcome::of(2_300, 1, 1);
    println!("{}", outcome.table());
    assert!(outcome.broken().is_empty(), "{}", outcome.table());
    assert_eq!(outcome.missing(), Vec::<String>::new());
}

/// The first lives in which what the campaign found last showed.
#[test]
fn lives_that_once_broke_what_must_hold() {
    for (seed, what) in [
        (206_936, "polls without end past the end of the counter, behind another fault"),
        (103_695, "a fault of the drive that no poll saw was held for steps lost without a reason"),
        (246_646, "a motor that starts at any speed at once was held to have been polled late"),
        (211_564, "a height stated on an end stop was held against what came after"),
        (118_213, "two requests broken off before any poll were held for one stop told twice"),
        (263_047, "two proofs doubted before any poll were held for one told twice"),
        (2_047_291, "a release that no poll carried out granted the room off a pressed switch anew"),
        (
            2_114_003,
            "a motion by hand after the first edge of a faster travel was held for too quick a start",
        ),
        (
            2_275_191,
            "edges back from an end stop that held the rotor were held for steps lost without a reason",
        ),
    ] {
        let outcome = Outcome::of(1, seed, 1);
        assert!(outcome.broken().is_empty(), "{what}: {}", outcome.table());
    }
}
