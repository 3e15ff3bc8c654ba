//! A slow oracle in arbitrary precision that recomputes a profile's motion from
//! its durations and the definition alone, and shares no code with the kernel.

use num_bigint::BigInt;
use num_rational::Ratio;
use wholestep::plan::{Profile, Shape};

pub(crate) type Number = Ratio<BigInt>;

pub(crate) fn whole(value: u64) -> Number {
    Number::from(BigInt::from(value))
}

pub(crate) fn exact(value: Ratio<u64>) -> Number {
    Number::new((*value.numer()).into(), (*value.denom()).into())
}

pub(crate) fn half() -> Number {
    Number::new(1.into(), 2.into())
}

/// Phases of constant jerk: duration, jerk; and speed and acceleration at the start.
pub(crate) struct Motion {
    phases: Vec<(u64, Number, Number, Number, Number)>,
    start: Number,
    steps: Number,
}

impl Motion {
    pub(crate) fn of(profile: &Profile) -> Self {
        let n = whole(profile.steps());
        let zero = whole(0);
        let mut start = zero.clone();
        // (duration, speed at start or None to continue, acceleration, jerk)
        let phases: Vec<(u64, Number, Number, Number)> = match profile.shape() {
            Shape::Rest => vec![],
            Shape::Constant { ticks } => {
                vec![(ticks, n.clone() / whole(ticks), zero.clone(), zero.clone())]
            }
            Shape::Trapezoid { start: from, accelerate, cruise, decelerate } => {
                let v0 = exact(Ratio::new(from.numerator, from.denominator));
                let (ta, tc, td) = (whole(accelerate), whole(cruise), whole(decelerate));
                let v = (whole(2) * &n - &v0 * (&ta + &td)) / (&ta + whole(2) * tc + &td);
                vec![
                    (accelerate, v0.clone(), (&v - &v0) / ta, zero.clone()),
                    (cruise, v.clone(), zero.clone(), zero.clone()),
                    (decelerate, v.clone(), (&v0 - &v) / td, zero.clone()),
                ]
            }
            Shape::JerkLimited { ramp, hold, cruise } => {
                let (tj, ta, tv) = (whole(ramp), whole(hold), whole(cruise));
                let j = &n / (&tj * (&tj + &ta) * (whole(2) * &tj + &ta + tv));
                let a = &j * &tj;
                let v = &a * (&tj + &ta);
                let v1 = &a * &tj / whole(2);
                let v2 = &v - &v1;
                let down = -j.clone();
                vec![
                    (ramp, zero.clone(), zero.clone(), j.clone()),
                    (hold, v1.clone(), a.clone(), zero.clone()),
                    (ramp, v2.clone(), a.clone(), down.clone()),
                    (cruise, v.clone(), zero.clone(), zero.clone()),
                    (ramp, v, zero.clone(), down),
                    (hold, v2, -a.clone(), zero.clone()),
                    (ramp, v1, -a, j),
                ]
            }
            Shape::Brake { end, decelerate } => {
                start = -half();
                let v1 = exact(Ratio::new(end.numerator, end.denominator));
                let time = whole(decelerate);
                let v = (whole(2) * &n + whole(1)) / &time - &v1;
                vec![(decelerate, v.clone(), (v1 - v) / time, zero.clone())]
            }
            _ => unreachable!("a shape the oracle does not know"),
        };
        let mut position = start.clone();
        let mut known = Vec::new();
        for (ticks, speed, acceleration, jerk) in phases {
            let t = whole(ticks);
            known.push((ticks, position.clone(), speed.clone(), acceleration.clone(), jerk.clone()));
            position += &speed * &t + acceleration * &t * &t / whole(2) + jerk * &t * &t * &t / whole(6);
        }
        assert_eq!(position, n, "a profile ends on its whole number of steps");
        Self { phases: known, start, steps: n }
    }

    /// Position, speed and acceleration at a time in ticks; at rest outside.
    pub(crate) fn at(&self, time: &Number) -> [Number; 3] {
        if *time < whole(0) {
            return [self.start.clone(), whole(0), whole(0)];
        }
        let mut rest = time.clone();
        for (ticks, s, v, a, j) in &self.phases {
            let t = whole(*ticks);
            if rest <= t {
                let t = rest;
                return [
                    s + v * &t + a * &t * &t / whole(2) + j * &t * &t * &t / whole(6),
                    v + a * &t + j * &t * &t / whole(2),
                    a + j * &t,
                ];
            }
            rest -= t;
        }
        [self.steps.clone(), whole(0), whole(0)]
    }

    /// Whether `tick` is where edge `k` falls: half a tick before, the position
    /// has not passed the half step; half a tick after, it has.
    pub(crate) fn is_edge(&self, k: u64, tick: u64) -> bool {
        let target = whole(k) - half();
        let [before, ..] = self.at(&(whole(tick) - half()));
        let [after, ..] = self.at(&(whole(tick) + half()));
        before <= target && target < after
    }

    /// Highest speed, acceleration, deceleration and jerk, a tick.
    pub(crate) fn peaks(&self) -> [Number; 4] {
        let mut peaks = [whole(0), whole(0), whole(0), whole(0)];
        let mut note = |which: usize, value: Number| {
            if value > peaks[which] {
                peaks[which] = value;
            }
        };
        for (ticks, _, v, a, j) in &self.phases {
            let t = whole(*ticks);
            note(0, v.clone());
            note(0, v + a * &t + j * &t * &t / whole(2));
            for a in [a.clone(), a + j * &t] {
                note(1, a.clone());
                note(2, -a);
            }
            note(3, j.clone());
            note(3, -j.clone());
        }
        peaks
    }
}
