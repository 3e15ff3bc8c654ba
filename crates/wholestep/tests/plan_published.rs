//! Motion against published figures, each with its source.

use num_rational::Ratio;
use wholestep::plan::{PlanError, Profile, Shape, StepLimits, StepRates};

const MHZ: u64 = 1_000_000;

fn from_rest(speed: u64, acceleration: u64, deceleration: u64) -> StepRates {
    StepRates {
        speed: Ratio::from(speed),
        acceleration: Ratio::from(acceleration),
        deceleration: Ratio::from(deceleration),
        start_speed: Ratio::from(0),
        jerk: None,
    }
}

fn profile(rates: StepRates, timer_hz: u64, steps: u64) -> Profile {
    StepLimits::new(rates, timer_hz).unwrap().profile(steps).unwrap()
}

/// The least whole t with t² at least `square`, by halving: no code of the crate.
fn root(square: u128) -> u128 {
    let (mut low, mut high) = (0, 1 << 63);
    while low < high {
        let middle = u128::midpoint(low, high);
        if middle * middle >= square { high = middle } else { low = middle + 1 }
    }
    low
}

/// First tick at which the profile has passed whole step `n`, in units of 2^-20
/// tick, found by halving over exact positions.
fn time_of(profile: &Profile, n: i128) -> i128 {
    let (mut low, mut high) = (0, i128::from(profile.ticks()) << 20);
    while low < high {
        let middle = i128::midpoint(low, high);
        if profile.steps_at(Ratio::new(middle, 1 << 20)).unwrap() >= Ratio::from(n) {
            high = middle;
        } else {
            low = middle + 1;
        }
    }
    low
}

/// Atmel AVR446, Linear speed control of stepper motor (read): `c_n = c_0 (√(n+1) - √n)`. The ratios
/// `c_n / c_(n-1)` below are that formula's (recomputed). They are of the times at which the ideal
/// profile passes whole steps, not of the edges, which stand at half steps.
#[test]
fn intervals_of_constant_acceleration_shrink_by_the_published_formula() {
    // Slow enough and long enough that rounding to whole ticks is far below 1e-6.
    let profile = profile(from_rest(1_000_000, 100, 100), 250 * MHZ, 1 << 20);
    let interval = |n: i128| time_of(&profile, n + 1) - time_of(&profile, n);
    for (n, millionths) in
        [(1, 414_214), (2, 767_327), (3, 843_039), (4, 881_018), (5, 904_069), (10, 951_130), (100, 995_012)]
    {
        let ratio = interval(n) * 1_000_000_000 / interval(n - 1);
        assert!((ratio - millionths * 1000).abs() <= 1000, "c{n}: {ratio} of 1e9");
    }
}

/// Austin, Generate stepper-motor speed profiles in real time, 2005 (read): a 1 MHz timer
/// and 300 rev/min at 1.8° are 1000 ticks a step.
#[test]
fn a_thousand_ticks_a_step() {
    let rates = StepRates { start_speed: Ratio::from(1000), ..from_rest(300 * 200 / 60, 1, 1) };
    let constant = profile(rates, MHZ, 50);
    assert_eq!(constant.ticks(), 50_000);
    assert!(constant.edges().eq((0..50).map(|k| 500 + 1000 * k)));
    // And in the middle of a move from rest.
    let cruise = profile(from_rest(1000, 4000, 4000), MHZ, 2000);
    let edges: Vec<u64> = cruise.edges().collect();
    assert!(edges[200..1800].windows(2).all(|pair| pair[1] - pair[0] == 1000));
    assert_eq!(cruise.shortest_interval(), Some(1000));
}

/// Atmel AVR446 (read, recomputed): of N steps too few for full speed, n1 = N d / (a + d) accelerate; and
/// full speed takes v² / 2a steps.
#[test]
fn steps_of_acceleration_as_published() {
    for (a, d, n, n1) in [(3000, 1000, 1200, 300), (1000, 3000, 1200, 900), (500, 500, 700, 350)] {
        let triangle = profile(from_rest(1_000_000, a, d), 16 * MHZ, n);
        let Shape::Trapezoid { accelerate, cruise: 0, .. } = triangle.shape() else { panic!("{triangle:?}") };
        let reached = triangle.steps_at(Ratio::from(i128::from(accelerate))).unwrap();
        // Within what two ticks at top speed come to.
        let off = reached - Ratio::from(n1);
        assert!(off < Ratio::new(1, 1000) && off > Ratio::new(-1, 1000), "{off}");
    }
    // v = 800, a = 1000: 320 steps up and as many down.
    let rates = from_rest(800, 1000, 1000);
    let cruise_of = |steps| match profile(rates, MHZ, steps).shape() {
        Shape::Trapezoid { cruise, .. } => cruise,
        shape => panic!("{shape:?}"),
    };
    assert_eq!(cruise_of(640), 0);
    assert_eq!(cruise_of(641), 1250);
}

