//! The certified search: how often it asks, how closely, and what it does with mechanisms that lie.

use std::cell::{Cell, RefCell};
use std::ops::RangeInclusive;

use proptest::prelude::*;
use wholestep::mechanism::{DriveTrain, ScrewMotion, ScrewTilt, StepMode, TiltScrew};
use wholestep::{Enclosure, ErrorKind, Exact, Length, Measure, Mechanism, Result, Rounding, Width};

fn mm(numerator: i128, denominator: i128) -> Length {
    Length::from_base(Exact::new(numerator, denominator).unwrap()).unwrap()
}

/// A mechanism with nothing but the two required methods, that counts what it is asked.
struct Counted<F> {
    span: RangeInclusive<i64>,
    position: F,
    asked: Cell<u32>,
    finest: Cell<Width>,
}

fn counted<F: Fn(i64, Width) -> Result<Enclosure<Length>>>(
    span: RangeInclusive<i64>,
    position: F,
) -> Counted<F> {
    Counted { span, position, asked: Cell::new(0), finest: Cell::new(Width::decimals(0).unwrap()) }
}

impl<F: Fn(i64, Width) -> Result<Enclosure<Length>>> Mechanism for Counted<F> {
    type Measure = Length;
    fn span(&self) -> RangeInclusive<i64> {
        self.span.clone()
    }
    fn position_at(&self, step: i64, width: Width) -> Result<Enclosure<Length>> {
        assert!(self.span.contains(&step), "asked for step {step}");
        self.asked.set(self.asked.get() + 1);
        self.finest.set(self.finest.get().max(width));
        (self.position)(step, width)
    }
}

/// n³ / 10⁹ mm: far from a straight line.
fn cube(step: i64, _: Width) -> Result<Enclosure<Length>> {
    Ok(Enclosure::exact(Length::from_base(Exact::new(i128::from(step).pow(3), 1_000_000_000)?)?))
}

#[test]
fn search_asks_for_both_ends_and_then_for_no_more_than_bisection_needs() {
    for last in [1_i64, 2, 3, 7, 100, 1000, 1024, 9_999, 20_000] {
        let bisections = u64::BITS - (last.unsigned_abs() - 1).leading_zeros();
        let cubic = counted(0..=last, cube);
        let high = cube(last, Width::FINEST).unwrap().low().base();
        for part in 1..40 {
            let target = Length::from_base(high.checked_mul(Exact::new(part, 40).unwrap()).unwrap()).unwrap();
            for rounding in Rounding::ALL {
                cubic.asked.set(0);
                cubic.locate(target, rounding).unwrap();
                assert!(cubic.asked.get() <= 2 + bisections, "{} of {last}", cubic.asked.get());
            }
        }
    }
}

#[test]
fn a_smooth_mechanism_is_asked_far_less() {
    let tilt = tilt();
    let span = tilt.span();
    let steps = f64::from(i32::try_from(span.end() - span.start()).unwrap());
    let mut asked = 0;
    for part in 1..=400 {
        let target = wholestep::Angle::from_base(Exact::new(part, 9).unwrap()).unwrap();
        let tilt = CountedTilt(&tilt, Cell::new(0));
        tilt.locate(target, Rounding::Nearest).unwrap();
        asked += tilt.1.get();
    }
    assert!(f64::from(asked) / 400.0 < steps.log2() * 0.75, "{asked} for 400 among {steps}");
}

#[test]
fn a_mechanism_with_an_inverse_is_asked_for_two_steps_and_the_answer_is_the_same() {
    let tilt = tilt();
    for part in -8..=400 {
        let target = wholestep::Angle::from_base(Exact::new(part, 9).unwrap()).unwrap();
        for rounding in Rounding::ALL {
            let searched = CountedTilt(&tilt, Cell::new(0)).locate(target, rounding);
            let hinted = Hinted(CountedTilt(&tilt, Cell::new(0)), tilt.step_before(target));
            assert_eq!(searched, hinted.locate(target, rounding), "{target}");
            if part > 0 && part < 400 {
                assert!(hinted.0.1.get() <= 2 + 2, "{} questions for {target}", hinted.0.1.get());
            }
            for astray in [i64::MIN, -1, 0, 1, 77, *tilt.span().end(), i64::MAX] {
                let astray = Hinted(CountedTilt(&tilt, Cell::new(0)), Some(astray));
                assert_eq!(searched, astray.locate(target, rounding), "{target}");
            }
        }
    }
}

/// A tilt that expects a target at the given step.
struct Hinted<'t>(CountedTilt<'t>, Option<i64>);

