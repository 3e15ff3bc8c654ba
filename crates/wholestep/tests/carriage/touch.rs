//! Touching off.

use wholestep::carriage::{
    Carriage, CarriageConfig, Detent, Direction, End, Event, Fault, Input, Refusal, State, Stop, TouchMode,
};
use wholestep::mechanism::Trend;

use crate::world::{Act, World, configuration, parts};

#[test]
fn contact_stops_the_creep_and_the_height_becomes_the_gauge() {
    let configuration = configuration();
    let mut world = World::new(Carriage::commissioned(&configuration), 5_000);
    world.probe.at = 5_731;
    world.carriage.touch_off(TouchMode::Stop, Some(7_000)).unwrap();
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
    world.carriage.touch_off(TouchMode::Signal(Some(Detent::new(10, 1).unwrap())), Some(5_090)).unwrap();
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
    world.carriage.touch_off(TouchMode::Stop, None).unwrap();
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
        world.carriage.touch_off(TouchMode::Stop, Some(7_000)).unwrap();
        assert_eq!(world.fault(), Some(fault));
        assert!(!world.carriage.is_proven());
    }
    // Proven, the creep ends at the soft limit.
    let mut world = World::proven(&configuration, 9_500);
    world.carriage.touch_off(TouchMode::Stop, Some(7_000)).unwrap();
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
    world.carriage.touch_off(TouchMode::Stop, Some(7_000)).unwrap();
    assert_eq!(world.run(), State::Resting);
    assert!(world.events.iter().any(|event| matches!(event, Event::FalseContact(_))));
    assert_eq!(world.carriage.step() - 7_000, world.truth - 5_731);
}

#[test]
fn a_new_cutter_moves_the_zero_and_keeps_recorded_heights() {
    use wholestep::axis::{Axis, AxisConfig, Rates};
    use wholestep::mechanism::{DriveTrain, Linear, StepMode};
    use wholestep::{Acceleration, Angle, Exact, Length, LengthUnit, Measure, Rounding, Speed};
    let mm = |n, d| Length::from_base(Exact::new(n, d).unwrap()).unwrap();
    let motor =
        DriveTrain::new(Angle::from_base(Exact::new(9, 5).unwrap()).unwrap(), StepMode::new(8).unwrap())
            .unwrap();
    let screw = Linear::lead_screw_by_lead(motor, mm(4, 1)).unwrap();
    let rates = Rates::new(
        Speed::from_base(Exact::integer(20)).unwrap(),
        Acceleration::from_base(Exact::integer(100)).unwrap(),
    );
    let settings = AxisConfig::new(LengthUnit::Millimetre, mm(0, 1), mm(60, 1), rates);
    let axis = Axis::new(screw, settings).unwrap();
    let gauge = mm(12, 1);
    // 400 steps a millimetre. One cutter touches the gauge at step 9,000, a longer one at 7,001.
    let first = axis.with_step_at(9_000, gauge).unwrap();
    let second = first.with_step_at(7_001, gauge).unwrap();
    let recorded = mm(6, 1);
    assert_eq!(first.place(gauge, Rounding::Nearest).unwrap().step(), 9_000);
    assert_eq!(second.place(gauge, Rounding::Nearest).unwrap().step(), 7_001);
    let [before, after] = [first, second].map(|axis| axis.place(recorded, Rounding::Nearest).unwrap());
    assert_eq!((before.step(), after.step()), (9_000 - 2_400, 7_001 - 2_400));
    assert_eq!((before.position().low(), after.position().low()), (recorded, recorded));
}

#[test]
fn what_it_tells_in_order() {
    let configuration = configuration();
    for (known, contact_step, told, off_by) in [
        (true, Some(5_020), 5_020, Some(80)),
        (true, Some(5_200), 5_200, Some(-100)),
        (true, Some(5_100), 5_100, Some(0)),
        (true, None, 5_100, None),
        (false, Some(7_000), 7_000, None),
    ] {
        let mut world = if known {
            World::proven(&configuration, 5_000)
        } else {
            let mut world = World::new(Carriage::commissioned(&configuration), 5_000);
            // Unproven it counts from 0 where it stands.
            world.events.clear();
            world
        };
        world.probe.at = 5_100;
        world.carriage.touch_off(TouchMode::Stop, contact_step).unwrap();
        world.run();
        let step = world.carriage.step();
        assert_eq!(
            world.events,
            [Event::Touched { step: told, off_by }, Event::Stopped { step, why: Stop::Arrived }]
        );
        assert_eq!(step - told, world.truth - 5_100);
        assert!(world.carriage.is_proven());
    }
}

#[test]
fn touch_off_creeps_to_its_end_for_its_bound_at_most() {
    for toward in End::BOTH {
        for trend in [Trend::Rising, Trend::Falling] {
            let mut parts = parts();
            parts.trend = trend;
            parts.datum = None;
            parts.switches = [None; 2];
            parts.touch.as_mut().unwrap().toward = toward;
            parts.touch.as_mut().unwrap().bound = 120;
            let configuration = CarriageConfig::new(parts).unwrap();
            let direction = toward.direction(trend);
            let mut world = World::new(Carriage::commissioned(&configuration), 5_000);
            world.carriage.touch_off(TouchMode::Stop, Some(0)).unwrap();
            assert_eq!(world.fault(), Some(Fault::NeverTouched));
            assert_eq!(world.truth, 5_000 + 120 * direction.sign());
            assert!(world.edges.iter().all(|(_, given)| *given == direction));
            // At the pace of the last approach: 200 steps a second.
            let shortest = world.edges.windows(2).map(|pair| pair[1].0 - pair[0].0).min();
            assert_eq!(shortest, Some(5_000));
            // Proven it ends at the soft limit.
            let (from, last) = if direction == Direction::Forward { (9_950, 10_000) } else { (50, 0) };
            let mut world = World::proven(&configuration, from);
            world.carriage.touch_off(TouchMode::Stop, None).unwrap();
            assert_eq!(world.fault(), Some(Fault::NeverTouched));
            assert_eq!(world.truth, last);
        }
    }
}

