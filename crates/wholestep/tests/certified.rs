//! Certified intervals against identities and their own promises.

#![expect(clippy::unwrap_used, reason = "a refusal where none is due fails the test")]

use core::ops::{Add, Div, Mul, Sub};

use num_rational::Ratio;
use proptest::prelude::*;
use wholestep::exact::{ArithmeticError, Interval};
use wholestep::{Exact, Width};

type Rational = Ratio<i128>;
type Function = fn(Interval) -> Interval;

fn ratio(numerator: i128, denominator: i128) -> Rational {
    Ratio::new(numerator, denominator)
}

fn exact(value: Rational) -> Exact {
    Exact::new(*value.numer(), *value.denom()).unwrap()
}

fn of(value: Rational) -> Interval {
    Interval::of(exact(value)).known().unwrap()
}

fn spanning(low: Rational, high: Rational) -> Interval {
    Interval::spanning(exact(low), exact(high)).known().unwrap()
}

fn point(numerator: i128, denominator: i128) -> Interval {
    of(ratio(numerator, denominator))
}

fn rationals(low: Exact, high: Exact) -> (Rational, Rational) {
    let rational = |value: Exact| Ratio::new_raw(value.numerator(), value.denominator());
    (rational(low), rational(high))
}

fn bounds(interval: Interval) -> (Rational, Rational) {
    let (low, high) = interval.bounds().unwrap();
    rationals(low, high)
}

fn within(interval: Interval, decimals: u8) -> Result<(Rational, Rational), ArithmeticError> {
    let bounds = interval.within(Width::decimals(decimals).unwrap())?;
    Ok(rationals(bounds.low(), bounds.high()))
}

fn whole(number: i128) -> Interval {
    point(number, 1)
}

/// 10^-digits.
fn decimals(digits: u32) -> Rational {
    ratio(1, 10_i128.pow(digits))
}

fn encloses(interval: Interval, value: Rational) -> bool {
    let (low, high) = bounds(interval);
    low <= value && value <= high
}

fn width(interval: Interval) -> Rational {
    let (low, high) = bounds(interval);
    high - low
}

/// The finest bounds handed out lie around `value`, no further from it than half a last digit.
fn assert_rounds_to(interval: Interval, value: Rational, digits: u32) {
    let (low, high) = within(interval, 18).unwrap();
    let half = decimals(digits) / 2;
    assert!(value - half <= low && high <= value + half, "{low} to {high}, not {value}");
}

/// Every function of one interval.
const FUNCTIONS: [(&str, Function); 10] = [
    ("square", Interval::square),
    ("sqrt", Interval::sqrt),
    ("to_radians", Interval::to_radians),
    ("to_degrees", Interval::to_degrees),
    ("sin_degrees", Interval::sin_degrees),
    ("cos_degrees", Interval::cos_degrees),
    ("tan_degrees", Interval::tan_degrees),
    ("asin_degrees", Interval::asin_degrees),
    ("acos_degrees", Interval::acos_degrees),
    ("atan_degrees", Interval::atan_degrees),
];

/// Every function of one number.
const OF_EXACT: [fn(Exact) -> Interval; 4] =
    [Interval::of, Interval::sqrt_of, Interval::asin_degrees_of, Interval::acos_degrees_of];

/// Every function of two intervals.
const OF_TWO: [fn(Interval, Interval) -> Interval; 6] =
    [Add::add, Sub::sub, Mul::mul, Div::div, Interval::intersection, Interval::hull];

// Identity: 5 in × sin(angle), the heights of a sine bar (recomputed).
#[test]
fn sine_bar_heights() {
    for (degrees, minutes, millionths) in
        [(34, 25, 2_826_035), (27, 0, 2_269_952), (18, 0, 1_545_085), (30, 0, 2_500_000)]
    {
        let angle = point(60 * degrees + minutes, 60);
        let height = angle.sin_degrees() * whole(5);
        assert_rounds_to(height, ratio(millionths, 1_000_000), 6);
        let back = (height / whole(5)).asin_degrees();
        assert!(encloses(back, ratio(60 * degrees + minutes, 60)));
    }
    assert_eq!(whole(30).sin_degrees() * whole(5), point(5, 2));
}

