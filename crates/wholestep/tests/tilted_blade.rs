//! The relation of height and tilt, against points turned as complex numbers in mpmath at 40 digits.

use wholestep::mechanism::{Arm, DriveTrain, Sector, StepMode, SwingArm, TiltedBlade};
use wholestep::{Angle, Enclosure, ErrorKind, Exact, Length, Measure, Mechanism, Rounding, Width};

fn mm(text: &str) -> Length {
    Length::read(text, Some(wholestep::LengthUnit::Millimetre)).unwrap()
}

fn tilted(text: &str) -> Enclosure<Angle> {
    Enclosure::exact(Angle::read(text, Some(wholestep::AngleUnit::Degree)).unwrap())
}

fn blade(kerf: &str, pivot_depth: &str, pivot_offset: &str) -> TiltedBlade {
    TiltedBlade::new(mm("250"), mm("250"), mm(kerf), mm(pivot_depth), mm(pivot_offset)).unwrap()
}

/// Whether the enclosure holds `digits` and all its values round to them.
#[track_caller]
fn assert_is(found: Enclosure<Length>, digits: &str) {
    let last = Exact::new(1, 10_i128.pow(15)).unwrap();
    let truth = mm(digits).base();
    assert!(found.low().base() >= truth.checked_sub(last).unwrap(), "{found:?} is not {digits}");
    assert!(found.high().base() <= truth.checked_add(last).unwrap(), "{found:?} is not {digits}");
}

#[test]
fn depth_fence_and_kerf_agree_with_turned_points() {
    for ([height, tilt, kerf, depth, offset], expected) in [
        (
            ["60", "45", "2.8", "20", "1.4"],
            [
                "35.578593001262635417",
                "-20.579898987322333068",
                "-39.579898987322333068",
                "3.959797974644666136",
            ],
        ),
        (
            ["60", "-30", "2.8", "20", "1.4"],
            [
                "51.382032302755091741",
                "11.330424630061563149",
                "22.300079744664452675",
                "3.233161507461904281",
            ],
        ),
        (
            ["50", "22.5", "3.2", "0", "0"],
            ["46.193976625564337806", "0", "-7.870057685088805927", "3.463655040935660700"],
        ),
        (["80", "0", "3", "10", "5"], ["80", "0", "0", "3"]),
        (
            ["40", "-12.25", "2.4", "15", "-6.5"],
            ["37.877782399605908134", "3.408265320570290044", "7.533569707948016446", "2.455918547954713162"],
        ),
    ] {
        let (blade, tilt) = (blade(kerf, depth, offset), tilted(tilt));
        let [cut, at_table, at_top, slot] = expected;
        assert_is(blade.depth_of_cut(Enclosure::exact(mm(height)), tilt).unwrap(), cut);
        assert_is(blade.fence_correction(tilt, Length::ZERO).unwrap(), at_table);
        assert_is(blade.fence_correction(tilt, mm("19")).unwrap(), at_top);
        assert_is(blade.kerf_at_table(tilt).unwrap(), slot);
    }
}

#[test]
fn upright_it_is_the_height_and_exact() {
    let blade = blade("2.8", "20", "1.4");
    let depth = blade.depth_of_cut(Enclosure::exact(mm("33")), tilted("0")).unwrap();
    assert!(depth.is_exact() && depth.low() == mm("33"));
    assert_eq!(blade.fence_correction(tilted("0"), mm("19")).unwrap(), Enclosure::exact(Length::ZERO));
}

#[test]
fn another_diameter_stands_higher_by_half() {
    let larger = TiltedBlade::new(mm("254"), mm("250"), mm("3"), mm("20"), mm("0")).unwrap();
    let depth = larger.depth_of_cut(Enclosure::exact(mm("33")), tilted("0")).unwrap();
    assert_eq!(depth, Enclosure::exact(mm("35")));
}

