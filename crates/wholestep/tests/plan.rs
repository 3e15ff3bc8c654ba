//! Profiles and edges against an oracle in arbitrary precision.

mod plan_oracle;

use num_rational::Ratio;
use plan_oracle::{Motion, exact, whole};
use proptest::prelude::*;
use wholestep::plan::{Profile, StepLimits, StepRates};

fn ratio() -> impl Strategy<Value = Ratio<u64>> {
    (0_u32..18, 1_u64..1000, 1_u64..400).prop_map(|(places, top, bottom)| Ratio::new(top << places, bottom))
}

fn rates() -> impl Strategy<Value = StepRates> {
    (
        ratio(),
        ratio(),
        ratio(),
        ratio(),
        prop_oneof![Just((false, false)), Just((true, false)), Just((false, true))],
    )
        .prop_map(|(speed, acceleration, other, third, (started, jerky))| StepRates {
            speed,
            acceleration: acceleration * 4,
            deceleration: if third.numer() % 2 == 0 { acceleration * 4 } else { other * 4 },
            start_speed: if started { speed * Ratio::new(third.numer() % 7, 6) } else { Ratio::from(0) },
            jerk: jerky.then_some(third * 64),
        })
}

fn check_limits(profile: &Profile, motion: &Motion, rates: &StepRates, timer_hz: u64) {
    let f = whole(timer_hz);
    let [v, a, d, j] = motion.peaks();
    assert!(v * &f <= exact(rates.speed), "speed exceeded: {profile:?}");
    let (up, down) = if rates.jerk.is_some() {
        let least = rates.acceleration.min(rates.deceleration);
        (least, least)
    } else {
        (rates.acceleration, rates.deceleration)
    };
    assert!(a * &f * &f <= exact(up), "acceleration exceeded: {profile:?}");
    assert!(d * &f * &f <= exact(down), "deceleration exceeded: {profile:?}");
    if let Some(jerk) = rates.jerk {
        assert!(j * &f * &f * &f <= exact(jerk), "jerk exceeded: {profile:?}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn every_edge_is_where_the_definition_puts_it(
        rates in rates(),
        timer_hz in prop_oneof![Just(1_000_000_u64), Just(16_000_000), Just(250_000_000), 1000_u64..1_000_000_000],
        steps in prop_oneof![1_u64..8, 1_u64..200, 1_u64..600],
    ) {
        prop_assume!(rates.speed <= Ratio::from(timer_hz));
        let limits = StepLimits::new(rates, timer_hz).unwrap();
        let profile = limits.profile(steps).unwrap();
        let motion = Motion::of(&profile);
        check_limits(&profile, &motion, &rates, timer_hz);
        let edges: Vec<u64> = profile.edges().collect();
        prop_assert_eq!(edges.len() as u64, steps);
        for (k, &tick) in (1..).zip(&edges) {
            prop_assert!(motion.is_edge(k, tick), "edge {} at {} of {:?}", k, tick, profile);
        }
        let mut filled = vec![0; edges.len() + 3];
        let mut walk = profile.edges();
        let (first, rest) = filled.split_at_mut(edges.len() / 3);
        let count = walk.fill(first) + walk.fill(rest);
        prop_assert_eq!(&filled[..count], &edges[..]);
        for first in [1, steps / 2 + 1, steps, steps + 1] {
            prop_assert!(
                profile.edges_from(first).unwrap().eq(edges[usize::try_from(first).unwrap() - 1..].iter().copied())
            );
        }
    }
}
