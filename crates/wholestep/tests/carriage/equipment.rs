//! What is fitted, in units, becomes whole steps and whole ticks.

use num_rational::Ratio;
use wholestep::axis::{Approach, Axis, AxisConfig, Rates};
use wholestep::carriage::{
    CarriageConfig, Datum, DatumSearch, Detent, Dial, DialFitting, End, Equipment, TouchOff, TouchSearch,
    Wiring,
};
use wholestep::measure::Time;
use wholestep::mechanism::{DriveTrain, Linear, StepMode, Trend};
use wholestep::plan::PulseTiming;
use wholestep::{Acceleration, Angle, ErrorKind, Exact, Length, LengthUnit, Measure, Speed};

type Screw = Axis<Linear<Length>>;
type Fitted = Equipment<Length>;

fn mm(numerator: i128, denominator: i128) -> Length {
    Length::from_base(Exact::new(numerator, denominator).unwrap()).unwrap()
}

fn speed(numerator: i128, denominator: i128) -> Speed<Length> {
    Speed::from_base(Exact::new(numerator, denominator).unwrap()).unwrap()
}

fn seconds(numerator: i128, denominator: i128) -> Time {
    Time::from_seconds(Exact::new(numerator, denominator).unwrap()).unwrap()
}

fn motor() -> DriveTrain {
    DriveTrain::new(Angle::from_base(Exact::new(9, 5).unwrap()).unwrap(), StepMode::new(8).unwrap()).unwrap()
}

fn settings() -> AxisConfig<Length> {
    let acceleration = Acceleration::from_base(Exact::integer(100)).unwrap();
    AxisConfig::new(LengthUnit::Millimetre, mm(0, 1), mm(60, 1), Rates::new(speed(20, 1), acceleration))
}

/// 400 steps a millimetre.
fn axis(settings: &AxisConfig<Length>) -> Screw {
    Axis::new(Linear::lead_screw_by_lead(motor(), mm(4, 1)).unwrap(), *settings).unwrap()
}

fn datum() -> Datum<Length> {
    Datum {
        end: End::Low,
        switch_at: mm(-1, 2),
        fast: speed(5, 1),
        slow: speed(1, 4),
        clearance: mm(1, 1),
        within: mm(70, 1),
    }
}

/// Everything fitted, on the given settings, with a timer of 1 MHz.
fn configured(
    settings: &AxisConfig<Length>,
    change: impl Fn(&mut Fitted),
) -> wholestep::Result<CarriageConfig> {
    let axis = axis(settings);
    let mut fitted = Equipment::bare(&axis).unwrap();
    fitted.low_switch = Some(Wiring::NormallyClosed);
    fitted.datum = Some(datum());
    fitted.touch_off = Some(TouchOff { probe: Wiring::NormallyOpen, toward: End::High, within: mm(30, 1) });
    fitted.dial = Some(DialFitting { counts_per_detent: 4, ahead: mm(1, 2), hand_stops: seconds(1, 10) });
    change(&mut fitted);
    fitted.config(&axis, 1_000_000, PulseTiming::new(5, 3, 3).unwrap())
}

#[test]
fn bare_is_an_enable_input_and_parts_of_the_room() {
    // The room is 60 mm, the speed 20 mm a second.
    let bare = Equipment::bare(&axis(&settings())).unwrap();
    let expected = Equipment {
        low_switch: None,
        high_switch: None,
        contact_settle: seconds(1, 100),
        drive_settle: seconds(1, 10),
        datum: None,
        release_within: mm(3, 1),
        touch_off: None,
        dial: None,
        rocker: false,
        jog_speed: speed(2, 1),
        nudge: mm(3, 5),
        measured_travel: mm(6, 1),
        self_holding: true,
    };
    assert_eq!(bare, expected);
    let configuration =
        bare.config(&axis(&settings()), 1_000_000, PulseTiming::new(5, 3, 3).unwrap()).unwrap();
    let parts = configuration.parts();
    assert_eq!((parts.datum, parts.touch, parts.dial, parts.probe), (None, None, None, None));
    // Without a search the slow motions are those of the hand.
    assert_eq!((parts.paces.fast, parts.paces.slow), (parts.paces.jog, parts.paces.jog));
}

