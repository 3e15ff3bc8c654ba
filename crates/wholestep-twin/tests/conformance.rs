//! The conformance suite: what passes it, and what each kind of lie is caught at.

use std::ops::RangeInclusive;

use wholestep::mechanism::{
    Arm, ArmScrew, DepthOfCut, DriveTrain, Linear, ScrewMotion, ScrewTilt, Sector, StepMode, StepSizes,
    SwingArm, TiltScrew, TiltedBlade, Trend,
};
use wholestep::{Angle, Enclosure, Exact, Length, Measure, Mechanism, Result, Width};
use wholestep_twin::Conformance;

fn mm(text: &str) -> Length {
    Length::read(text, Some(wholestep::LengthUnit::Millimetre)).unwrap()
}

fn deg(text: &str) -> Angle {
    Angle::read(text, Some(wholestep::AngleUnit::Degree)).unwrap()
}

fn motor() -> DriveTrain {
    DriveTrain::new(deg("1.8"), StepMode::new(8).unwrap()).unwrap()
}

fn arm() -> Arm {
    Arm { length: mm("150"), pivot_depth: mm("135"), blade_diameter: mm("250") }
}

fn arm_screw(raised_by: ScrewMotion) -> ArmScrew {
    let above = if raised_by == ScrewMotion::Lengthening { mm("-160") } else { mm("160") };
    ArmScrew {
        nut_along: mm("90"),
        nut_across: mm("12.5"),
        anchor_ahead: mm("120"),
        anchor_above: above,
        screw_length: mm("150"),
        lead: mm("4"),
        raised_by,
    }
}

fn tilt(tilted_by: ScrewMotion) -> ScrewTilt {
    let screw = TiltScrew {
        nut_distance: mm("180"),
        anchor_distance: mm("240"),
        screw_length: mm(if tilted_by == ScrewMotion::Lengthening { "200" } else { "340" }),
        lead: mm("4"),
        tilted_by,
        low_stop: deg("-1"),
        high_stop: deg("46"),
    };
    ScrewTilt::new(motor(), screw).unwrap()
}

#[test]
fn every_built_in_kind_passes() {
    let check = |name: &str, report: std::result::Result<wholestep_twin::Report, wholestep_twin::Failure>| {
        let report = report.unwrap_or_else(|failure| panic!("{name}: {failure}"));
        assert!(report.placements > 300, "{name}: {report:?}");
    };
    let suite = Conformance::new().samples(24);
    check("screw", suite.check(&Linear::lead_screw_by_pitch(motor(), mm("3"), 2).unwrap()));
    check("rack", suite.check(&Linear::rack_by_module(motor(), mm("1.5"), 20).unwrap()));
    check("drum", suite.check(&Linear::drum(motor(), mm("60"), mm("3")).unwrap()));
    check("rotary", suite.check(&Linear::rotary(motor()).unwrap()));
    for motion in [ScrewMotion::Lengthening, ScrewMotion::Shortening] {
        check(
            "swing arm by screw",
            suite.check(&SwingArm::by_screw(motor(), arm(), arm_screw(motion)).unwrap()),
        );
        check("screw tilt", suite.check(&tilt(motion)));
    }
    let sector = Sector { worm_starts: 1, sector_teeth: 120, arm_angle: deg("0") };
    let height = SwingArm::by_sector(motor(), arm(), sector).unwrap();
    check("swing arm by sector", suite.check(&height));
    let blade = TiltedBlade::new(mm("250"), mm("248"), mm("2.8"), mm("20"), mm("1.4")).unwrap();
    for at in ["0", "22.5", "-40"] {
        let depths: DepthOfCut<_> = blade.at_tilt(&height, Enclosure::exact(deg(at))).unwrap();
        check("depth of cut", suite.check(&depths));
    }
}

