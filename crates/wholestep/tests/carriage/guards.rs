//! Switches met where they should not be, in each kind of motion, with the events in order.

use wholestep::carriage::{Carriage, CarriageConfig, End, Event, Fault, State, Stop, TouchMode, Unproven};

use crate::world::{Act, World, configuration, parts};

/// A machine without bounce, so that nothing but the motion decides.
fn clean(mut world: World<'_>) -> World<'_> {
    world.low.bounce.clear();
    world.high.bounce.clear();
    world.probe.bounce.clear();
    world.events.clear();
    world
}

fn proven(configuration: &CarriageConfig, step: i64) -> World<'_> {
    clean(World::proven(configuration, step))
}

fn unproven(configuration: &CarriageConfig, step: i64) -> World<'_> {
    clean(World::new(Carriage::commissioned(configuration), step))
}

fn faulted(proven: bool, fault: Fault, step: i64) -> Vec<Event> {
    let unproven = proven.then_some(Event::Unproven(Unproven::Contradicted));
    let stopped = Event::Stopped { step, why: Stop::Fault };
    unproven.into_iter().chain([Event::Faulted(fault), stopped]).collect()
}

#[test]
fn the_switch_ahead_is_a_fault_wherever_the_motion_should_have_ended_before() {
    let configuration = configuration();
    let reached = Fault::SwitchReached(End::High);
    let cases: [(&str, bool, Act); 5] = [
        ("travelling", true, |w| w.carriage.go_to(9_000).unwrap()),
        ("braking, proven", true, |w| {
            w.carriage.go_to(9_000).unwrap();
            w.run_to_edge(1_900);
            w.carriage.brake();
        }),
        ("by hand, proven", true, |w| {
            w.carriage.jog(None).unwrap();
            w.run_for(1_000);
            w.rocker = Some(End::High);
        }),
        ("touching off, proven", true, |w| w.carriage.touch_off(TouchMode::Stop, None).unwrap()),
        ("touching off, unproven", false, |w| w.carriage.touch_off(TouchMode::Stop, Some(0)).unwrap()),
    ];
    for (name, known, begin) in cases {
        let mut world = if known { proven(&configuration, 5_000) } else { unproven(&configuration, 5_000) };
        world.high.at = 7_000;
        begin(&mut world);
        assert_eq!(world.fault(), Some(reached), "{name}");
        assert_eq!(world.events, faulted(known, reached, world.carriage.step()), "{name}");
        assert!(world.truth > 7_000, "{name}");
    }
}

#[test]
fn the_switch_ahead_stops_an_unproven_hand_and_lets_a_brake_run_out() {
    let configuration = configuration();
    let by_hand = |signal: bool| {
        let mut world = unproven(&configuration, 5_000);
        world.high.at = 6_000;
        if signal {
            world.carriage.touch_off(TouchMode::Signal(None), Some(0)).unwrap();
        } else {
            world.carriage.jog(None).unwrap();
        }
        world.run_for(1_000);
        world.rocker = Some(End::High);
        world
    };
    for signal in [false, true] {
        let mut world = by_hand(signal);
        world.run_for(2_000_000);
        let step = world.carriage.step();
        assert_eq!(
            world.events,
            [Event::AtSwitch(End::High), Event::Stopped { step, why: Stop::Arrived }],
            "{signal}"
        );
        // 5 ms of settling at 2,000 steps a second and 100 steps of brake.
        assert!((6_100..=6_112).contains(&world.truth), "{}", world.truth);
    }
    let mut world = by_hand(false);
    world.run_to_edge(950);
    world.carriage.brake();
    world.run();
    let step = world.carriage.step();
    assert_eq!(world.events, [Event::Stopped { step, why: Stop::Braked }]);
    assert!(world.truth > 6_020 && world.carriage.fault().is_none());
}

#[test]
fn a_switch_behind_must_be_released_within_its_bound() {
    let mut parts = parts();
    for bound in [280_u64, 400] {
        parts.release_bound = bound;
        let configuration = CarriageConfig::new(parts).unwrap();
        for released_after in [bound - 12, bound + 1] {
            let mut world = unproven(&configuration, 9_000);
            world.high.at = 9_000;
            world.high.hysteresis = i64::try_from(released_after).unwrap() - 1;
            world.run_for(20_000);
            world.carriage.jog(None).unwrap();
            world.run_for(1_000);
            world.events.clear();
            world.rocker = Some(End::Low);
            // At 2,000 steps a second a contact settles within ten steps.
            for _ in 0..2_000 {
                if world.carriage.fault().is_some() || world.edges.len() as u64 > bound + 20 {
                    break;
                }
                world.poll_when_asked();
            }
            if released_after > bound {
                assert_eq!(world.carriage.fault(), Some(Fault::NeverReleased(End::High)));
                // Found out at the poll after the one that gave an edge too many.
                assert_eq!(world.edges.len() as u64, bound + 1);
            } else {
                assert_eq!(world.carriage.fault(), None, "{bound}");
            }
        }
    }
}

#[test]
fn the_room_to_release_a_switch_is_counted_over_all_motions() {
    let configuration = configuration();
    for stated in [None, Some(7_000), Some(300)] {
        let mut world = unproven(&configuration, 9_000);
        world.high.stuck = Some(true);
        world.run_for(20_000);
        world.carriage.jog(None).unwrap();
        world.run_for(1_000);
        world.rocker = Some(End::Low);
        world.run_to_edge(150);
        world.rocker = None;
        world.run();
        assert_eq!(world.carriage.fault(), None);
        // The room is that of the machine, whatever its steps are called.
        if let Some(step) = stated {
            world.carriage.confirm_position(step).unwrap();
        }
        world.rocker = Some(End::Low);
        for _ in 0..1_000 {
            if world.carriage.fault().is_some() {
                break;
            }
            world.poll_when_asked();
        }
        assert_eq!(world.carriage.fault(), Some(Fault::NeverReleased(End::High)), "{stated:?}");
        assert_eq!(world.edges.len(), 401, "{stated:?}");
    }
}

#[test]
fn a_switch_that_becomes_pressed_behind_is_a_fault() {
    let configuration = configuration();
    for known in [true, false] {
        let mut world = if known { proven(&configuration, 5_000) } else { unproven(&configuration, 5_000) };
        world.carriage.jog(None).unwrap();
        world.run_for(1_000);
        world.rocker = Some(End::Low);
        world.run_to_edge(300);
        world.events.clear();
        world.high.stuck = Some(true);
        let fault = Fault::PressedMovingAway(End::High);
        assert_eq!(world.fault(), Some(fault));
        assert_eq!(world.events, faulted(known, fault, world.carriage.step()));
    }
}

#[test]
fn both_pressed_is_a_fault_in_every_state() {
    let configuration = configuration();
    let mut world = proven(&configuration, 5_000);
    world.low.stuck = Some(true);
    world.high.stuck = Some(true);
    assert_eq!(world.fault(), Some(Fault::BothPressed));
    assert_eq!(
        world.events,
        [Event::Unproven(Unproven::Contradicted), Event::Faulted(Fault::BothPressed)],
        "it stood already"
    );
    assert_eq!(world.carriage.state(), State::Faulted);
}
