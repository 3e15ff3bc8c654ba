//! Rates nobody would set: whatever is planned with them, it ends, and no brake speeds up.

use std::panic::catch_unwind;
use std::sync::mpsc::channel;
use std::thread;
use std::time::Duration;

use num_rational::Ratio;
use wholestep::plan::{StepLimits, StepRates};

use super::chance::Chance;
use super::watch::Broken;

/// Planning is a matter of microseconds.
const LONGEST: Duration = Duration::from_secs(10);

/// Plans a move with absurd rates and stops it somewhere.
///
/// # Errors
/// If that panics, does not end, or gives a brake that is faster than the speed.
pub(super) fn try_absurd_rates(chance: &mut Chance) -> Result<(), Broken> {
    let rate = |chance: &mut Chance, most: u32| {
        let top = u64::try_from(chance.between(1, 1_000)).unwrap_or(1);
        Ratio::new(top, 1 << chance.between(0, i64::from(most)))
    };
    let acceleration = rate(chance, 44);
    let rates = StepRates {
        speed: rate(chance, 16),
        acceleration,
        deceleration: acceleration,
        start_speed: if chance.once_in(3) { Ratio::from(0) } else { rate(chance, 16) },
        jerk: None,
    };
    let hz = 1 << chance.between(0, 24);
    let steps = 1 << chance.between(0, 30);
    let (given, over) = (chance.ticks(1, steps), chance.ticks(0, steps));
    let (done, wait) = channel();
    thread::spawn(move || {
        let tried = catch_unwind(|| plan(rates, hz, steps, given, over)).unwrap_or_else(|_| {
            Err(format!(
                "absurd rates panic: {rates:?} at {hz} Hz, {steps} steps, {given} given, {over} over"
            ))
        });
        let _nobody_waits = done.send(tried);
    });
    wait.recv_timeout(LONGEST).unwrap_or_else(|_| {
        Err(format!("planning without end: {rates:?} at {hz} Hz, {steps} steps, {given} given, {over} over"))
    })
}

fn plan(rates: StepRates, hz: u64, steps: u64, given: u64, over: u64) -> Result<(), Broken> {
    let Ok(limits) = StepLimits::new(rates, hz) else { return Ok(()) };
    let Ok(profile) = limits.profile(steps) else { return Ok(()) };
    let Ok(Some(brake)) = profile.stop_on(given, over, &limits) else { return Ok(()) };
    let shortest =
        (u128::from(hz) * u128::from(*rates.speed.denom()) / u128::from(*rates.speed.numer())) as u64;
    let mut before = None;
    for tick in brake.edges().take(64) {
        if before.is_some_and(|before| tick - before < shortest) {
            return Err(format!(
                "a brake that speeds up: {rates:?} at {hz} Hz, {steps} steps, {given} given, {over} over"
            ));
        }
        before = Some(tick);
    }
    Ok(())
}
