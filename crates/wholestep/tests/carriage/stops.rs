//! Braking and releasing, in every state: what is left on, and what is told, in order.

use wholestep::carriage::{
    Carriage, CarriageConfig, Direction, End, Event, Fault, Refusal, State, Stop, TouchMode, Unproven,
};

use crate::world::{World, configuration, parts};

const RELEASED: [Event; 2] = [Event::Unproven(Unproven::Released), Event::LoadCanFall];

#[test]
fn at_rest_a_brake_is_nothing_and_a_release_releases() {
    let configuration = configuration();
    let mut world = World::proven(&configuration, 5_000);
    world.carriage.brake();
    world.poll();
    assert!(world.events.is_empty() && world.last.unwrap().drive);
    world.carriage.brake_and_release();
    world.poll();
    let stopped = Event::Stopped { step: 5_000, why: Stop::Braked };
    assert_eq!(world.events, [[stopped].as_slice(), &RELEASED].concat());
    assert!(!world.last.unwrap().drive);

    let mut world = World::proven(&configuration, 5_000);
    world.carriage.release();
    world.poll();
    assert_eq!(world.events, RELEASED);
    assert_eq!((world.carriage.state(), world.last.unwrap().drive), (State::Resting, false));
    // What is off already is not told again.
    world.events.clear();
    world.carriage.release();
    world.poll();
    assert!(world.events.is_empty());
}

#[test]
fn a_screw_that_holds_itself_lets_nothing_fall() {
    let mut parts = parts();
    parts.self_holding = true;
    let configuration = CarriageConfig::new(parts).unwrap();
    let mut world = World::proven(&configuration, 5_000);
    world.carriage.release();
    world.poll();
    assert_eq!(world.events, [Event::Unproven(Unproven::Released)]);
}