impl Mechanism for Hinted<'_> {
    type Measure = wholestep::Angle;
    fn span(&self) -> RangeInclusive<i64> {
        self.0.span()
    }
    fn position_at(&self, step: i64, width: Width) -> Result<Enclosure<wholestep::Angle>> {
        self.0.position_at(step, width)
    }
    fn step_before(&self, _: wholestep::Angle) -> Option<i64> {
        self.1
    }
}

struct CountedTilt<'t>(&'t ScrewTilt, Cell<u32>);

impl Mechanism for CountedTilt<'_> {
    type Measure = wholestep::Angle;
    fn span(&self) -> RangeInclusive<i64> {
        self.0.span()
    }
    fn position_at(&self, step: i64, width: Width) -> Result<Enclosure<wholestep::Angle>> {
        self.1.set(self.1.get() + 1);
        self.0.position_at(step, width)
    }
}

fn tilt() -> ScrewTilt {
    let motor = DriveTrain::new("1.8 deg".parse().unwrap(), StepMode::new(8).unwrap()).unwrap();
    let screw = TiltScrew {
        nut_distance: mm(180, 1),
        anchor_distance: mm(240, 1),
        screw_length: mm(200, 1),
        lead: mm(4, 1),
        tilted_by: ScrewMotion::Lengthening,
        low_stop: "0 deg".parse().unwrap(),
        high_stop: "45 deg".parse().unwrap(),
    };
    ScrewTilt::new(motor, screw).unwrap()
}

/// A hundredth of a millimetre a step, known as closely as it is asked, off its middle.
fn vague(step: i64, width: Width) -> Result<Enclosure<Length>> {
    let (truth, third) = (Exact::new(step.into(), 100)?, width.as_exact().checked_div(Exact::integer(3))?);
    let high = truth.checked_add(third)?.round_to(10_i128.pow(19), Rounding::Below)?;
    let low = truth.checked_sub(third)?.round_to(10_i128.pow(19), Rounding::Above)?;
    Ok(Enclosure::new(Length::from_base(low)?, Length::from_base(high)?)?)
}

#[test]
fn search_asks_only_as_closely_as_a_comparison_needs() {
    for (target, rounding, step, is_decided, decimals) in [
        // Far from a tie and from a step: a first look does.
        (mm(1003, 1000), Rounding::Nearest, 100, true, 6),
        (mm(1003, 1000), Rounding::Above, 101, true, 6),
        // A ten-thousandth of a micrometre beside a tie.
        (mm(10_050_001, 10_000_000), Rounding::Nearest, 101, true, 9),
        // On a step, which is the nearest whatever the bounds, but not above or below by them.
        (mm(1, 1), Rounding::Nearest, 100, true, 18),
        (mm(1, 1), Rounding::Below, 100, false, 18),
        // On the tie.
        (mm(1005, 1000), Rounding::Nearest, 100, false, 18),
    ] {
        let vague = counted(0..=1000, vague);
        let located = vague.locate(target, rounding).unwrap();
        assert_eq!((located.step, located.is_decided), (step, is_decided), "{target} {rounding:?}");
        assert_eq!(vague.finest.get(), Width::decimals(decimals).unwrap(), "{target} {rounding:?}");
    }
}

/// The same, which says that it knows nothing below a micrometre.
struct Measured;

impl Mechanism for Measured {
    type Measure = Length;
    fn span(&self) -> RangeInclusive<i64> {
        0..=1000
    }
    fn position_at(&self, step: i64, width: Width) -> Result<Enclosure<Length>> {
        assert!(width <= Width::decimals(3).unwrap());
        vague(step, width)
    }
    fn finest_width(&self) -> Width {
        Width::decimals(3).unwrap()
    }
}

#[test]
fn what_a_measured_mechanism_cannot_tell_is_open() {
    let open = Measured.locate(mm(10_001, 10_000), Rounding::Below).unwrap();
    assert!(!open.is_decided);
    assert!(Measured.locate(mm(1003, 1000), Rounding::Below).unwrap().is_decided);
    assert!(Measured.locate(mm(1, 1), Rounding::Nearest).unwrap().is_decided);
}

