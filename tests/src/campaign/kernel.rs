//! Rates nobody would set: whatever is planned with them, it ends, and no brake speeds up or outlasts the
//! longest plan.

use std::panic::catch_unwind;
use std::sync::mpsc::{RecvTimeoutError, channel};
use std::thread;
use std::time::Duration;

use num_rational::Ratio;
use wholestep::plan::{MAX_TICKS, StepLimits, StepRates};

use super::chance::Chance;
use super::watch::Broken;

/// Planning is a matter of microseconds.
const LONGEST: Duration = Duration::from_secs(5);
const TRIALS: usize = 25;

#[derive(Clone, Copy, Debug)]
struct Trial {
    rates: StepRates,
    hz: u64,
    steps: u64,
    /// After how many steps, and over how many, it is stopped.
    given: u64,
    over: u64,
}

/// Two that chance does not come upon: planning that did not end, and a brake whose ticks overflowed.
const ONCE_BROKEN: [Trial; 2] = [
    Trial {
        rates: StepRates {
            speed: Ratio::new_raw(161, 62_500),
            acceleration: Ratio::new_raw(1, 270_520_251_618),
            deceleration: Ratio::new_raw(1, 270_520_251_618),
            start_speed: Ratio::new_raw(1, 5_527),
            jerk: None,
        },
        hz: 5_654_185,
        steps: 14_145,
        given: 1,
        over: 0,
    },
    Trial {
        rates: StepRates {
            speed: Ratio::new_raw(1, 444),
            acceleration: Ratio::new_raw(1, 6_427_596_806_182),
            deceleration: Ratio::new_raw(1, 6_427_596_806_182),
            start_speed: Ratio::new_raw(0, 1),
            jerk: None,
        },
        hz: 6_926,
        steps: 937_595_056,
        given: 2,
        over: 601_669_681,
    },
];

/// Plans moves with absurd rates and stops them somewhere.
///
/// # Errors
/// If that panics, does not end, or gives a brake that is faster than the speed.
pub(super) fn try_absurd_rates(chance: &mut Chance) -> Result<(), Broken> {
    let trials: Vec<Trial> = ONCE_BROKEN.into_iter().chain((0..TRIALS).map(|_| Trial::new(chance))).collect();
    let (done, wait) = channel();
    thread::spawn(move || {
        for trial in trials {
            let planned = catch_unwind(|| trial.plan());
            let planned = planned.unwrap_or_else(|_| Err(format!("absurd rates panic: {trial:?}")));
            let _nobody_waits = done.send((trial, planned));
        }
    });
    let mut last = None;
    loop {
        match wait.recv_timeout(LONGEST) {
            Ok((trial, planned)) => {
                planned?;
                last = Some(trial);
            }
            Err(RecvTimeoutError::Disconnected) => return Ok(()),
            Err(RecvTimeoutError::Timeout) => {
                return Err(format!("planning without end: the trial after {last:?}"));
            }
        }
    }
}

impl Trial {
    fn new(chance: &mut Chance) -> Self {
        let rate = |chance: &mut Chance, most: i64| {
            let top = u64::try_from(chance.between(1, 1_000)).unwrap_or(1);
            Ratio::new(top, 1 << chance.between(0, most))
        };
        let acceleration = rate(chance, 46);
        let start_speed = if chance.once_in(3) { Ratio::from(0) } else { rate(chance, 20) };
        let steps = 1 << chance.between(0, 30);
        Self {
            rates: StepRates {
                speed: rate(chance, 20),
                acceleration,
                deceleration: acceleration,
                start_speed,
                jerk: None,
            },
            hz: 1 << chance.between(0, 24),
            steps,
            given: chance.ticks(1, steps),
            over: chance.ticks(0, steps),
        }
    }

    fn plan(&self) -> Result<(), Broken> {
        let Ok(limits) = StepLimits::new(self.rates, self.hz) else { return Ok(()) };
        let Ok(profile) = limits.profile(self.steps) else { return Ok(()) };
        let Ok(Some(brake)) = profile.stop_on(self.given, self.over, &limits) else { return Ok(()) };
        if brake.ticks() > MAX_TICKS {
            return Err(format!("a brake beyond the longest plan: {} ticks, {self:?}", brake.ticks()));
        }
        let speed = self.rates.speed;
        let shortest = u128::from(self.hz) * u128::from(*speed.denom()) / u128::from(*speed.numer());
        let mut before = None;
        for tick in brake.edges().take(64) {
            if before.is_some_and(|before| u128::from(tick - before) < shortest) {
                return Err(format!("a brake that speeds up: {self:?}"));
            }
            before = Some(tick);
        }
        Ok(())
    }
}
