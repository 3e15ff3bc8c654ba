//! Exact positioning for stepper-driven shop axes.
//!
//! Every position a stepper can hold is a whole number of steps, and the remainder is known
//! exactly. This crate turns dimensions people write into whole steps, exact remainders and proven
//! step edges; it owns no clock and no pins.
//!
//! The modules stand on one another in this order, and never the reverse:
//! `exact` ← `measure` ← `mechanism` ← `axis` ← `plan` ← `carriage`.
//!
//! Features: `std` (default), `alloc`, and `serde` (measures as text). Without features the crate needs
//! neither a heap nor an operating system.
#![no_std]
#![forbid(unsafe_code)]
#![deny(clippy::float_arithmetic, clippy::unwrap_used, clippy::expect_used, clippy::panic)]

#[cfg(any(feature = "alloc", test))]
extern crate alloc;
#[cfg(any(feature = "std", test))]
extern crate std;

pub mod axis;
pub mod bounds;
pub mod carriage;
pub mod error;
pub mod exact;
pub mod measure;
pub mod mechanism;
pub mod plan;

pub use axis::{Axis, Placement};
pub use error::{Error, ErrorKind, Result};
pub use exact::{Enclosure, Exact, Rounding, Width};
pub use measure::{Acceleration, Angle, AngleUnit, Jerk, Length, LengthUnit, Measure, Speed};
pub use mechanism::Mechanism;

/// The examples of the crate's README, which are tested with those of its documentation.
#[cfg(doctest)]
#[doc = include_str!("../README.md")]
struct Readme;
