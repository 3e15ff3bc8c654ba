//! Exact scalars: the rational [`Exact`], the three [`Rounding`] rules, [`Enclosure`], two exact bounds
//! with the truth between them, and [`Interval`], the arithmetic that finds such bounds.

mod arithmetic_error;
mod enclosure;
mod enclosure_arithmetic;
mod fixed;
mod fixed_arithmetic;
pub(crate) mod format;
mod gcd;
mod interval;
mod inverse_trig;
pub mod pi;
mod rational;
mod rounding;
mod taylor;
mod trig;
mod u256;

pub use arithmetic_error::ArithmeticError;
pub use enclosure::{Enclosure, Width};
pub use interval::Interval;
pub use rational::Exact;
pub(crate) use rational::product;
pub use rounding::Rounding;

/// The result of exact arithmetic.
type Result<T> = core::result::Result<T, ArithmeticError>;
