//! A measured travel held against the file, and what explains one that is not the expected one.

use wholestep::{ErrorKind, Exact};
use wholestep_files::{AxisFile, TravelCheck};

fn load(name: &str) -> AxisFile {
    let path = format!(concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples/axes/{}.toml"), name);
    AxisFile::open(path).unwrap()
}

fn number((numerator, denominator): (i128, i128)) -> Exact {
    Exact::new(numerator, denominator).unwrap()
}

fn check(name: &str, measured: (i128, i128)) -> TravelCheck {
    load(name).check_travel(Exact::ONE, number(measured), number((1, 50))).unwrap()
}

#[test]
fn travel_agrees_to_within_its_tolerance_and_no_further() {
    for (measured, agrees) in
        [((51, 50), true), ((49, 50), true), ((510_001, 500_000), false), ((489_999, 500_000), false)]
    {
        let check = check("router_lift", measured);
        assert_eq!((check.ratio, check.agrees), (number(measured), agrees));
        assert!(!agrees || check.explanations.is_empty(), "{check:?}");
    }
}

/// Figures of the lift and of the stop block that the machine may have instead; the last needs two.
#[test]
fn travel_that_does_not_agree_is_explained_by_single_figures() {
    type Figures = &'static [(&'static str, &'static str, &'static str)];
    let cases: [(&str, (i128, i128), Figures); 5] = [
        ("router_lift", (1, 2), &[("step_mode", "1/8", "1/16"), ("step_angle", "1.8 deg", "0.9 deg")]),
        ("router_lift", (3, 1), &[("starts", "1", "3")]),
        ("stop_block", (2, 1), &[("thread", "5/8-8 Acme", "a lead of 0.25 in")]),
        ("router_lift", (127, 5), &[("unit", "mm", "in")]),
        ("router_lift", (23, 20), &[]),
    ];
    for (name, measured, expected) in cases {
        let found = check(name, measured).explanations;
        for (key, says, fits) in expected {
            assert!(
                found.iter().any(|one| (one.key, &*one.says, &*one.fits) == (*key, *says, *fits)),
                "{name} {measured:?}: {key}: {found:?}"
            );
        }
        assert!(!expected.is_empty() || found.is_empty(), "{name} {measured:?}: {found:?}");
    }
}

#[test]
fn travel_that_cannot_be_compared_is_refused() {
    let lift = load("router_lift");
    for (expected, measured, tolerance, kind, quoted) in [
        ((1, 1), (-1, 1), (1, 50), ErrorKind::OutOfRange, "measured travel -1: at least 0 is allowed"),
        ((-1, 1), (-1, 1), (1, 50), ErrorKind::OutOfRange, "expected travel -1: at least 0 is allowed"),
        ((1, 1), (1, 1), (-1, 50), ErrorKind::OutOfRange, "tolerance -1/50: 0 to 1 is allowed"),
        ((1, 1), (1, 1), (3, 2), ErrorKind::OutOfRange, "tolerance 3/2: 0 to 1 is allowed"),
        ((0, 1), (1, 1), (1, 50), ErrorKind::DivisionByZero, ""),
    ] {
        let refused = lift.check_travel(number(expected), number(measured), number(tolerance)).unwrap_err();
        assert_eq!(refused.kind(), kind);
        assert!(refused.to_string().starts_with(quoted), "{refused}");
    }
    assert!(!check("router_lift", (0, 1)).agrees);
}