// Identities: chord = 2·R·sin(angle/2), sine = R·sin(angle), tangent = R·tan(angle) (recomputed).
#[test]
fn chord_sine_and_tangent_of_an_arm() {
    let chord = |radius: i128, degrees| point(degrees, 2).sin_degrees() * whole(2 * radius);
    assert_eq!(chord(100, 60), whole(100));
    assert_rounds_to(chord(100, 45), ratio(765_366_865, 10_000_000), 7);
    assert_rounds_to(chord(150, 30), ratio(7_764_571, 100_000), 5);
    assert_eq!(whole(30).sin_degrees() * whole(150), whole(75));
    let tangent = whole(30).tan_degrees() * whole(150);
    assert_rounds_to(tangent, ratio(8_660_254, 100_000), 5);
}

// Right, equilateral and half-square triangles.
#[test]
fn law_of_cosines() {
    let angle =
        |a: i128, b: i128, c: i128| Interval::acos_degrees_of(exact(ratio(a * a + b * b - c * c, 2 * a * b)));
    assert_eq!(angle(3, 4, 5), whole(90));
    assert_eq!(angle(7, 7, 7), whole(60));
    assert_eq!(angle(3, 5, 7), whole(120));
    assert_eq!(angle(1, 2, 3), whole(180));
    // Identity: a 3-4-5 triangle has 36.8698976458 and 53.1301023542 degrees (recomputed).
    assert_rounds_to(angle(4, 5, 3), ratio(368_698_976_458, 10_000_000_000), 10);
    assert_rounds_to(angle(3, 5, 4), ratio(531_301_023_542, 10_000_000_000), 10);
}

#[test]
fn rational_values_are_exact_however_many_turns_away() {
    let half = point(1, 2);
    let sines = [
        (0, whole(0)),
        (30, half),
        (90, whole(1)),
        (150, half),
        (180, whole(0)),
        (210, -half),
        (270, -whole(1)),
        (330, -half),
    ];
    for turns in [0, 1, -1, 2_777, -2_778, 5_000_000, -5_000_000] {
        for (degrees, sine) in sines {
            let angle = whole(360 * turns + degrees);
            assert_eq!(angle.sin_degrees(), sine, "sin {degrees}°");
            let quarter_less = angle - whole(90);
            assert_eq!(quarter_less.cos_degrees(), sine, "cos {degrees}° - 90°");
        }
        for (degrees, tangent) in [(0, 0), (45, 1), (135, -1), (180, 0), (225, 1), (315, -1)] {
            let angle = whole(360 * turns + degrees);
            assert_eq!(angle.tan_degrees(), whole(tangent), "tan {degrees}°");
        }
        for degrees in [90, 270] {
            let angle = whole(360 * turns + degrees);
            assert_eq!(angle.tan_degrees().known(), Err(ArithmeticError::DivisionByZero));
        }
    }
    for (doubled, degrees) in [(-2, -90), (-1, -30), (0, 0), (1, 30), (2, 90)] {
        let sine = point(doubled, 2);
        assert_eq!(sine.asin_degrees(), whole(degrees));
        assert_eq!(sine.acos_degrees(), whole(90 - degrees));
        assert_eq!(Interval::asin_degrees_of(exact(ratio(doubled, 2))), whole(degrees));
    }
    for (tangent, degrees) in [(-1, -45), (0, 0), (1, 45)] {
        assert_eq!(whole(tangent).atan_degrees(), whole(degrees));
    }
    assert_eq!(point(49, 64).sqrt(), point(7, 8));
    assert_eq!(Interval::sqrt_of(exact(ratio(49, 64))), point(7, 8));
}

