//! A placement knows its machine, and is refused wherever another machine's step would be taken.

use wholestep::axis::{Approach, AxisConfig, Fingerprint, Rates};
use wholestep::carriage::{Carriage, Equipment, GivenStep, Inputs, Refusal};
use wholestep::mechanism::{DriveTrain, Linear, StepMode};
use wholestep::plan::{Planner, PulseTiming};
use wholestep::{
    Acceleration, Angle, AngleUnit, Axis, Error, ErrorKind, Exact, Length, LengthUnit, Measure, Placement,
    Rounding, Speed,
};

fn motor() -> DriveTrain {
    DriveTrain::new("1.8 deg".parse().unwrap(), StepMode::new(16).unwrap()).unwrap()
}

fn rates<Q: Measure>(speed: i64) -> Rates<Q> {
    Rates::new(
        Speed::from_base(Exact::integer(speed)).unwrap(),
        Acceleration::from_base(Exact::integer(200)).unwrap(),
    )
}

fn settings() -> AxisConfig<Length> {
    AxisConfig::new(LengthUnit::Millimetre, mm("0"), mm("600"), rates(40))
}

fn mm(text: &str) -> Length {
    Length::read(text, Some(LengthUnit::Millimetre)).unwrap()
}

fn screw(lead: &str) -> Linear<Length> {
    Linear::lead_screw_by_lead(motor(), mm(lead)).unwrap()
}

fn lift() -> Axis<Linear<Length>> {
    Axis::new(screw("8"), settings()).unwrap()
}

fn table() -> Axis<Linear<Angle>> {
    let (low, high) = ("0 deg".parse().unwrap(), "45 deg".parse().unwrap());
    Axis::new(Linear::rotary(motor()).unwrap(), AxisConfig::new(AngleUnit::Degree, low, high, rates(30)))
        .unwrap()
}

#[test]
fn fingerprint_is_the_published_hash_of_the_span_s_ends() {
    // Recomputed outside: FNV-1a over the name of the measure and, for each end of the span, its step
    // (64 bits) and its position from the datum in 1e-12 of the unit (128 bits), low byte first.
    let with_datum =
        Axis::new(screw("8"), AxisConfig { step_zero_at: mm("3"), low: mm("4"), ..settings() }).unwrap();
    for (fingerprint, expected) in [
        (lift().fingerprint(), 0x0997_7975_94fe_cc4a),
        (with_datum.fingerprint(), 0x2969_0a0e_f1c1_7f08),
        (table().fingerprint(), 0x50cd_dbc5_dee7_4121),
    ] {
        assert_eq!(fingerprint.as_u64(), expected);
        assert_eq!(fingerprint.to_string(), format!("{expected:016x}"));
    }
}

#[test]
fn fingerprint_changes_only_with_what_moves_a_step() {
    let own = lift().fingerprint();
    let with = |change: fn(&mut AxisConfig<Length>)| {
        let mut settings = settings();
        change(&mut settings);
        Axis::new(screw("8"), settings).unwrap().fingerprint()
    };
    let same: [(&str, Fingerprint); 7] = [
        ("limits", with(|to| (to.low, to.high) = (mm("1"), mm("500")))),
        ("rates", with(|to| to.rates = rates(20))),
        ("unit", with(|to| to.unit = LengthUnit::Inch)),
        ("approach", with(|to| (to.approach, to.backlash) = (Approach::FromBelow, mm("0.1")))),
        ("zero", lift().with_zero(mm("1/3")).unwrap().fingerprint()),
        ("touch-off", lift().with_step_at(1_000, mm("12.7")).unwrap().fingerprint()),
        (
            "the same screw by pitch and starts",
            Axis::new(Linear::lead_screw_by_pitch(motor(), mm("2"), 4).unwrap(), settings())
                .unwrap()
                .fingerprint(),
        ),
    ];
    for (what, fingerprint) in same {
        assert_eq!(fingerprint, own, "{what}");
    }
    let other: [(&str, Fingerprint); 4] = [
        ("datum", with(|to| to.step_zero_at = mm("-0.0025"))),
        ("lead", Axis::new(screw("8.0001"), settings()).unwrap().fingerprint()),
        (
            "rack",
            Axis::new(Linear::rack_by_module(motor(), mm("1"), 20).unwrap(), settings())
                .unwrap()
                .fingerprint(),
        ),
        ("measure", table().fingerprint()),
    ];
    for (what, fingerprint) in other {
        assert_ne!(fingerprint, own, "{what}");
    }
}

