//! A stop block for the tests.

use wholestep::axis::{Axis, AxisConfig, Rates};
use wholestep::mechanism::{DriveTrain, Linear, StepMode};
use wholestep::{Acceleration, Angle, Exact, Length, LengthUnit, Measure, Speed};

pub(crate) fn read(text: &str) -> Length {
    text.parse().unwrap()
}

pub(crate) fn degrees(value: i64) -> Angle {
    Angle::from_base(Exact::integer(value)).unwrap()
}

/// A screw of 8 threads an inch that carries the stop from `low` to `high`.
pub(crate) fn stop_block(low: &str, high: &str) -> Axis<Linear<Length>> {
    let motor = DriveTrain::new("1.8 deg".parse().unwrap(), StepMode::new(16).unwrap()).unwrap();
    let screw = Linear::lead_screw_by_threads_per_inch(motor, Exact::integer(8), 1).unwrap();
    axis(screw, low, high)
}

/// A rack by module, so every position is an enclosure.
pub(crate) fn rack_stop(low: &str, high: &str) -> Axis<Linear<Length>> {
    let motor = DriveTrain::new("1.8 deg".parse().unwrap(), StepMode::new(16).unwrap()).unwrap();
    axis(Linear::rack_by_module(motor, read("1 mm"), 20).unwrap(), low, high)
}

fn axis(mechanism: Linear<Length>, low: &str, high: &str) -> Axis<Linear<Length>> {
    let rate = Exact::integer(100);
    let rates = Rates::new(Speed::from_base(rate).unwrap(), Acceleration::from_base(rate).unwrap());
    Axis::new(mechanism, AxisConfig::new(LengthUnit::Inch, read(low), read(high), rates)).unwrap()
}
