//! The edge kernel on random plans of every kind: the same ticks one by one, filled in pieces and entered
//! anywhere, and some of them against the definition.
//!
//! `KERNEL_PLANS` sets how many plans (a campaign gives more).

#[expect(dead_code, reason = "only edges are looked at here")]
mod plan_oracle;

use num_rational::Ratio;
use plan_oracle::Motion;
use wholestep::plan::{Profile, Shape, StepLimits, StepRates, Stop};

/// Numbers that look random and are the same in every run.
struct Draw(u64);

impl Draw {
    fn next(&mut self) -> u64 {
        // The generator of Vigna's splitmix64 (memory).
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    fn below(&mut self, end: u64) -> u64 {
        self.next() % end
    }

    /// A number of any magnitude up to `2^places`.
    fn magnitude(&mut self, places: u64) -> u64 {
        let places = self.below(places) + 1;
        1 + self.next() % (1 << places)
    }

    fn ratio(&mut self, places: u64) -> Ratio<u64> {
        let over = if self.below(3) == 0 { 1 } else { self.magnitude(10) };
        Ratio::new(self.magnitude(places), over)
    }

    fn timer(&mut self) -> u64 {
        match self.below(6) {
            0 => 1,
            1 => 1_000_000,
            2 => 16_000_000,
            3 => 1_000_000_000,
            _ => self.magnitude(30).min(1_000_000_000),
        }
    }

    /// Limits as a machine has them, or of any rates at all.
    fn limits(&mut self) -> Option<StepLimits> {
        let timer_hz = self.timer();
        let sane = self.below(3) > 0;
        let speed = if sane { Ratio::new(timer_hz, 2 + self.magnitude(20)) } else { self.ratio(31) };
        let any = |draw: &mut Self| {
            if sane {
                // Full speed within some milliseconds to minutes.
                speed * Ratio::new(1 + draw.below(1_000), 1 + draw.below(1_000))
            } else {
                draw.ratio(40)
            }
        };
        let acceleration = any(self);
        let deceleration = if self.below(2) == 0 { acceleration } else { any(self) };
        let (start_speed, jerk) = match self.below(5) {
            0 | 1 => (Ratio::from(0), None),
            2 => (speed * Ratio::new(self.below(12), 10), None),
            _ => (Ratio::from(0), Some(self.ratio(45))),
        };
        StepLimits::new(StepRates { speed, acceleration, deceleration, start_speed, jerk }, timer_hz).ok()
    }

    fn profile(&mut self) -> Option<Profile> {
        let limits = self.limits()?;
        let steps = if self.below(20) == 0 { 1 << 40 } else { self.magnitude(14) };
        let profile = limits.profile(steps).ok()?;
        if self.below(8) == 0 {
            // A brake out of it.
            let edge = 1 + self.below(steps);
            if let Ok(Stop::Brake(brake)) = profile.stop_after(edge, &limits) {
                return Some(brake);
            }
        }
        Some(profile)
    }
}

/// Compares up to 20,000 edges from `first` on; returns how many.
fn compare(profile: &Profile, first: u64, draw: &mut Draw) -> u64 {
    let count = (profile.steps() + 1 - first).min(20_000);
    let length = usize::try_from(count).unwrap();
    let pulled: Vec<u64> = profile.edges_from(first).unwrap().take(length).collect();
    assert_eq!(pulled.len(), length);
    let mut filled = vec![0; length];
    let mut edges = profile.edges_from(first).unwrap();
    let mut done = 0;
    while done < length {
        assert_eq!(edges.next_edge(), first + done as u64);
        let piece = usize::try_from(1 + draw.magnitude(10)).unwrap().min(length - done);
        if draw.below(4) == 0 {
            filled[done] = edges.next().unwrap();
            done += 1;
        } else {
            assert_eq!(edges.fill(&mut filled[done..done + piece]), piece);
            done += piece;
        }
    }
    if let Some(at) = filled.iter().zip(&pulled).position(|(tick, known)| tick != known) {
        panic!("edge {} of {profile:?}, entered at {first}, filled", first + at as u64);
    }
    let motion = Motion::of(profile);
    for after in [0, count - 1].into_iter().chain((0..6).map(|_| draw.below(count))) {
        let (edge, tick) = (first + after, pulled[usize::try_from(after).unwrap()]);
        assert_eq!(profile.edge(edge).unwrap(), tick, "edge {edge} of {profile:?}, alone");
        assert!(motion.is_edge(edge, tick), "edge {edge} of {profile:?}, by the definition");
    }
    count
}

#[test]
fn edges_are_the_same_however_they_are_asked_for() {
    let plans: u64 = std::env::var("KERNEL_PLANS").map_or(400, |given| given.parse().unwrap());
    let seed: u64 = std::env::var("KERNEL_SEED").map_or(1, |given| given.parse().unwrap());
    let mut draw = Draw(seed << 32);
    let (mut made, mut edges) = (0, 0);
    let mut kinds = [0_u64; 5];
    while made < plans {
        // A brake may stop at once, without an edge.
        let Some(profile) = draw.profile().filter(|profile| profile.steps() > 0) else { continue };
        made += 1;
        kinds[match profile.shape() {
            Shape::Constant { .. } => 0,
            Shape::Trapezoid { start, .. } if start.numerator == 0 => 1,
            Shape::Trapezoid { .. } => 2,
            Shape::JerkLimited { .. } => 3,
            _ => 4,
        }] += 1;
        edges += compare(&profile, 1, &mut draw);
        let first = 1 + draw.below(profile.steps());
        edges += compare(&profile, first, &mut draw);
    }
    println!("{edges} edges; constant, trapezoid, with a start speed, jerk-limited, brake: {kinds:?}");
    assert!(kinds.iter().all(|&kind| kind >= plans / 50), "every kind is met: {kinds:?}");
    assert!(edges > 100 * plans);
}
