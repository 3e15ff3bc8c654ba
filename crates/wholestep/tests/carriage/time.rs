//! Late polls, skipped edges, time running backwards, and polls that bring nothing.

use wholestep::carriage::{
    Carriage, CarriageConfig, End, Event, Fault, Input, Refusal, State, Stop, TouchMode, Unproven,
};

use crate::world::{Act, SETTLE, World, configuration, parts};

#[test]
fn a_late_poll_shifts_what_follows() {
    let configuration = configuration();
    let planned = configuration.parts().paces.travel.profile(2_000).unwrap();
    let mut planned: Vec<u64> = planned.edges().collect();
    let mut world = World::proven(&configuration, 0);
    world.carriage.go_to(2_000).unwrap();
    let begun = world.now + 20;
    let mut late_at = Vec::new();
    for _ in 0..10_000 {
        if world.carriage.state() == State::Resting {
            break;
        }
        // The poll that is due now gives the next edge.
        let given = world.edges.len();
        if given % 100 == 50 {
            // Late by less than the interval.
            let late = (world.edges[given - 1].0 - world.edges[given - 2].0) / 2;
            late_at.push((given, late));
            world.now += late;
        }
        world.poll_when_asked();
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
    world.run_to_edge(3_000);
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
    world.poll_when_asked();
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
        world.run_to_edge(edges);
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
fn time_running_backwards_stops_everything_in_every_state() {
    let configuration = configuration();
    let requests: [Act; 5] = [
        |w| w.carriage.find_datum().unwrap(),
        |w| w.carriage.touch_off(TouchMode::Stop, Some(7_000)).unwrap(),
        |w| {
            w.carriage.jog(None).unwrap();
            w.run_for(1_000);
            w.rocker = Some(End::High);
        },
        |w| {
            w.carriage.go_to(9_000).unwrap();
            w.run_for(300_000);
            w.carriage.brake();
        },
        |_| {},
    ];
    for request in requests {
        let mut world = World::proven(&configuration, 5_000);
        request(&mut world);
        world.run_for(100_000);
        let edges = world.edges.len();
        world.now -= 50_000;
        let output = world.poll();
        assert!(output.edge.is_none() && !world.carriage.is_moving());
        assert_eq!(world.carriage.fault(), Some(Fault::TimeBackwards));
        world.run_for(1_000_000);
        assert_eq!(world.edges.len(), edges, "nothing goes on");
        assert!(!world.carriage.is_proven() || world.carriage.step() == world.truth);
    }
}

#[test]
fn what_bounces_between_polls_is_unseen() {
    let configuration = configuration();
    for start in [5_000, -190, -250] {
        let mut world = World::new(Carriage::commissioned(&configuration), start);
        world.only_when_asked = true;
        world.carriage.find_datum().unwrap();
        assert_eq!(world.run(), State::Resting, "{:?}", world.events);
        // A contact is read before the next edge is given, so the step is the same.
        assert_eq!(world.carriage.step(), world.truth);
        world.probe.at = 700;
        world.carriage.touch_off(TouchMode::Stop, Some(700)).unwrap();
        assert_eq!(world.run(), State::Resting);
        assert!(world.has(Event::Touched { step: 700, off_by: Some(0) }), "{:?}", world.events);
    }
}

#[test]
fn what_flickers_at_a_poll_is_weighed_by_what_it_is() {
    let configuration = configuration();
    // For one poll, or for less than the settling time.
    let flicker = |act: Act, back: Act| {
        let mut world = World::proven(&configuration, 5_000);
        world.carriage.go_to(9_000).unwrap();
        world.run_for(300_000);
        act(&mut world);
        world.run_for(4_000);
        back(&mut world);
        world.run();
        assert!(world.truth == world.carriage.step() && !world.carriage.is_moving());
        world
    };
    let switches: [(Act, Act); 3] = [
        (|w| w.low.stuck = Some(true), |w| w.low.stuck = None),
        (|w| w.high.stuck = Some(true), |w| w.high.stuck = None),
        (|w| w.probe.stuck = Some(true), |w| w.probe.stuck = None),
    ];
    for (act, back) in switches {
        let world = flicker(act, back);
        assert_eq!((world.carriage.state(), world.truth), (State::Resting, 9_000));
    }
    let enable = flicker(|w| w.enable = false, |w| w.enable = true);
    let step = enable.truth;
    assert!(step < 9_000 && enable.has(Event::Stopped { step, why: Stop::EnableReleased }));
    let drive = flicker(|w| w.drive_fault = true, |w| w.drive_fault = false);
    assert_eq!(drive.carriage.fault(), Some(Fault::Drive));

    // The switch that is sought: no contact, and the search goes on to the real one.
    let mut world = World::new(Carriage::commissioned(&configuration), 5_000);
    world.carriage.find_datum().unwrap();
    world.run_for(500_000);
    world.low.stuck = Some(true);
    world.run_for(4_000);
    world.low.stuck = None;
    assert_eq!(world.run(), State::Resting);
    assert!(world.has(Event::FalseContact(Input::Switch(End::Low))));
    assert_eq!(world.carriage.step(), world.truth);
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
    let size = size_of::<Carriage<&wholestep::carriage::CarriageConfig>>();
    let configuration = configuration();
    let mut world = World::proven(&configuration, 0);
    world.carriage.go_to(9_999).unwrap();
    let mut polls = 0_u32;
    let begun = std::time::Instant::now();
    let inputs = world.inputs();
    while world.carriage.step() < 9_999 && polls < 100_000 {
        let output = world.carriage.poll(world.now, &inputs);
        world.now = output.poll_again_at.unwrap_or(world.now);
        polls += 1;
    }
    let cost = begun.elapsed() / polls;
    println!(
        "a carriage takes {size} bytes, its configuration {}; a poll {cost:?}",
        size_of_val(&configuration)
    );
    assert!(size <= 800, "{size} bytes");
}

#[test]
fn time_that_begins_again_delays_nothing_beyond_what_settles_anew() {
    let mut parts = parts();
    let planned = parts.paces.fast.profile(12_000).unwrap().edges().next().unwrap();
    // The drive settles anew, in case it was reset with the timer; contacts take 5,000.
    for (drive_settle, waits) in [(1_000, 0), (50_000, 45_000)] {
        parts.drive_settle = drive_settle;
        let configuration = CarriageConfig::new(parts).unwrap();
        let mut world = World::proven(&configuration, 5_000);
        world.run_for(1_000_000_000);
        // It faced down already.
        world.carriage.go_to(4_999).unwrap();
        world.run();
        world.edges.clear();
        world.now = 5;
        world.poll();
        world.now = 5 + SETTLE;
        world.poll();
        world.carriage.clear_fault().unwrap();
        world.carriage.find_datum().unwrap();
        world.run_to_edge(1);
        assert_eq!(world.edges[0].0 - 5 - SETTLE - planned, waits);
    }
}

#[test]
fn how_late_a_poll_may_come() {
    let configuration = configuration();
    // At 8,000 steps a second an edge may come late by the 125 ticks of a step.
    for (edge, late, fault) in [
        (3_000, 125, None),
        (3_000, 126, Some(Fault::PolledLate)),
        // The second edge's interval is that at which the motor starts at once, the third's is not.
        (1, 1_000_000, None),
        (2, 1_000_000, Some(Fault::PolledLate)),
    ] {
        let mut world = World::proven(&configuration, 0);
        world.carriage.go_to(9_000).unwrap();
        world.run_to_edge(edge);
        world.now += late;
        world.poll();
        assert_eq!(world.carriage.fault(), fault, "edge {edge}, {late} late");
        assert_eq!(world.edges.len(), edge + usize::from(fault.is_none()));
    }
}
