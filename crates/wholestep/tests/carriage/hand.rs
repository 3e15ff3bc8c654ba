//! Dial and rocker.

use wholestep::carriage::{Carriage, Configuration, Detent, End, Event, Fault, State};

use crate::world::{World, configuration, parts};

fn by_hand(configuration: &Configuration, detent: Option<Detent>, from: i64) -> World<'_> {
    let mut world = World::proven(configuration, from);
    world.carriage.jog(detent).unwrap();
    world.run_for(1_000);
    world
}

/// Turns the dial by detents, one every so many ticks.
fn turn(world: &mut World<'_>, detents: i32, every: u64) {
    for _ in 0..detents.unsigned_abs() {
        for _ in 0..4 {
            world.dial = world.dial.wrapping_add_signed(detents.signum());
            world.run_for(every / 4);
        }
    }
}

#[test]
fn a_dial_ends_on_the_step_nearest_to_the_sum_of_its_detents() {
    let configuration = configuration();
    for (numerator, denominator) in [(10, 1), (1, 3), (127, 50), (-22, 7)] {
        let detent = Detent::new(numerator, denominator).unwrap();
        for detents in [1, 2, 7, 40, -40, -1] {
            let mut world = by_hand(&configuration, Some(detent), 5_000);
            turn(&mut world, detents, 40_000);
            world.run();
            let expected = 5_000 + detent.steps(detents.into());
            assert_eq!(world.truth, expected, "{detents} of {numerator}/{denominator}");
            assert!(!world.events.iter().any(|event| matches!(event, Event::DetentsDropped(_))));
        }
    }
}

#[test]
fn ten_million_detents_add_up() {
    // 0.004 in on a screw of 5 mm lead and 3,200 steps a turn: 65.024 steps a detent, which end on
    // the step nearest to 40,000 in.
    let detent = Detent::new(8_128, 125).unwrap();
    assert_eq!(detent.steps(10_000_000), 650_240_000);
    assert_eq!(detent.steps(3), 195);
    assert_eq!(detent.steps(-3), -195);
}

#[test]
fn the_dial_is_never_ahead_by_more_than_its_bound() {
    let configuration = configuration();
    let detent = Detent::new(10, 1).unwrap();
    let mut world = by_hand(&configuration, Some(detent), 1_000);
    // 200 detents a second: 2,000 steps a second asked of a jog that can do just that, from rest.
    for _ in 0..400 {
        turn(&mut world, 1, 2_000);
    }
    let step = world.carriage.step();
    world.run();
    let dropped: u32 = world
        .events
        .iter()
        .map(|event| if let Event::DetentsDropped(detents) = event { *detents } else { 0 })
        .sum();
    assert!(dropped > 0);
    assert!(world.truth - step <= 300, "it went on by {}", world.truth - step);
    assert_eq!(world.truth, 1_000 + 10 * (400 - i64::from(dropped)), "every detent moves or is told");
}

#[test]
fn when_the_hand_stops_the_backlog_is_dropped() {
    let mut parts = parts();
    let dial = parts.dial.as_mut().unwrap();
    dial.backlog = 2_000;
    let configuration = Configuration::new(parts).unwrap();
    let mut world = by_hand(&configuration, Some(Detent::new(50, 1).unwrap()), 1_000);
    turn(&mut world, 40, 2_000);
    let turned_until = world.now;
    world.run();
    assert!(world.events.iter().any(|event| matches!(event, Event::DetentsDropped(_))));
    assert_eq!((world.truth - 1_000) % 50, 0, "it stands on a mark");
    let stopped = world.edges.last().unwrap().0 - turned_until;
    // The hand counts as stopped after 100 ms; from 2,000 steps a second the brake takes 100 ms, and a
    // mark is up to 25 ms further.
    assert!(stopped <= 230_000, "{stopped} ticks");
    assert_eq!(world.carriage.step(), world.truth);
}

#[test]
fn turning_back_brakes_and_comes_back() {
    let configuration = configuration();
    let mut world = by_hand(&configuration, Some(Detent::new(10, 1).unwrap()), 5_000);
    turn(&mut world, 20, 8_000);
    turn(&mut world, -20, 8_000);
    world.run();
    assert_eq!(world.truth, 5_000);
}

#[test]
fn the_dial_stops_at_the_soft_limit() {
    let configuration = configuration();
    let mut world = by_hand(&configuration, Some(Detent::new(100, 1).unwrap()), 9_850);
    turn(&mut world, 5, 200_000);
    world.run();
    assert_eq!(world.truth, 9_950);
    assert!(world.has(Event::AtLimit(End::High)));
    turn(&mut world, -1, 200_000);
    world.run();
    assert_eq!(world.truth, 9_850);
}

#[test]
fn a_jump_of_the_counter_moves_nothing() {
    let configuration = configuration();
    let mut world = by_hand(&configuration, Some(Detent::new(10, 1).unwrap()), 5_000);
    world.dial = world.dial.wrapping_add(1 << 20);
    world.run();
    assert!(world.has(Event::DialJumped) && world.edges.is_empty());
    turn(&mut world, 1, 20_000);
    world.run();
    assert_eq!(world.truth, 5_010);
    // Past its wrap it is no jump; and counts that came while no hand led lead nothing.
    world.carriage.brake();
    world.run();
    world.dial = u32::MAX - 1;
    world.run();
    world.carriage.jog(Detent::new(10, 1).ok()).unwrap();
    turn(&mut world, 1, 20_000);
    world.run();
    assert_eq!((world.truth, world.dial), (5_020, 2));
    // While the motion goes on, it goes on as it was led.
    world.dial = world.dial.wrapping_add(8);
    world.run_for(10_000);
    assert!(world.carriage.is_moving());
    world.dial = world.dial.wrapping_sub(1 << 30);
    world.run();
    assert_eq!(world.truth, 5_040);
}