/// A tenth of a millimetre a step, and one lie.
#[derive(Clone, Copy, PartialEq)]
enum Lie {
    None,
    EmptySpan,
    TurnsBack,
    StandsStill,
    TooWide,
    Shifting,
    Failing,
    WrongTrend,
    WrongTravel,
    WrongSizes,
    WrongPlacement,
    NeverBeyond,
}

impl Mechanism for Lie {
    type Measure = Length;

    fn span(&self) -> RangeInclusive<i64> {
        if *self == Self::EmptySpan { 3..=3 } else { -20..=20 }
    }

    fn position_at(&self, step: i64, width: Width) -> Result<Enclosure<Length>> {
        let tenths = match (self, step) {
            (Self::TurnsBack, 7) => 5,
            (Self::StandsStill, 7) => 6,
            (Self::Failing, 7) => {
                return Err(wholestep::Error::new(wholestep::ErrorKind::Refused, "gauge is asleep"));
            }
            _ => step,
        };
        let low = Length::from_base(Exact::new(tenths.into(), 10)?)?;
        match (self, step) {
            (Self::TooWide, 7) => Ok(Enclosure::new(low, low.checked_add(mm("0.01"))?)?),
            (Self::Shifting, 7) if width > Width::COARSE => {
                Ok(Enclosure::exact(low.checked_add(mm("0.01"))?))
            }
            _ => Ok(Enclosure::exact(low)),
        }
    }

    fn trend(&self) -> Result<Trend> {
        Ok(if *self == Self::WrongTrend { Trend::Falling } else { Trend::Rising })
    }

    fn uniform_travel(&self) -> Option<Exact> {
        (*self == Self::WrongTravel).then(|| Exact::new(1, 9).unwrap())
    }

    fn step_sizes(&self, _: RangeInclusive<i64>) -> Result<StepSizes<Length>> {
        let size = if *self == Self::WrongSizes { mm("0.2") } else { mm("0.1") };
        Ok(StepSizes { finest: size, coarsest: size, certified: true })
    }

    fn locate(&self, target: Length, rounding: wholestep::Rounding) -> Result<wholestep::mechanism::Located> {
        // The provided search, over the same positions.
        struct Plain(Lie);
        impl Mechanism for Plain {
            type Measure = Length;
            fn span(&self) -> RangeInclusive<i64> {
                self.0.span()
            }
            fn position_at(&self, step: i64, width: Width) -> Result<Enclosure<Length>> {
                self.0.position_at(step, width)
            }
        }
        let found = Plain(*self).locate(target, rounding);
        match (self, found) {
            (Self::WrongPlacement, Ok(mut found)) if found.step == 7 => {
                found.step = 8;
                Ok(found)
            }
            (Self::NeverBeyond, Err(_)) => Ok(wholestep::mechanism::Located { step: 20, is_decided: true }),
            (_, found) => found,
        }
    }
}

#[test]
fn every_lie_is_caught_and_its_step_is_named() {
    assert!(Conformance::new().check(&Lie::None).is_ok());
    for (lie, step, message) in [
        (Lie::EmptySpan, None, "the span is 3 to 3; but a span has two steps or more, within 2^40 of step 0"),
        (
            Lie::TurnsBack,
            Some(7),
            "at step 7: it stands at 0.5 mm, step 6 at 0.6 mm and step 20 at 2 mm; but the position only rises, or only falls, over the whole span",
        ),
        (
            Lie::StandsStill,
            Some(7),
            "at step 7: it stands at 0.6 mm, step 6 at 0.6 mm and step 20 at 2 mm; but the position only rises, or only falls, over the whole span",
        ),
        (Lie::TooWide, Some(7), "but bounds are no further apart than the width that was asked for"),
        (
            Lie::Shifting,
            Some(7),
            "at step 7: 0.7 mm at a width of 1e-0, 0.71 mm at the finest; but bounds at every width hold the true position",
        ),
        (Lie::Failing, Some(7), "at step 7: gauge is asleep; but every step of the span has a position"),
        (Lie::WrongTrend, None, "but the trend is that of the positions"),
        (
            Lie::WrongTravel,
            Some(-20),
            "at step -20: it stands at -2 mm, the travel is 1/9; but with a uniform travel, step n stands at n times it",
        ),
        (
            Lie::WrongSizes,
            Some(-20),
            "at step -20: it travels 0.1 mm, not 0.2 mm to 0.2 mm; but certified step sizes hold every step",
        ),
        (
            Lie::WrongPlacement,
            None,
            "but a placement is the right step, and decided where the bounds can tell",
        ),
        (
            Lie::NeverBeyond,
            Some(-20),
            "at step -20: -3 mm by below gives step 20; but a target that no step of the span can reach is refused as beyond a limit",
        ),
    ] {
        let failure = Conformance::new().check(&lie).unwrap_err();
        assert!(failure.to_string().ends_with(message), "{failure}");
        if step.is_some() {
            assert_eq!(failure.step(), step, "{failure}");
        }
    }
}

