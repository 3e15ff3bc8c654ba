//! How one leg moves: whole-tick durations from which every coefficient
//! follows.

use core::fmt;

use super::error::PlanError;
use super::segment::Segment;
use super::wide::{Wide, bits, product};

/// The most steps in one leg, 2^40: at 400 steps a millimetre, 2,700 km.
pub const MAX_STEPS: u64 = 1 << 40;

/// The longest leg, in ticks, just under 2^62: at 250 MHz, 584 years.
pub const MAX_TICKS: u64 = (1 << 62) - 1;

/// The start speed a profile uses, in steps a tick, as a reduced fraction. It is
/// zero, or the start speed of the limits, or so little below it that the
/// move loses less than a thousandth of a tick.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct StartSpeed {
    /// Steps.
    pub numerator: u64,
    /// Ticks.
    pub denominator: u64,
}

impl StartSpeed {
    /// From rest.
    pub const REST: Self = Self { numerator: 0, denominator: 1 };
}

/// The durations of a profile's phases, all in whole timer ticks.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum Shape {
    /// No move.
    Rest,
    /// One speed throughout.
    Constant {
        /// Duration.
        ticks: u64,
    },
    /// Constant acceleration, constant speed, constant deceleration; without
    /// the middle part, a triangle.
    Trapezoid {
        /// Speed at both ends.
        start: StartSpeed,
        /// Acceleration time.
        accelerate: u64,
        /// Time at the highest speed.
        cruise: u64,
        /// Deceleration time.
        decelerate: u64,
    },
    /// Seven segments from rest to rest: acceleration grows, holds, shrinks;
    /// constant speed; and the first three mirrored.
    JerkLimited {
        /// Time in which acceleration grows to its peak, and each of its three
        /// counterparts.
        ramp: u64,
        /// Time at peak acceleration, and at peak deceleration.
        hold: u64,
        /// Time at the highest speed.
        cruise: u64,
    },
    /// Constant deceleration from an edge just emitted, where the ideal
    /// position is a half step, to the whole step on which it ends.
    Brake {
        /// Speed at the end.
        end: StartSpeed,
        /// Deceleration time.
        decelerate: u64,
    },
}

/// The motion of one leg: a whole number of steps in a shape.
///
/// Position is measured in steps from the start of the leg and time in ticks
/// of the timer. All coefficients are integers over one denominator a
/// segment, so position, speed and every edge are exact. A profile can only be
/// had from limits, and keeps within them.
#[derive(Clone, Copy, PartialEq, Eq, Hash)]
pub struct Profile {
    steps: u64,
    ticks: u64,
    shape: Shape,
}

impl fmt::Debug for Profile {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Profile({} steps in {} ticks, {:?})", self.steps, self.ticks, self.shape)
    }
}

impl Profile {
    /// Checks the total duration; the caller vouches for the limits.
    #[inline]
    pub(crate) fn new(steps: u64, shape: Shape) -> Result<Self, PlanError> {
        let ticks = match shape {
            Shape::Rest => Some(0),
            Shape::Constant { ticks } => Some(ticks),
            Shape::Trapezoid { accelerate, cruise, decelerate, .. } => {
                accelerate.checked_add(cruise).and_then(|sum| sum.checked_add(decelerate))
            }
            Shape::JerkLimited { ramp, hold, cruise } => ramp
                .checked_mul(4)
                .and_then(|sum| sum.checked_add(hold.checked_mul(2)?))
                .and_then(|sum| sum.checked_add(cruise)),
            Shape::Brake { decelerate, .. } => Some(decelerate),
        };
        match ticks {
            Some(ticks) if ticks <= MAX_TICKS => Ok(Self { steps, ticks, shape }),
            _ => Err(PlanError::TooLong { steps, most_ticks: MAX_TICKS }),
        }
    }

    /// Steps moved, which is also the number of edges.
    #[inline]
    pub const fn steps(&self) -> u64 {
        self.steps
    }

    /// Duration in ticks.
    #[inline]
    pub const fn ticks(&self) -> u64 {
        self.ticks
    }