#[test]
fn a_wave_turns_between_its_ends() {
    let between = |low, high| spanning(ratio(low, 1), ratio(high, 1));
    let (one, zero) = (ratio(1, 1), ratio(0, 1));
    assert_eq!(bounds(between(80, 100).sin_degrees()).1, one);
    assert_eq!(bounds(between(0, 90).sin_degrees()), (zero, one));
    assert_eq!(bounds(between(260, 280).sin_degrees()).0, -one);
    assert_eq!(bounds(between(-10, 10).cos_degrees()).1, one);
    assert_eq!(bounds(between(0, 360).cos_degrees()), (-one, one));
    assert!(bounds(between(1, 89).sin_degrees()).1 < one);
    assert_eq!(between(89, 91).tan_degrees().known(), Err(ArithmeticError::DivisionByZero));
    assert_eq!(bounds(between(-3, 2).square()), (zero, ratio(9, 1)));
    assert_eq!(bounds(between(-3, 2) * between(-3, 2)), (ratio(-6, 1), ratio(9, 1)));
}

#[test]
fn pi_to_28_places() {
    let digits = 31_415_926_535_897_932_384_626_433_832; // the next is 7
    assert!(ratio(digits, 10_i128.pow(28)) < bounds(Interval::pi()).0);
    assert!(bounds(Interval::pi()).1 < ratio(digits + 1, 10_i128.pow(28)));
}

#[test]
fn an_argument_near_one_loses_nothing_as_a_rational() {
    for digits in [1, 5, 10, 19, 20, 25, 30, 37] {
        let scale = 10_i128.pow(digits);
        for sine in [ratio(scale - 1, scale), ratio(1 - scale, scale)] {
            for function in OF_EXACT {
                if let Ok(angle) = function(exact(sine)).known() {
                    assert!(width(angle) < decimals(26), "{sine}");
                }
            }
            // acos(1 - d) is a little above √(2·d) radians, by less than a tenth for d up to 1/10.
            let acos = Interval::acos_degrees_of(exact(ratio(scale - 1, scale))).to_radians();
            let root = Interval::sqrt_of(exact(ratio(2, scale)));
            assert!(bounds(root).0 <= bounds(acos).1);
            assert!(bounds(acos).0 < bounds(root).1 * ratio(11, 10));
        }
    }
}

#[test]
fn intervals_refuse_what_leaves_their_range() {
    use ArithmeticError::{CrossedBounds, DivisionByZero, Domain, Overflow, TooWide};
    let limit = 1 << 31;
    let nearly = point((1 << 62) - 1, limit);
    let around_one = spanning(ratio(99, 100), ratio(101, 100));
    let around_zero = spanning(ratio(-1, 100), ratio(1, 100));
    for (outcome, error) in [
        (Interval::of(exact(ratio(limit, 1))), Overflow),
        (Interval::of(exact(ratio(-limit, 1))), Overflow),
        (Interval::of(exact(ratio(-(1 << 126), 1))), Overflow),
        (Interval::spanning(exact(ratio(2, 1)), exact(ratio(1, 1))), CrossedBounds),
        (nearly + whole(1), Overflow),
        (-nearly - whole(1), Overflow),
        (whole(50_000).square(), Overflow),
        (whole(50_000) * whole(-50_000), Overflow),
        (whole(1_000_000) / point(1, 1_000_000), Overflow),
        (whole(37_100_000).to_degrees(), Overflow),
        (whole(1) / around_zero, DivisionByZero),
        (whole(1) / whole(0), DivisionByZero),
        (around_zero.sqrt(), Domain),
        (Interval::sqrt_of(exact(ratio(-1, 1 << 126))), Domain),
        (Interval::sqrt_of(exact(ratio(1 << 62, 1))), Overflow),
        (around_one.asin_degrees(), Domain),
        (around_one.acos_degrees(), Domain),
        (Interval::asin_degrees_of(exact(ratio((1 << 126) - 1, (1 << 126) - 3))), Domain),
        (Interval::acos_degrees_of(exact(ratio(1 - (1 << 126), (1 << 126) - 3))), Domain),
        (around_one.intersection(around_zero), Domain),
    ] {
        assert_eq!(outcome.known(), Err(error));
        // The first cause is kept, whatever is made of it.
        let after = (whole(1) - outcome.square()).hull(whole(0)) / (whole(1) / whole(0));
        assert_eq!(after.enclosed(), Err(error));
        assert!(!outcome.is_at_most(whole(1)) && !whole(1).is_at_most(outcome));
    }
    for decimals in [2, 3, 6, 18] {
        assert_eq!(within(around_zero, decimals), Err(TooWide));
    }
    assert!(within(around_zero, 1).is_ok());
    for error in [Domain, Overflow, CrossedBounds, TooWide, DivisionByZero] {
        assert!(error.to_string().len() > 20);
    }
}