#[test]
fn contact_on_the_very_last_step_is_contact() {
    let mut parts = parts();
    parts.touch.as_mut().unwrap().bound = 120;
    let configuration = CarriageConfig::new(parts).unwrap();
    for (at, fault) in [(5_120, None), (5_121, Some(Fault::NeverTouched))] {
        let mut world = World::proven(&configuration, 5_000);
        world.probe.at = at;
        world.carriage.touch_off(TouchMode::Stop, None).unwrap();
        assert_eq!(world.fault(), fault, "{at}");
        assert_eq!(world.has(Event::Touched { step: at, off_by: None }), fault.is_none());
    }
}

#[test]
fn a_spike_is_told_and_crept_on_from() {
    let configuration = configuration();
    let mut world = World::proven(&configuration, 5_000);
    world.probe.at = 5_731;
    world.probe.bounce.clear();
    world.carriage.touch_off(TouchMode::Stop, None).unwrap();
    world.run_to_edge(100);
    world.probe.stuck = Some(true);
    world.run_for(1_000);
    world.probe.stuck = None;
    world.run();
    let step = world.carriage.step();
    assert_eq!(
        world.events,
        [
            Event::FalseContact(Input::Probe),
            Event::Touched { step: 5_731, off_by: None },
            Event::Stopped { step, why: Stop::Arrived }
        ]
    );
}

/// A hand with ten steps a detent that begins to touch off at 5,000.
fn by_hand(configuration: &CarriageConfig, contact_step: Option<i64>) -> World<'_> {
    let mut world = World::proven(configuration, 5_000);
    world.probe.bounce.clear();
    world.carriage.touch_off(TouchMode::Signal(Some(Detent::new(10, 1).unwrap())), contact_step).unwrap();
    world.run_for(1_000);
    world
}

fn turn(world: &mut World<'_>, detents: u32) {
    for _ in 0..detents {
        world.dial += 4;
        world.run_for(50_000);
    }
}

#[test]
fn by_hand_the_contact_is_signalled_once_and_proves_when_it_stands() {
    let configuration = configuration();
    let mut world = by_hand(&configuration, Some(5_100));
    world.probe.at = 5_025;
    turn(&mut world, 5);
    world.run();
    let contacts = world.events.iter().filter(|event| matches!(event, Event::Contact { .. }));
    assert_eq!(contacts.collect::<Vec<_>>(), [&Event::Contact { step: 5_025 }]);
    assert!(world.has(Event::Touched { step: 5_100, off_by: Some(5_025 - 5_100) }));
    // The hand leads on in the new numbers, and from where it stands.
    assert_eq!(world.carriage.state(), State::Jogging);
    let (step, truth) = (world.carriage.step(), world.truth);
    assert_eq!(step - 5_100, truth - 5_025);
    turn(&mut world, 1);
    world.run();
    assert_eq!((world.carriage.step(), world.truth), (step + 10, truth + 10));
}

#[test]
fn by_hand_a_spike_is_no_contact_and_the_first_that_settles_is_kept() {
    let configuration = configuration();
    let mut world = by_hand(&configuration, None);
    turn(&mut world, 2);
    world.probe.stuck = Some(true);
    world.run_for(1_000);
    world.probe.stuck = None;
    world.run_for(50_000);
    assert!(world.events.iter().all(|event| matches!(event, Event::Stopped { .. })), "{:?}", world.events);
    assert_eq!(world.carriage.state(), State::TouchingOff);
    world.probe.at = 5_045;
    turn(&mut world, 4);
    world.run();
    assert!(
        world.has(Event::Contact { step: 5_045 }) && world.has(Event::Touched { step: 5_045, off_by: None })
    );

    // Led over the contact without a stop, off it and onto it again: the first counts.
    let mut world = by_hand(&configuration, None);
    world.probe.at = 5_030;
    world.dial += 64;
    world.run_for(60_000);
    world.run_to_edge(60);
    world.probe.stuck = Some(false);
    world.run_for(8_000);
    world.probe.stuck = None;
    assert!(world.carriage.is_moving());
    world.run();
    assert!(world.has(Event::Touched { step: 5_030, off_by: None }), "{:?}", world.events);
}

#[test]
fn by_hand_a_closed_probe_is_a_fault_and_a_missing_lead_a_refusal() {
    let configuration = configuration();
    let mut world = World::proven(&configuration, 5_000);
    world.probe.stuck = Some(true);
    world.run_for(20_000);
    world.carriage.touch_off(TouchMode::Signal(None), None).unwrap();
    assert_eq!(world.fault(), Some(Fault::ProbeClosed));

    let detent = Detent::new(10, 1).ok();
    for (dial, rocker) in [(true, false), (false, true), (true, true), (false, false)] {
        let mut parts = parts();
        parts.rocker = rocker;
        if !dial {
            parts.dial = None;
        }
        let configuration = CarriageConfig::new(parts).unwrap();
        let answer = |fitted| if fitted { Ok(()) } else { Err(Refusal::NotFitted) };
        for (lead, fitted) in [(detent, dial), (None, rocker)] {
            let ready = || World::new(Carriage::commissioned(&configuration), 5_000);
            assert_eq!(ready().carriage.touch_off(TouchMode::Signal(lead), Some(0)), answer(fitted));
            assert_eq!(ready().carriage.jog(lead), answer(fitted));
        }
    }
}