/// A placement of another machine whose step the lift could stand on as well.
fn strangers() -> (Placement<Length>, Placement<Angle>) {
    let coarse = Axis::new(screw("4"), settings()).unwrap();
    let place = |target| coarse.place(target, Rounding::Nearest).unwrap();
    (place(mm("10")), table().place("10 deg".parse().unwrap(), Rounding::Nearest).unwrap())
}

#[test]
fn plans_and_distances_refuse_another_machines_placement() {
    let (lift, (stranger, _)) = (lift(), strangers());
    let own = lift.place(mm("1"), Rounding::Nearest).unwrap();
    let planner = Planner::new(&lift, 1_000_000, PulseTiming::new(5, 3, 3).unwrap()).unwrap();
    let errors: [Error; 5] = [
        planner.plan(&stranger, Approach::Either, &own).unwrap_err(),
        planner.plan(&own, Approach::Either, &stranger).unwrap_err(),
        lift.place_by(&stranger, mm("1"), Rounding::Nearest).unwrap_err(),
        own.distance_to(&stranger).unwrap_err(),
        stranger.distance_to(&own).unwrap_err(),
    ];
    for error in errors {
        assert_eq!(error.kind(), ErrorKind::OtherAxis);
        let text = error.to_string();
        for named in [lift.fingerprint(), stranger.fingerprint()] {
            assert!(text.contains(&named.to_string()), "{text}");
        }
        assert!(text.ends_with("place the target on the axis that is to move"), "{text}");
    }
    assert_ne!(
        stranger,
        lift.place(mm("20"), Rounding::Nearest).unwrap(),
        "the same step of another machine"
    );
    assert!(planner.plan(&own, Approach::Either, &own).is_ok());
}

#[test]
fn a_carriage_refuses_another_machines_placement_and_nothing_changes() {
    let lift = lift();
    let mut fitted = Equipment::bare(&lift).unwrap();
    fitted.rocker = true;
    let configuration = fitted.config(&lift, 1_000_000, PulseTiming::new(5, 3, 3).unwrap()).unwrap();
    assert_eq!(configuration.fingerprint(), Some(lift.fingerprint()));
    let mut carriage = Carriage::commissioned(&configuration);
    let held = Inputs { enable: true, ..Inputs::default() };
    let mut now = 0;
    let mut run = |carriage: &mut Carriage<_>| {
        while let Some(tick) = carriage.poll(now, &held).poll_again_at {
            now = tick;
        }
    };
    run(&mut carriage);
    carriage.jog(None).unwrap();
    run(&mut carriage);
    let (length, angle) = strangers();
    for given in [GivenStep::from(length), GivenStep::from(angle), GivenStep::from(&length)] {
        let refused = Refusal::OtherAxis { given: given.fingerprint().unwrap(), own: lift.fingerprint() };
        assert_eq!(carriage.confirm_position(given), Err(refused));
        assert!(!carriage.is_proven());
    }
    // Its own placement, from another zero and with other limits, and a bare number are taken.
    carriage
        .confirm_position(lift.with_zero(mm("1/3")).unwrap().place(mm("9"), Rounding::Nearest).unwrap())
        .unwrap();
    run(&mut carriage);
    let before = (carriage.step(), carriage.state());
    for given in [GivenStep::from(length), GivenStep::from(angle)] {
        assert!(matches!(carriage.go_to(given), Err(Refusal::OtherAxis { .. })));
        assert_eq!((carriage.step(), carriage.state()), before);
    }
    carriage.go_to(lift.place(mm("10"), Rounding::Nearest).unwrap()).unwrap();
    run(&mut carriage);
    assert_eq!(carriage.step(), 4_000);
    carriage.go_to(4_400).unwrap();
    run(&mut carriage);
    assert_eq!(carriage.step(), 4_400);
}
