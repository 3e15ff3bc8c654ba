//! Exact scalars: the rational [`Exact`], the three [`Rounding`] rules, [`Enclosure`], two exact bounds
//! with the truth between them, and [`Interval`], the arithmetic that finds such bounds.

mod arithmetic_error;
mod enclosure;
mod enclosure_arithmetic;
mod fixed;
mod fixed_arithmetic;
pub(crate) mod format;
mod gcd;
mod i256;
mod interval;
mod inverse_trig;
mod long_division;
pub mod pi;
mod rational;
mod rounding;
mod taylor;
mod trig;
mod u256;

pub use arithmetic_error::ArithmeticError;
pub use enclosure::{Enclosure, Width};
pub(crate) use gcd::gcd_256;
pub(crate) use i256::I256;
pub use interval::Interval;
pub(crate) use long_division::{divide_128, divide_down, divide_towards_zero};
pub use rational::Exact;
pub(crate) use rational::product;
pub use rounding::Rounding;
pub(crate) use u256::{U256, root_128};

/// The result of exact arithmetic.
type Result<T> = core::result::Result<T, ArithmeticError>;