#[test]
fn lengths_become_steps_and_times_ticks() {
    let configuration = configured(&settings(), |fitted| fitted.rocker = true).unwrap();
    let parts = configuration.parts();
    assert_eq!((parts.steps, parts.trend, parts.jog_bound), ((0, 24_000), Trend::Rising, 24_000));
    assert_eq!(parts.switches, [Some(Wiring::NormallyClosed), None]);
    assert_eq!((parts.probe, parts.rocker), (Some(Wiring::NormallyOpen), true));
    assert_eq!((parts.contact_settle, parts.drive_settle), (10_000, 100_000));
    assert_eq!(
        parts.datum,
        Some(DatumSearch { end: End::Low, step: -200, bound: 28_000, clearance: 400, agreement: 8 })
    );
    assert_eq!(parts.touch, Some(TouchSearch { toward: End::High, bound: 12_000, agreement: 24 }));
    let dial = Dial { counts_per_detent: 4, counts_at_once: 256, backlog: 200, hand_stops: 100_000 };
    assert_eq!(parts.dial, Some(dial));
    assert_eq!((parts.release_bound, parts.nudge, parts.measured), (1_200, 240, 2_400));
    let paces = &parts.paces;
    let speeds = [paces.travel, paces.jog, paces.fast, paces.slow].map(|pace| pace.rates().speed);
    assert_eq!(speeds, [8_000, 800, 2_000, 100].map(Ratio::from));
}

#[test]
fn lengths_and_times_are_rounded_up() {
    let configuration = configured(&settings(), |fitted| {
        fitted.nudge = mm(1, 1_000);
        fitted.measured_travel = mm(601, 400_000);
        fitted.contact_settle = seconds(1, 3_000_000);
        fitted.drive_settle = seconds(7, 3_000_000);
    })
    .unwrap();
    let parts = configuration.parts();
    // 0.4 and 0.601 steps; a third of a tick and seven.
    assert_eq!((parts.nudge, parts.measured), (1, 1));
    assert_eq!((parts.contact_settle, parts.drive_settle), (1, 3));
}

#[test]
fn the_switch_is_measured_from_the_datum_and_may_be_anywhere() {
    let mut moved = settings();
    (moved.step_zero_at, moved.low, moved.high) = (mm(10, 1), mm(12, 1), mm(60, 1));
    let configuration = configured(&moved, |fitted| {
        fitted.datum = Some(Datum { switch_at: mm(37, 4), ..datum() });
    })
    .unwrap();
    // Soft limits 2 and 50 mm, the switch three quarters of a millimetre below the datum.
    assert_eq!(configuration.parts().steps, (800, 20_000));
    assert_eq!(configuration.parts().datum.unwrap().step, -300);
}

#[test]
fn an_axis_has_backlash_and_a_side_to_be_approached_from_or_neither() {
    for (approach, backlash, told) in [
        (
            Approach::Either,
            mm(1, 10),
            "backlash that nothing takes up 0.1 mm: approach from_below or from_above, or leave the backlash out",
        ),
        (
            Approach::FromBelow,
            mm(0, 1),
            "approach without a backlash to take up from_below: give the backlash that was measured, or leave the approach out",
        ),
    ] {
        let settings = AxisConfig { approach, backlash, ..settings() };
        assert_eq!(configured(&settings, |_| {}).unwrap_err().to_string(), told);
    }
    for (approach, backlash, expected) in [
        (Approach::Either, mm(0, 1), None),
        (Approach::FromBelow, mm(1, 10), Some((End::Low, 40))),
        (Approach::FromAbove, mm(1, 10), Some((End::High, 40))),
        // 40.04 steps.
        (Approach::FromAbove, mm(1_001, 10_000), Some((End::High, 41))),
    ] {
        let settings = AxisConfig { approach, backlash, ..settings() };
        let configured = configured(&settings, |fitted| {
            let toward = if approach == Approach::FromAbove { End::Low } else { End::High };
            fitted.touch_off.as_mut().unwrap().toward = toward;
        });
        assert_eq!(configured.unwrap().parts().approach, expected);
    }
}

