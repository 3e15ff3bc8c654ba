//! Finding the datum, and every way in which it fails.

use wholestep::carriage::{
    Carriage, CarriageConfig, Direction, End, Event, Fault, Input, State, Stop, Unproven, Wiring,
};
use wholestep::mechanism::Trend;

use crate::world::{Act, World, configuration, parts};

#[test]
fn datum_is_found_from_anywhere() {
    let configuration = configuration();
    for start in [5_000, 9_999, -190, -199, -200, -250, 10_210] {
        let mut world = World::new(Carriage::commissioned(&configuration), start);
        world.carriage.find_datum().unwrap();
        assert_eq!(world.run(), State::Resting, "from {start}");
        assert!(world.carriage.is_proven());
        assert_eq!(world.carriage.step(), world.truth, "from {start}");
        assert!(world.has(Event::DatumFound { met_at: -200, off_by: None }));
    }
}

#[test]
fn either_end_either_wiring_either_trend() {
    for end in End::BOTH {
        for wiring in [Wiring::NormallyClosed, Wiring::NormallyOpen] {
            for both in [true, false] {
                for trend in [Trend::Rising, Trend::Falling] {
                    let mut parts = parts();
                    parts.switches = [Some(wiring); 2];
                    if !both {
                        parts.switches[end.other() as usize] = None;
                    }
                    parts.trend = trend;
                    let datum = parts.datum.as_mut().unwrap();
                    datum.end = end;
                    // By step number the low end is at the top where the trend falls.
                    let at_bottom = (end == End::Low) == (trend == Trend::Rising);
                    datum.step = if at_bottom { -200 } else { 10_200 };
                    let configuration = CarriageConfig::new(parts).unwrap();
                    let mut world = World::new(Carriage::commissioned(&configuration), 3_000);
                    if trend == Trend::Falling {
                        world.low.at = 10_200;
                        world.low.end = End::High;
                        world.high.at = -200;
                        world.high.end = End::Low;
                        world.run_for(20_000);
                    }
                    world.carriage.find_datum().unwrap();
                    assert_eq!(
                        world.run(),
                        State::Resting,
                        "{end:?} {wiring:?} {both} {trend:?}: {:?}",
                        world.events
                    );
                    assert_eq!(world.carriage.step(), world.truth);
                }
            }
        }
    }
}

#[test]
fn the_next_search_says_how_far_it_was_off() {
    let configuration = configuration();
    let mut world = World::proven(&configuration, 3_000);
    world.truth -= 7;
    world.carriage.find_datum().unwrap();
    world.run();
    assert!(world.has(Event::DatumFound { met_at: -200, off_by: Some(7) }), "{:?}", world.events);
    assert_eq!(world.carriage.step(), world.truth);
}

#[test]
fn a_fault_on_the_way_does_not_keep_the_next_search_from_saying_how_far_it_was_off() {
    let configuration = configuration();
    let off_by = |world: &mut World<'_>| {
        world.carriage.find_datum().unwrap();
        assert_eq!(world.run(), State::Resting);
        assert_eq!(world.carriage.step(), world.truth);
        world.events.iter().rev().find_map(|event| match event {
            Event::DatumFound { off_by, .. } => Some(*off_by),
            _ => None,
        })
    };
    let mut world = World::proven(&configuration, 3_000);
    // Lost steps lead it into the switch.
    world.truth -= 400;
    world.carriage.travel_to_end(End::Low).unwrap();
    assert_eq!(world.fault(), Some(Fault::SwitchReached(End::Low)));
    world.carriage.clear_fault().unwrap();
    assert_eq!(off_by(&mut world), Some(Some(400)));
    // A person heard it slip, and began a search that was broken off.
    world.truth += 9;
    world.carriage.mark_unproven().unwrap();
    world.carriage.find_datum().unwrap();
    world.run_for(50_000);
    world.carriage.brake();
    world.run();
    assert_eq!(off_by(&mut world), Some(Some(-9)));
    // A released drive may snap to any step: there is nothing to compare with.
    world.carriage.release();
    world.truth += 9;
    assert_eq!(off_by(&mut world), Some(None));
}

