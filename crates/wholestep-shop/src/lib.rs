//! What a shop does with exact axes.
//!
//! [`cut_list`] turns parts and stock into stop positions and whole steps.
#![forbid(unsafe_code)]
#![deny(clippy::float_arithmetic)]

pub mod bounds;
pub mod cut_list;
pub mod job;

pub use cut_list::{CutList, Cuts};
pub use job::Job;
