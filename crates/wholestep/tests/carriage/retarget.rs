//! Targets that change on the way: what is promised of every motion, for any targets at any edges.

use proptest::prelude::*;
use wholestep::carriage::{CarriageConfig, Direction, End, Event, State, Stop};
use wholestep::plan::StepLimits;

use crate::world::{HZ, World, approached_from, limits, parts};

/// Polls until `edges` have been given in all, or it rests.
fn until(world: &mut World<'_>, edges: usize) {
    while world.edges.len() < edges && world.carriage.state() != State::Resting {
        world.poll();
        world.now = world.last.unwrap().poll_again_at.unwrap_or(world.now);
    }
}

fn stops(world: &World<'_>) -> usize {
    world.events.iter().filter(|event| matches!(event, Event::Stopped { .. })).count()
}

/// The limits of trapezoids and of a jerk-limited move, full speed after 800 steps and 960.
fn both_shapes() -> [StepLimits; 2] {
    [limits(8_000, 40_000, None), limits(8_000, 40_000, Some(1_000_000))]
}

#[test]
fn a_farther_target_is_gone_on_to_as_if_it_had_been_the_first() {
    for travel in both_shapes() {
        // In acceleration, at full speed, and where the first plan would not reach full speed.
        for (first, after) in [(4_000, 1), (4_000, 300), (4_000, 2_000), (4_000, 2_900), (600, 90), (600, 1)]
        {
            let mut parts = parts();
            parts.paces.travel = travel;
            let configuration = CarriageConfig::new(parts).unwrap();
            let mut world = World::proven(&configuration, 0);
            world.carriage.go_to(first).unwrap();
            until(&mut world, after);
            world.carriage.go_to(9_000).unwrap();
            world.run();
            assert_eq!((world.truth, stops(&world)), (9_000, 1), "{first} after {after}");
            let begun = world.edges[0].0;
            let edges = travel.profile(9_000).unwrap().edges().collect::<Vec<_>>();
            for (k, (tick, _)) in world.edges.iter().enumerate() {
                let off = (tick - begun).abs_diff(edges[k] - edges[0]);
                assert!(off <= 4, "edge {} is {off} ticks off, {first} after {after}", k + 1);
            }
        }
    }
}

#[test]
fn while_it_slows_down_it_stops_before_it_goes_on() {
    for travel in both_shapes() {
        let mut parts = parts();
        parts.paces.travel = travel;
        let configuration = CarriageConfig::new(parts).unwrap();
        let mut world = World::proven(&configuration, 0);
        world.carriage.go_to(2_000).unwrap();
        until(&mut world, 1_900);
        world.carriage.go_to(9_000).unwrap();
        world.run();
        assert_eq!((world.truth, world.edges.len()), (9_000, 9_000));
        assert!(world.edges[2_000].0 - world.edges[1_999].0 > HZ / 1_000, "it stood on 2,000");
    }
}

#[test]
fn a_nearer_target_is_ended_on_exactly_without_a_creep() {
    for travel in both_shapes() {
        let mut parts = parts();
        parts.paces.travel = travel;
        let configuration = CarriageConfig::new(parts).unwrap();
        for after in (1..1_500).step_by(73) {
            for ahead in [810, 1_000, 3_333] {
                let mut world = World::proven(&configuration, 0);
                world.carriage.go_to(9_900).unwrap();
                until(&mut world, after);
                let to = world.carriage.step() + ahead;
                world.carriage.go_to(to).unwrap();
                world.run();
                assert_eq!(world.truth, to);
                assert_eq!(world.edges.len() as u64, to.unsigned_abs(), "it turned back");
                // A move of a step or two from rest would take this long for its first interval.
                let last = world.edges[world.edges.len() - 8..].windows(2);
                let creep = configuration.start_interval() * 2;
                assert!(last.clone().all(|pair| pair[1].0 - pair[0].0 < creep), "{after}, {ahead}: {last:?}");
            }
        }
    }
}

#[derive(Clone, Copy, Debug)]
struct Turn {
    after: usize,
    to: i64,
}

fn any_turn() -> impl Strategy<Value = Turn> {
    (1_usize..1_500, 0_i64..=10_000).prop_map(|(after, to)| Turn { after, to })
}

fn any_configuration() -> impl Strategy<Value = CarriageConfig> {
    let rates = (500_u64..20_000, 2_000_u64..200_000, proptest::option::of(50_000_u64..2_000_000));
    (rates, proptest::option::of((any::<bool>(), 1_u64..60))).prop_map(
        |((speed, acceleration, jerk), approach)| {
            let mut parts = match approach {
                Some((high, overrun)) => {
                    approached_from(if high { End::High } else { End::Low }, overrun, &parts())
                }
                None => parts(),
            };
            parts.steps = (-60, 10_060);
            // A stop must fit between the soft limits.
            let acceleration = acceleration.max(speed * speed / 19_000);
            parts.paces.travel = limits(speed, acceleration, jerk);
            CarriageConfig::new(parts).unwrap()
        },
    )
}

/// The fastest that speed can fall, from the edges alone: over any run of edges in one direction the
/// mean speeds of its halves differ by no more than the deceleration in the time between their middles,
/// each of the three ticks being off by one at most.
fn slows_no_faster(edges: &[(u64, Direction)], deceleration: u64) -> bool {
    const EDGES: u8 = 12;
    const HALF: usize = EDGES as usize;
    edges.windows(2 * HALF + 1).all(|run| {
        if run.iter().any(|(_, direction)| *direction != run[0].1) {
            return true;
        }
        #[expect(clippy::cast_precision_loss, reason = "small counts of ticks")]
        let seconds = |from: usize, to: usize, off: f64| ((run[to].0 - run[from].0) as f64 + off) / 1e6;
        let before = f64::from(EDGES) / seconds(0, HALF, 2.0);
        let after = f64::from(EDGES) / seconds(HALF, 2 * HALF, -2.0);
        let between = seconds(0, 2 * HALF, 2.0) / 2.0;
        #[expect(clippy::cast_precision_loss, reason = "a small rate")]
        let most = deceleration as f64 * between;
        before - after <= most + 1e-6
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn every_turn_ends_on_its_target_within_the_limits(
        configuration in any_configuration(),
        start in 0_i64..=10_000,
        turns in prop::collection::vec(any_turn(), 1..12),
    ) {
        let mut world = World::proven(&configuration, start);
        world.watched = true;
        let mut target = start;
        for Turn { after, to } in turns {
            world.carriage.go_to(to).unwrap();
            target = to;
            let edges = world.edges.len() + after;
            until(&mut world, edges);
        }
        prop_assert_eq!(world.run(), State::Resting);
        prop_assert_eq!((world.carriage.step(), world.truth), (target, target));
        let arrived = world.has(Event::Stopped { step: target, why: Stop::Arrived });
        prop_assert!(arrived);
        let rates = *configuration.parts().paces.travel.rates();
        let fastest = HZ / rates.speed.to_integer();
        prop_assert!(world.edges.windows(2).all(|pair| pair[1].0 - pair[0].0 + 1 >= fastest));
        prop_assert!(slows_no_faster(&world.edges, rates.deceleration.to_integer()));
    }
}
