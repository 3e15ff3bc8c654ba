//! Targets and their bounds, from rest and under way.

use wholestep::carriage::{
    Carriage, CarriageConfig, Direction, End, Event, Fault, Refusal, State, Stop, TouchMode,
};

use wholestep::plan::{StepLimits, StepRates};

use crate::world::{HZ, World, approached_from, configuration, parts};

#[test]
fn a_target_is_told_while_it_travels_and_only_then() {
    let configuration = configuration();
    let mut world = World::proven(&configuration, 5_000);
    assert_eq!(world.carriage.target(), None);
    world.carriage.go_to(6_000).unwrap();
    assert_eq!(world.carriage.target(), Some(6_000));
    world.run_to_edge(300);
    // Counted from the target, not from where it is.
    world.carriage.go_by(-400).unwrap();
    assert_eq!((world.carriage.target(), world.carriage.step()), (Some(5_600), 5_300));
    world.carriage.travel_to_end(End::Low).unwrap();
    assert_eq!(world.carriage.target(), Some(0));
    world.carriage.brake();
    assert_eq!((world.carriage.target(), world.carriage.state()), (None, State::Braking));
    world.run();
    world.carriage.travel_to_end(End::High).unwrap();
    assert_eq!(world.carriage.target(), Some(10_000));
    world.run();
    assert_eq!((world.carriage.target(), world.truth), (None, 10_000));
}

#[test]
fn numbers_past_twice_the_range_of_steps_are_none() {
    let configuration = configuration();
    let range = 2 << 40;
    for (by, refusal) in [
        (range - 5_000, Refusal::BeyondLimit { step: range, last: 10_000 }),
        (range - 4_999, Refusal::OutOfRange),
        (-range - 5_000, Refusal::BeyondLimit { step: -range, last: 0 }),
        (-range - 5_001, Refusal::OutOfRange),
        (i64::MIN, Refusal::OutOfRange),
    ] {
        assert_eq!(World::proven(&configuration, 5_000).carriage.go_by(by), Err(refusal), "{by}");
    }
    // What forbids any request is said first.
    let mut faulted = World::proven(&configuration, 5_000);
    faulted.drive_fault = true;
    faulted.run();
    assert_eq!(faulted.carriage.go_by(i64::MAX), Err(Refusal::Faulted));
    let mut new = Carriage::new(&configuration);
    assert_eq!(new.go_by(i64::MAX), Err(Refusal::InputsUnsettled));
    new = World::new(new, 5_000).carriage;
    assert_eq!(new.go_by(i64::MAX), Err(Refusal::NotCommissioned));
}

#[test]
fn a_brake_that_releases_is_not_turned_to_a_target() {
    let configuration = configuration();
    let mut world = World::proven(&configuration, 5_000);
    world.carriage.go_to(9_000).unwrap();
    world.run_to_edge(500);
    world.carriage.brake_and_release();
    assert_eq!(world.carriage.go_to(9_000), Err(Refusal::Busy(State::Braking)));
    assert_eq!(world.carriage.go_by(1), Err(Refusal::Busy(State::Braking)));
    // A brake on top of it does not keep the drive on.
    world.carriage.brake();
    assert_eq!(world.carriage.go_to(9_000), Err(Refusal::Busy(State::Braking)));
    world.run();
    assert!(!world.last.unwrap().drive && !world.carriage.is_proven());
}

#[test]
fn a_hand_that_stands_hands_over_and_one_that_moves_does_not() {
    let configuration = configuration();
    let mut world = World::proven(&configuration, 5_000);
    world.carriage.jog(None).unwrap();
    world.run_for(1_000);
    world.rocker = Some(End::High);
    world.run_for(200_000);
    assert_eq!(world.carriage.go_to(6_000), Err(Refusal::Busy(State::Jogging)));
    world.rocker = None;
    world.run();
    assert_eq!(world.carriage.state(), State::Jogging);
    world.carriage.go_to(6_000).unwrap();
    world.run();
    assert_eq!(world.truth, 6_000);
}

#[test]
fn a_pressed_switch_refuses_only_the_way_to_it() {
    let configuration = configuration();
    for (end, refused, granted) in [(End::Low, 4_999, 5_001), (End::High, 5_001, 4_999)] {
        let mut world = World::proven(&configuration, 5_000);
        let switch = if end == End::Low { &mut world.low } else { &mut world.high };
        switch.stuck = Some(true);
        world.run_for(20_000);
        assert_eq!(world.carriage.go_to(refused), Err(Refusal::SwitchPressed(end)));
        assert_eq!(world.carriage.go_to(5_000), Ok(()));
        world.run();
        assert_eq!(world.carriage.go_to(granted), Ok(()));
    }
    // Pressed between the request and the poll, or under way, it is a fault.
    let mut world = World::proven(&configuration, 5_000);
    world.high.bounce.clear();
    world.high.stuck = Some(true);
    world.run_for(4_999);
    world.carriage.go_to(5_001).unwrap();
    assert_eq!(world.fault(), Some(Fault::SwitchReached(End::High)));
    assert!(world.edges.is_empty());
}