#[test]
fn a_sine_known_to_be_one_is_cut_to_the_domain() {
    let computed = spanning(ratio(99, 100), ratio(101, 100));
    let domain = spanning(ratio(-1, 1), ratio(1, 1));
    let angle = computed.intersection(domain).asin_degrees();
    assert_eq!(bounds(angle).1, ratio(90, 1));
    assert!(ratio(818, 10) < bounds(angle).0 && bounds(angle).0 < ratio(82, 1));
}

#[test]
fn bounds_handed_out_are_no_finer_than_they_need_be() {
    let third = point(1, 3);
    for (asked, bits) in [(0, 2), (3, 12), (6, 22), (18, 62)] {
        let (low, high) = within(third, asked).unwrap();
        assert_eq!((high - low), ratio(1, 1 << bits));
        assert_eq!((*low.denom()).max(*high.denom()), 1 << bits);
    }
    let all = spanning(ratio(-(1 << 31) + 1, 1), ratio((1 << 31) - 1, 1));
    assert_eq!(within(all, 0), Err(ArithmeticError::TooWide));
}

/// Rationals of every size an interval holds, whole, decimal, binary and otherwise.
fn rational(size: i128) -> impl Strategy<Value = Rational> {
    let denominator = prop_oneof![Just(1), Just(8), Just(1000), Just(360), 1_i128..1 << 20, Just(1 << 90)];
    (-(1_i128 << 60)..=1 << 60, denominator).prop_map(move |(part, denominator)| {
        // floor(part / 2^60 · size · denominator) / denominator, without passing 2^127.
        let whole = if denominator >> 40 == 0 {
            (part >> 20) * size / (1 << 40) * denominator + part.rem_euclid(denominator)
        } else {
            (part * size).clamp(-(1 << 91), 1 << 91)
        };
        ratio(whole, denominator)
    })
}

/// An interval within ±`size`, or a little more, often narrow and often a point.
fn interval(size: i128) -> impl Strategy<Value = Interval> {
    (rational(size), 0_u32..80, 0_i128..3)
        .prop_map(|(low, bits, count)| spanning(low, low + ratio(count, 1 << bits)))
}

fn sine() -> impl Strategy<Value = Rational> {
    let near = (0_u32..37).prop_map(|digits| ratio(10_i128.pow(digits) - 1, 10_i128.pow(digits)));
    let inside = (-(1_i128 << 40)..=1 << 40).prop_map(|part| ratio(part, 1 << 40));
    let other = (0..=1_000_003_i128).prop_map(|part| ratio(part, 1_000_003));
    prop_oneof![inside, other, near.clone(), near.prop_map(|sine| -sine)]
}