    /// Returns the durations of the phases.
    #[inline]
    pub const fn shape(&self) -> Shape {
        self.shape
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
        };
        // Single terms of the polynomial exceed the position by less than
        // sixteen times.
        steps + unit + 4 < 127
    }

    /// How many segments there are to ask for.
    pub(crate) const fn segments(&self) -> u8 {
        match self.shape {
            Shape::Rest => 0,
            Shape::Constant { .. } | Shape::Brake { .. } => 1,
            Shape::Trapezoid { .. } => 3,
            Shape::JerkLimited { .. } => 7,
        }
    }

    /// One segment, in the order of time. Its length may be zero.
    pub(crate) fn segment<W: Wide>(&self, number: u8) -> Segment<W> {
        let zero = W::from(0_u64);
        let w = |value: u64| W::from(value);
        match self.shape {
            Shape::Rest => Segment { start: 0, length: 0, unit: w(2), coefficients: [zero; 4] },
            Shape::Constant { ticks } => Segment {
                start: 0,
                length: ticks,
                unit: product(&[2, ticks]),
                coefficients: [zero, w(self.steps), zero, zero],
            },
            Shape::Trapezoid { start, accelerate, cruise, decelerate } => {
                self.trapezoid_segment(number, start, [accelerate, cruise, decelerate])
            }
            Shape::JerkLimited { ramp, hold, cruise } => self.jerk_segment(number, ramp, hold, cruise),
            Shape::Brake { end, decelerate } => {
                // From -1/2 to the whole number of steps, D = steps + 1/2, in
                // time T down to speed p/q: the entry speed is 2D/T - p/q.
                let (p, q, time) = (end.numerator, end.denominator, decelerate);
                let twice = 2 * self.steps + 1;
                let [whole, slow] = [product::<W>(&[twice, q]), product(&[p, time])];
                Segment {
                    start: 0,
                    length: decelerate,
                    unit: product(&[8, q, time, time]),
                    coefficients: [
                        zero - product(&[4, q, time, time]),
                        product::<W>(&[4, time]) * (whole - slow),
                        slow + slow - whole,
                        zero,
                    ],
                }
            }
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
        let (p, q, n) = (start.numerator, start.denominator, self.steps);
        let (ta, td) = (accelerate, decelerate);
        let m = self.ticks + cruise;
        // Peak speed over qM, and half of what it exceeds the start speed by.
        let peak = || product::<W>(&[2, n, q]) - product(&[p, ta + td]);
        let rise = || product::<W>(&[n, q]) - product(&[p, self.ticks]);
        let both = || peak() + product(&[p, m]);
        match number {
            0 => Segment {
                start: 0,
                length: accelerate,
                unit: product(&[4, q, m, ta]),
                coefficients: [zero, product(&[2, p, m, ta]), rise(), zero],
            },
            1 => Segment {
                start: accelerate,
                length: cruise,
                unit: product(&[2, q, m]),
                coefficients: [both() * W::from(ta), peak(), zero, zero],
            },
            _ => Segment {
                start: accelerate + cruise,
                length: decelerate,
                unit: product(&[4, q, m, td]),
                coefficients: [
                    product::<W>(&[n, 4, q, m, td]) - both() * product(&[2, td, td]),
                    peak() * product(&[2, td]),
                    zero - rise(),
                    zero,
                ],
            },
        }
    }

    /// With X = Tj, Y = Tj + Ta, Z = Y + Tj + Tv the jerk is N / XYZ, the peak
    /// acceleration N / YZ and the peak speed N / Z.
    fn jerk_segment<W: Wide>(&self, number: u8, ramp: u64, hold: u64, cruise: u64) -> Segment<W> {
        let zero = W::from(0_u64);
        let w = |value: u64| W::from(value);
        let n = self.steps;
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
        let h = hold;
        match number {
            // Constant acceleration, where the ramps' cube has cancelled.
            1 => Segment {
                start,
                length: hold,
                unit: product(&[24, y, z]),
                coefficients: [product(&[4, n, x, x]), product(&[6, n, x]), product(&[3, n]), zero],
            },
            5 => {
                let unit = product(&[24, y, z]);
                Segment {
                    start,
                    length: hold,
                    unit,
                    coefficients: [
                        w(n) * (unit - product(&[4, x, x]) - product(&[12, h, x + h])),
                        product(&[6, n, x + 2 * h]),
                        zero - product(&[3, n]),
                        zero,
                    ],
                }
            }
            3 => Segment {
                start,
                length: cruise,
                unit: product(&[2, z]),
                coefficients: [product(&[n, x + y]), w(n), zero, zero],
            },
            _ => {
                // Over N/Q: six times the position, twice the speed and the
                // acceleration where the ramp begins, and the jerk's sign.
                let whole = || product::<W>(&[6, x, y, z]);
                let cube = || product::<W>(&[x, x, x]);
                let (position, speed, acceleration, falling) = match number {
                    0 => (zero, zero, zero, false),
                    2 => (cube() + product(&[3, x, h, x + h]), product(&[x, x + 2 * h]), w(x), true),
                    4 => (whole() - product(&[3, x, y, x + y]), product(&[2, x, y]), zero, true),
                    _ => (whole() - cube(), product(&[x, x]), zero - w(x), false),
                };
                Segment {
                    start,
                    length: ramp,
                    unit: product(&[48, x, y, z]),
                    coefficients: [
                        product::<W>(&[8, n]) * position,
                        product::<W>(&[12, n]) * speed,
                        product::<W>(&[6, n]) * acceleration,
                        if falling { zero - w(n) } else { w(n) },
                    ],
                }
            }
        }
    }
}
