//! What holds in every life: random requests, inputs and speeds on a machine that loses no steps.

use proptest::prelude::*;
use wholestep::axis::MotorDirection;
use wholestep::carriage::{Carriage, CarriageConfig, Detent, End, Event, State, TouchMode};

use crate::world::{HZ, World, approached_from, limits, parts};

#[derive(Clone, Copy, Debug)]
enum Act {
    GoTo(i64),
    GoBy(i64),
    ToEnd(bool),
    Jog(Option<(i64, i64)>),
    FindDatum,
    TouchOff(bool),
    Brake,
    BrakeAndRelease,
    Release,
    Clear,
    State,
    Enable(bool),
    Rocker(Option<bool>),
    Dial(i32),
    DriveFault(bool),
    Stuck(bool, Option<bool>),
}

fn end(high: bool) -> End {
    if high { End::High } else { End::Low }
}

fn any_act() -> impl Strategy<Value = Act> {
    prop_oneof![
        6 => (0_i64..=10_000).prop_map(Act::GoTo),
        2 => (-3_000_i64..3_000).prop_map(Act::GoBy),
        2 => any::<bool>().prop_map(Act::ToEnd),
        2 => Just(Act::Jog(None)),
        3 => (prop_oneof![-400_i64..-1, 1_i64..400], 1_i64..7).prop_map(|size| Act::Jog(Some(size))),
        4 => Just(Act::FindDatum),
        1 => any::<bool>().prop_map(Act::TouchOff),
        2 => Just(Act::Brake),
        1 => Just(Act::BrakeAndRelease),
        1 => Just(Act::Release),
        3 => Just(Act::Clear),
        1 => Just(Act::State),
        1 => any::<bool>().prop_map(Act::Enable),
        3 => proptest::option::of(any::<bool>()).prop_map(Act::Rocker),
        4 => (-40_i32..40).prop_map(Act::Dial),
        1 => any::<bool>().prop_map(Act::DriveFault),
        1 => (any::<bool>(), proptest::option::of(any::<bool>())).prop_map(|(high, stuck)| Act::Stuck(high, stuck)),
    ]
}

fn apply(world: &mut World<'_>, act: Act) {
    let carriage = &mut world.carriage;
    let _ = match act {
        Act::GoTo(step) => carriage.go_to(step),
        Act::GoBy(steps) => carriage.go_by(steps),
        Act::ToEnd(high) => carriage.travel_to_end(end(high)),
        Act::Jog(size) => carriage.jog(size.map(|(n, d)| Detent::new(n, d).unwrap())),
        Act::FindDatum => carriage.find_datum(),
        Act::TouchOff(stop) => {
            // The probe stands where its gauge says, so a touch-off proves what is true.
            let at = world.probe.at;
            carriage.touch_off(if stop { TouchMode::Stop } else { TouchMode::Signal(None) }, Some(at))
        }
        Act::Clear => carriage.clear_fault(),
        Act::State if !carriage.is_moving() => carriage.confirm_position(world.truth),
        Act::State => Ok(()),
        Act::Brake => {
            carriage.brake();
            Ok(())
        }
        Act::BrakeAndRelease => {
            carriage.brake_and_release();
            Ok(())
        }
        Act::Release => {
            carriage.release();
            Ok(())
        }
        Act::Enable(held) => {
            world.enable = held;
            Ok(())
        }
        Act::Rocker(held) => {
            world.rocker = held.map(end);
            Ok(())
        }
        Act::Dial(counts) => {
            world.dial = world.dial.wrapping_add_signed(counts);
            Ok(())
        }
        Act::DriveFault(fault) => {
            world.drive_fault = fault;
            Ok(())
        }
        Act::Stuck(high, stuck) => {
            // A switch that fails while it is searched for may be taken for the datum elsewhere.
            world.misled |= world.carriage.state() == State::FindingDatum;
            if high {
                world.high.stuck = stuck;
            } else {
                world.low.stuck = stuck;
            }
            Ok(())
        }
    };
}

fn any_configuration() -> impl Strategy<Value = CarriageConfig> {
    let speeds = (500_u64..20_000, 2_000_u64..200_000, proptest::option::of(50_000_u64..2_000_000));
    let approach = proptest::option::of((any::<bool>(), 1_u64..200));
    (speeds, 200_u64..3_000, any::<bool>(), approach, 10_u64..2_000).prop_map(
        |((speed, acceleration, jerk), jog, reversed, approach, backlog)| {
            // A stop must fit between the soft limits.
            let acceleration = acceleration.max(speed * speed / 19_000);
            let mut parts = match approach {
                Some((from_high, overrun)) => approached_from(end(from_high), overrun, &parts()),
                None => parts(),
            };
            parts.release_bound = 6_000;
            parts.paces.travel = limits(speed, acceleration, jerk);
            parts.paces.jog = limits(jog, acceleration, None);
            parts.motor = if reversed { MotorDirection::Reversed } else { MotorDirection::Normal };
            parts.dial.as_mut().unwrap().backlog = backlog;
            CarriageConfig::new(parts).unwrap()
        },
    )
}

/// A life takes a third of a second unoptimised; `PROPTEST_CASES` asks for more of them.
fn ordinary_or_as_told() -> ProptestConfig {
    let told = std::env::var_os("PROPTEST_CASES").is_some();
    if told { ProptestConfig::default() } else { ProptestConfig::with_cases(32) }
}

proptest! {
    #![proptest_config(ordinary_or_as_told())]

    #[test]
    fn in_every_life(
        configuration in any_configuration(),
        start in 0_i64..=10_000,
        acts in prop::collection::vec((any_act(), 1_000_u64..400_000), 1..25),
    ) {
        let mut world = World::new(Carriage::commissioned(&configuration), start);
        world.probe.at = 9_000;
        world.watched = true;
        let fastest = configuration.parts().paces.travel.rates().speed.to_integer()
            .max(configuration.parts().paces.jog.rates().speed.to_integer())
            .max(1_500);
        let mut acts = acts;
        // Most lives begin with the datum.
        acts.insert(0, (Act::FindDatum, 20 * HZ));
        for (act, ticks) in acts {
            let edges = world.edges.len();
            apply(&mut world, act);
            world.run_for(ticks);
            // Never faster than the fastest pace, a tick of rounding aside.
            for pair in world.edges[edges..].windows(2) {
                prop_assert!(pair[1].0 - pair[0].0 + 1 >= HZ / fastest);
            }
        }
        world.enable = false;
        world.rocker = None;
        world.carriage.brake();
        let state = world.run();
        prop_assert!(matches!(state, State::Resting | State::Faulted));
        if world.carriage.is_proven() && !world.misled {
            prop_assert_eq!(world.carriage.step(), world.truth);
        }
        prop_assert!(!world.has(Event::EventsLost));
    }
}
