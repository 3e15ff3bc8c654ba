//! Going to a target, braking, and turning to another.

use wholestep::carriage::{Direction, End, Event, Fault, Refusal, State, Stop};

use crate::world::{World, configuration, parts};

#[test]
fn carriage_goes_to_a_target_and_rests_there() {
    let configuration = configuration();
    for (from, to) in [(0, 1), (0, 2), (0, 10_000), (10_000, 0), (4_321, 4_320), (17, 17)] {
        let mut world = World::proven(&configuration, from);
        world.carriage.go_to(to).unwrap();
        assert_eq!(world.run(), State::Resting);
        assert_eq!((world.carriage.step(), world.truth), (to, to));
        assert!(world.has(Event::Stopped { step: to, why: Stop::Arrived }));
        assert_eq!(world.edges.len() as u64, to.abs_diff(from));
    }
}

#[test]
fn edges_are_those_of_the_plan() {
    let configuration = configuration();
    let mut world = World::proven(&configuration, 100);
    world.carriage.go_to(3_000).unwrap();
    let begun = world.now;
    world.run();
    let planned = configuration.parts().paces.travel.profile(2_900).unwrap();
    let ticks: Vec<u64> = world.edges.iter().map(|(tick, _)| tick - begun).collect();
    // The drive is on and has settled, so only the direction has to stand.
    let expected: Vec<u64> = planned.edges().map(|tick| tick + 20).collect();
    assert_eq!(ticks, expected);
}

#[test]
fn a_brake_at_any_edge_ends_within_its_room_and_a_new_target_is_reached() {
    let configuration = configuration();
    for stop_after in (1..1_500).step_by(97) {
        for to in [None, Some(0), Some(700), Some(9_999), Some(1_000)] {
            let mut world = World::proven(&configuration, 100);
            world.carriage.go_to(3_000).unwrap();
            world.run_to_edge(stop_after);
            match to {
                None => world.carriage.brake(),
                Some(step) => world.carriage.go_to(step).unwrap(),
            }
            assert_eq!(world.run(), State::Resting);
            assert_eq!(world.carriage.step(), world.truth);
            if let Some(step) = to {
                assert_eq!(world.truth, step, "turned after {stop_after}");
            } else {
                // v²/2a = 800 steps at full speed.
                let made = world.truth - 100 - i64::try_from(stop_after).unwrap();
                assert!((0..=800).contains(&made), "{made} steps after {stop_after}");
            }
        }
    }
}

#[test]
fn a_nearer_target_ahead_is_reached_without_turning_back() {
    let configuration = configuration();
    let mut world = World::proven(&configuration, 0);
    world.carriage.go_to(9_000).unwrap();
    world.run_to_edge(1_000);
    world.carriage.go_to(2_500).unwrap();
    world.run();
    assert_eq!(world.truth, 2_500);
    assert!(world.edges.iter().all(|(_, direction)| *direction == Direction::Forward));
}

#[test]
fn a_target_is_approached_from_the_side_the_axis_asks_for() {
    let mut parts = parts();
    parts.approach = Some((End::Low, 40));
    let configuration = wholestep::carriage::CarriageConfig::new(parts).unwrap();
    let mut world = World::proven(&configuration, 5_000);
    for (to, edges) in [(4_000, 1_080), (4_100, 100), (4_099, 81), (4_098, 81)] {
        world.edges.clear();
        world.carriage.go_to(to).unwrap();
        world.run();
        assert_eq!(world.truth, to);
        assert_eq!(world.edges.len(), edges, "to {to}");
        assert_eq!(world.edges.last().unwrap().1, Direction::Forward);
    }
    // The step it would be approached from is allowed, the target is not.
    let beyond = World::proven(&configuration, 9_990).carriage.go_to(10_001);
    assert_eq!(beyond, Err(Refusal::BeyondLimit { step: 10_001, last: 10_000 }));
    let beyond = world.carriage.go_to(39);
    assert_eq!(beyond, Err(Refusal::BeyondLimit { step: -1, last: 0 }));
}

#[test]
fn a_target_that_comes_before_the_first_edge_is_placed_from_where_it_stands() {
    // Found by the random lives: overrun done, the last leg was about to begin when a target came that
    // lay too near to be reached the right way without another overrun, past the soft limit.
    let mut parts = parts();
    parts.approach = Some((End::Low, 40));
    let configuration = wholestep::carriage::CarriageConfig::new(parts).unwrap();
    let at_the_overrun = || {
        let mut world = World::proven(&configuration, 5_000);
        world.watched = true;
        world.carriage.go_to(45).unwrap();
        while world.truth != 5 || !world.last.unwrap().direction {
            world.poll();
            world.now = world.last.unwrap().poll_again_at.unwrap();
        }
        assert!(world.carriage.is_moving());
        world
    };
    for target in 0..=90 {
        let mut world = at_the_overrun();
        let answer = world.carriage.go_to(target);
        if target < 40 {
            assert_eq!(answer, Err(Refusal::BeyondLimit { step: target - 40, last: 0 }));
        }
        assert_eq!(world.run(), State::Resting);
        assert_eq!(world.truth, if target < 40 { 45 } else { target });
        assert_eq!(world.edges.last().unwrap().1, Direction::Forward);
    }
    // The step it stands on, reached the right way: the motion about to begin is given up.
    let mut world = World::proven(&configuration, 5_000);
    world.carriage.go_to(4_000).unwrap();
    world.run();
    let edges = world.edges.len();
    world.carriage.go_to(3_000).unwrap();
    world.poll();
    world.carriage.go_to(4_000).unwrap();
    world.run();
    assert_eq!((world.truth, world.edges.len()), (4_000, edges));
}

#[test]
fn letting_the_enable_go_brakes_and_nothing_starts_again() {
    let configuration = configuration();
    let mut world = World::proven(&configuration, 0);
    world.carriage.go_to(9_000).unwrap();
    world.run_for(500_000);
    world.enable = false;
    assert_eq!(world.run(), State::Resting);
    let step = world.carriage.step();
    assert!(step > 100 && step < 9_000 && world.carriage.is_proven());
    assert!(world.has(Event::Stopped { step, why: Stop::EnableReleased }));
    assert_eq!(world.carriage.go_to(0), Err(Refusal::EnableNotHeld));
    world.enable = true;
    world.run_for(2_000_000);
    assert_eq!(world.carriage.step(), step);
    world.carriage.go_by(-10).unwrap();
    world.run();
    assert_eq!(world.truth, step - 10);
}

#[test]
fn a_limit_switch_met_on_the_way_is_a_fault_and_stays_one() {
    let configuration = configuration();
    let mut world = World::proven(&configuration, 5_000);
    // Steps were lost: it truly stands 400 steps higher.
    world.truth += 400;
    world.carriage.travel_to_end(End::High).unwrap();
    assert_eq!(world.fault(), Some(Fault::SwitchReached(End::High)));
    assert!(!world.carriage.is_proven());
    assert_eq!(world.carriage.go_to(0), Err(Refusal::Faulted));
    world.carriage.clear_fault().unwrap();
    assert_eq!(world.carriage.go_to(0), Err(Refusal::PositionUnproven));
    world.carriage.find_datum().unwrap();
    assert_eq!(world.run(), State::Resting);
    assert_eq!(world.carriage.step(), world.truth);
}
