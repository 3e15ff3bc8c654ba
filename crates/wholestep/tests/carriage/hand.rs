//! Dial and rocker.

use wholestep::carriage::{
    Carriage, CarriageConfig, Detent, Dial, Direction, End, Event, Fault, State, Stop,
};

use crate::world::{World, configuration, parts};

fn by_hand(configuration: &CarriageConfig, detent: Option<Detent>, from: i64) -> World<'_> {
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
            let expected = 5_000 + detent.steps(detents.into()).unwrap();
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
    assert_eq!(detent.steps(10_000_000), Ok(650_240_000));
    assert_eq!(detent.steps(3), Ok(195));
    assert_eq!(detent.steps(-3), Ok(-195));
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
    let configuration = CarriageConfig::new(parts).unwrap();
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
        world.carriage.confirm_position(world.truth).unwrap();
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

fn stops(world: &World<'_>) -> usize {
    world.events.iter().filter(|event| matches!(event, Event::Stopped { .. })).count()
}

fn dropped(world: &World<'_>) -> Vec<u32> {
    let detents =
        |event: &Event| if let Event::DetentsDropped(detents) = event { Some(*detents) } else { None };
    world.events.iter().filter_map(detents).collect()
}

/// Ten steps a detent at 5,000, with the dial changed.
fn with_dial(change: impl Fn(&mut Dial)) -> CarriageConfig {
    let mut parts = parts();
    change(parts.dial.as_mut().unwrap());
    CarriageConfig::new(parts).unwrap()
}

#[test]
fn a_dial_that_goes_on_turning_leads_one_motion() {
    let configuration = with_dial(|dial| dial.hand_stops = 10_000_000);
    let mut world = by_hand(&configuration, Some(Detent::new(10, 1).unwrap()), 5_000);
    // Ten at once, then at the 2,000 steps a second of the jog: it never catches up.
    world.dial += 40;
    world.poll();
    turn(&mut world, 20, 5_000);
    world.run();
    assert_eq!((world.truth, stops(&world), dropped(&world)), (5_300, 1, vec![]));
}

#[test]
fn poll_is_asked_for_when_the_hand_will_have_stopped() {
    let configuration = configuration();
    let mut world = by_hand(&configuration, Some(Detent::new(1, 1).unwrap()), 5_000);
    world.dial += 4;
    let turned = world.now;
    world.run_for(50_000);
    assert_eq!((world.truth, world.carriage.is_moving()), (5_001, false));
    assert_eq!(world.last.unwrap().poll_again_at, Some(turned + 100_000));
    world.now = turned + 100_000;
    assert_eq!(world.poll().poll_again_at, None);
}

#[test]
fn as_many_detents_as_fit_are_kept() {
    // The hand does not count as stopped before all is done.
    let configuration = with_dial(|dial| (dial.backlog, dial.hand_stops) = (350, 10_000_000));
    for (detents, kept) in [(3, 3), (4, 3), (5, 3), (9, 3), (16, 3), (-3, -3), (-4, -3), (-16, -3)] {
        let mut world = by_hand(&configuration, Some(Detent::new(100, 1).unwrap()), 5_000);
        world.dial = world.dial.wrapping_add_signed(4 * detents);
        world.poll();
        let left = (detents - kept).unsigned_abs();
        assert_eq!(dropped(&world), if left > 0 { vec![left] } else { vec![] });
        world.run();
        assert_eq!(world.truth, 5_000 + 100 * i64::from(kept), "{detents}");
    }
}

#[test]
fn one_detent_always_fits() {
    let configuration = with_dial(|dial| dial.backlog = 10);
    for (detent, counts, step) in
        [((50, 1), 4, 5_050), ((50, 1), 8, 5_050), ((-101, 2), 4, 4_950), ((7, 1), 8, 5_007)]
    {
        let mut world = by_hand(&configuration, Some(Detent::new(detent.0, detent.1).unwrap()), 5_000);
        world.dial += counts;
        world.run();
        assert_eq!(world.truth, step, "{counts} counts of {detent:?}");
    }
}

#[test]
fn when_the_hand_stops_it_falls_back_to_a_mark_either_way() {
    let configuration = with_dial(|dial| dial.backlog = 2_000);
    for (size, counts) in [(50, 64), (50, -64), (-50, 64), (-50, -64)] {
        let mut world = by_hand(&configuration, Some(Detent::new(size, 1).unwrap()), 5_000);
        world.dial = world.dial.wrapping_add_signed(counts);
        let turned = world.now;
        world.run();
        // The jog accelerates for 100 ms, in which it makes 100 steps and takes as many to brake; the
        // hand has stopped by then, so it stands on the mark at 200.
        let sign = size.signum() * i64::from(counts.signum());
        assert_eq!(world.truth, 5_000 + sign * 200, "{size}, {counts}");
        assert_eq!((dropped(&world), stops(&world)), (vec![12], 1));
        assert!(world.edges.last().unwrap().0 - turned < 260_000);
    }
}