#[test]
fn a_hand_turns_a_turn_of_sixteen_detents_at_once_and_256_counts_at_least() {
    for (counts_per_detent, counts_at_once) in [(1, 256), (16, 256), (17, 272), (100, 1_600)] {
        let configuration = configured(&settings(), |fitted| {
            fitted.dial.as_mut().unwrap().counts_per_detent = counts_per_detent;
        })
        .unwrap();
        assert_eq!(configuration.parts().dial.unwrap().counts_at_once, counts_at_once);
    }
}

#[test]
fn a_speed_is_above_none_and_at_most_the_axis_s() {
    type Set = fn(&mut Fitted, Speed<Length>);
    let cases: [(&str, Set); 3] = [
        ("jog speed", |fitted, speed| fitted.jog_speed = speed),
        ("fast speed", |fitted, speed| fitted.datum.as_mut().unwrap().fast = speed),
        ("slow speed", |fitted, speed| fitted.datum.as_mut().unwrap().slow = speed),
    ];
    for (subject, set) in cases {
        let with = |given| {
            configured(&settings(), |fitted| {
                fitted.release_within = mm(20, 1);
                let (switch, clearance) = (mm(-3, 1), mm(3, 1));
                fitted.datum = Some(Datum { switch_at: switch, clearance, fast: speed(20, 1), ..datum() });
                set(fitted, given);
            })
        };
        assert!(with(speed(20, 1)).is_ok(), "{subject}");
        for (given, told) in [
            (speed(0, 1), "0 mm/s: give a speed above 0"),
            (speed(41, 2), "20.5 mm/s: at most 20 mm/s is allowed; give the speed of the axis, or less"),
        ] {
            let refused = with(given).unwrap_err();
            assert_eq!(refused.kind(), ErrorKind::OutOfRange);
            assert_eq!(refused.to_string(), format!("{subject} {told}"));
        }
    }
}

#[test]
fn a_length_is_above_none_and_within_the_machine() {
    type Set = fn(&mut Fitted, Length);
    let cases: [(&str, Set); 7] = [
        ("release within", |fitted, length| fitted.release_within = length),
        ("nudge", |fitted, length| fitted.nudge = length),
        ("measured travel", |fitted, length| fitted.measured_travel = length),
        ("search within", |fitted, length| fitted.datum.as_mut().unwrap().within = length),
        ("clearance", |fitted, length| fitted.datum.as_mut().unwrap().clearance = length),
        ("touch-off within", |fitted, length| fitted.touch_off.as_mut().unwrap().within = length),
        ("dial ahead", |fitted, length| fitted.dial.as_mut().unwrap().ahead = length),
    ];
    for (subject, set) in cases {
        for (given, told) in [(mm(0, 1), "0 mm"), (mm(-1, 400), "-0.0025 mm")] {
            let refused = configured(&settings(), |fitted| set(fitted, given)).unwrap_err();
            assert_eq!(refused.kind(), ErrorKind::OutOfRange);
            assert_eq!(
                refused.to_string(),
                format!("{subject} {told}: give a length above 0 and within the machine")
            );
        }
    }
}

#[test]
fn a_detent_is_exact_where_all_steps_are_alike() {
    let axis = axis(&settings());
    // 0.001 in is 0.0254 mm: 10.16 steps.
    let thou = Detent::of(&axis, mm(254, 10_000)).unwrap();
    assert_eq!(thou, Detent::new(254, 25).unwrap());
    assert_eq!(Detent::of(&axis, mm(-1, 400)).unwrap().size().unwrap(), Exact::integer(-1));
    let refused = Detent::of(&axis, mm(0, 1)).unwrap_err();
    assert_eq!(refused.kind(), ErrorKind::OutOfRange);
    assert_eq!(refused.to_string(), "detent 0 mm: give a size above 0 with fewer digits");
    let fine = mm(1, (1 << 63) + 1);
    assert_eq!(Detent::of(&axis, fine).unwrap_err().kind(), ErrorKind::OutOfRange);
}