/// A rack whose own formula knows the step for every target, also where bounds leave two open.
struct Knows(Linear<Length>);

impl Mechanism for Knows {
    type Measure = Length;

    fn span(&self) -> RangeInclusive<i64> {
        self.0.span()
    }

    fn position_at(&self, step: i64, width: Width) -> Result<Enclosure<Length>> {
        self.0.position_at(step, width)
    }

    fn locate(&self, target: Length, rounding: wholestep::Rounding) -> Result<wholestep::mechanism::Located> {
        let found = self.0.locate(target, rounding)?;
        Ok(wholestep::mechanism::Located { is_decided: true, ..found })
    }
}

#[test]
fn a_closed_form_may_decide_what_bounds_cannot() {
    let suite = Conformance::new().samples(12);
    for (drive, module) in [(motor(), "1"), (motor().geared(17, 60).unwrap(), "127/120")] {
        let rack = Linear::rack_by_module(drive, mm(module), 20).unwrap();
        let drum = Linear::drum(drive, mm("19.05"), mm("1/7")).unwrap();
        for mechanism in [rack, drum] {
            suite.check(&mechanism).unwrap_or_else(|failure| panic!("module {module}: {failure}"));
            let known = suite.check(&Knows(mechanism));
            let report = known.unwrap_or_else(|failure| panic!("known, module {module}: {failure}"));
            assert_eq!(report.open, 0);
        }
    }
}

#[test]
fn a_wrong_step_is_caught_even_where_bounds_leave_two_open() {
    /// A rack whose every answer is two steps on.
    struct TwoOn(Linear<Length>);
    impl Mechanism for TwoOn {
        type Measure = Length;
        fn span(&self) -> RangeInclusive<i64> {
            self.0.span()
        }
        fn position_at(&self, step: i64, width: Width) -> Result<Enclosure<Length>> {
            self.0.position_at(step, width)
        }
        fn locate(
            &self,
            target: Length,
            rounding: wholestep::Rounding,
        ) -> Result<wholestep::mechanism::Located> {
            let mut found = self.0.locate(target, rounding)?;
            let bounds = self.position_at(found.step, Width::FINEST)?;
            if rounding != wholestep::Rounding::Nearest && bounds.contains(target) {
                found.step = (found.step + 2).min(*self.span().end());
            }
            Ok(found)
        }
    }
    let rack = TwoOn(Linear::rack_by_module(motor(), mm("1.5"), 20).unwrap());
    let failure = Conformance::new().samples(24).check(&rack).unwrap_err();
    assert!(failure.to_string().contains(" or step "), "{failure}");
}

/// No name of ours in code is shown to people.
#[test]
fn the_report_is_in_words() {
    for lie in [Lie::WrongTrend, Lie::WrongPlacement] {
        let text = Conformance::new().check(&lie).unwrap_err().to_string();
        assert!(!text.contains(['{', '}', '(', ')']) && !text.contains("Located"), "{text}");
        assert!(!text.contains("Ok") && !text.contains("Rising"), "{text}");
    }
}
