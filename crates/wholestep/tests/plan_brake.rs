//! Brakes, plans of legs, exact positions, and moves beyond usual sizes, against the
//! oracle in arbitrary precision.

mod plan_oracle;

use num_rational::Ratio;
use plan_oracle::{Motion, Number, exact, half, whole};
use proptest::prelude::*;
use wholestep::plan::{Direction, Plan, PlanError, PulseTiming, Shape, StepLimits, StepRates, Stop};

fn rates(jerky: bool, started: bool) -> impl Strategy<Value = StepRates> {
    (100_u64..40_000, 1_u64..400, 1_u64..30, 1_u64..50, 1_u64..9).prop_map(
        move |(speed, ramp, over, jerk, uneven)| {
            // Some tens to hundreds of steps to full speed.
            let acceleration = Ratio::new(speed * speed, ramp * over);
            StepRates {
                speed: Ratio::new(speed * 7, 7 + over % 3),
                acceleration,
                deceleration: acceleration * Ratio::new(uneven, 4),
                start_speed: if started { Ratio::new(speed, over + 1) } else { Ratio::from(0) },
                jerk: jerky.then_some(acceleration * jerk * 10),
            }
        },
    )
}

fn any_rates() -> impl Strategy<Value = StepRates> {
    prop_oneof![rates(false, false), rates(false, true), rates(true, false)]
}

