//! Swing arm and screw tilt against identities, by their promises and by what they refuse.

use wholestep::exact::Interval;
use wholestep::mechanism::{
    Arm, ArmScrew, DriveTrain, ScrewMotion, ScrewTilt, Sector, StepMode, SwingArm, TiltScrew, Trend,
};
use wholestep::{Angle, Enclosure, ErrorKind, Exact, Length, Measure, Mechanism, Rounding, Width};

fn mm(text: &str) -> Length {
    Length::read(text, Some(wholestep::LengthUnit::Millimetre)).unwrap()
}

fn deg(text: &str) -> Angle {
    Angle::read(text, Some(wholestep::AngleUnit::Degree)).unwrap()
}

/// A motor of one step for `degrees` of its shaft.
fn shaft(degrees: &str) -> DriveTrain {
    DriveTrain::new(deg(degrees), StepMode::FULL).unwrap()
}

/// Whether all of the enclosure rounds to the `printed` decimals.
#[track_caller]
fn assert_prints(found: Enclosure<Exact>, printed: &str) {
    let places = printed.split_once('.').map_or(0, |(_, places)| places.len());
    let half = Exact::new(1, 2 * 10_i128.pow(u32::try_from(places).unwrap())).unwrap();
    let value = Exact::read(printed).unwrap();
    assert!(value.checked_sub(half).unwrap() <= found.low(), "{found:?} is not {printed}");
    assert!(found.high() <= value.checked_add(half).unwrap(), "{found:?} is not {printed}");
}

/// An arm turned straight by its motor: the sine of a right-angled triangle.
fn sine_arm(length: &str, step: &str) -> SwingArm {
    // A pivot half a blade below the table, so that the height is R·sin φ alone.
    let arm = Arm { length: mm(length), pivot_depth: mm("100"), blade_diameter: mm("200") };
    let sector = Sector { worm_starts: 1, sector_teeth: 1, arm_angle: Angle::ZERO };
    SwingArm::by_sector(shaft(step), arm, sector).unwrap()
}

#[test]
fn a_sine_bar_of_five_inches() {
    // Identity: 5 in × sin(angle), the heights of a sine bar (recomputed).
    let bar = sine_arm("5 in", "5'"); // a twelfth of a degree a step
    for (step, inches) in [(413, "2.826035"), (324, "2.269952"), (216, "1.545085")] {
        let height = bar.position_at(step, Width::FINEST).unwrap();
        let inch = Exact::new(254, 10).unwrap();
        assert_prints(height.base().map(|bound| bound.checked_div(inch)).unwrap(), inches);
    }
    let half = bar.position_at(360, Width::FINEST).unwrap();
    assert_eq!(half, Enclosure::exact(mm("2.5 in")), "30 degrees exactly");
}

#[test]
fn three_linkages_not_to_be_confused() {
    // An arm of 150 at 30 degrees: chord 77.64571, sine 75, tangent 86.60254; a chord of an arm of
    // 100 at 45 degrees is 76.5366865. (Identities, recomputed with mpmath.)
    assert_eq!(sine_arm("150", "15").position_at(2, Width::FINEST).unwrap(), Enclosure::exact(mm("75")));
    let tangent = Interval::of(Exact::integer(30)).tan_degrees() * Interval::of(Exact::integer(150));
    assert_prints(tangent.enclosed().unwrap(), "86.60254");
    // The chord is the screw of a tilt whose two sides are the arm: s in, angle out.
    for (arm, chord, angle) in [("150", "77.64571", "30.0000"), ("100", "76.5366865", "45.000000")] {
        // From a chord of equal sides, which is 60 degrees, down to it in one step.
        let lead = mm(arm).checked_sub(mm(chord)).unwrap();
        let screw = TiltScrew {
            nut_distance: mm(arm),
            anchor_distance: mm(arm),
            screw_length: mm(chord),
            lead,
            tilted_by: ScrewMotion::Lengthening,
            low_stop: deg("0"),
            high_stop: deg("10"),
        };
        let tilt = ScrewTilt::new(shaft("90"), screw).unwrap();
        let opened = ScrewTilt::new(
            shaft("90"),
            TiltScrew { lead: lead.checked_mul(Exact::integer(4)).unwrap(), ..screw },
        );
        let opened = opened.unwrap().position_at(1, Width::FINEST).unwrap();
        let corner = opened.base().map(|bound| Exact::integer(60).checked_sub(bound)).unwrap();
        assert_prints(corner, angle);
        assert_eq!(tilt.position_at(0, Width::FINEST).unwrap(), Enclosure::exact(Angle::ZERO));
    }
}