#[test]
fn a_held_rocker_runs_and_brakes_when_let_go() {
    let configuration = configuration();
    let mut world = by_hand(&configuration, None, 5_000);
    world.enable = false;
    world.rocker = Some(End::High);
    world.run_for(1_000_000);
    assert!(world.carriage.is_moving());
    let at = world.truth;
    world.rocker = None;
    world.run();
    // v²/2a of the jog: 100 steps.
    assert!((98..=101).contains(&(world.truth - at)), "{at} to {}", world.truth);
    // The other way at once: it brakes first.
    world.rocker = Some(End::Low);
    world.run_for(500_000);
    world.rocker = Some(End::High);
    world.run_for(2_000);
    world.run_for(500_000);
    world.rocker = None;
    world.run();
    assert_eq!(world.carriage.step(), world.truth);
}

#[test]
fn a_held_rocker_ends_on_the_last_allowed_step() {
    let configuration = configuration();
    for (end, last) in [(End::High, 10_000), (End::Low, 0)] {
        let mut world = by_hand(&configuration, None, 5_000);
        world.rocker = Some(end);
        world.run();
        assert_eq!(world.truth, last);
        assert!(world.has(Event::AtLimit(end)));
        world.run_for(1_000_000);
        assert_eq!(world.truth, last);
    }
}

#[test]
fn unproven_the_hand_is_stopped_by_the_switch() {
    let configuration = configuration();
    let mut world = World::new(Carriage::commissioned(&configuration), 9_000);
    world.carriage.jog(None).unwrap();
    world.run_for(1_000);
    world.rocker = Some(End::High);
    world.run();
    assert!(world.has(Event::AtSwitch(End::High)));
    // Settling time at 2,000 steps a second, and the brake.
    assert!((10_200..=10_320).contains(&world.truth), "{}", world.truth);
    let stopped = world.truth;
    world.rocker = None;
    world.run();
    world.rocker = Some(End::High);
    world.run();
    assert_eq!(world.truth, stopped, "no further against the switch");
    world.rocker = Some(End::Low);
    world.run_for(1_000_000);
    assert!(world.truth < stopped - 500 && world.carriage.fault().is_none());
}

#[test]
fn a_switch_that_stays_pressed_on_the_way_off_is_a_fault() {
    let configuration = configuration();
    let mut world = World::new(Carriage::commissioned(&configuration), 10_250);
    world.high.stuck = Some(true);
    world.carriage.jog(None).unwrap();
    world.run_for(1_000);
    world.rocker = Some(End::Low);
    assert_eq!(world.fault(), Some(Fault::NeverReleased(End::High)));
}

#[test]
fn the_room_to_release_a_switch_is_not_had_anew_by_every_motion() {
    // Found by the random lives: a switch stuck while the carriage stood, and motions shorter than
    // the bound led ever further away from it.
    let configuration = configuration();
    let room = i64::try_from(configuration.parts().release_bound).unwrap();
    let mut world = World::proven(&configuration, 5_000);
    world.high.stuck = Some(true);
    world.run_for(20_000);
    let mut from = 5_000;
    for _ in 0..3 {
        for _ in 0..4 {
            world.carriage.go_by(-room / 4).unwrap();
            assert_eq!(world.run(), State::Resting);
        }
        assert_eq!(world.truth, from - room);
        world.carriage.go_by(-1).unwrap();
        assert_eq!(world.fault(), Some(Fault::NeverReleased(End::High)));
        // Clearing it grants the room anew, also to a hand.
        world.carriage.clear_fault().unwrap();
        world.carriage.jog(None).unwrap();
        world.run_for(5_000);
        world.carriage.state_gauge_height(world.truth).unwrap();
        world.carriage.brake();
        world.run();
        from = world.truth;
    }
    // One that works is released in time, wherever the motions before ended.
    world.high.stuck = None;
    world.run_for(20_000);
    world.carriage.go_by(-2 * room).unwrap();
    assert_eq!(world.run(), State::Resting);
}

#[test]
fn outside_the_soft_limits_the_dial_leads_only_inward() {
    // Found by the random lives: turned back, it braked past the mark and came out again to it.
    let configuration = configuration();
    for wait in (2_000..80_000).step_by(1_000) {
        let mut world = World::new(Carriage::commissioned(&configuration), 0);
        world.watched = true;
        world.carriage.find_datum().unwrap();
        world.run();
        assert!(world.truth < 0 && world.carriage.is_proven());
        world.carriage.jog(Some(Detent::new(13, 1).unwrap())).unwrap();
        world.run_for(1_000);
        world.dial += 20;
        world.run_for(wait);
        world.dial -= 16;
        world.run();
        assert_eq!(world.carriage.step(), world.truth);
    }
}
