//! The levels of the direction pin and the drive, and the first edge to the tick.

use wholestep::axis::MotorDirection;
use wholestep::carriage::{Carriage, CarriageConfig, Direction, End, State};
use wholestep::plan::PulseTiming;

use crate::world::{World, configuration, parts};

#[test]
fn the_direction_pin_shows_the_way_before_the_first_edge() {
    for motor in [MotorDirection::Normal, MotorDirection::Reversed] {
        let mut parts = parts();
        parts.motor = motor;
        let configuration = CarriageConfig::new(parts).unwrap();
        let high = motor == MotorDirection::Normal;
        let mut world = World::proven(&configuration, 5_000);
        // Until it has been set, as for the way up.
        assert_eq!(world.last.unwrap().direction, high);
        for (to, direction) in
            [(4_990, Direction::Backward), (5_010, Direction::Forward), (0, Direction::Backward)]
        {
            world.carriage.go_to(to).unwrap();
            world.poll();
            assert_eq!(world.last.unwrap().direction, high == (direction == Direction::Forward));
            world.edges.clear();
            world.run();
            assert!(world.edges.iter().all(|(_, given)| *given == direction));
            assert_eq!(world.last.unwrap().direction, high == (direction == Direction::Forward), "it stays");
        }
    }
}

/// The ticks from its request to the first edge of a search for the datum, the drive being off.
fn first_edge(drive_settle: u64, direction_setup: u64) -> u64 {
    let mut parts = parts();
    parts.drive_settle = drive_settle;
    parts.timing = PulseTiming::new(direction_setup, 5, 5).unwrap();
    let configuration = CarriageConfig::new(parts).unwrap();
    let planned = parts.paces.fast.profile(12_000).unwrap().edges().next().unwrap();
    let mut world = World::new(Carriage::commissioned(&configuration), 5_000);
    assert!(!world.last.unwrap().drive);
    world.carriage.find_datum().unwrap();
    let begun = world.now;
    assert!(world.poll().drive, "the drive is on at the first poll");
    world.run_to_edge(1);
    world.edges[0].0 - begun - planned
}

#[test]
fn the_first_edge_waits_for_the_drive_and_for_the_direction() {
    for (drive_settle, direction_setup, waits) in
        [(1_000, 20, 1_000), (0, 20, 20), (20, 20, 20), (20, 1_000, 1_000), (0, 0, 0), (21, 20, 21)]
    {
        assert_eq!(first_edge(drive_settle, direction_setup), waits, "{drive_settle}, {direction_setup}");
    }
}

#[test]
fn the_drive_settles_from_when_it_was_switched_on() {
    let configuration = configuration();
    let planned = configuration.parts().paces.jog.profile(5_000).unwrap().edges().next().unwrap();
    // The hand takes over, which switches the drive on; the rocker is held so much later.
    for (held, waits) in [(100, 900), (999, 20), (980, 20), (979, 21), (5_000, 20)] {
        let mut world = World::new(Carriage::commissioned(&configuration), 5_000);
        let on = world.now;
        world.carriage.jog(None).unwrap();
        assert!(world.poll().drive);
        world.now = on + held;
        world.rocker = Some(End::High);
        world.poll();
        world.run_to_edge(1);
        assert_eq!(world.edges[0].0 - on - held - planned, waits, "held after {held}");
    }
}

#[test]
fn change_of_direction_waits_and_nothing_else_does() {
    let configuration = configuration();
    let planned = |steps| configuration.parts().paces.travel.profile(steps).unwrap().edges().next().unwrap();
    let mut world = World::proven(&configuration, 5_000);
    for (to, waits) in [(5_100, 20), (5_200, 0), (5_100, 20), (5_000, 0)] {
        world.edges.clear();
        world.carriage.go_to(to).unwrap();
        let begun = world.now;
        world.run();
        assert_eq!(world.edges[0].0 - begun, planned(100) + waits, "to {to}");
        assert_eq!(world.edges.len(), 100);
    }
}

#[test]
fn an_edge_says_when_it_was_due() {
    let configuration = configuration();
    let mut world = World::proven(&configuration, 5_000);
    world.carriage.go_to(5_010).unwrap();
    let due = world.poll().poll_again_at.unwrap();
    world.now = due - 1;
    assert_eq!((world.poll().edge, world.last.unwrap().poll_again_at), (None, Some(due)));
    world.now = due + 40;
    let edge = world.poll().edge.unwrap();
    assert_eq!((edge.due, edge.direction), (due, Direction::Forward));
}

#[test]
fn poll_is_asked_for_at_the_end_of_a_motion_and_then_no_more() {
    let configuration = configuration();
    let profile = configuration.parts().paces.travel.profile(10).unwrap();
    let mut world = World::proven(&configuration, 5_000);
    world.carriage.go_to(5_010).unwrap();
    let begun = world.now + 20;
    world.run_to_edge(10);
    assert_eq!(world.last.unwrap().poll_again_at, Some(begun + profile.ticks()));
    world.now = begun + profile.ticks() - 1;
    world.poll();
    assert_eq!((world.carriage.state(), world.carriage.is_moving()), (State::Travelling, true));
    world.now += 1;
    let output = world.poll();
    assert_eq!((world.carriage.state(), output.poll_again_at), (State::Resting, None));
}