/// How often it stood between two edges: from rest the first takes √(1/a) = 5,000 ticks and more, and
/// at speed none as long.
fn pauses(world: &World<'_>) -> usize {
    world.edges.windows(2).filter(|pair| pair[1].0 - pair[0].0 > 4_500).count()
}

#[test]
fn under_way_the_side_is_kept_with_no_edge_too_many() {
    let mut parts = parts();
    parts.approach = Some((End::Low, 40));
    let configuration = CarriageConfig::new(parts).unwrap();
    // From where to where, at which edge turned to which other target: how low and how high it comes
    // from there, and how often it stands on the way.
    for (from, first, edge, then, lowest, highest, stands) in [
        // Going down it overruns the new target only.
        (5_000, 1_000, 500, 2_000, 1_960, 4_500, 1),
        // Going up there is room ahead: straight on.
        (1_000, 5_000, 1_000, 4_000, 2_000, 4_000, 0),
        (1_000, 5_000, 1_000, 6_000, 2_000, 6_000, 0),
        // Going up at 8,000 steps a second the brake takes 800: past the target and back under it.
        (1_000, 5_000, 1_000, 2_010, 1_970, 2_800, 2),
        // Behind it.
        (1_000, 5_000, 1_000, 1_500, 1_460, 2_800, 2),
        // Going down it turns back up: brakes, and comes to it from below without an overrun.
        (5_000, 1_000, 1_000, 4_500, 3_200, 4_500, 1),
        // Where it would stand too near below the target, it goes on to the overrun at once.
        (5_000, 1_000, 1_000, 3_220, 3_180, 4_000, 1),
    ] {
        let mut world = World::proven(&configuration, from);
        world.carriage.go_to(first).unwrap();
        world.run_to_edge(edge);
        world.carriage.go_to(then).unwrap();
        let mut reached = vec![world.truth];
        world.edges.clear();
        world.run();
        let mut step = reached[0];
        for (_, direction) in &world.edges {
            step += direction.sign();
            reached.push(step);
        }
        let name = format!("{from} to {first}, at edge {edge} to {then}");
        assert_eq!(world.truth, then, "{name}");
        assert_eq!(world.edges.last().unwrap().1, Direction::Forward, "{name}");
        let (bottom, top) = (*reached.iter().min().unwrap(), *reached.iter().max().unwrap());
        assert_eq!((bottom, top, pauses(&world)), (lowest, highest, stands), "{name}");
    }
}

#[test]
fn a_slow_brake_overruns_no_target_that_leaves_it_room() {
    let mut parts = parts();
    let rates = *parts.paces.travel.rates();
    // Each step of acceleration adds four to the brake.
    let rates = StepRates { deceleration: rates.acceleration / 4, ..rates };
    parts.paces.travel = StepLimits::new(rates, HZ).unwrap();
    let configuration = CarriageConfig::new(parts).unwrap();
    for edge in [1, 2, 7, 40] {
        for room in 0..12 {
            let mut world = World::proven(&configuration, 0);
            world.carriage.go_to(9_000).unwrap();
            world.run_to_edge(edge);
            let then = 5 * i64::try_from(edge).unwrap() + room;
            world.carriage.go_to(then).unwrap();
            world.run();
            assert_eq!(world.truth, then);
            assert_eq!(world.edges.len() as u64, then.unsigned_abs(), "turned to {then} at edge {edge}");
        }
    }
}

#[test]
fn under_way_a_leg_past_the_limit_is_refused() {
    let configuration = CarriageConfig::new(approached_from(End::Low, 40, &parts())).unwrap();
    let mut world = World::proven(&configuration, 1_000);
    world.carriage.go_to(5_000).unwrap();
    world.run_to_edge(1_000);
    assert_eq!(world.carriage.go_to(39), Err(Refusal::BeyondLimit { step: -1, last: 0 }));
    assert_eq!(world.carriage.target(), Some(5_000), "a refusal changes nothing");
    world.carriage.go_to(40).unwrap();
    world.run();
    assert_eq!(world.truth, 40);
    // So is one that the brake would pass, although the target itself lies ahead.
    let mut world = World::proven(&configuration, 0);
    world.carriage.go_to(5_000).unwrap();
    world.run_to_edge(20);
    assert_eq!(world.carriage.go_to(30), Err(Refusal::BeyondLimit { step: -10, last: 0 }));
    // Approached from above, the same at the other end.
    let configuration = CarriageConfig::new(approached_from(End::High, 40, &parts())).unwrap();
    let mut world = World::proven(&configuration, 9_000);
    assert_eq!(world.carriage.go_to(9_961), Err(Refusal::BeyondLimit { step: 10_001, last: 10_000 }));
    world.carriage.go_to(9_960).unwrap();
    world.run();
    assert_eq!((world.truth, world.edges.last().unwrap().1), (9_960, Direction::Backward));
}

