//! Axis files: TOML read with the place of everything in it, and the registry of mechanism kinds.
#![forbid(unsafe_code)]
#![deny(clippy::float_arithmetic, clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod atomic_write;
mod axis_file;
mod axis_keys;
mod builtin;
mod caution;
mod document;
mod edit;
mod equipment;
mod explanation;
mod figure;
mod given;
mod keys;
mod location;
mod machine_data;
mod messages;
mod parameter;
mod pulse;
mod reference;
mod registry;
mod section;
mod suggest;
mod template;
mod thread_profile;
mod value;

pub use atomic_write::{Existing, write_whole};
pub use axis_file::AxisFile;
pub use caution::Caution;
pub use document::Document;
pub use explanation::{Explanation, TravelCheck};
pub use given::{FromToml, Given};
pub use keys::{Key, Keys};
pub use location::Units;
pub use machine_data::{MachineData, Pushed, Range, ScrewData, Springs, WindingData};
pub use pulse::Pulse;
pub use reference::SectionKeys;
pub use registry::Registry;
pub use section::{Section, VERSION};
pub use template::{NewAxis, Question, Template};
pub use thread_profile::ThreadProfile;
pub use value::{FileMeasure, either};

/// The examples of the crate's README, which are tested with those of its documentation.
#[cfg(doctest)]
#[doc = include_str!("../README.md")]
struct Readme;