/// Any rational at all, also such as no honest caller builds.
fn raw() -> impl Strategy<Value = Rational> {
    let edge = prop_oneof![
        Just(0),
        Just(1),
        Just(-1),
        Just(i128::MIN),
        Just(i128::MIN + 1),
        Just(i128::MAX),
        any::<i128>(),
        any::<i64>().prop_map(i128::from),
        (0_u32..127).prop_map(|bits| 1 << bits),
    ];
    (edge.clone(), edge).prop_map(|(numerator, denominator)| Ratio::new_raw(numerator, denominator))
}

/// self, a unit of 2^-96 wider at each end.
fn a_unit_wider(interval: Interval) -> (Rational, Rational) {
    let (low, high) = bounds(interval);
    let unit = ratio(1, 1 << 96);
    let shifted = |bound: Rational, by: i128| {
        let units = *(bound / unit).numer();
        Ratio::new(units + by, 1 << 96)
    };
    (shifted(low, -1), shifted(high, 1))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2_000))]

    #[test]
    fn arithmetic_encloses_the_exact_result(a in rational(1000), b in rational(1000)) {
        let x = of(a);
        prop_assert!(encloses(x, a) && width(x) <= ratio(1, 1 << 96));
        // Over one denominator each, so that i128 is wide enough.
        let coarse = |value: Rational| (value * 1024).floor() / 1024;
        let (a, b) = (coarse(a), coarse(b));
        let (x, y) = (of(a), of(b));
        prop_assert_eq!(bounds(x + y), (a + b, a + b));
        prop_assert_eq!(bounds(x - y), (a - b, a - b));
        prop_assert_eq!(bounds(x * y), (a * b, a * b));
        prop_assert_eq!(bounds(x.square()), (a * a, a * a));
        if *b.numer() != 0 {
            let quotient = x / y;
            prop_assert!(encloses(quotient, a / b) && width(quotient) <= ratio(1, 1 << 96));
        }
    }

    #[test]
    fn sine_and_cosine_lie_on_the_circle(angle in interval(1_000_000)) {
        let (sine, cosine) = (angle.sin_degrees(), angle.cos_degrees());
        let circle = sine.square() + cosine.square();
        prop_assert!(encloses(circle, ratio(1, 1)));
        let bound = width(sine) + width(cosine) + ratio(1, 1 << 90);
        prop_assert!(width(circle) <= bound * 2);
    }

    #[test]
    fn inverses_come_back(value in sine(), other in rational(10_000), angle in rational(89)) {
        let known = of(value);
        for back in [
            known.asin_degrees().sin_degrees(),
            known.acos_degrees().cos_degrees(),
            Interval::asin_degrees_of(exact(value)).sin_degrees(),
            Interval::acos_degrees_of(exact(value)).cos_degrees(),
        ] {
            prop_assert!(encloses(back, value));
            prop_assert!(width(back) < decimals(26));
        }
        let any = of(other);
        let back = any.atan_degrees().tan_degrees();
        prop_assert!(encloses(back, other) && width(back) < decimals(18));
        prop_assert!(encloses(any.to_radians().to_degrees(), other));
        prop_assert!(encloses(any.to_degrees().to_radians(), other));
        let size = if other < ratio(0, 1) { -other } else { other };
        prop_assert!(encloses(any.square().sqrt(), size));
        let acute = of(angle);
        prop_assert!(encloses(acute.sin_degrees().asin_degrees(), angle));
        prop_assert!(encloses(acute.tan_degrees().atan_degrees(), angle));
    }

    #[test]
    fn roots_square_back(square in rational(1 << 30)) {
        let square = if square < ratio(0, 1) { -square } else { square };
        let of_ratio = Interval::sqrt_of(exact(square));
        let of_interval = of(square).sqrt();
        prop_assert!(encloses(of_ratio.square(), square));
        prop_assert!(encloses(of_interval.square(), square));
        prop_assert!(width(of_ratio) <= ratio(1, 1 << 96));
        prop_assert!(of_interval.intersection(of_ratio).known().is_ok());
    }

    #[test]
    fn arc_sine_and_arc_cosine_make_a_quarter(value in sine()) {
        let known = of(value);
        let degrees = known.asin_degrees() + known.acos_degrees();
        prop_assert!(encloses(degrees, ratio(90, 1)));
        let quarter = Interval::pi() / whole(2);
        prop_assert!(degrees.to_radians().intersection(quarter).known().is_ok());
    }

    #[test]
    fn symmetry_and_period_are_exact(angle in interval(1_000_000)) {
        prop_assert_eq!((-angle).sin_degrees(), -angle.sin_degrees());
        prop_assert_eq!((-angle).tan_degrees(), -angle.tan_degrees());
        let turned = angle + whole(360 * 1_000);
        prop_assert_eq!(turned.sin_degrees(), angle.sin_degrees());
        prop_assert_eq!(turned.tan_degrees(), angle.tan_degrees());
        let quarter = angle + whole(90);
        prop_assert_eq!(quarter.sin_degrees(), angle.cos_degrees());
    }

    // Each series may be off by a few grains, so a narrower argument may give a bound that is one
    // unit further out, though no more.
    #[test]
    fn a_narrower_argument_gives_a_narrower_answer(
        outer in prop_oneof![interval(1), interval(100), interval(40_000)],
        from in 0_i128..=16,
        to in 0_i128..=16,
    ) {
        // To quarters, so that sixteenths between the ends stay in range.
        let (low, high) = bounds(outer);
        let quarters = |bound: Rational| bound * 4;
        let (low, high) = (quarters(low).floor() / 4, quarters(high).ceil() / 4);
        let outer = spanning(low, high);
        let at = |part| low + (high - low) * ratio(part, 16);
        let inner = spanning(at(from.min(to)), at(from.max(to)));
        for (name, function) in FUNCTIONS {
            if let Ok(wide) = function(outer).known() {
                let narrow = function(inner).known();
                prop_assert!(narrow.is_ok(), "{} refuses a part of what it takes", name);
                let (low, high) = a_unit_wider(wide);
                let narrow = bounds(narrow.unwrap());
                prop_assert!(low <= narrow.0 && narrow.1 <= high, "{}", name);
            }
        }
        for function in OF_TWO {
            if let Ok(wide) = function(outer, outer).known() {
                let narrow = bounds(function(inner, inner));
                let wide = bounds(wide);
                prop_assert!(wide.0 <= narrow.0 && narrow.1 <= wide.1);
            }
        }
    }

    #[test]
    fn finer_bounds_lie_within_coarser(
        value in interval(10_000),
        decimals in prop::collection::vec(0_u8..=18, 2),
    ) {
        let (coarse, fine) = (decimals[0].min(decimals[1]), decimals[0].max(decimals[1]));
        if let Ok(fine) = within(value, fine) {
            let coarse = within(value, coarse).unwrap();
            let full = bounds(value);
            prop_assert!(coarse.0 <= fine.0 && fine.0 <= full.0);
            prop_assert!(full.1 <= fine.1 && fine.1 <= coarse.1);
        }
    }

    #[test]
    fn nothing_panics(a in raw(), b in raw(), c in raw(), d in raw()) {
        let numbers = [a, b, c, d].map(|value| Exact::new(*value.numer(), *value.denom()));
        let [Ok(a), Ok(b), Ok(c), Ok(d)] = numbers else { return Ok(()) };
        for function in OF_EXACT {
            let _ = function(a).known();
        }
        let (x, y) = (Interval::spanning(a, b), Interval::spanning(c, d));
        for (_, function) in FUNCTIONS {
            let result = function(x);
            if let Ok((low, high)) = result.bounds() {
                prop_assert!(low <= high);
            }
            let _ = function(result).within(Width::FINEST);
        }
        for function in OF_TWO {
            let _ = function(x, y).enclosed();
        }
    }
}
