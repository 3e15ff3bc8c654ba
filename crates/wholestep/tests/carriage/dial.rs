//! From two contacts to counts, from counts to detents, from detents to steps.

use wholestep::carriage::{Detent, Event, Quadrature, Refusal};
use wholestep::{ErrorKind, Exact};

use crate::world::{World, configuration};

#[test]
fn every_change_of_the_two_contacts_counts_as_it_should() {
    // Upward the first contact leads.
    let cycle = [(false, false), (true, false), (true, true), (false, true)];
    for from in 0..4 {
        for (turned, count, missed) in [(0, 0, 0), (1, 1, 0), (2, 0, 1), (3, u32::MAX, 0)] {
            let (a, b) = cycle[from];
            let mut dial = Quadrature::new(a, b);
            let (a, b) = cycle[(from + turned) % 4];
            dial.read(a, b);
            assert_eq!((dial.count(), dial.missed()), (count, missed), "{turned} on from {from}");
            // Read again, nothing has changed.
            dial.read(a, b);
            assert_eq!((dial.count(), dial.missed()), (count, missed));
        }
    }
    let mut dial = Quadrature::new(false, false);
    for (a, b) in cycle.into_iter().cycle().skip(1).take(10) {
        dial.read(a, b);
    }
    assert_eq!(dial.count(), 10);
}

#[test]
fn a_detent_has_parts_in_range() {
    let most = 1_i64 << 62;
    for (numerator, denominator) in [(1, 1), (-1, 1), (most, most), (-most, 1), (1, most)] {
        let size = Detent::new(numerator, denominator).unwrap().size().unwrap();
        assert_eq!(size, Exact::new(numerator.into(), denominator.into()).unwrap());
    }
    for (numerator, denominator) in
        [(0, 1), (1, 0), (1, -1), (most + 1, 1), (-most - 1, 1), (1, most + 1), (i64::MIN, 1)]
    {
        assert_eq!(Detent::new(numerator, denominator), Err(Refusal::OutOfRange));
    }
}

#[test]
fn detents_are_rounded_once_to_the_even_step() {
    let half = Detent::new(1, 2).unwrap();
    for (detents, steps) in [(0, 0), (1, 0), (2, 1), (3, 2), (5, 2), (7, 4), (-1, 0), (-3, -2), (-5, -2)] {
        assert_eq!(half.steps(detents), Ok(steps), "{detents}");
    }
    let third = Detent::new(-1, 3).unwrap();
    assert_eq!([1, 2, 3, 4, -2].map(|detents| third.steps(detents)), [0, -1, -1, -1, 1].map(Ok));
}

#[test]
fn steps_of_detents_are_exact_or_refused() {
    let long = Detent::new(1 << 39, 1).unwrap();
    assert_eq!(long.steps(5), Ok(5 << 39));
    let longest = Detent::new(1 << 62, 1).unwrap();
    assert_eq!((longest.steps(1), longest.steps(-2)), (Ok(1 << 62), Ok(i64::MIN)));
    for detents in [2, i64::MAX, -3, i64::MIN] {
        let refused = longest.steps(detents).unwrap_err();
        assert_eq!(refused.kind(), ErrorKind::OutOfRange);
        assert!(refused.to_string().starts_with(&format!("steps of {detents} detents: ")), "{refused}");
    }
    let one = Detent::new(1, 1).unwrap();
    for steps in [(1 << 40) + 2, i64::MAX, i64::MIN] {
        assert_eq!(one.steps(steps), Ok(steps));
    }
}

#[test]
fn a_dial_counts_on_from_where_it_stood() {
    let mut dial = Quadrature::new(false, true);
    for (a, b) in [(true, true), (false, false), (true, false), (false, false), (false, true)] {
        dial.read(a, b);
        let (levels, again) = (dial.levels(), Quadrature::resumed(a, b, dial.count(), dial.missed()));
        assert_eq!((levels, again), ((a, b), dial));
    }
}

/// A dial that stands at `count` when the hand takes over, ten steps a detent of four counts.
fn led(count: u32) -> World<'static> {
    let configuration = Box::leak(Box::new(configuration()));
    let mut world = World::proven(configuration, 5_000);
    world.dial = count;
    world.run_for(1);
    world.carriage.jog(Some(Detent::new(10, 1).unwrap())).unwrap();
    world.run_for(1_000);
    world
}

#[test]
fn counts_begin_where_the_hand_takes_over_and_wrap() {
    for count in [0, 50, u32::MAX - 1, u32::MAX, 1 << 31] {
        for (counts, step) in [(3, 5_000), (4, 5_010), (11, 5_020), (-3, 5_000), (-8, 4_980)] {
            let mut world = led(count);
            world.dial = world.dial.wrapping_add_signed(counts);
            world.run();
            assert_eq!(world.truth, step, "{counts} from {count}");
        }
    }
}

#[test]
fn counts_gather_to_a_detent_either_way() {
    let mut world = led(7);
    // Up to the detent, trembling on it, on to the next, and all the way back.
    let turns =
        [(3, 0), (1, 10), (-1, 10), (1, 10), (-1, 10), (5, 20), (-5, 10), (-3, 0), (-1, 0), (-3, -10)];
    for (counts, offset) in turns {
        world.dial = world.dial.wrapping_add_signed(counts);
        world.run();
        assert_eq!(world.truth, 5_000 + offset, "{counts}");
    }
}

#[test]
fn more_counts_than_a_hand_turns_at_once_are_a_jump() {
    // 64 at once are taken.
    for (counts, detents) in [(64, Some(16)), (-64, Some(-16)), (65, None), (-65, None)] {
        let mut world = led(0);
        world.dial = world.dial.wrapping_add_signed(counts);
        world.run();
        assert_eq!(world.truth, 5_000 + 10 * detents.unwrap_or(0), "{counts}");
        assert_eq!(world.has(Event::DialJumped), detents.is_none(), "{counts}");
        // It goes on from there.
        world.dial = world.dial.wrapping_add(4);
        world.run();
        assert_eq!(world.truth, 5_010 + 10 * detents.unwrap_or(0));
    }
}
