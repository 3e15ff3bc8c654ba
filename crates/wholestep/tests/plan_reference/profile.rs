//! The segments of a profile, from its durations.

use wholestep::plan::{Profile as Planned, Shape, StartSpeed};

use super::segment::Segment;
use super::wide::{Wide, bits};

/// What a profile says of itself.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Profile {
    steps: u64,
    ticks: u64,
    shape: Shape,
}

impl Profile {
    pub(crate) fn of(planned: &Planned) -> Self {
        Self { steps: planned.steps(), ticks: planned.ticks(), shape: planned.shape() }
    }

    pub(crate) const fn steps(&self) -> u64 {
        self.steps
    }

    /// Whether `i128` holds every value of every segment.
    pub(crate) fn is_usual(&self) -> bool {
        let steps = bits(self.steps);
        let unit = match self.shape {
            Shape::Rest => 0,
            Shape::Constant { ticks } => 1 + bits(ticks),
            Shape::Trapezoid { start, accelerate, decelerate, .. } => {
                3 + bits(start.denominator) + bits(self.ticks) + bits(accelerate.max(decelerate))
            }
            Shape::JerkLimited { ramp, hold, .. } => 6 + bits(ramp) + bits(ramp + hold) + bits(self.ticks),
            Shape::Brake { end, decelerate } => 3 + bits(end.denominator) + 2 * bits(decelerate),
            _ => unreachable!("a shape the first kernel did not know"),
        };
        // Single terms of the polynomial exceed the position by less than
        // sixteen times.
        steps + unit + 4 < 127
    }

    /// How many segments there are to ask for.
    pub(crate) fn segments(&self) -> u8 {
        match self.shape {
            Shape::Rest => 0,
            Shape::Constant { .. } | Shape::Brake { .. } => 1,
            Shape::Trapezoid { .. } => 3,
            Shape::JerkLimited { .. } => 7,
            _ => unreachable!("a shape the first kernel did not know"),
        }
    }

    /// One segment, in the order of time. Its length may be zero.
    pub(crate) fn segment<W: Wide>(&self, number: u8) -> Segment<W> {
        let zero = W::from(0_u64);
        let n = W::from(self.steps);
        let w = |value: u64| W::from(value);
        match self.shape {
            Shape::Rest => Segment { start: 0, length: 0, unit: w(2), coefficients: [zero; 4] },
            Shape::Constant { ticks } => Segment {
                start: 0,
                length: ticks,
                unit: w(2) * w(ticks),
                coefficients: [zero, n, zero, zero],
            },
            Shape::Trapezoid { start, accelerate, cruise, decelerate } => {
                self.trapezoid_segment(number, start, [accelerate, cruise, decelerate])
            }
            Shape::JerkLimited { ramp, hold, cruise } => self.jerk_segment(number, ramp, hold, cruise),
            Shape::Brake { end, decelerate } => {
                // From -1/2 to the whole number of steps, D = steps + 1/2, in
                // time T down to speed p/q: the entry speed is 2D/T - p/q.
                let (p, q, time) = (w(end.numerator), w(end.denominator), w(decelerate));
                let twice = n + n + w(1);
                let four = w(4) * time;
                Segment {
                    start: 0,
                    length: decelerate,
                    unit: four * w(2) * q * time,
                    coefficients: [
                        zero - four * q * time,
                        four * (twice * q - p * time),
                        w(2) * p * time - twice * q,
                        zero,
                    ],
                }
            }
            _ => unreachable!("a shape the first kernel did not know"),
        }
    }

    /// With start speed p/q and M = Ta + 2 Tc + Td the peak speed is
    /// (2Nq - p(Ta+Td)) / (qM), solved from the whole number of steps.
    fn trapezoid_segment<W: Wide>(
        &self,
        number: u8,
        start: StartSpeed,
        [accelerate, cruise, decelerate]: [u64; 3],
    ) -> Segment<W> {
        let zero = W::from(0_u64);
        let w = |value: u64| W::from(value);
        let n = w(self.steps);
        let (p, q) = (w(start.numerator), w(start.denominator));
        let (ta, td) = (w(accelerate), w(decelerate));
        let m = w(self.ticks) + w(cruise);
        let two = w(2);
        // Peak speed over qM, and half of what it exceeds the start speed by.
        let peak = two * n * q - p * (ta + td);
        let rise = n * q - p * w(self.ticks);
        match number {
            0 => Segment {
                start: 0,
                length: accelerate,
                unit: w(4) * q * m * ta,
                coefficients: [zero, two * p * m * ta, rise, zero],
            },
            1 => Segment {
                start: accelerate,
                length: cruise,
                unit: two * q * m,
                coefficients: [(p * m + peak) * ta, peak, zero, zero],
            },
            _ => {
                let unit = w(4) * q * m * td;
                Segment {
                    start: accelerate + cruise,
                    length: decelerate,
                    unit,
                    coefficients: [
                        n * unit - two * (peak + p * m) * td * td,
                        two * peak * td,
                        zero - rise,
                        zero,
                    ],
                }
            }
        }
    }

    /// With X = Tj, Y = Tj + Ta, Z = Y + Tj + Tv the jerk is N / XYZ, the peak
    /// acceleration N / YZ and the peak speed N / Z.
    fn jerk_segment<W: Wide>(&self, number: u8, ramp: u64, hold: u64, cruise: u64) -> Segment<W> {
        let zero = W::from(0_u64);
        let w = |value: u64| W::from(value);
        let n = w(self.steps);
        let (x, y) = (ramp, ramp + hold);
        let z = y + ramp + cruise;
        let start = match number {
            0 => 0,
            1 => x,
            2 => y,
            3 => x + y,
            4 => z,
            5 => z + x,
            _ => z + y,
        };
        let (x, h) = (w(x), w(hold));
        match number {
            // Constant acceleration, where the ramps' cube has cancelled.
            1 => Segment {
                start,
                length: hold,
                unit: w(24) * w(y) * w(z),
                coefficients: [n * w(4) * x * x, n * w(6) * x, n * w(3), zero],
            },
            5 => {
                let unit = w(24) * w(y) * w(z);
                Segment {
                    start,
                    length: hold,
                    unit,
                    coefficients: [
                        n * (unit - w(4) * x * x - w(12) * h * (x + h)),
                        n * (w(6) * x + w(12) * h),
                        zero - n * w(3),
                        zero,
                    ],
                }
            }
            3 => Segment {
                start,
                length: cruise,
                unit: w(2) * w(z),
                coefficients: [n * (x + w(y)), n, zero, zero],
            },
            _ => {
                // Over N/Q: six times the position, twice the speed and the
                // acceleration where the ramp begins, and the jerk's sign.
                let (y, z) = (w(y), w(z));
                let unit = w(48) * x * y * z;
                let two = w(2);
                let (position, speed, acceleration, falling) = match number {
                    0 => (zero, zero, zero, false),
                    2 => (x * x * x + w(3) * x * h * (x + h), x * (x + two * h), x, true),
                    4 => (w(6) * x * y * z - w(3) * x * y * (x + y), two * x * y, zero, true),
                    _ => (w(6) * x * y * z - x * x * x, x * x, zero - x, false),
                };
                Segment {
                    start,
                    length: ramp,
                    unit,
                    coefficients: [
                        w(8) * n * position,
                        w(12) * n * speed,
                        w(6) * n * acceleration,
                        if falling { zero - n } else { n },
                    ],
                }
            }
        }
    }
}
