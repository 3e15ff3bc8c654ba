//! Values as text: what serde writes, what it reads, and what it refuses, in JSON.
#![expect(clippy::unwrap_used, reason = "a test may panic")]

use std::fmt::Debug;

use serde::Serialize;
use serde::de::DeserializeOwned;
use wholestep::measure::Time;
use wholestep::{Acceleration, Angle, Exact, Jerk, Length, Speed};

fn written_and_read<T: Serialize + DeserializeOwned + PartialEq + Debug>(value: &T, expected: &str) {
    let json = serde_json::to_string(value).unwrap();
    assert_eq!(json, expected);
    assert_eq!(&serde_json::from_str::<T>(&json).unwrap(), value);
}

#[test]
fn value_is_written_as_exact_text_and_read_back() {
    written_and_read(&"2/3".parse::<Exact>().unwrap(), "\"2/3\"");
    written_and_read(&"23/32 in".parse::<Length>().unwrap(), "\"18.25625 mm\"");
    written_and_read(&"22-1/3 deg".parse::<Angle>().unwrap(), "\"22-1/3 deg\"");
    written_and_read(&"1 in/s".parse::<Speed<Length>>().unwrap(), "\"25.4 mm/s\"");
    written_and_read(&"4 mm/s²".parse::<Acceleration<Length>>().unwrap(), "\"4 mm/s²\"");
    written_and_read(&"1/3 mm/s³".parse::<Jerk<Length>>().unwrap(), "\"1/3 mm/s³\"");
    written_and_read(&Time::read("0.002 ms").unwrap(), "\"2 µs\"");
}

/// What `json` is refused with as a `T`, without the place that the format adds.
fn refused<T: DeserializeOwned + Debug>(json: &str) -> String {
    let text = serde_json::from_str::<T>(json).unwrap_err().to_string();
    text.split(" at line ").next().unwrap().to_owned()
}

#[test]
fn whole_number_is_exact_without_a_unit_only() {
    assert_eq!(serde_json::from_str::<Exact>("3").unwrap(), Exact::integer(3));
    assert_eq!(serde_json::from_str::<Exact>("-3").unwrap(), Exact::integer(-3));
    for (json, message) in [
        ("3", "length: a bare number has no unit; write it in quotes and with its unit"),
        ("-3", "length: a bare number has no unit; write it in quotes and with its unit"),
    ] {
        assert_eq!(refused::<Length>(json), message, "{json}");
    }
    assert_eq!(
        refused::<Speed<Length>>("3"),
        "speed: a bare number has no unit; write it in quotes and with its unit"
    );
}

#[test]
fn number_with_a_point_is_refused_with_the_text_that_is_exact() {
    assert_eq!(
        refused::<Exact>("0.125"),
        "number: a number with a point is not exact outside quotes; write it in quotes, like \"0.125\""
    );
    assert_eq!(
        refused::<Length>("0.125"),
        "length: a number with a point is not exact outside quotes; write it in quotes and with its unit"
    );
}

#[test]
fn anything_but_a_text_is_refused_with_an_example() {
    for (json, message) in [
        ("true", "invalid type: boolean `true`, expected a length in quotes, like \"3/8 mm\""),
        ("[]", "invalid type: sequence, expected a length in quotes, like \"3/8 mm\""),
        ("null", "invalid type: null, expected a length in quotes, like \"3/8 mm\""),
    ] {
        assert_eq!(refused::<Length>(json), message, "{json}");
    }
    assert_eq!(
        refused::<Speed<Length>>("true"),
        "invalid type: boolean `true`, expected a speed in quotes, like \"3/8 mm/s\""
    );
    assert_eq!(
        refused::<Exact>("true"),
        "invalid type: boolean `true`, expected a number in quotes, like \"3/8\""
    );
}
