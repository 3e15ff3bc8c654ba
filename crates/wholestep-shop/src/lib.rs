//! What a shop does with exact axes.
//!
//! [`cut_list`] turns parts and stock into stop positions and whole steps; [`effort`] says whether a motor lifts
//! what it is given; [`calibrate`] holds an axis against a gauge; [`rehearse`] runs a job on a simulated machine, [`Study`] on many.
#![forbid(unsafe_code)]
#![deny(clippy::float_arithmetic)]

mod any_bounds;
pub mod blade;
pub mod bounds;
#[expect(
    clippy::float_arithmetic,
    clippy::cast_precision_loss,
    reason = "uncertainties, which have roots in them; what is fitted is exact"
)]
pub mod calibrate;
pub mod caution;
mod csv_file;
pub mod cut_list;
#[expect(
    clippy::float_arithmetic,
    reason = "estimates of physics, as ranges; nothing exact is decided by them"
)]
pub mod effort;
mod float;
pub mod job;
mod messages;
mod rehearsal;
mod repeatability;
#[expect(
    clippy::float_arithmetic,
    clippy::cast_precision_loss,
    reason = "statistics of simulated machines; nothing exact is decided by them"
)]
pub mod study;

pub use any_bounds::AnyBounds;
pub use calibrate::Calibration;
pub use cut_list::{CutList, CutSheet};
pub use effort::Effort;
pub use job::Job;
pub use rehearsal::{ClosestApproach, Planted, Progress, Rehearsed, RehearsedMove, rehearse};
pub use repeatability::Repeatability;
pub use study::Study;

/// The examples of the crate's README, which are tested with those of its documentation.
#[cfg(doctest)]
#[doc = include_str!("../README.md")]
struct Readme;
