//! Exact scalars: the rational [`Exact`], the three [`Rounding`] rules, and [`Enclosure`], two
//! exact bounds with the truth between them.

pub mod certified;
mod closed;
mod enclosure;
pub mod pi;
mod rational;
pub(crate) mod read;
mod rounding;
#[cfg(feature = "serde")]
pub(crate) mod serialized;
pub(crate) mod write;

pub use enclosure::{Enclosure, Width};
pub use rational::Exact;
pub(crate) use rational::product;
pub use rounding::Rounding;
