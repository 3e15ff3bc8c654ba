//! Measures as values: their bounds, their magnitude, the middle of an enclosure, and how errors carry them.

use proptest::prelude::*;
use wholestep::error::{Quoted, Value};
use wholestep::measure::{Time, Unit};
use wholestep::{Angle, AngleUnit, Enclosure, ErrorKind, Exact, Length, LengthUnit, Measure, Speed, bounds};

#[test]
fn time_is_from_zero_to_an_hour_and_no_finer_than_a_measure() {
    let finest = bounds::MEASURE_DENOMINATOR_MAX;
    for (numerator, denominator, allowed) in [
        (0, 1, true),
        (3_600, 1, true),
        (1, finest, true),
        (-1, 1, false),
        (-1, finest, false),
        (3_601, 1, false),
        (36_001, 10, false),
        (1, finest + 1, false),
    ] {
        let seconds = Exact::new(numerator, denominator).unwrap();
        match Time::from_seconds(seconds) {
            Ok(time) => assert!(allowed && time.seconds() == seconds, "{seconds} s"),
            Err(refused) => assert!(!allowed && refused.kind() == ErrorKind::OutOfRange, "{seconds} s"),
        }
    }
}

#[test]
fn magnitude_has_no_sign() {
    for (text, magnitude) in [("-2 mm", "2 mm"), ("2 mm", "2 mm"), ("0 mm", "0 mm"), ("-1/3 in", "1/3 in")] {
        assert_eq!(text.parse::<Length>().unwrap().abs(), magnitude.parse().unwrap(), "{text}");
    }
}

#[test]
fn fraction_is_exact_if_nothing_is_left() {
    for (text, exact) in [("23/32 in", true), ("0 in", true), ("0.72 in", false), ("-0.72 in", false)] {
        let fraction = text.parse::<Length>().unwrap().fraction_in(LengthUnit::Inch, 32).unwrap();
        assert_eq!(fraction.is_exact(), exact, "{text}");
    }
}

#[test]
fn quoted_measure_is_read_back_as_its_own_sort_only() {
    let quoted = |value: Value| match value {
        Value::Measure(quoted) => quoted,
        other => panic!("{other:?} is no measure"),
    };
    let length: Length = "2 in".parse().unwrap();
    let angle: Angle = "30 deg".parse().unwrap();
    let cases: [(Quoted, Option<Length>, Option<Angle>); 3] = [
        (quoted(length.quoted(LengthUnit::Inch)), Some(length), None),
        (quoted(angle.quoted(AngleUnit::Degree)), None, Some(angle)),
        (quoted(LengthUnit::Inch.quoted_rate(length.base(), 1)), None, None),
    ];
    for (given, as_length, as_angle) in cases {
        assert_eq!(Length::of_quoted(given), as_length, "{given}");
        assert_eq!(Angle::of_quoted(given), as_angle, "{given}");
    }
}

#[test]
fn rate_names_itself_when_debugged() {
    assert_eq!(format!("{:?}", "1 in/s".parse::<Speed<Length>>().unwrap()), "Rate(25.4 mm/s)");
}

proptest! {
    /// The middle to 1e-12 of the unit: half a part off at most, ties to the even part.
    #[test]
    fn middle_of_an_enclosure_is_the_nearest_part(
        low in -1_000_000_000_000_000_i128..=1_000_000_000_000_000,
        width in 1_i128..=1_000_000,
        denominator in 1_i128..=1_000_000_007,
    ) {
        let bound = |numerator| Length::from_base(Exact::new(numerator, denominator).unwrap());
        let (Ok(low), Ok(high)) = (bound(low), bound(low + width)) else { return Ok(()) };
        let middle = Enclosure::<Length>::new(low, high).unwrap().to_measure().unwrap().base();

        prop_assert_eq!(bounds::RECKONED_PARTS % middle.denominator(), 0);
        let twice = low.base().checked_add(high.base()).unwrap();
        let off = middle.checked_add(middle).unwrap().checked_sub(twice).unwrap().abs();
        prop_assert!(off <= Exact::new(1, bounds::RECKONED_PARTS).unwrap(), "{} off", off);
    }
}
