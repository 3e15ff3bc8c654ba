//! Plans: how a whole number of steps is moved in whole ticks of a timer.
//!
//! [`StepLimits`] holds what a motor may be asked for; [`StepLimits::profile`]
//! turns a number of steps into a [`Profile`]; [`Edges`] gives the tick of
//! every step edge.
//!
//! Durations are whole ticks, rounded up, and the peak is then solved from the
//! whole number of steps; so every limit holds by construction and every
//! coefficient is an integer over one denominator. Edge `k`, counted from 1,
//! falls where the position passes `k - 1/2`, rounded to the nearest tick, half
//! up: at every tick the motor stands on the whole step nearest to the ideal
//! position. An integer predicate alone decides this; guesses affect only speed.

mod approach;
mod brake;
mod carry;
mod cursor;
mod edges;
mod error;
mod guess;
mod intervals;
mod jerk_limited;
mod leg;
mod limits;
mod motion;
mod planner;
mod position;
mod profile;
mod pulse;
mod pursuit;
mod quick;
mod roots;
mod segment;
mod trapezoid;
mod walk;
mod way;
mod wide;

pub use brake::Stop;
pub(crate) use cursor::Cursor;
pub use edges::Edges;
pub use error::{PlanError, RateKind};
pub use intervals::Intervals;
pub use limits::{MAX_TIMER_HZ, StepLimits, StepRates};
pub use motion::{Direction, Edge, Leg, MAX_LEGS, Plan, PlanEdges};
pub use planner::Planner;
pub use profile::{MAX_STEPS, MAX_TICKS, Profile, Shape, StartSpeed};
pub use pulse::{MAX_PULSE_TICKS, PulseTiming};