type Begin = fn(&mut World<'_>);

#[test]
fn under_way_each_stop_is_told_once_in_order() {
    let configuration = configuration();
    let states: [(Begin, State); 3] = [
        (|w| w.carriage.go_to(9_000).unwrap(), State::Travelling),
        (|w| w.carriage.find_datum().unwrap(), State::FindingDatum),
        (|w| w.carriage.touch_off(TouchMode::Stop, Some(7_000)).unwrap(), State::TouchingOff),
    ];
    for (begin, state) in states {
        let proven = state != State::FindingDatum;
        let released = if proven { &RELEASED[..] } else { &RELEASED[1..] };
        let under_way = || {
            let mut world = World::proven(&configuration, 5_000);
            begin(&mut world);
            world.run_to_edge(20);
            assert_eq!(world.carriage.state(), state);
            world.events.clear();
            world
        };
        let mut world = under_way();
        world.carriage.brake();
        assert_eq!(world.carriage.state(), State::Braking);
        world.run();
        let stopped = |world: &World<'_>| Event::Stopped { step: world.carriage.step(), why: Stop::Braked };
        assert_eq!(world.events, [stopped(&world)], "{state:?}");
        assert!(world.last.unwrap().drive && world.carriage.is_proven() == proven);

        let mut world = under_way();
        world.carriage.brake_and_release();
        world.run();
        assert_eq!(world.events, [&[stopped(&world)], released].concat(), "{state:?}");
        assert_eq!((world.carriage.state(), world.last.unwrap().drive), (State::Resting, false));

        let mut world = under_way();
        world.carriage.release();
        assert!(!world.carriage.is_moving());
        world.run();
        assert_eq!(world.events, [released, &[stopped(&world)]].concat(), "{state:?}");
        assert_eq!((world.edges.len(), world.last.unwrap().drive), (20, false));

        // Letting the enable input go brakes, and says why.
        let mut world = under_way();
        world.enable = false;
        world.poll();
        assert_eq!(world.carriage.state(), State::Braking);
        world.run();
        let step = world.carriage.step();
        assert_eq!(world.events, [Event::Stopped { step, why: Stop::EnableReleased }], "{state:?}");
        assert!(world.last.unwrap().drive);
    }
}

#[test]
fn a_hand_needs_no_enable_and_a_brake_ends_its_lead() {
    let configuration = configuration();
    for signal in [false, true] {
        let mut world = World::proven(&configuration, 5_000);
        if signal {
            world.carriage.touch_off(TouchMode::Signal(None), None).unwrap();
        } else {
            world.carriage.jog(None).unwrap();
        }
        world.run_for(1_000);
        let state = world.carriage.state();
        world.enable = false;
        world.rocker = Some(End::High);
        world.run_for(400_000);
        assert_eq!(world.carriage.state(), state, "no enable is asked of a hand");
        assert!(world.carriage.is_moving());
        world.carriage.brake();
        world.run();
        let step = world.carriage.step();
        assert_eq!(world.events, [Event::Stopped { step, why: Stop::Braked }]);
        assert_eq!(world.carriage.state(), State::Resting);
    }
}

#[test]
fn before_the_first_edge_there_is_nothing_to_brake() {
    let configuration = configuration();
    let mut world = World::proven(&configuration, 5_000);
    world.carriage.go_to(9_000).unwrap();
    world.poll();
    assert!(world.carriage.is_moving());
    world.carriage.brake();
    assert!(!world.carriage.is_moving());
    world.run();
    assert!(world.edges.is_empty());
    assert_eq!(world.events, [Event::Stopped { step: 5_000, why: Stop::Braked }]);
}

#[test]
fn a_fault_brakes_tells_its_stop_and_can_still_be_released() {
    let configuration = configuration();
    // The switch at the high end sticks while it goes down from it: it was pressed moving away.
    let faulted = || {
        let mut world = World::proven(&configuration, 5_000);
        world.high.bounce.clear();
        world.carriage.go_to(1_000).unwrap();
        world.run_to_edge(1_000);
        world.high.stuck = Some(true);
        world.events.clear();
        for _ in 0..1_000 {
            if world.carriage.fault().is_some() {
                break;
            }
            world.poll_when_asked();
        }
        assert_eq!(world.carriage.fault(), Some(Fault::PressedMovingAway(End::High)));
        assert!(world.carriage.is_moving());
        world
    };
    let told = [Event::Unproven(Unproven::Contradicted), Event::Faulted(Fault::PressedMovingAway(End::High))];
    let mut world = faulted();
    assert_eq!(world.events, told);
    assert_eq!(world.carriage.clear_fault(), Err(Refusal::Busy(State::Faulted)));
    assert_eq!(world.carriage.mark_unproven(), Err(Refusal::Busy(State::Faulted)));
    world.run();
    let stopped = Event::Stopped { step: world.carriage.step(), why: Stop::Fault };
    assert_eq!(world.events, [&told[..], &[stopped]].concat());
    // Full speed is 8,000 steps a second: 800 steps of brake.
    let braked = world.edges.iter().filter(|(_, direction)| *direction == Direction::Backward).count();
    assert!(braked <= 1_000 + 60 + 800, "{braked}");
    assert!(world.last.unwrap().drive);
    world.carriage.brake();
    world.poll();
    assert!(world.last.unwrap().drive && world.carriage.state() == State::Faulted);
    world.carriage.brake_and_release();
    world.poll();
    assert!(!world.last.unwrap().drive && world.carriage.state() == State::Faulted);
    assert_eq!(*world.events.last().unwrap(), Event::LoadCanFall);
    world.carriage.clear_fault().unwrap();
    world.poll();
    assert_eq!(*world.events.last().unwrap(), Event::Cleared);
    assert_eq!((world.carriage.fault(), world.carriage.state()), (None, State::Resting));

    // Asked while it brakes, the release does not cut the brake short.
    let mut world = faulted();
    world.carriage.brake_and_release();
    world.poll();
    assert!(world.last.unwrap().drive && world.carriage.is_moving());
    let mut world = faulted();
    world.carriage.release();
    world.poll();
    assert!(!world.last.unwrap().drive && !world.carriage.is_moving());
    assert_eq!(world.carriage.state(), State::Faulted);
}

#[test]
fn what_is_still_there_is_not_cleared() {
    let configuration = configuration();
    let mut world = World::proven(&configuration, 5_000);
    world.low.stuck = Some(true);
    world.high.stuck = Some(true);
    assert_eq!(world.fault(), Some(Fault::BothPressed));
    assert_eq!(world.carriage.clear_fault(), Err(Refusal::FaultPersists));
    world.low.stuck = None;
    world.run_for(20_000);
    world.carriage.clear_fault().unwrap();
    assert_eq!(world.carriage.clear_fault(), Err(Refusal::NotFaulted));

    // A fault of another kind is cleared although both are pressed by now; that is the next fault.
    let mut world = World::proven(&configuration, 5_000);
    world.now = 5;
    world.poll();
    assert_eq!(world.carriage.fault(), Some(Fault::TimeBackwards));
    world.low.stuck = Some(true);
    world.high.stuck = Some(true);
    world.run_for(40_000);
    world.carriage.clear_fault().unwrap();
    world.poll();
    assert_eq!(world.carriage.fault(), Some(Fault::BothPressed));
}

#[test]
fn a_drive_fault_cuts_the_drive_whenever_it_comes() {
    let configuration = configuration();
    // Also while another fault is latched and the drive still on.
    let mut world = World::proven(&configuration, 5_000);
    world.low.stuck = Some(true);
    world.high.stuck = Some(true);
    assert_eq!(world.fault(), Some(Fault::BothPressed));
    assert!(world.last.unwrap().drive);
    world.events.clear();
    world.drive_fault = true;
    world.run();
    assert!(!world.last.unwrap().drive);
    assert_eq!(world.carriage.fault(), Some(Fault::Drive), "the drive's own comes before any other");
    assert_eq!(world.events, [Event::LoadCanFall, Event::Faulted(Fault::Drive)]);
    // At rest, and with the drive off.
    for off in [false, true] {
        let mut world = World::proven(&configuration, 5_000);
        if off {
            world.carriage.release();
            world.run();
        }
        world.drive_fault = true;
        world.run();
        assert_eq!(world.carriage.fault(), Some(Fault::Drive));
        assert_eq!(world.carriage.clear_fault(), Err(Refusal::FaultPersists));
        assert!(!world.last.unwrap().drive);
    }
}

#[test]
fn position_is_unproven_only_by_what_contradicts_it() {
    let configuration = configuration();
    let mut world = World::proven(&configuration, 5_000);
    world.probe.stuck = Some(true);
    world.run_for(20_000);
    world.carriage.touch_off(TouchMode::Stop, None).unwrap();
    assert_eq!(world.fault(), Some(Fault::ProbeClosed));
    assert!(world.carriage.is_proven());
    let mut world = World::proven(&configuration, 5_000);
    world.carriage.touch_off(TouchMode::Stop, None).unwrap();
    assert_eq!(world.fault(), Some(Fault::NeverTouched));
    assert!(world.carriage.is_proven() && world.truth == 8_000);
    let mut world = World::new(Carriage::commissioned(&configuration), 5_000);
    world.carriage.touch_off(TouchMode::Stop, Some(0)).unwrap();
    assert_eq!(world.fault(), Some(Fault::NeverTouched));
    assert!(!world.carriage.is_proven());
}