#[test]
fn compound_angles_of_a_crown_laid_flat() {
    // Identity: for a corner of 90° and a spring angle s, which is the slope of the moulding's back
    // measured from the wall (a vertical), not from the ceiling: mitre arctan(sin s), bevel
    // arcsin(cos s · sin 45°). At s = 45°: 35.2644° and 30.0000° (recomputed with mpmath).
    let spring = Interval::of(Exact::integer(45));
    assert_prints(spring.sin_degrees().atan_degrees().enclosed().unwrap(), "35.2644");
    let bevel = (spring.cos_degrees() * spring.sin_degrees()).asin_degrees();
    assert_prints(bevel.enclosed().unwrap(), "30.0000");
}

fn screw_arm(raised_by: ScrewMotion) -> (Arm, ArmScrew) {
    let arm = Arm { length: mm("150"), pivot_depth: mm("135"), blade_diameter: mm("250") };
    let screw = ArmScrew {
        nut_along: mm("90"),
        nut_across: mm("0"),
        anchor_ahead: mm("120"),
        anchor_above: mm(if raised_by == ScrewMotion::Lengthening { "-160" } else { "160" }),
        screw_length: mm("150"),
        lead: mm("4"),
        raised_by,
    };
    (arm, screw)
}

fn tilt_screw() -> TiltScrew {
    TiltScrew {
        nut_distance: mm("180"),
        anchor_distance: mm("240"),
        screw_length: mm("200"),
        lead: mm("4"),
        tilted_by: ScrewMotion::Lengthening,
        low_stop: deg("0"),
        high_stop: deg("45"),
    }
}

#[test]
fn a_screw_arm_stands_where_angles_say() {
    // -32.05616525510783504712…, -3.45214454528582874799… by arc tangent, arc cosine and sine in mpmath.
    let (arm, screw) = screw_arm(ScrewMotion::Lengthening);
    let motor = DriveTrain::new(deg("1.8"), StepMode::new(8).unwrap()).unwrap().geared(16, 48).unwrap();
    let blade = SwingArm::by_screw(motor, arm, screw).unwrap();
    for (step, height) in [(0, "-32.05616525510784"), (20_000, "-3.452144545285829")] {
        assert_prints(blade.position_at(step, Width::FINEST).unwrap().base(), height);
    }
    let motor = DriveTrain::new(deg("1.8"), StepMode::new(8).unwrap()).unwrap();
    let tilt = ScrewTilt::new(motor, tilt_screw()).unwrap();
    assert_prints(tilt.travel_at(0).unwrap().base(), "0.000813139920544");
    assert_eq!(tilt.position_at(0, Width::COARSE).unwrap(), Enclosure::exact(Angle::ZERO));
}

#[test]
fn mirrored_upside_down_it_is_the_same_arm_falling() {
    let [up, down] = [ScrewMotion::Lengthening, ScrewMotion::Shortening].map(|motion| {
        let (arm, screw) = screw_arm(motion);
        let arm = Arm { pivot_depth: mm("125"), ..arm };
        SwingArm::by_screw(shaft("1.8"), arm, screw).unwrap()
    });
    assert_eq!((up.trend(), down.trend()), (Ok(Trend::Rising), Ok(Trend::Falling)));
    assert_eq!(up.span(), down.span());
    for step in [*up.span().start(), 0, 777, *up.span().end()] {
        let (up, down) = (up.position_at(step, Width::FINEST), down.position_at(step, Width::FINEST));
        let mirrored = down.unwrap().map(|bound| Ok::<_, wholestep::Error>(-bound)).unwrap();
        let up = up.unwrap();
        assert!(up.low() <= mirrored.high() && mirrored.low() <= up.high(), "step {step}");
    }
}

#[test]
fn the_span_of_a_tilt_holds_its_stops_and_no_more() {
    let tilt = ScrewTilt::new(shaft("1.8"), tilt_screw()).unwrap();
    let (first, last) = tilt.span().into_inner();
    let at = |step| tilt.position_at(step, Width::FINEST).unwrap();
    assert_eq!((first, at(first)), (0, Enclosure::exact(Angle::ZERO)));
    assert!(at(last - 1).high() < deg("45") && at(last).low() >= deg("45"));
    assert_eq!(tilt.locate(deg("46"), Rounding::Above).unwrap_err().kind(), ErrorKind::BeyondLimit);
}