fn number(value: Ratio<i128>) -> Number {
    Number::new((*value.numer()).into(), (*value.denom()).into())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn a_brake_keeps_speed_and_deceleration_and_has_room(
        rates in any_rates(), steps in 2_u64..900, at in 0.0..1.0_f64, timer_hz in 200_000_u64..250_000_000,
    ) {
        let limits = StepLimits::new(rates, timer_hz).unwrap();
        let profile = limits.profile(steps).unwrap();
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, clippy::cast_precision_loss, reason = "any edge will do")]
        let edge = 1 + (at * (steps - 1) as f64) as u64;
        let tick = profile.edge(edge).unwrap();
        let motion = Motion::of(&profile);
        let stop = profile.stop_after(edge, &limits).unwrap();
        prop_assert!(stop.steps() <= steps - edge);
        let Stop::Brake(brake) = stop else {
            return Ok(());
        };
        if brake.shape() == Shape::Rest {
            // At or below the start speed the motor may stop at once.
            let [_, speed, _] = motion.at(&(whole(tick) + half()));
            prop_assert!(speed * whole(timer_hz) <= exact(rates.start_speed));
            return Ok(());
        }
        let path = Motion::of(&brake);
        let [top, up, down, _] = path.peaks();
        // No faster than the move itself within the half tick of the edge's rounding.
        let fastest = [motion.at(&(whole(tick) - half())), motion.at(&whole(tick)), motion.at(&(whole(tick) + half()))]
            .map(|[_, speed, _]| speed);
        prop_assert!(fastest.iter().any(|speed| top <= *speed));
        prop_assert!(up == whole(0) && &down * whole(timer_hz) * whole(timer_hz) <= exact(rates.deceleration));
        // And no longer than needed: one step less would not do, but for the
        // rounding of the edge.
        let end = number(Ratio::new(limits.start_speed().numerator.into(), limits.start_speed().denominator.into()));
        let highest = fastest.iter().max().unwrap();
        let needed = (highest * highest - &end * &end) * whole(timer_hz) * whole(timer_hz) / exact(rates.deceleration) / whole(2);
        prop_assert!(whole(brake.steps()) < needed + half() + whole(1));
        for (k, tick) in (1..).zip(brake.edges()) {
            prop_assert!(path.is_edge(k, tick));
        }
        prop_assert_eq!(brake.edges().count() as u64, brake.steps());
    }

    #[test]
    fn a_brake_ends_on_any_step_there_is_room_for(
        rates in any_rates(), steps in 2_u64..900, at in 0.0..1.0_f64, more in 0_u64..40, timer_hz in 200_000_u64..250_000_000,
    ) {
        let limits = StepLimits::new(rates, timer_hz).unwrap();
        let profile = limits.profile(steps).unwrap();
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, clippy::cast_precision_loss, reason = "any edge will do")]
        let edge = 1 + (at * (steps - 1) as f64) as u64;
        let Stop::Brake(least) = profile.stop_after(edge, &limits).unwrap() else {
            return Ok(());
        };
        prop_assert_eq!(profile.stop_on(edge, least.steps(), &limits).unwrap(), Some(least));
        if let Some(less) = least.steps().checked_sub(1) {
            prop_assert_eq!(profile.stop_on(edge, less, &limits).unwrap(), None);
        }
        let brake = profile.stop_on(edge, least.steps() + more, &limits).unwrap().unwrap();
        prop_assert_eq!(brake.steps(), least.steps() + more);
        prop_assert_eq!(brake.edges().count() as u64, brake.steps());
        let motion = Motion::of(&profile);
        let tick = profile.edge(edge).unwrap();
        let fastest = motion.at(&(whole(tick) + half()))[1].clone().max(motion.at(&(whole(tick) - half()))[1].clone());
        if brake.shape() != Shape::Rest {
            let [top, up, down, _] = Motion::of(&brake).peaks();
            prop_assert!(top <= fastest || top * whole(timer_hz) <= exact(rates.start_speed));
            prop_assert!(up == whole(0) && down * whole(timer_hz) * whole(timer_hz) <= exact(rates.deceleration));
        }
    }

    #[test]
    fn position_and_speed_are_exact_at_any_time(
        rates in any_rates(), steps in 1_u64..500, top in 0_u64..=120, bottom in 1_u64..=120, timer_hz in 200_000_u64..20_000_000,
    ) {
        prop_assume!(top <= bottom);
        let profile = StepLimits::new(rates, timer_hz).unwrap().profile(steps).unwrap();
        let motion = Motion::of(&profile);
        let tick = Ratio::new(i128::from(profile.ticks()) * i128::from(top), i128::from(bottom));
        let [position, speed, _] = motion.at(&number(tick));
        prop_assert_eq!(number(profile.steps_at(tick).unwrap()), position);
        prop_assert_eq!(number(profile.steps_per_tick_at(tick).unwrap()), speed);
        let [v, a, d, j] = motion.peaks();
        prop_assert_eq!(number(profile.peak_speed().unwrap()), v);
        prop_assert_eq!(number(profile.peak_acceleration().unwrap()), a);
        prop_assert_eq!(number(profile.peak_deceleration().unwrap()), d);
        prop_assert_eq!(number(profile.peak_jerk().unwrap().unwrap_or(Ratio::from(0))), j);
        // The interval is a promise over all edges.
        if let Some(shortest) = profile.shortest_interval() {
            let edges: Vec<u64> = profile.edges().collect();
            prop_assert!(edges.windows(2).all(|pair| pair[1] - pair[0] >= shortest));
        }
    }

    /// Moves whose numbers do not fit 128 bits, at sampled edges.
    #[test]
    fn huge_moves_are_as_exact(
        places in 20_u32..=40, speed in 1_u64..1000, slow in 1_u64..1_000_000, jerky: bool, pick in 0_u64..1 << 40, started in 0_u64..2,
    ) {
        let rates = StepRates {
            speed: Ratio::new(speed, 1000),
            acceleration: Ratio::new(1, slow * 1000),
            deceleration: Ratio::new(1, slow * 999),
            start_speed: if jerky { Ratio::from(0) } else { Ratio::new(speed * started, 7919) },
            jerk: jerky.then_some(Ratio::new(1, slow * 1_000_000)),
        };
        let limits = StepLimits::new(rates, 1_000_000).unwrap();
        let steps = 1 << places;
        let profile = match limits.profile(steps) {
            Ok(profile) => profile,
            Err(PlanError::TooLong { .. }) => return Ok(()),
            Err(error) => panic!("{error}"),
        };
        let motion = Motion::of(&profile);
        for k in [1, 2, 1 + pick % steps, steps / 2, steps] {
            let tick = profile.edge(k).unwrap();
            prop_assert!(motion.is_edge(k, tick), "edge {} at {} of {:?}", k, tick, profile);
            let run: Vec<u64> = profile.edges_from(k).unwrap().take(3).collect();
            for (k, tick) in (k..).zip(run) {
                prop_assert!(motion.is_edge(k, tick));
            }
        }
    }

    #[test]
    fn a_plan_strings_legs_together(
        rates in any_rates(), first in -300_i64..300, second in -300_i64..300, setup in 0_u64..500, before in 0..3_usize,
    ) {
        let limits = StepLimits::new(rates, 1_000_000).unwrap();
        let timing = PulseTiming::new(setup, 3, 4).unwrap();
        let before = [None, Some(Direction::Forward), Some(Direction::Backward)][before];
        let plan = match Plan::new(&limits, timing, &[first, second], before) {
            Ok(plan) => plan,
            Err(PlanError::PulseInterval { shortest, needed: 7 }) => {
                prop_assert!(shortest < 7);
                return Ok(());
            }
            Err(error) => panic!("{error}"),
        };
        prop_assert_eq!(plan.steps(), first + second);
        let edges: Vec<_> = plan.edges().collect();
        prop_assert_eq!(edges.len() as u64, first.unsigned_abs() + second.unsigned_abs());
        prop_assert_eq!(edges.iter().map(|edge| edge.direction.sign()).sum::<i64>(), first + second);
        prop_assert!(edges.windows(2).all(|pair| pair[1].tick - pair[0].tick >= 7));
        let mut facing = before;
        let mut freed = 0; // earliest tick at which the direction may change
        for edge in &edges {
            if facing != Some(edge.direction) {
                prop_assert!(edge.tick >= freed + setup);
                facing = Some(edge.direction);
            }
            freed = edge.tick + 3;
        }
        for k in [1, edges.len() / 2 + 1, edges.len() + 1] {
            prop_assert!(plan.edges_from(k as u64).unwrap().eq(edges[k - 1..].iter().copied()));
        }
        let end = Ratio::from(i128::from(plan.ticks()));
        prop_assert_eq!(plan.steps_at(end).unwrap(), Ratio::from(i128::from(first + second)));
    }
}

#[test]
fn pulses_too_close_are_refused() {
    let rates = StepRates {
        speed: Ratio::from(100_000),
        acceleration: Ratio::from(1_000_000),
        deceleration: Ratio::from(1_000_000),
        start_speed: Ratio::from(0),
        jerk: None,
    };
    let limits = StepLimits::new(rates, 1_000_000).unwrap();
    let plan = |width| Plan::new(&limits, PulseTiming::new(0, width, 5).unwrap(), &[20_000], None);
    assert!(plan(5).is_ok());
    assert_eq!(plan(6), Err(PlanError::PulseInterval { shortest: 10, needed: 11 }));
    let three = Plan::new(&limits, PulseTiming::new(0, 1, 1).unwrap(), &[1, 1, 1], None);
    assert_eq!(three, Err(PlanError::TooManyLegs { given: 3, most: 2 }));
}