/// Identities: a triangle's top speed is 2d/t; a trapezoid of equal thirds has v = 1.5 d/t and
/// a = 4.5 d/t².
#[test]
fn triangle_and_thirds() {
    // 1000 steps at 4000/s²: t = 2 √(1000 / 4000) = 1 s.
    let triangle = profile(from_rest(100_000, 4000, 4000), MHZ, 1000);
    assert_eq!(triangle.ticks(), 1_000_000);
    assert_eq!(triangle.peak_speed(), Ok(Ratio::new(2 * 1000, 1_000_000)));
    // 1200 steps in 3 s.
    let thirds = profile(from_rest(600, 600, 600), MHZ, 1200);
    assert_eq!(thirds.ticks(), 3_000_000);
    assert_eq!(thirds.shape(), profile(from_rest(600, 600, 600), MHZ, 1200).shape());
    assert_eq!(thirds.peak_speed(), Ok(Ratio::new(3 * 1200, 2 * 3_000_000)));
    assert_eq!(thirds.peak_acceleration(), Ok(Ratio::new(9 * 1200, 2 * 3_000_000 * 3_000_000)));
}

/// Identities: closed forms of a jerk-limited move from rest to rest (recomputed; the package `ruckig`
/// of PyPI gives the same). Ideal time in units of 1e-8 s, with q in thousands of steps so that whole
/// steps and ticks do not matter.
#[test]
fn jerk_limited_durations() {
    for (q, v, a, j, seconds_e8) in [
        (10, 5, 10, 30, 283_333_333_u64), // 17/6 s
        (100, 10, 20, 100, 1_070_000_000),
        (1, 10, 20, 100, 68_399_038), // 4 ∛(q/2j)
        (1, 5, 10, 30, 102_174_591),
    ] {
        let scale = 1000;
        let rates =
            StepRates { jerk: Some(Ratio::from(j * scale)), ..from_rest(v * scale, a * scale, a * scale) };
        let move_ = profile(rates, 100 * MHZ, q * scale);
        // A tick is 1e-8 s; the figure is rounded to one, the plan up by at most four.
        let over = move_.ticks().cast_signed() - seconds_e8.cast_signed();
        assert!((0..=5).contains(&over), "q {q}: {over} ticks over");
    }
}

/// The square-root law itself: a profile from rest passes step n at √(n M Ta / N).
#[test]
fn first_edges_follow_the_square_root() {
    let profile = profile(from_rest(1_000_000, 10_000, 10_000), 16 * MHZ, 2000);
    let Shape::Trapezoid { accelerate, .. } = profile.shape() else { panic!() };
    let (n, ta, m) = (2000_u128, u128::from(accelerate), u128::from(profile.ticks()));
    for (k, tick) in (1..=1000_u128).zip(profile.edges()) {
        // Rounded half up: floor(t + 1/2) with t² = (2k-1) M Ta / 2N.
        let quarter = 4 * (2 * k - 1) * m * ta;
        let twice = root(quarter.div_ceil(2 * n));
        let exact = twice * twice * 2 * n == quarter;
        let floor_of_twice = if exact { twice } else { twice - 1 };
        assert_eq!(u128::from(tick), floor_of_twice.div_ceil(2), "edge {k}");
    }
}

#[test]
fn limits_refuse_what_cannot_be_planned() {
    let rates = from_rest(1000, 8000, 8000);
    let refusal = |rates, timer_hz| StepLimits::new(rates, timer_hz).unwrap_err();
    assert!(matches!(refusal(rates, 0), PlanError::TimerRate { given: 0, .. }));
    assert!(matches!(refusal(rates, 1_000_000_001), PlanError::TimerRate { .. }));
    assert!(matches!(refusal(from_rest(0, 1, 1), MHZ), PlanError::ZeroRate { .. }));
    assert!(matches!(refusal(from_rest(1, 0, 1), MHZ), PlanError::ZeroRate { .. }));
    assert!(matches!(refusal(from_rest(1_000_001, 1, 1), MHZ), PlanError::SpeedAboveTimer { .. }));
    let both = StepRates { start_speed: Ratio::from(1), jerk: Some(Ratio::from(1)), ..rates };
    assert_eq!(refusal(both, MHZ), PlanError::JerkWithStartSpeed);
    let limits = StepLimits::new(rates, MHZ).unwrap();
    assert!(matches!(limits.profile((1 << 40) + 1), Err(PlanError::TooManySteps { .. })));
    assert_eq!(limits.slower(Ratio::from(1001)), Err(PlanError::NotSlower));
    let slower = limits.slower(Ratio::new(1, 3)).unwrap();
    assert_eq!(slower.profile(100).unwrap().shortest_interval(), Some(3_000_000));
    let profile = limits.profile(10).unwrap();
    assert!(profile.edges_from(0).is_err() && profile.edges_from(12).is_err());
    assert_eq!(profile.edges_from(11).unwrap().count(), 0);
    let ticks = i128::from(profile.ticks());
    assert!(profile.steps_at(Ratio::from(-1)).is_err());
    assert!(profile.steps_at(Ratio::from(ticks + 1)).is_err());
    assert!(profile.steps_at(Ratio::new_raw(1, 0)).is_err());
    assert_eq!(profile.steps_at(Ratio::from(ticks)), Ok(Ratio::from(10)));
    let slow = StepLimits::new(StepRates { speed: Ratio::new(1, u64::MAX), ..rates }, MHZ);
    assert!(slow.is_err() || slow.unwrap().profile(1 << 40).is_err());
}
