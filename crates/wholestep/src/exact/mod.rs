//! Exact scalars: the rational [`Exact`], the three [`Rounding`] rules, and [`Enclosure`], two
//! exact bounds with the truth between them.

mod enclosure;
pub mod pi;
mod rational;
mod rounding;

pub use enclosure::{Enclosure, Width};
pub use rational::Exact;
pub(crate) use rational::product;
pub use rounding::Rounding;
