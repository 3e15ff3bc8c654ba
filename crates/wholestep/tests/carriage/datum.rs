//! Finding the datum, and every way in which it fails.

use wholestep::carriage::{Carriage, Configuration, End, Event, Fault, Input, State, Wiring};
use wholestep::mechanism::Trend;

use crate::world::{Act, World, configuration, parts};

#[test]
fn it_finds_the_datum_from_anywhere() {
    let configuration = configuration();
    for start in [5_000, 9_999, -190, -199, -200, -250, 10_210] {
        let mut world = World::new(Carriage::commissioned(&configuration), start);
        world.carriage.find_datum().unwrap();
        assert_eq!(world.run(), State::Resting, "from {start}");
        assert!(world.carriage.is_proven());
        assert_eq!(world.carriage.step(), world.truth, "from {start}");
        assert!(world.has(Event::DatumFound { latch: -200, off_by: None }));
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
                    let configuration = Configuration::new(parts).unwrap();
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
    assert!(world.has(Event::DatumFound { latch: -200, off_by: Some(7) }), "{:?}", world.events);
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
    world.carriage.doubt().unwrap();
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