#[test]
fn certified_step_sizes_hold_every_step_and_are_close() {
    let (arm, screw) = screw_arm(ScrewMotion::Lengthening);
    let sector = Sector { worm_starts: 1, sector_teeth: 120, arm_angle: deg("-20") };
    for blade in [
        SwingArm::by_screw(shaft("18"), arm, screw).unwrap(),
        SwingArm::by_sector(shaft("18"), arm, sector).unwrap(),
    ] {
        close(&blade);
    }
    close(&ScrewTilt::new(shaft("18"), tilt_screw()).unwrap());
}

/// Every step within the bounds, and some steps within a twentieth of each.
fn close<M: Mechanism>(mechanism: &M) {
    let (first, last) = mechanism.span().into_inner();
    let (first, last) = (first + (last - first) / 10, last - (last - first) / 10);
    let sizes = mechanism.step_sizes(first..=last).unwrap();
    assert!(sizes.certified);
    let travels: Vec<_> = (first..last).map(|step| mechanism.travel_at(step).unwrap()).collect();
    let finest = travels.iter().map(Enclosure::low).min().unwrap();
    let coarsest = travels.iter().map(Enclosure::high).max().unwrap();
    assert!(sizes.finest <= finest && coarsest <= sizes.coarsest);
    let close = |a: M::Measure, b: M::Measure| {
        a.checked_sub(b).unwrap().abs().checked_mul(Exact::integer(20)).unwrap() < a
    };
    assert!(close(sizes.finest, finest) && close(coarsest, sizes.coarsest), "{sizes:?} {finest} {coarsest}");
}

#[test]
fn geometry_that_cannot_be_is_refused() {
    let (arm, screw) = screw_arm(ScrewMotion::Lengthening);
    let drive = shaft("1.8");
    let by_screw = |arm, screw| SwingArm::by_screw(drive, arm, screw).unwrap_err();
    let by_sector = |teeth, angle| {
        let sector = Sector { worm_starts: 1, sector_teeth: teeth, arm_angle: deg(angle) };
        SwingArm::by_sector(drive, arm, sector).unwrap_err()
    };
    let tilt = |screw| ScrewTilt::new(drive, screw).unwrap_err();
    for (error, message) in [
        (by_screw(Arm { length: mm("0"), ..arm }, screw), "arm 0 mm: 1 mm to 10000 mm is allowed"),
        (
            by_screw(Arm { blade_diameter: mm("-250"), ..arm }, screw),
            "blade diameter -250 mm: 1 mm to 10000 mm is allowed",
        ),
        (
            by_screw(arm, ArmScrew { screw_length: mm("300"), ..screw }),
            "screw length at step 0 300 mm: 110.62 mm to 289.76 mm is allowed; measure the screw between its two pivots again, or the sides of its triangle",
        ),
        (
            by_screw(arm, ArmScrew { screw_length: mm("280"), ..screw }),
            "arm at step 0, by its screw length 280 mm: measure the pivots again; by these figures the arm stands within 5 deg of upright, or past it",
        ),
        (
            by_screw(arm, ArmScrew { lead: mm("0"), ..screw }),
            "lead 0 mm: give a length above 0 mm; `direction` turns the axis round",
        ),
        (
            by_screw(arm, ArmScrew { nut_along: mm("0.5"), ..screw }),
            "nut along and nut across the arm 0.5 mm: 1 mm to 10000 mm is allowed",
        ),
        (by_sector(120, "86"), "arm angle at step 0 86 deg: -85 deg to 85 deg is allowed"),
        (by_sector(0, "0"), "driven teeth 0: 1 to 10000 is allowed"),
        (
            tilt(TiltScrew { nut_distance: mm("11 m"), ..tilt_screw() }),
            "nut distance from the trunnion's pivot 11000 mm: 1 mm to 10000 mm is allowed",
        ),
        (
            tilt(TiltScrew { screw_length: mm("61"), ..tilt_screw() }),
            "screw length at step 0 61 mm: 62.68 mm to 419.61 mm is allowed; measure the screw between its two pivots again, or the sides of its triangle",
        ),
        (
            tilt(TiltScrew { low_stop: deg("45"), ..tilt_screw() }),
            "low stop 45 deg: set it below the high stop",
        ),
        (
            tilt(TiltScrew { high_stop: deg("130"), ..tilt_screw() }),
            "high stop 130 deg: set it within what the screw reaches, or measure the linkage again",
        ),
    ] {
        assert_eq!(error.to_string(), message);
    }
}