#[test]
fn a_hand_that_stops_while_it_turns_back_loses_no_detent() {
    let configuration = with_dial(|dial| dial.hand_stops = 10_000);
    for detents in [20, -20] {
        let mut world = by_hand(&configuration, Some(Detent::new(10, 1).unwrap()), 5_000);
        turn(&mut world, detents, 8_000);
        for part in [64, 16] {
            world.dial = world.dial.wrapping_add_signed(-part * detents.signum());
            world.run_for(1);
        }
        world.run();
        assert_eq!((world.truth, dropped(&world)), (5_000, vec![]), "{detents}");
    }
}

#[test]
fn the_last_mark_within_the_limits_is_no_limit_met() {
    let configuration = configuration();
    for (from, end, detents, last) in
        [(9_850, End::High, 1, 9_950), (150, End::Low, -1, 50), (9_900, End::High, 1, 10_000)]
    {
        let mut world = by_hand(&configuration, Some(Detent::new(100, 1).unwrap()), from);
        turn(&mut world, detents, 200_000);
        world.run();
        assert_eq!((world.truth, world.has(Event::AtLimit(end))), (last, false));
        turn(&mut world, detents, 200_000);
        world.run();
        assert_eq!((world.truth, world.has(Event::AtLimit(end))), (last, true));
        assert!(!world.has(Event::AtLimit(end.other())));
    }
    // Dropped for want of room, not for the limit.
    let mut world = by_hand(&configuration, Some(Detent::new(100, 1).unwrap()), 5_000);
    world.dial += 64;
    world.run();
    assert!(!dropped(&world).is_empty());
    assert!(!world.has(Event::AtLimit(End::High)) && !world.has(Event::AtLimit(End::Low)));
}

#[test]
fn a_rocker_let_go_short_of_the_limit_meets_none() {
    let configuration = configuration();
    let mut world = by_hand(&configuration, None, 5_000);
    world.rocker = Some(End::High);
    world.run_to_edge(500);
    world.rocker = None;
    world.run();
    let stopped = Event::Stopped { step: world.carriage.step(), why: Stop::Arrived };
    assert_eq!(world.events, [stopped]);
}

#[test]
fn the_rocker_takes_over_from_the_dial_after_a_brake() {
    let configuration = configuration();
    for end in End::BOTH {
        let mut world = by_hand(&configuration, Some(Detent::new(10, 1).unwrap()), 5_000);
        turn(&mut world, 25, 6_000);
        assert!(world.carriage.is_moving());
        let taken_over = world.edges.len();
        world.rocker = Some(end);
        world.run_for(300_000);
        // Detents are dropped meanwhile.
        world.dial += 8;
        world.run_for(300_000);
        assert_eq!(dropped(&world), [2]);
        let (before, after) = world.edges.split_at(taken_over);
        assert!(before.iter().all(|(_, direction)| *direction == Direction::Forward));
        // It stood in between: the first edge from rest takes √(1/a) = 7,071 ticks and more.
        let pauses = after.windows(2).filter(|pair| pair[1].0 - pair[0].0 > 7_000).count();
        assert!(pauses >= 1, "{end:?}");
        assert_eq!(stops(&world), 1);
        world.rocker = None;
        world.run();
        // The marks are counted from where it stands.
        let stood = world.truth;
        turn(&mut world, 1, 40_000);
        world.run();
        assert_eq!(world.truth, stood + 10);
    }
    // While the rocker is held no poll is asked for a hand that has left the dial.
    let mut world = by_hand(&configuration, Some(Detent::new(1, 1).unwrap()), 5_000);
    world.dial += 4;
    world.run_for(50_000);
    world.rocker = Some(End::High);
    world.run();
    assert_eq!((world.truth, world.last.unwrap().poll_again_at), (10_000, None));
    // A motion that has not begun gives way at once.
    let mut world = by_hand(&configuration, Some(Detent::new(10, 1).unwrap()), 5_000);
    world.dial += 4;
    world.poll();
    assert!(world.carriage.is_moving());
    world.rocker = Some(End::Low);
    world.run_for(500_000);
    assert!(world.edges.iter().all(|(_, direction)| *direction == Direction::Backward));
    assert!(world.truth < 4_500);
}

#[test]
fn the_rocker_the_other_way_brakes_at_once() {
    let configuration = configuration();
    let mut world = by_hand(&configuration, None, 5_000);
    world.rocker = Some(End::High);
    world.run_to_edge(1_000);
    world.rocker = Some(End::Low);
    world.run_for(1_500_000);
    let top = world.edges.iter().filter(|(_, way)| *way == Direction::Forward).count();
    // 2,000 steps a second, at 20,000 a second squared.
    assert!((1_095..=1_101).contains(&top), "{top}");
    assert!(world.truth < 5_000);
}

#[test]
fn a_hand_that_stops_drops_so_many_detents_at_most() {
    let mut parts = parts();
    let dial = parts.dial.as_mut().unwrap();
    (dial.counts_per_detent, dial.counts_at_once, dial.backlog) = (1, 1 << 30, 1_000);
    let configuration = CarriageConfig::new(parts).unwrap();
    // A thousandth of a step a detent: a counter that runs wild asks for 1,000 steps at once.
    let mut world = by_hand(&configuration, Some(Detent::new(1, 1_000).unwrap()), 5_000);
    world.dial += 1_000_000;
    world.run();
    // After 100 ms and 100 steps the brake would end on 5,200, but 65,536 detents are dropped at once.
    assert_eq!((dropped(&world), world.truth), (vec![65_536], 5_934));
}
