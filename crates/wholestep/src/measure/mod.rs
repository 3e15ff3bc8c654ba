//! Measures with their units: [`Length`], [`Angle`], and their rates; reading and writing them as
//! people do.

mod enclosure;
mod format;
mod parse;
mod quantity;
mod rate;
pub(crate) mod scanner;
#[cfg(feature = "serde")]
mod serialized;
#[cfg(feature = "serde")]
pub(crate) mod text_visitor;
mod time;
mod unit;

pub use format::{DegreesMinutesSeconds, ExactForm, NearestFraction, RoundedDecimal};
pub use quantity::{Angle, Length, Measure};
pub use rate::{Acceleration, Jerk, Rate, Speed};
pub use time::Time;
pub use unit::{AngleUnit, LengthUnit, Unit};