#[test]
fn a_lie_is_refused_and_the_step_is_named() {
    type Position = fn(i64, Width) -> Result<Enclosure<Length>>;
    let cases: [(&str, Position, &str); 5] = [
        (
            "bounds wider than asked",
            |step, _| Ok(Enclosure::new(mm(step.into(), 100), mm(i128::from(step) + 1, 100))?),
            "width of the mechanism's bounds at step 0: return bounds no further apart than the width that was asked for",
        ),
        (
            "turning back",
            |step, _| {
                Ok(Enclosure::exact(mm(if (400..600).contains(&step) { -7 } else { step.into() }, 100)))
            },
            "mechanism that turns back at step 500: narrow the span to where the position only rises or only falls",
        ),
        (
            "standing still",
            |step, _| Ok(Enclosure::exact(mm(if step < 900 { 0 } else { step.into() }, 100))),
            "mechanism that turns back at step 500: narrow the span to where the position only rises or only falls",
        ),
        (
            "nowhere to go",
            |_, _| Ok(Enclosure::exact(mm(1, 1))),
            "span of the mechanism from step 0: let the two ends of the span stand at different positions",
        ),
        (
            "contradicting itself",
            |step, width| {
                let moved = step == 500 && width > Width::COARSE;
                let low = mm(i128::from(step) * 10 + i128::from(moved), 1000);
                Ok(Enclosure::new(
                    low,
                    low.checked_add(Length::from_base(width.as_exact()).unwrap()).unwrap(),
                )?)
            },
            "mechanism that contradicts itself at step 500: return bounds that hold the true position at every width",
        ),
    ];
    for (name, position, message) in cases {
        let error = counted(0..=1000, position).locate(mm(500, 100), Rounding::Nearest).unwrap_err();
        assert_eq!(error.kind(), ErrorKind::Mechanism, "{name}");
        assert_eq!(error.to_string(), message, "{name}");
    }
    let crossed = Enclosure::new(mm(2, 1), mm(1, 1)).unwrap_err();
    assert_eq!(wholestep::Error::from(crossed).kind(), ErrorKind::Mechanism);
}

#[test]
fn an_error_of_the_mechanism_comes_out_unchanged() {
    let own = || wholestep::Error::new(ErrorKind::Refused, "gauge is asleep");
    let error = counted(0..=1000, |_, _| Err(own())).locate(mm(1, 1), Rounding::Nearest).unwrap_err();
    assert_eq!(error, own());
}

#[test]
fn a_span_that_is_none_is_refused() {
    for (first, last) in [(5, 5), (5, 4), (i64::MIN, 0), (0, i64::MAX)] {
        let span = first..=last;
        let error = counted(span.clone(), cube).locate(mm(1, 1), Rounding::Nearest).unwrap_err();
        assert_eq!(error.kind(), ErrorKind::Mechanism, "{span:?}");
    }
}

#[test]
fn sampled_step_sizes_say_so_and_stay_in_the_range() {
    let cubic = counted(0..=1000, cube);
    let sizes = cubic.step_sizes(10..=20).unwrap();
    assert!(!sizes.certified);
    assert_eq!((sizes.finest, sizes.coarsest), (mm(331, 1_000_000_000), mm(1141, 1_000_000_000)));
    for (first, last) in [(20, 10), (5, 5), (-1, 10), (990, 1001)] {
        let range = first..=last;
        assert_eq!(cubic.step_sizes(range.clone()).unwrap_err().kind(), ErrorKind::OutOfRange, "{range:?}");
    }
    assert_eq!(cubic.travel_at(1000).unwrap(), cubic.travel_at(999).unwrap());
    assert_eq!(cubic.travel_at(1001).unwrap_err().kind(), ErrorKind::OutOfRange);
}

proptest! {
    /// A mechanism that answers as a table says, true or not, is never asked without end, and what
    /// is found agrees with what it answered.
    #[test]
    fn whatever_a_mechanism_answers_the_search_ends(
        table in prop::collection::vec((-500_i128..500, 0_i128..3), 2..40),
        target in -500_i128..500,
    ) {
        let answered = RefCell::new(std::collections::BTreeMap::new());
        let last = i64::try_from(table.len()).unwrap() - 1;
        let lying = counted(0..=last, |step, _| {
            let (low, wider) = table[usize::try_from(step).unwrap()];
            let position = Enclosure::new(mm(low, 7), mm(low, 7).checked_add(mm(wider, 10_i128.pow(18) * 4))?)?;
            answered.borrow_mut().insert(step, position);
            Ok(position)
        });
        for rounding in Rounding::ALL {
            let target = mm(target, 7);
            let located = lying.locate(target, rounding);
            prop_assert!(lying.asked.get() < 200);
            if let Ok(located) = located && located.is_decided {
                let there = answered.borrow()[&located.step];
                match rounding {
                    Rounding::Below if there.low() > target => prop_assert!(false, "{:?}", located),
                    Rounding::Above if there.high() < target => prop_assert!(false, "{:?}", located),
                    _ => {}
                }
            }
        }
    }
}
