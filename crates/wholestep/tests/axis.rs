//! An axis through the public interface: placing, limits, datum, temporary zero, drift.

use proptest::prelude::*;
use wholestep::axis::{Axis, AxisConfig, GridFit, Rates};
use wholestep::mechanism::{DriveTrain, Linear, StepMode};
use wholestep::{
    Acceleration, Angle, Enclosure, ErrorKind, Exact, Length, LengthUnit, Measure, Mechanism, Result,
    Rounding, Speed, Width,
};

fn exact(numerator: i128, denominator: i128) -> Exact {
    Exact::new(numerator, denominator).unwrap()
}

fn mm(numerator: i128, denominator: i128) -> Length {
    Length::from_base(exact(numerator, denominator)).unwrap()
}

fn inch(numerator: i128, denominator: i128) -> Length {
    Length::new(exact(numerator, denominator), LengthUnit::Inch).unwrap()
}

fn motor(division: u32) -> DriveTrain {
    DriveTrain::new(Angle::from_base(exact(9, 5)).unwrap(), StepMode::new(division).unwrap()).unwrap()
}

fn settings(low: Length, high: Length) -> AxisConfig<Length> {
    let rates = Rates::new(
        Speed::from_base(Exact::integer(40)).unwrap(),
        Acceleration::from_base(Exact::integer(200)).unwrap(),
    );
    AxisConfig::new(LengthUnit::Millimetre, low, high, rates)
}

fn axis(mechanism: Linear<Length>) -> Axis<Linear<Length>> {
    Axis::new(mechanism, settings(mm(-500, 1), mm(500, 1))).unwrap()
}

/// 1/400 mm a step.
fn lead_of_eight() -> Linear<Length> {
    Linear::lead_screw_by_lead(motor(16), mm(8, 1)).unwrap()
}

fn sixteen_threads() -> Linear<Length> {
    Linear::lead_screw_by_threads_per_inch(motor(16), Exact::integer(16), 1).unwrap()
}

/// A mechanism with nothing but the two required methods: a hundredth of a millimetre down a step.
struct Falling;

impl Mechanism for Falling {
    type Measure = Length;
    fn span(&self) -> std::ops::RangeInclusive<i64> {
        -100_000..=100_000
    }
    fn position_at(&self, step: i64, _: Width) -> Result<Enclosure<Length>> {
        Ok(Enclosure::exact(Length::from_base(Exact::new((-step).into(), 100)?)?))
    }
}

/// The same, placed by division.
struct FallingByDivision;

impl Mechanism for FallingByDivision {
    type Measure = Length;
    fn span(&self) -> std::ops::RangeInclusive<i64> {
        Falling.span()
    }
    fn position_at(&self, step: i64, width: Width) -> Result<Enclosure<Length>> {
        Falling.position_at(step, width)
    }
    fn uniform_travel(&self) -> Option<Exact> {
        Some(exact(-1, 100))
    }
}

#[test]
fn a_target_is_rounded_once_by_the_rule_asked_for() {
    let axis = axis(lead_of_eight());
    let cases = [
        // target, nearest, below, above
        (mm(10, 1), 4000, 4000, 4000),
        (mm(1, 3), 133, 133, 134),
        (mm(-1, 3), -133, -134, -133),
        (mm(1, 800), 0, 0, 1), // a tie goes to the even step
        (mm(3, 800), 2, 1, 2), // and so does this one
        (mm(-3, 800), -2, -2, -1),
    ];
    for (target, nearest, below, above) in cases {
        for (rule, step) in Rounding::ALL.into_iter().zip([nearest, below, above]) {
            let placed = axis.place(target, rule).unwrap();
            assert_eq!(placed.step(), step, "{target:?} {rule:?}");
            assert_eq!(placed.position().low(), mm(step.into(), 400));
            assert_eq!(placed.remainder().low(), placed.position().low().checked_sub(target).unwrap());
            assert!(placed.is_decided() && placed.position().is_exact());
        }
    }
}