#[test]
fn every_fault_has_its_name() {
    // What is broken before the search begins, and what while it runs.
    let cases: [(&str, i64, Act, Act, Fault); 10] = [
        ("stalled", 5_000, |_| {}, |w| w.stalled = true, Fault::NeverFound(End::Low)),
        ("switch dead", 5_000, |w| w.low.stuck = Some(false), |_| {}, Fault::NeverFound(End::Low)),
        ("switch stuck", 5_000, |w| w.low.stuck = Some(true), |_| {}, Fault::NeverReleased(End::Low)),
        ("other switch stuck", 5_000, |w| w.high.stuck = Some(true), |_| {}, Fault::NeverReleased(End::High)),
        (
            "switch sticks when met",
            -190,
            |_| {},
            |w| w.low.hysteresis = 1_000,
            Fault::NeverReleased(End::Low),
        ),
        (
            "both stuck",
            5_000,
            |_| {},
            |w| (w.low.stuck, w.high.stuck) = (Some(true), Some(true)),
            Fault::BothPressed,
        ),
        ("drive", 5_000, |_| {}, |w| w.drive_fault = true, Fault::Drive),
        (
            "switches exchanged",
            5_000,
            |w| core::mem::swap(&mut w.low, &mut w.high),
            |_| {},
            Fault::WrongSwitch(End::High),
        ),
        (
            "pressed on the way off",
            -250,
            |_| {},
            |w| w.agenda.push_back((w.now + 140_000, |w| w.low.stuck = Some(true))),
            Fault::PressedMovingAway(End::Low),
        ),
        (
            "chatter",
            -100,
            |w| w.low.bounce = (1..401).map(|n| n * 2_000).collect(),
            |_| {},
            Fault::Chatter(Input::Switch(End::Low)),
        ),
    ];
    let configuration = configuration();
    for (name, start, before, during, fault) in cases {
        let mut world = World::new(Carriage::commissioned(&configuration), start);
        before(&mut world);
        world.run_for(20_000);
        world.carriage.find_datum().unwrap();
        world.run_for(2_000);
        during(&mut world);
        assert_eq!(world.fault(), Some(fault), "{name}: {:?}", world.events);
        assert!(!world.carriage.is_proven());
        assert!(!fault.check().is_empty() && !fault.name().is_empty());
    }
}

/// A machine without bounce that begins to find its datum with these parts.
fn search(configuration: &CarriageConfig, start: i64) -> World<'_> {
    let mut world = World::new(Carriage::commissioned(configuration), start);
    world.low.bounce.clear();
    world.high.bounce.clear();
    world.events.clear();
    world.carriage.find_datum().unwrap();
    world
}

#[test]
fn what_it_tells_in_order() {
    let configuration = configuration();
    let mut world = World::proven(&configuration, 1_000);
    world.carriage.find_datum().unwrap();
    assert!(!world.carriage.is_proven(), "a search unproves at once");
    world.run();
    let step = world.carriage.step();
    let found = Event::DatumFound { met_at: -200, off_by: Some(0) };
    let rested = Event::Stopped { step, why: Stop::Arrived };
    assert_eq!(world.events, [Event::Unproven(Unproven::Searching), found, rested]);
    // Off the switch by its clearance, and a step of braking at most.
    assert!((-151..=-149).contains(&world.truth), "{}", world.truth);
    // Off by as much either way.
    for off in [-9, 9] {
        let mut world = World::proven(&configuration, 1_000);
        world.truth += off;
        world.carriage.find_datum().unwrap();
        world.run();
        assert!(world.has(Event::DatumFound { met_at: -200, off_by: Some(-off) }), "{off}");
    }
}

#[test]
fn each_stage_at_its_pace() {
    let configuration = configuration();
    let mut world = search(&configuration, 1_000);
    world.run();
    // Legs: toward the switch, off it, and slowly toward it and off it, twice; a stage may end between
    // two of one leg.
    let mut legs: Vec<(Direction, Vec<u64>)> = Vec::new();
    for &(tick, direction) in &world.edges {
        match legs.last_mut() {
            Some((last, ticks)) if *last == direction => ticks.push(tick),
            _ => legs.push((direction, vec![tick])),
        }
    }
    let shortest = |leg: usize| legs[leg].1.windows(2).map(|pair| pair[1] - pair[0]).min().unwrap();
    let directions: Vec<_> = legs.iter().map(|(direction, _)| *direction).collect();
    let (down, up) = (Direction::Backward, Direction::Forward);
    assert_eq!(directions, [down, up, down, up, down, up]);
    // Off the switch no further than three steps of hysteresis, what bounds the brakes, and the
    // clearance.
    assert!(legs[1].1.len() < 53 + 2 * 57, "{}", legs[1].1.len());
    // 1,500 steps a second in search, 200 in both slow approaches.
    assert_eq!([shortest(0), shortest(2), shortest(4)], [666, 5_000, 5_000]);
    // Off again to the clearance of 50 steps from the latch, from two steps of braking past it: at
    // 20,000 steps a second squared √(20,000 × 52) = 1,020 steps a second at most.
    for leg in [3, 5] {
        assert!((980..1_000).contains(&shortest(leg)), "{}", shortest(leg));
    }
}

