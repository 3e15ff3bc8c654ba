//! Late polls, skipped edges, time running backwards, and polls that bring nothing.

use wholestep::carriage::{Carriage, Event, Fault, Refusal, State, Unproven};

use crate::world::{Act, World, configuration};

fn step_on(world: &mut World<'_>) {
    world.poll();
    world.now = world.last.unwrap().poll_again_at.unwrap_or(world.now);
}

#[test]
fn a_late_poll_shifts_what_follows() {
    let configuration = configuration();
    let planned = configuration.parts().paces.travel.profile(2_000).unwrap();
    let mut planned: Vec<u64> = planned.edges().collect();
    let mut world = World::proven(&configuration, 0);
    world.carriage.go_to(2_000).unwrap();
    let begun = world.now + 20;
    let mut late_at = Vec::new();
    while world.carriage.state() != State::Resting {
        // The poll that is due now gives the next edge.
        let given = world.edges.len();
        if given % 100 == 50 {
            // Late by less than the interval.
            let late = (world.edges[given - 1].0 - world.edges[given - 2].0) / 2;
            late_at.push((given, late));
            world.now += late;
        }
        step_on(&mut world);
    }
    for (edge, late) in late_at {
        planned[edge..].iter_mut().for_each(|tick| *tick += late);
    }
    let ticks: Vec<u64> = world.edges.iter().map(|(tick, _)| tick - begun).collect();
    assert_eq!(ticks, planned);
    assert_eq!(world.truth, 2_000);
}

#[test]
fn a_poll_that_is_too_late_at_speed_is_a_fault() {
    let configuration = configuration();
    // Fast: an interval of 125 ticks, and start_interval far longer.
    let mut world = World::proven(&configuration, 0);
    world.carriage.go_to(9_000).unwrap();
    while world.edges.len() < 3_000 {
        step_on(&mut world);
    }
    world.now += 1_000;
    world.poll();
    assert_eq!(world.carriage.fault(), Some(Fault::PolledLate));
    assert!(world.has(Event::Unproven(Unproven::Contradicted)) && !world.carriage.is_moving());
    assert_eq!(world.edges.len(), 3_000);
}

#[test]
fn a_poll_however_late_at_the_start_skips_nothing() {
    let configuration = configuration();
    let mut world = World::proven(&configuration, 0);
    world.carriage.go_to(500).unwrap();
    step_on(&mut world);
    world.now += 50_000_000;
    world.run();
    assert_eq!(world.truth, 500);
    // One edge a poll, and never closer than planned.
    let planned: Vec<u64> = configuration.parts().paces.travel.profile(500).unwrap().edges().collect();
    for (given, planned) in world.edges.windows(2).zip(planned.windows(2)) {
        assert_eq!(given[1].0 - given[0].0, planned[1] - planned[0]);
    }
}

#[test]
fn time_running_backwards_stops_everything() {
    let configuration = configuration();
    for (edges, proven) in [(0, true), (1, true), (3_000, false)] {
        let mut world = World::proven(&configuration, 0);
        world.carriage.go_to(9_000).unwrap();
        world.poll();
        while world.edges.len() < edges {
            step_on(&mut world);
        }
        world.now = 5;
        world.poll();
        assert_eq!(world.carriage.fault(), Some(Fault::TimeBackwards));
        assert_eq!((world.carriage.is_moving(), world.carriage.is_proven()), (false, proven), "{edges}");
        assert_eq!(world.carriage.clear_fault(), Err(Refusal::InputsUnsettled));
        world.run_for(20_000);
        world.carriage.clear_fault().unwrap();
        world.carriage.find_datum().unwrap();
        world.run();
        assert_eq!(world.carriage.step(), world.truth);
    }
}

#[test]
fn polling_more_often_changes_nothing() {
    let configuration = configuration();
    let life = |extra: Option<u64>| {
        let mut world = World::new(Carriage::commissioned(&configuration), 700);
        world.extra_polls = extra;
        let requests: [Act; 4] = [
            |w| w.carriage.go_to(100).unwrap(),
            |w| w.carriage.go_to(1_500).unwrap(),
            |w| w.carriage.brake(),
            |w| w.carriage.go_to(0).unwrap(),
        ];
        world.carriage.find_datum().unwrap();
        // Requests come at the same instants in every life.
        let mut at = 4_000_000;
        for request in requests {
            world.run_for(at - world.now);
            request(&mut world);
            at += 170_000;
        }
        world.run_for(2_000_000);
        assert_eq!(world.carriage.state(), State::Resting);
        (world.edges, world.events)
    };
    let plain = life(None);
    assert!(plain.0.len() > 1_000);
    for extra in [1_777, 293, 91] {
        let more = life(Some(extra));
        assert_eq!(plain.1, more.1);
        assert_eq!(plain.0, more.0, "with a poll every {extra} ticks");
    }
}

#[test]
fn size_and_cost() {
    let size = size_of::<Carriage<&wholestep::carriage::Configuration>>();
    let configuration = configuration();
    let mut world = World::proven(&configuration, 0);
    world.carriage.go_to(9_999).unwrap();
    let mut polls = 0_u32;
    let begun = std::time::Instant::now();
    let inputs = world.inputs();
    while world.carriage.step() < 9_999 {
        let output = world.carriage.poll(world.now, &inputs);
        world.now = output.poll_again_at.unwrap_or(world.now);
        polls += 1;
    }
    let cost = begun.elapsed() / polls;
    println!(
        "a carriage takes {size} bytes, its configuration {}; a poll {cost:?}",
        size_of_val(&configuration)
    );
    assert!(size <= 776, "{size} bytes");
}
