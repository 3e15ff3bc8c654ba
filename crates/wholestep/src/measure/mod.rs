//! Measures with their units: [`Length`], [`Angle`], and their rates; reading and writing them as
//! people do.

mod enclosed;
mod quantity;
mod rate;
mod read;
#[cfg(feature = "serde")]
mod serialized;
mod time;
mod unit;
mod write;

pub use quantity::{Angle, Length, Measure};
pub use rate::{Acceleration, Jerk, Rate, Speed};
pub use time::Time;
pub use unit::{AngleUnit, LengthUnit, Unit};
pub(crate) use write::write_quantity;
pub use write::{DegreesMinutesSeconds, ExactForm, NearestFraction, RoundedDecimal};
