//! Intervals of 32 bits: the same edges, and refused where one would not fit.

use num_rational::Ratio;
use wholestep::plan::{PlanError, Profile, StepLimits, StepRates, Stop};

fn limits(speed: u64, rates: [u64; 2], start: u64, jerk: Option<u64>, timer_hz: u64) -> StepLimits {
    let [acceleration, deceleration] = rates.map(Ratio::from);
    let start_speed = Ratio::from(start);
    let rates = StepRates {
        speed: Ratio::from(speed),
        acceleration,
        deceleration,
        start_speed,
        jerk: jerk.map(Ratio::from),
    };
    StepLimits::new(rates, timer_hz).unwrap()
}

fn check(profile: &Profile) {
    let edges: Vec<u64> = profile.edges().collect();
    let mut since = 0;
    let expected: Vec<u32> = edges
        .iter()
        .map(|&tick| u32::try_from(tick - core::mem::replace(&mut since, tick)).unwrap())
        .collect();
    assert!(profile.intervals().unwrap().eq(expected.iter().copied()), "{profile:?}");
    for piece in [1, 63, 64, 65, 1_000] {
        let mut intervals = profile.intervals().unwrap();
        let mut filled: Vec<u32> = Vec::new();
        let mut slots = vec![0; piece];
        loop {
            let found = intervals.fill(&mut slots);
            filled.extend(&slots[..found]);
            if found < piece {
                break;
            }
        }
        assert_eq!(filled, expected, "{piece} at a time, {profile:?}");
    }
}

#[test]
fn they_are_the_distances_of_the_edges() {
    for limits in [
        limits(20_000, [100_000, 100_000], 0, None, 16_000_000),
        limits(7_001, [9_001, 3_000], 0, None, 1_000_000_000),
        limits(7_001, [9_001, 3_000], 613, None, 1_000_000),
        limits(20_000, [100_000, 100_000], 0, Some(1_000_000), 16_000_000),
        limits(500, [1_000, 1_000], 500, None, 1_000_000),
    ] {
        for steps in [1, 2, 3, 64, 129, 5_000] {
            let profile = limits.profile(steps).unwrap();
            check(&profile);
            if let Ok(Stop::Brake(brake)) = profile.stop_after(steps / 2 + 1, &limits) {
                check(&brake);
            }
        }
        assert_eq!(limits.profile(0).unwrap().intervals().unwrap().fill(&mut [0; 3]), 0);
    }
}

#[test]
fn what_needs_more_bits_is_refused() {
    const MOST: u64 = (1 << 32) - 2;
    // At constant speed the second interval is the first whole step.
    let constant = |ticks: u64, steps| {
        let speed = Ratio::new(1_000_000_000, ticks);
        let rates = StepRates {
            speed,
            acceleration: Ratio::from(1),
            deceleration: Ratio::from(1),
            start_speed: speed,
            jerk: None,
        };
        StepLimits::new(rates, 1_000_000_000).unwrap().profile(steps).unwrap()
    };
    check(&constant(MOST, 5));
    let refused = constant(MOST + 1, 5).intervals().map(|_| ());
    assert_eq!(refused, Err(PlanError::IntervalTooLong { given: MOST + 1, most: MOST }));
    // The last of a ramp down, and the first of a ramp up.
    for rates in [[1_000, 1], [1, 1_000]] {
        let profile = limits(100, rates, 0, None, 1_000_000_000).profile(3);
        // The edge half a step from rest is √(2 · ½ / 1) = 1 s from it: 1.0e9 ticks fit.
        assert!(profile.unwrap().intervals().is_ok());
        let rates = StepRates {
            speed: Ratio::from(100),
            acceleration: Ratio::new(rates[0], 40),
            deceleration: Ratio::new(rates[1], 40),
            start_speed: Ratio::from(0),
            jerk: None,
        };
        // At a fortieth of the rates it is √40 s, and the edge before (√3 - 1) times as far again: 6.3e9
        // and 4.6e9 do not.
        let profile = StepLimits::new(rates, 1_000_000_000).unwrap().profile(3).unwrap();
        let longest = profile.edge(1).unwrap().max(profile.edge(3).unwrap() - profile.edge(2).unwrap());
        let refused = profile.intervals().map(|_| ());
        assert_eq!(refused, Err(PlanError::IntervalTooLong { given: longest, most: MOST }));
    }
}