#[test]
fn the_bounds_hold_to_the_step() {
    // From where to where at most, how far it truly is, and the fault.
    let mut tight = parts();
    (tight.steps, tight.touch, tight.measured) = ((0, 1_000), None, 500);
    tight.datum.as_mut().unwrap().bound = 1_200;
    for (at, fault) in [(-200, None), (-201, Some(Fault::NeverFound(End::Low)))] {
        let configuration = CarriageConfig::new(tight).unwrap();
        let mut world = search(&configuration, 1_000);
        world.low.at = at;
        world.run();
        assert_eq!(world.carriage.fault(), fault, "{at}");
        if fault.is_some() {
            assert_eq!(world.truth, -200);
        }
    }
    let mut tight = parts();
    tight.release_bound = 300;
    for (from, fault) in [(-496, None), (-497, Some(Fault::NeverReleased(End::Low)))] {
        let configuration = CarriageConfig::new(tight).unwrap();
        // Met at -200, with three steps of hysteresis it is released at -196.
        let mut world = search(&configuration, from);
        world.run_for(2_000_000);
        let left = world.carriage.fault().is_none();
        assert_eq!((left, world.carriage.fault().filter(|_| !left)), (fault.is_none(), fault), "{from}");
        if !left {
            assert_eq!(world.truth, -197);
        }
    }
}

/// The edges at which a search from 1,000 turns.
fn turns(configuration: &CarriageConfig) -> (Vec<usize>, usize) {
    let mut world = search(configuration, 1_000);
    world.run();
    let turns = world.edges.windows(2).enumerate().filter(|(_, pair)| pair[0].1 != pair[1].1);
    (turns.map(|(edge, _)| edge + 1).collect(), world.edges.len())
}

#[test]
fn a_switch_that_dies_before_the_approach_ends_it_one_clearance_further() {
    let configuration = configuration();
    let (turns, _) = turns(&configuration);
    let mut world = search(&configuration, 1_000);
    world.run_to_edge(turns[0]);
    let pressed_at = world.truth;
    world.run_to_edge(turns[1]);
    world.low.stuck = Some(false);
    assert_eq!(world.fault(), Some(Fault::NeverFound(End::Low)));
    assert_eq!(world.truth, pressed_at - 50);
}

#[test]
fn a_switch_that_sticks_when_it_has_been_cleared_is_never_released() {
    let configuration = configuration();
    let (turns, all) = turns(&configuration);
    // With the last edge off the switch, before, between and after the approaches.
    for edge in [turns[1], turns[3], all] {
        let mut world = search(&configuration, 1_000);
        world.run_to_edge(edge);
        world.low.stuck = Some(true);
        assert_eq!(world.fault(), Some(Fault::NeverReleased(End::Low)), "at edge {edge} of {all}");
        assert!(!world.has(Event::DatumFound { met_at: -200, off_by: None }));
        assert_eq!(world.edges.len(), edge);
    }
}

#[test]
fn a_spike_on_the_way_is_told_and_searched_on_from() {
    let configuration = configuration();
    for edge in [200, 700, 1_100] {
        let mut world = search(&configuration, 1_000);
        world.run_to_edge(edge);
        world.low.stuck = Some(true);
        world.run_for(1_000);
        world.low.stuck = None;
        assert_eq!(world.run(), State::Resting);
        let step = world.carriage.step();
        assert_eq!(
            world.events,
            [
                Event::FalseContact(Input::Switch(End::Low)),
                Event::DatumFound { met_at: -200, off_by: None },
                Event::Stopped { step, why: Stop::Arrived },
            ],
            "at edge {edge}"
        );
        assert_eq!(world.carriage.step(), world.truth);
    }
}

#[test]
fn the_latch_is_the_first_contact_of_the_slow_approach() {
    let mut parts = parts();
    // The fast contact is met elsewhere than the slow one: the plunger creeps.
    for creep in [-7, 0, 5] {
        parts.datum.as_mut().unwrap().step = -123;
        let configuration = CarriageConfig::new(parts).unwrap();
        let mut world = search(&configuration, 1_000);
        let (turns, _) = turns(&configuration);
        world.run_to_edge(turns[1]);
        world.low.at = -200 + creep;
        world.run();
        assert!(world.has(Event::DatumFound { met_at: -123, off_by: None }));
        // The step at which it is met is -123 by definition.
        assert_eq!(world.carriage.step() + 123, world.truth - (-200 + creep), "{creep}");
    }
}
