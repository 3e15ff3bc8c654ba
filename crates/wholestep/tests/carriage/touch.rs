//! Touching off.

use wholestep::carriage::{Carriage, Detent, End, Event, Fault, State, Touch, zeroed_at};

use crate::world::{Act, World, configuration};

#[test]
fn contact_stops_the_creep_and_the_height_becomes_the_gauge() {
    let configuration = configuration();
    let mut world = World::new(Carriage::commissioned(&configuration), 5_000);
    world.probe.at = 5_731;
    world.carriage.touch_off(Touch::Stop, Some(7_000)).unwrap();
    assert_eq!(world.run(), State::Resting);
    assert!(world.has(Event::Touched { step: 7_000, off_by: None }) && world.carriage.is_proven());
    // 200 steps a second, 10,000 a second squared: two steps of room.
    assert!((5_731..=5_734).contains(&world.truth), "{}", world.truth);
    assert_eq!(world.carriage.step() - 7_000, world.truth - 5_731);
}

#[test]
fn contact_only_signals_when_the_hand_leads() {
    let configuration = configuration();
    let mut world = World::proven(&configuration, 5_000);
    world.probe.at = 5_100;
    world.carriage.touch_off(Touch::Signal(Some(Detent::new(10, 1).unwrap())), Some(5_090)).unwrap();
    for _ in 0..14 {
        world.dial += 4;
        world.run_for(50_000);
    }
    world.run();
    assert!(world.has(Event::Contact { step: 5_100 }));
    assert!(world.has(Event::Touched { step: 5_090, off_by: Some(10) }), "{:?}", world.events);
    assert_eq!(world.truth, 5_140, "the hand went on");
    assert_eq!((world.carriage.step(), world.carriage.state()), (5_130, State::Jogging));
}

#[test]
fn measuring_leaves_the_numbers_as_they_are() {
    let configuration = configuration();
    let mut world = World::proven(&configuration, 5_000);
    world.probe.at = 5_731;
    world.carriage.touch_off(Touch::Stop, None).unwrap();
    world.run();
    assert!(world.has(Event::Touched { step: 5_731, off_by: None }));
    assert_eq!(world.carriage.step(), world.truth);
}

#[test]
fn every_fault_of_a_touch_off_has_its_name() {
    let configuration = configuration();
    let cases: [(Act, Fault); 4] = [
        (|w| w.probe.stuck = Some(true), Fault::ProbeClosed),
        (|_| {}, Fault::NeverTouched),
        (|w| w.agenda.push_back((w.now + 500_000, |w| w.drive_fault = true)), Fault::Drive),
        (|w| w.high.at = 5_400, Fault::SwitchReached(End::High)),
    ];
    for (break_it, fault) in cases {
        let mut world = World::new(Carriage::commissioned(&configuration), 5_000);
        break_it(&mut world);
        world.run_for(20_000);
        world.carriage.touch_off(Touch::Stop, Some(7_000)).unwrap();
        assert_eq!(world.fault(), Some(fault));
        assert!(!world.carriage.is_proven());
    }
    // Proven, the creep ends at the soft limit.
    let mut world = World::proven(&configuration, 9_500);
    world.carriage.touch_off(Touch::Stop, Some(7_000)).unwrap();
    assert_eq!(world.fault(), Some(Fault::NeverTouched));
    assert_eq!(world.truth, 10_000);
}

#[test]
fn a_spike_is_no_contact() {
    let configuration = configuration();
    let mut world = World::new(Carriage::commissioned(&configuration), 5_000);
    world.probe.at = 5_731;
    world.agenda.push_back((world.now + 800_000, |w| w.probe.stuck = Some(true)));
    world.agenda.push_back((world.now + 801_000, |w| w.probe.stuck = None));
    world.carriage.touch_off(Touch::Stop, Some(7_000)).unwrap();
    assert_eq!(world.run(), State::Resting);
    assert!(world.events.iter().any(|event| matches!(event, Event::FalseContact(_))));
    assert_eq!(world.carriage.step() - 7_000, world.truth - 5_731);
}

#[test]
fn a_new_cutter_moves_the_zero_and_keeps_recorded_heights() {
    use wholestep::axis::{Axis, Rates, Settings};
    use wholestep::mechanism::{Drive, Linear, StepMode};
    use wholestep::{Acceleration, Angle, Exact, Length, LengthUnit, Measure, Rounding, Speed};
    let mm = |n, d| Length::from_base(Exact::new(n, d).unwrap()).unwrap();
    let motor =
        Drive::new(Angle::from_base(Exact::new(9, 5).unwrap()).unwrap(), StepMode::new(8).unwrap()).unwrap();
    let screw = Linear::lead_screw_by_lead(motor, mm(4, 1)).unwrap();
    let rates = Rates::new(
        Speed::from_base(Exact::integer(20)).unwrap(),
        Acceleration::from_base(Exact::integer(100)).unwrap(),
    );
    let settings = Settings::new(LengthUnit::Millimetre, mm(0, 1), mm(60, 1), rates);
    let axis = Axis::new(screw, settings).unwrap();
    let gauge = mm(12, 1);
    // 400 steps a millimetre. One cutter touches the gauge at step 9,000, a longer one at 7,001.
    let first = zeroed_at(axis, 9_000, gauge).unwrap();
    let second = zeroed_at(first, 7_001, gauge).unwrap();
    let recorded = mm(6, 1);
    assert_eq!(first.place(gauge, Rounding::Nearest).unwrap().step(), 9_000);
    assert_eq!(second.place(gauge, Rounding::Nearest).unwrap().step(), 7_001);
    let [before, after] = [first, second].map(|axis| axis.place(recorded, Rounding::Nearest).unwrap());
    assert_eq!((before.step(), after.step()), (9_000 - 2_400, 7_001 - 2_400));
    assert_eq!((before.position().low(), after.position().low()), (recorded, recorded));
}
