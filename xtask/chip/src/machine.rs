//! One machine, the same as in the benches: 400 steps a millimetre, 50 mm/s, 250 mm/s².

use core::hint::black_box;

use num_rational::Ratio;
use wholestep::axis::{Approach, AxisConfig, Rates};
use wholestep::carriage::{CarriageConfig, Equipment};
use wholestep::mechanism::{DriveTrain, Linear, StepMode};
use wholestep::plan::{PulseTiming, StepLimits, StepRates};
use wholestep::{Acceleration, Angle, Axis, Exact, Length, LengthUnit, Measure, Speed};

use crate::must;

/// Ticks a second.
pub const TIMER_HZ: u64 = 1_000_000;

/// From rest to rest, 20,000 steps/s and 100,000 steps/s².
pub fn trapezoid() -> StepRates {
    StepRates {
        speed: Ratio::new_raw(20_000, 1),
        acceleration: Ratio::new_raw(100_000, 1),
        deceleration: Ratio::new_raw(100_000, 1),
        start_speed: Ratio::new_raw(0, 1),
        jerk: None,
    }
}

/// The same with 1,000,000 steps/s³.
pub fn jerk_limited() -> StepRates {
    StepRates { jerk: Some(Ratio::new_raw(1_000_000, 1)), ..trapezoid() }
}

/// The same from a start speed of 1,000 steps/s.
pub fn started() -> StepRates {
    StepRates { start_speed: Ratio::new_raw(1_000, 1), ..trapezoid() }
}

/// Limits whose rates the compiler does not know.
pub fn limits(rates: StepRates) -> StepLimits {
    must(StepLimits::new(black_box(rates), black_box(TIMER_HZ)))
}

/// A length in millimetres that the compiler does not know.
pub fn millimetres(numerator: i128, denominator: i128) -> Length {
    must(Length::from_base(must(Exact::new(black_box(numerator), denominator))))
}

/// The axis: a screw of 8 mm lead in sixteenths of a step, approached from below if there is play.
pub fn axis(backlash: Length) -> Axis<Linear<Length>> {
    let step = must(Angle::from_base(must(Exact::new(black_box(9), 5))));
    let drive = must(DriveTrain::new(step, must(StepMode::new(16))));
    let screw = must(Linear::lead_screw_by_lead(drive, millimetres(8, 1)));
    let speed = must(Speed::from_base(Exact::integer(black_box(50))));
    let acceleration = must(Acceleration::from_base(Exact::integer(black_box(250))));
    let rates = Rates::new(speed, acceleration);
    let mut config = AxisConfig::new(LengthUnit::Millimetre, millimetres(0, 1), millimetres(600, 1), rates);
    if backlash != Length::ZERO {
        config.approach = Approach::FromBelow;
        config.backlash = backlash;
    }
    must(Axis::new(screw, config))
}

/// A pulse that drivers commonly take.
pub fn timing() -> PulseTiming {
    must(PulseTiming::new(5, 3, 3))
}

/// A carriage's configuration: its position is proven with the rocker.
pub fn carriage(axis: &Axis<Linear<Length>>) -> CarriageConfig {
    let mut equipment = must(Equipment::bare(axis));
    equipment.rocker = true;
    must(equipment.config(axis, TIMER_HZ, timing()))
}
