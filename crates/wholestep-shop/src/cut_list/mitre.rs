//! How far a mitre reaches along the stock, and how wide its kerf is there.

use crate::messages;
use wholestep::exact::Interval;
use wholestep::{Angle, AngleUnit, Enclosure, Exact, Measure, Result, Rounding, Width};

/// The steepest mitre from square, in degrees.
pub const MITRE_MAX_DEGREES: i64 = 75;

/// The decimals to which a tangent is known.
const TANGENT_DECIMALS: u8 = 14;

/// The fraction to which the secant of a mitre is rounded outward.
const SECANT_PARTS: i128 = 1_000_000_000;

/// Refuses a mitre steeper than 75 degrees either way.
pub(super) fn check(angle: Angle, parameter: &'static str) -> Result<()> {
    let most = Exact::integer(MITRE_MAX_DEGREES);
    if angle.base().abs() <= most {
        return Ok(());
    }
    let limit = |value| Angle::from_base(value).map(|angle| angle.quoted(AngleUnit::Degree));
    Err(messages::MITRE_FROM_SQUARE
        .error()
        .about(parameter)
        .given(angle.quoted(AngleUnit::Degree))
        .between(limit(-most)?, limit(most)?))
}

/// The tangent of the magnitude of `angle`: exact at 0 and 45 degrees.
pub(super) fn tangent(angle: Angle) -> Result<Enclosure<Exact>> {
    let degrees = angle.base().abs();
    if degrees.signum() == 0 {
        return Ok(Enclosure::exact(Exact::ZERO));
    }
    if degrees == Exact::integer(45) {
        return Ok(Enclosure::exact(Exact::ONE));
    }
    let tangent = Interval::of(degrees).tan_degrees();
    Width::decimals(TANGENT_DECIMALS).and_then(|width| tangent.within(width)).map_err(|error| {
        messages::MITRE_UNDECIDED.error().given(angle.quoted(AngleUnit::Degree)).advice(error.to_string())
    })
}

/// The secant of an angle whose tangent of at most 4 is given: √(1 + tan²), between bounds less than
/// 6e-9 apart.
pub(super) fn secant(tangent: Enclosure<Exact>) -> Result<Enclosure<Exact>> {
    let (low, high) = (tangent.low(), tangent.high());
    Ok(Enclosure::new(secant_bound(low, Rounding::Below)?, secant_bound(high, Rounding::Above)?)?)
}

fn secant_bound(tangent: Exact, rounding: Rounding) -> Result<Exact> {
    if tangent.signum() == 0 {
        return Ok(Exact::ONE);
    }
    let parts = tangent.checked_mul(Exact::new(SECANT_PARTS, 1)?)?.round(rounding);
    let square = parts * parts + SECANT_PARTS * SECANT_PARTS;
    let root = square.isqrt();
    let above = rounding == Rounding::Above && root * root != square;
    Ok(Exact::new(root + i128::from(above), SECANT_PARTS)?)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn degrees(value: i64) -> Angle {
        Angle::from_base(Exact::integer(value)).unwrap()
    }

    #[test]
    fn what_is_exact_is_exact() {
        for (angle, expected) in [(0, 0), (45, 1), (-45, 1)] {
            assert_eq!(tangent(degrees(angle)).unwrap(), Enclosure::exact(Exact::integer(expected)));
        }
    }

    /// tan 30° = 1/√3 and tan 60° = √3, checked by squaring; tan 22.5° = √2 − 1 solves t² + 2t = 1.
    #[test]
    fn other_tangents_lie_between_close_bounds() {
        let square = |value: Exact| value.checked_mul(value).unwrap();
        let cases = [
            ("30 deg", 0, Exact::new(1, 3).unwrap()),
            ("-60 deg", 0, Exact::integer(3)),
            ("22.5 deg", 2, Exact::ONE),
        ];
        for (angle, times, expected) in cases {
            let rising =
                |t: Exact| square(t).checked_add(t.checked_mul(Exact::integer(times)).unwrap()).unwrap();
            let bounds = tangent(angle.parse().unwrap()).unwrap();
            assert!(rising(bounds.low()) < expected && expected < rising(bounds.high()), "{angle}");
            let apart = bounds.high().checked_sub(bounds.low()).unwrap();
            assert!(apart <= Width::decimals(TANGENT_DECIMALS).unwrap().as_exact(), "{angle}");
        }
        assert!(tangent(degrees(75)).is_ok());
    }

    #[test]
    fn the_secant_lies_between_close_bounds() {
        let of = |tangent| secant(Enclosure::exact(tangent)).unwrap();
        // Identity: √2 = 1.41421356237309504… (recomputed by squaring).
        let root = of(Exact::ONE);
        assert_eq!(root.high(), Exact::new(1_414_213_563, 1_000_000_000).unwrap());
        assert_eq!(root.low(), Exact::new(1_414_213_562, 1_000_000_000).unwrap());
        // A right triangle of 3, 4 and 5: tangent 4/3, secant 5/3.
        let bounds = of(Exact::new(4, 3).unwrap());
        let [below, above] =
            [bounds.low(), bounds.high()].map(|bound| bound.checked_sub(Exact::new(5, 3).unwrap()).unwrap());
        let close = Exact::new(3, 1_000_000_000).unwrap();
        assert!(below.signum() <= 0 && below > -close && above.signum() >= 0 && above < close);
        assert_eq!(of(Exact::ZERO), Enclosure::exact(Exact::ONE));
    }

    #[test]
    fn a_mitre_is_at_most_75_degrees() {
        assert!(check(degrees(75), "left").is_ok() && check(degrees(-75), "left").is_ok());
        for angle in [76, -76, 90] {
            assert_eq!(check(degrees(angle), "left").unwrap_err().kind(), wholestep::ErrorKind::OutOfRange);
        }
    }
}