#[test]
fn about_upright_the_bounds_hold_either_corner() {
    let blade = blade("3", "20", "0");
    let width = Angle::from_base(Exact::new(1, 1000).unwrap()).unwrap();
    let about = Enclosure::new(-width, width).unwrap();
    let depth = blade.depth_of_cut(Enclosure::exact(mm("30")), about).unwrap();
    for tilt in ["-0.001", "0", "0.001", "-0.0004"] {
        let there = blade.depth_of_cut(Enclosure::exact(mm("30")), tilted(tilt)).unwrap();
        assert!(depth.low() <= there.low() && there.high() <= depth.high(), "{tilt}");
    }
}

fn height_axis() -> SwingArm {
    let motor = DriveTrain::new("1.8 deg".parse().unwrap(), StepMode::new(10).unwrap()).unwrap();
    let arm = Arm { length: mm("150"), pivot_depth: mm("125"), blade_diameter: mm("250") };
    let level = Sector { worm_starts: 1, sector_teeth: 120, arm_angle: Angle::ZERO };
    SwingArm::by_sector(motor, arm, level).unwrap()
}

#[test]
fn a_depth_is_placed_on_the_steps_of_the_height_axis() {
    let (blade, height) = (blade("2.8", "20", "1.4"), height_axis());
    // A tilt known only to 1e-18 degrees, as a step of a tilt axis is.
    let known = closely_known_tilt();
    let depths = blade.at_tilt(height, known).unwrap();
    assert!(depths.finest_width() < Width::FINEST && depths.finest_width() >= Width::decimals(14).unwrap());
    for wanted in ["-3", "0.5", "12.75", "40"] {
        for rounding in Rounding::ALL {
            let located = depths.locate(mm(wanted), rounding).unwrap();
            assert!(located.is_decided);
            let at =
                |step| blade.depth_of_cut(height.position_at(step, Width::FINEST).unwrap(), known).unwrap();
            let wanted = mm(wanted);
            let (here, next) = (at(located.step), at(located.step + 1));
            match rounding {
                Rounding::Below => assert!(here.high() <= wanted && wanted < next.low()),
                Rounding::Above => assert!(here.low() >= wanted && at(located.step - 1).high() < wanted),
                Rounding::Nearest => {
                    let off = |at: Enclosure<Length>| at.low().checked_sub(wanted).unwrap().abs();
                    assert!(off(here) <= off(next) && off(here) <= off(at(located.step - 1)));
                }
            }
        }
    }
    assert_eq!(depths.locate(mm("200"), Rounding::Above).unwrap_err().kind(), ErrorKind::BeyondLimit);
}

fn closely_known_tilt() -> Enclosure<Angle> {
    let low = Angle::from_base(Exact::new(41_000_000_000_000_000_001, 10_i128.pow(18)).unwrap()).unwrap();
    let high = low.checked_add(Angle::from_base(Width::FINEST.as_exact()).unwrap()).unwrap();
    Enclosure::new(low, high).unwrap()
}

#[test]
fn tilted_blade_that_cannot_be_is_refused() {
    let make = |values: [&str; 5]| {
        let [diameter, set_up, kerf, depth, offset] = values.map(mm);
        TiltedBlade::new(diameter, set_up, kerf, depth, offset).unwrap_err().to_string()
    };
    for (values, subject) in [
        (["0", "250", "3", "20", "0"], "blade diameter"),
        (["250", "-1", "3", "20", "0"], "axis diameter"),
        (["250", "250", "0", "20", "0"], "kerf"),
        (["250", "250", "3", "-1", "0"], "pivot depth"),
        (["250", "250", "3", "20", "20000"], "pivot offset"),
    ] {
        assert!(make(values).starts_with(subject), "{}", make(values));
    }
    let error = blade("3", "20", "0").kerf_at_table(tilted("81")).unwrap_err();
    assert_eq!(error.to_string(), "tilt 81 deg: -80 deg to 80 deg is allowed");
}