#[test]
fn ten_million_detents_end_on_the_step_nearest_the_sum() {
    // 0.004 in a detent on a 16 TPI screw at 3,200 steps a turn: 204.8 steps a detent, so a count
    // that was rounded at every detent would end two million steps away.
    let reach = inch(50_000, 1);
    let axis = Axis::new(sixteen_threads(), settings(-reach, reach)).unwrap();
    let detent = inch(4, 1000);
    let mut placed = axis.place(Length::ZERO, Rounding::Nearest).unwrap();
    for _ in 0..10_000_000 {
        placed = axis.place_by(&placed, detent, Rounding::Nearest).unwrap();
    }
    assert_eq!(placed.target(), inch(40_000, 1));
    assert_eq!(placed.step(), 40_000 * 16 * 3_200);
    assert_eq!(placed.remainder().low(), Length::ZERO);

    // And one detent more, which does not land on a step.
    placed = axis.place_by(&placed, detent, Rounding::Nearest).unwrap();
    assert_eq!(placed.step(), 40_000 * 16 * 3_200 + 205);
    assert_eq!(placed.remainder().low(), inch(1, 5 * 51_200));
}

#[test]
fn a_million_scattered_targets_land_where_fractions_say() {
    let axis = axis(sixteen_threads());
    let sum: i64 = (0..1_000_000_i128)
        .map(|turn| axis.place(mm((turn * 7_919) % 400_000, 997), Rounding::Nearest).unwrap().step())
        .sum();
    assert_eq!(sum, SUM_OF_STEPS);
}

/// Recomputed with plain Python integers.
const SUM_OF_STEPS: i64 = 404_356_426_768;

#[test]
fn past_a_soft_limit_is_refused_with_the_excess_in_the_unit_of_the_axis() {
    let mut settings = settings(inch(0, 1), inch(12, 1));
    settings.unit = LengthUnit::Inch;
    let axis = Axis::new(sixteen_threads(), settings).unwrap();
    for rule in Rounding::ALL {
        let error = axis.place(inch(97, 8), rule).unwrap_err();
        assert_eq!(error.kind(), ErrorKind::BeyondLimit);
        assert_eq!(
            error.to_string(),
            "target past a soft limit 12.125 in: too far by 0.125 in; 0 in to 12 in is allowed"
        );
        assert_eq!(axis.place(inch(-1, 1000), rule).unwrap_err().kind(), ErrorKind::BeyondLimit);
    }
    assert_eq!(axis.place(inch(12, 1), Rounding::Above).unwrap().step(), 12 * 51_200);
}

#[test]
fn limit_is_never_passed_by_the_step_that_is_chosen() {
    // The limits lie between steps of 1/400 mm.
    let axis = Axis::new(lead_of_eight(), settings(mm(1, 1000), mm(10_001, 1000))).unwrap();
    assert_eq!((axis.lowest_step(), axis.highest_step()), (1, 4000));
    assert_eq!(axis.place(mm(1, 1000), Rounding::Nearest).unwrap().step(), 1);
    assert_eq!(axis.place(mm(1, 1000), Rounding::Below).unwrap_err().kind(), ErrorKind::BeyondLimit);
    assert_eq!(axis.place(mm(10_001, 1000), Rounding::Nearest).unwrap().step(), 4000);
    assert_eq!(axis.place(mm(10_001, 1000), Rounding::Above).unwrap_err().kind(), ErrorKind::BeyondLimit);
}

#[test]
fn a_temporary_zero_leaves_datum_limits_and_steps_alone() {
    let mut settings = settings(mm(0, 1), mm(100, 1));
    settings.step_zero_at = mm(5, 1);
    let axis = Axis::new(lead_of_eight(), settings).unwrap();
    assert_eq!(axis.place(mm(5, 1), Rounding::Nearest).unwrap().step(), 0);
    let zeroed = axis.with_zero(mm(30, 1)).unwrap();
    let placed = zeroed.place(mm(10, 1), Rounding::Nearest).unwrap();
    assert_eq!(placed.step(), axis.place(mm(40, 1), Rounding::Nearest).unwrap().step());
    assert_eq!(placed.position().low(), mm(10, 1));
    assert!(zeroed.place(mm(71, 1), Rounding::Nearest).is_err());
    assert!(zeroed.place(mm(-30, 1), Rounding::Nearest).is_ok());
    assert_eq!(zeroed.config().step_zero_at, mm(5, 1));
}