#[test]
fn a_touch_off_takes_steps_in_range_and_creeps_within_the_limits() {
    let configuration = configuration();
    let most = 1_i64 << 40;
    let touch = |step, contact_step| {
        World::proven(&configuration, step).carriage.touch_off(TouchMode::Stop, contact_step)
    };
    for contact_step in [None, Some(0), Some(10_000)] {
        assert_eq!(touch(5_000, contact_step), Ok(()));
    }
    for (step, last) in [(10_001, 10_000), (most, 10_000), (i64::MAX, 10_000), (-1, 0), (i64::MIN, 0)] {
        assert_eq!(touch(5_000, Some(step)), Err(Refusal::BeyondLimit { step, last }));
    }
    assert_eq!(touch(9_999, None), Ok(()));
    assert_eq!(touch(10_000, None), Err(Refusal::BeyondLimit { step: 10_001, last: 10_000 }));
    // Unproven there is no limit to be past.
    let mut world = World::new(Carriage::commissioned(&configuration), 10_000);
    assert_eq!(world.carriage.touch_off(TouchMode::Stop, Some(0)), Ok(()));
    // Below the limits, where the search for the datum ends, it creeps back within them.
    let mut world = World::new(Carriage::commissioned(&configuration), 100);
    world.carriage.find_datum().unwrap();
    world.run();
    assert!(world.truth < 0);
    world.carriage.touch_off(TouchMode::Stop, None).unwrap();
    world.probe.at = 10;
    world.run();
    assert!(world.has(Event::Touched { step: 10, off_by: None }));
}

#[test]
fn a_gauge_height_is_within_the_limits_and_needs_the_drive() {
    let configuration = configuration();
    let mut world = World::new(Carriage::commissioned(&configuration), 5_000);
    world.carriage.jog(None).unwrap();
    world.run_for(5_000);
    for (step, last) in [(-1, 0), (10_001, 10_000)] {
        assert_eq!(world.carriage.confirm_position(step), Err(Refusal::BeyondLimit { step, last }));
    }
    for step in [0, 10_000, 123] {
        world.carriage.confirm_position(step).unwrap();
        assert_eq!((world.carriage.step(), world.carriage.is_proven()), (step, true));
    }
}

#[test]
fn a_doubt_unproves_once() {
    let configuration = configuration();
    let mut world = World::proven(&configuration, 5_000);
    world.carriage.mark_unproven().unwrap();
    world.carriage.mark_unproven().unwrap();
    world.poll();
    assert_eq!(world.events, [Event::Unproven(wholestep::carriage::Unproven::MarkedUnproven)]);
    assert_eq!(world.carriage.go_to(1), Err(Refusal::PositionUnproven));
    assert!(world.last.unwrap().drive);
}

#[test]
fn where_it_stands_already_it_arrives_at_once() {
    let configuration = configuration();
    let mut world = World::proven(&configuration, 17);
    world.carriage.go_to(17).unwrap();
    world.poll();
    assert_eq!(world.events, [Event::Stopped { step: 17, why: Stop::Arrived }]);
    assert_eq!(world.carriage.state(), State::Resting);
}

#[test]
fn turned_to_a_target_ahead_it_does_not_stop_on_the_way() {
    let configuration = configuration();
    let planned =
        |steps| configuration.parts().paces.travel.profile(steps).unwrap().edges().collect::<Vec<_>>();
    let turned = |first: i64, edge: usize, then: i64| {
        let mut world = World::proven(&configuration, 0);
        world.carriage.go_to(first).unwrap();
        let begun = world.now + 20;
        world.run_to_edge(edge);
        world.carriage.go_to(then).unwrap();
        world.run();
        assert_eq!(world.truth, then);
        world.edges.iter().map(|(tick, _)| tick - begun).collect::<Vec<_>>()
    };
    // Nearer: as if it had been sent there, but for the tick or two by which a brake differs.
    let edges = turned(9_000, 1_000, 2_500);
    for (given, planned) in edges.iter().zip(planned(2_500)) {
        assert!(given.abs_diff(planned) <= 200, "{given} for {planned}");
    }
    // Further: the plan under way is kept to its end.
    for then in [5_001, 5_500, 9_000] {
        assert_eq!(turned(5_000, 1_000, then)[..4_000], planned(5_000)[..4_000]);
    }
    // The same again; and before the first edge as if the first had never been.
    assert_eq!(turned(5_000, 1_000, 5_000), planned(5_000));
    let mut world = World::proven(&configuration, 0);
    world.carriage.go_to(100).unwrap();
    let begun = world.now + 20;
    world.poll();
    world.carriage.go_to(5_000).unwrap();
    world.run();
    assert_eq!(world.edges.iter().map(|(tick, _)| tick - begun).collect::<Vec<_>>(), planned(5_000));
}

#[test]
fn turned_back_it_goes_no_further_than_its_brake() {
    let configuration = configuration();
    for then in [0, 1_000, 2_900] {
        let mut world = World::proven(&configuration, 1_000);
        world.carriage.go_to(5_000).unwrap();
        world.run_to_edge(2_000);
        world.carriage.go_to(then).unwrap();
        world.run();
        let forward = world.edges.iter().filter(|(_, direction)| *direction == Direction::Forward).count();
        assert_eq!((world.truth, forward), (then, 2_800));
    }
}
