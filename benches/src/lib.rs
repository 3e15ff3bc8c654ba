//! Moves that the measurements share.

use num_rational::Ratio;
use wholestep::plan::{StepLimits, StepRates};

/// A stop at 400 steps a millimetre: 50 mm/s, 250 mm/s², on a 16 MHz timer.
pub const TIMER_HZ: u64 = 16_000_000;

/// Rates of a trapezoid from rest.
pub fn trapezoid() -> StepRates {
    StepRates {
        speed: Ratio::from(20_000),
        acceleration: Ratio::from(100_000),
        deceleration: Ratio::from(100_000),
        start_speed: Ratio::from(0),
        jerk: None,
    }
}

/// The same with a jerk of 2.5 m/s³.
pub fn jerk_limited() -> StepRates {
    StepRates { jerk: Some(Ratio::from(1_000_000)), ..trapezoid() }
}

/// Limits on the shared timer.
///
/// # Panics
/// Never: the rates above are in range.
pub fn limits(rates: StepRates) -> StepLimits {
    StepLimits::new(rates, TIMER_HZ).expect("rates in range")
}