#[test]
fn a_rack_by_module_is_enclosed_and_still_decided() {
    // Module 1, 20 teeth: π × 20 mm a turn.
    let axis = axis(Linear::rack_by_module(motor(16), mm(1, 1), 20).unwrap());
    let placed = axis.place(mm(100, 1), Rounding::Nearest).unwrap();
    assert_eq!(placed.step(), 5093); // 100 / (20π/3200) = 5092.958…, recomputed with mpmath
    assert!(placed.is_decided() && !placed.position().is_exact());
    let width = placed.position().high().checked_sub(placed.position().low()).unwrap();
    assert!(width.base() <= Width::FINEST.as_exact());
    assert!(placed.remainder().low() > Length::ZERO);
    let home = axis.place(mm(0, 1), Rounding::Nearest).unwrap();
    assert!(home.position().is_exact() && home.is_decided());
    let nowhere = placed.distance_to(&placed).unwrap();
    assert!(nowhere.is_exact() && nowhere.low() == Length::ZERO);
}

/// The bounds of a position have denominators of up to 2^62; the remainder must not multiply them by
/// that of the target.
#[test]
fn the_remainder_of_an_enclosed_position_fits_whatever_the_target() {
    let axis = axis(Linear::rack_by_module(motor(16), mm(1, 1), 20).unwrap());
    for target in [inch(43, 3), mm(1524, 5), mm(1, 7), mm(123_456_789, 1_000_000)] {
        let placed = axis.place(target, Rounding::Nearest).unwrap();
        let (position, remainder) = (placed.position(), placed.remainder());
        let off = |bound: Length| bound.base().checked_sub(target.base()).unwrap();
        assert!(
            remainder.low().base() <= off(position.low()) && off(position.high()) <= remainder.high().base()
        );
        let apart = remainder.high().checked_sub(remainder.low()).unwrap().base();
        assert!(apart < exact(1, 1_000_000_000_000_000_000), "{target}");
    }
}

#[test]
fn a_falling_mechanism_rounds_by_measure() {
    let searched = Axis::new(Falling, settings(mm(-500, 1), mm(500, 1))).unwrap();
    let divided = Axis::new(FallingByDivision, settings(mm(-500, 1), mm(500, 1))).unwrap();
    let cases = [
        (mm(1, 3), -33, -33, -34),
        (mm(-1, 3), 33, 34, 33),
        (mm(1, 200), 0, 0, -1),
        (mm(500, 1), -50_000, -50_000, -50_000),
    ];
    for (target, nearest, below, above) in cases {
        for (rule, step) in Rounding::ALL.into_iter().zip([nearest, below, above]) {
            assert_eq!(searched.place(target, rule).unwrap().step(), step, "{target:?} {rule:?} by search");
            assert_eq!(divided.place(target, rule).unwrap(), searched.place(target, rule).unwrap());
        }
    }
}

#[test]
fn settings_that_contradict_themselves_are_refused() {
    type Change = fn(&mut AxisConfig<Length>);
    let too_fast_a_start: Change = |s| s.rates.start_speed = Speed::from_base(Exact::integer(41)).unwrap();
    let cases: [(&str, Change); 7] = [
        ("limits crossed", |s| s.low = mm(600, 1)),
        ("limits equal", |s| s.low = s.high),
        ("less than two steps", |s| s.low = s.high.checked_sub(mm(1, 100_000)).unwrap()),
        ("no speed", |s| s.rates.speed = Speed::ZERO),
        ("no acceleration", |s| s.rates.acceleration = Acceleration::ZERO),
        ("negative backlash", |s| s.backlash = mm(-1, 10)),
        ("start above speed", too_fast_a_start),
    ];
    for (name, change) in cases {
        let mut settings = settings(mm(-500, 1), mm(500, 1));
        change(&mut settings);
        assert_eq!(
            Axis::new(sixteen_threads(), settings).unwrap_err().kind(),
            ErrorKind::OutOfRange,
            "{name}"
        );
    }
    let beyond_the_span = settings(mm(-2000, 1), mm(0, 1));
    assert_eq!(Axis::new(Falling, beyond_the_span).unwrap_err().kind(), ErrorKind::BeyondLimit);
}

#[test]
fn a_drive_whose_single_step_is_past_every_measure_is_refused() {
    let coarse =
        DriveTrain::new("90 deg".parse().unwrap(), StepMode::FULL).unwrap().geared(10_000, 1).unwrap();
    for (error, message) in [
        (
            Linear::lead_screw_by_lead(coarse, mm(4_001, 1)),
            "length 10002500 mm: -10000000 mm to 10000000 mm is allowed",
        ),
        (
            Linear::rack_by_module(coarse, mm(1, 1), 1_001),
            "travel per step, divided by π, 2502500 mm: at most 2500000 mm is allowed",
        ),
    ] {
        let error = error.unwrap_err();
        assert_eq!(error.kind(), ErrorKind::OutOfRange);
        assert!(error.to_string().starts_with(message), "{error}");
    }
    assert_eq!(Linear::lead_screw_by_lead(coarse, mm(4_000, 1)).unwrap().span(), -1..=1);
}

