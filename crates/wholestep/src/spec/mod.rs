//! Files: TOML read with the place of everything in it, axis files, and the registry of mechanism
//! kinds.

mod any;
mod axis_file;
mod caution;
mod changed;
mod document;
mod explanation;
mod figures;
mod fitted;
mod kinds;
mod parameter;
mod place;
mod pulse;
mod reader;
mod registry;
mod section;
mod suggest;
mod template;
mod trouble;
mod wanted;
mod whole;

pub use any::{AngleMechanism, AnyAxis, AnyMechanism, LengthMechanism, SharedMechanism};
pub use axis_file::AxisFile;
pub use caution::Caution;
pub use document::Document;
pub use explanation::Explanation;
pub use figures::Figures;
pub use fitted::AnyEquipment;
pub use pulse::Pulse;
pub use registry::Registry;
pub use section::{Section, VERSION};
pub use template::{Machine, NewAxis, Question};
pub use whole::{Existing, write_whole};
