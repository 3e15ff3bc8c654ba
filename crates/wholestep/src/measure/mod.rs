//! Measures with their units: [`Length`], [`Angle`], and their rates.

mod quantity;
mod rate;
mod unit;

pub use quantity::{Angle, Length, Measure};
pub use rate::{Acceleration, Jerk, Rate, Speed};
pub(crate) use unit::write_quantity;
pub use unit::{AngleUnit, LengthUnit, Unit};