#[test]
fn what_an_axis_holds_agrees_with_counting() {
    for (threads, division) in [(8, 1), (10, 2), (13, 16), (16, 10), (20, 16)] {
        let threads = Exact::integer(threads);
        let axis = axis(Linear::lead_screw_by_threads_per_inch(motor(division), threads, 1).unwrap());
        for grid in [inch(1, 64), mm(1, 10), inch(1, 1000)] {
            let fit = axis.grid_fit(grid).unwrap().unwrap();
            let counted = fit.every.min(1000);
            let remainders: Vec<Length> = (1..=counted)
                .map(|mark| grid.checked_mul(exact(mark, 1)).unwrap())
                .map(|target| axis.place(target, Rounding::Nearest).unwrap().remainder().low().abs())
                .collect();
            let first_exact = remainders.iter().position(|remainder| *remainder == Length::ZERO);
            let worst = remainders.iter().copied().max().unwrap();
            if counted == fit.every {
                assert_eq!(first_exact, Some(remainders.len() - 1), "{threads} {division} {grid}");
                assert_eq!(worst, fit.worst, "{threads} {division} {grid}");
            } else {
                assert_eq!(first_exact, None, "{threads} {division} {grid}");
                assert!(worst <= fit.worst);
            }
        }
    }
    assert_eq!(GridFit::of(Length::ZERO, mm(1, 10)).unwrap_err().kind(), ErrorKind::OutOfRange);
}

fn any_linear() -> impl Strategy<Value = Linear<Length>> {
    (1_i128..5_000, 1_i128..500, 1_u32..300, 1_u32..200, 1_u32..200).prop_map(
        |(n, d, division, driver, driven)| {
            Linear::lead_screw_by_lead(motor(division).geared(driver, driven).unwrap(), mm(n, d)).unwrap()
        },
    )
}

fn any_target() -> impl Strategy<Value = Length> {
    (-400_i128..400, 0_i128..800, 1_i128..800).prop_map(|(whole, n, d)| mm(whole * d + n.min(d), d))
}

proptest! {
    #[test]
    fn the_three_roundings_enclose_the_target(mechanism in any_linear(), target in any_target()) {
        let reach = mm(500, 1);
        let axis = Axis::new(mechanism, settings(-reach, reach)).unwrap();
        let [nearest, below, above] = Rounding::ALL.map(|rule| axis.place(target, rule).unwrap());
        prop_assert!(below.step() <= nearest.step() && nearest.step() <= above.step());
        prop_assert!(below.remainder().low() <= Length::ZERO && above.remainder().low() >= Length::ZERO);
        let half = mechanism.travel_per_step().unwrap().low().checked_mul(exact(1, 2)).unwrap();
        prop_assert!(nearest.remainder().low().abs() <= half);
        prop_assert_eq!(above.step() - below.step(), i64::from(below.remainder().low() != Length::ZERO));
    }

    #[test]
    fn division_and_search_agree(mechanism in any_linear(), target in any_target()) {
        /// The same mechanism with nothing but the two required methods.
        struct Plain(Linear<Length>);
        impl Mechanism for Plain {
            type Measure = Length;
            fn span(&self) -> std::ops::RangeInclusive<i64> {
                self.0.span()
            }
            fn position_at(&self, step: i64, width: Width) -> Result<Enclosure<Length>> {
                self.0.position_at(step, width)
            }
        }
        for rule in Rounding::ALL {
            prop_assert_eq!(mechanism.locate(target, rule), Plain(mechanism).locate(target, rule));
        }
    }

    #[test]
    fn a_placement_of_its_own_position_is_itself(mechanism in any_linear(), step in -100_000_i64..100_000) {
        let reach = mm(1_000, 1);
        let axis = Axis::new(mechanism, settings(-reach, reach)).unwrap();
        prop_assume!(axis.allows(step));
        let there = axis.at_step(step).unwrap();
        for rule in Rounding::ALL {
            let placed = axis.place(there.position().low(), rule).unwrap();
            prop_assert_eq!(placed.step(), step);
            prop_assert_eq!(placed.remainder().low(), Length::ZERO);
        }
    }
}
