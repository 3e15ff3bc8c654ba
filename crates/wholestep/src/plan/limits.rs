//! The limits a plan is made from, in steps and ticks.

use crate::exact::U256;
use num_rational::Ratio;

use super::error::{PlanError, RateKind};
use super::jerk_limited::JerkLimits;
use super::profile::{MAX_STEPS, Profile, Shape, StartSpeed};
use super::trapezoid::{TrapezoidLimits, start_speed};
use super::wide::Scale;

/// The fastest timer, in Hz.
pub const MAX_TIMER_HZ: u64 = 1_000_000_000;

/// What a motor may be asked for, in steps and seconds, as exact ratios.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct StepRates {
    /// Steps a second, never exceeded.
    pub speed: Ratio<u64>,
    /// Steps a second squared, never exceeded while speed grows.
    pub acceleration: Ratio<u64>,
    /// Steps a second squared, never exceeded while speed falls.
    pub deceleration: Ratio<u64>,
    /// Steps a second at which the motor can start and stop at once; zero if
    /// it starts from rest.
    pub start_speed: Ratio<u64>,
    /// Steps a second cubed; without it, acceleration sets in at once. A
    /// jerk-limited move is symmetric and uses the lesser of acceleration and
    /// deceleration both ways.
    pub jerk: Option<Ratio<u64>>,
}

/// The largest ratio not above `numerator / denominator` (both positive) with
/// 64-bit parts: the value itself if it fits once reduced, otherwise rounded
/// down by less than 2^-62 of itself. Zero if `denominator` is zero or
/// the value is below 2^-63; the largest ratio if it is above 2^64.
pub(super) fn at_most(numerator: u128, denominator: u128) -> Ratio<u64> {
    if numerator == 0 || denominator == 0 {
        return Ratio::new_raw(0, 1);
    }
    let exact = Ratio::new(numerator, denominator);
    if let (Ok(numerator), Ok(denominator)) = (u64::try_from(*exact.numer()), u64::try_from(*exact.denom())) {
        return Ratio::new_raw(numerator, denominator);
    }
    let (numerator, denominator) = (U256::from(*exact.numer()), U256::from(*exact.denom()));
    for places in (0..64_u32).rev() {
        if let Ok(scaled) = u64::try_from((numerator << places) / denominator) {
            return if scaled == 0 { Ratio::new_raw(0, 1) } else { Ratio::new(scaled, 1 << places) };
        }
    }
    Ratio::new_raw(u64::MAX, 1)
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Profiles {
    /// The start speed reaches the full speed: no acceleration is needed.
    Constant,
    Trapezoid(TrapezoidLimits),
    Jerk(JerkLimits),
}

/// Limits for one axis on one timer, with all that can be worked out
/// beforehand, so that a profile costs little more than a division or a root.
///
/// The rates are held exactly. A start speed is used exactly if its
/// fraction of a step a tick has a denominator up to 2^40, and is otherwise
/// lowered by so little that a move loses less than a thousandth of a tick.
///
/// ```
/// use num_rational::Ratio;
/// use wholestep::plan::{StepLimits, StepRates};
///
/// let rates = StepRates {
///     speed: Ratio::new(256_000, 381), // 1/3 mm/s at 127/256000 mm a step
///     acceleration: Ratio::from(4_000),
///     deceleration: Ratio::from(4_000),
///     start_speed: Ratio::from(0),
///     jerk: None,
/// };
/// let limits = StepLimits::new(rates, 1_000_000)?;
/// let profile = limits.profile(1_000)?;
/// assert_eq!(profile.steps(), 1_000);
/// // N/V + V/a = 1.65626025 s, and at most two ticks.
/// assert_eq!(profile.ticks(), 1_656_262);
/// # Ok::<(), wholestep::plan::PlanError>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct StepLimits {
    rates: StepRates,
    timer_hz: u64,
    start: StartSpeed,
    /// Ticks a step at full speed.
    period: Scale,
    profiles: Profiles,
}

impl StepLimits {
    /// Limits on a timer of `timer_hz`.
    ///
    /// # Errors
    /// A timer outside 1 Hz to [`MAX_TIMER_HZ`], a rate of zero, a speed above
    /// one step a tick, a rate whose durations leave their range, or both a
    /// jerk and a start speed.
    pub fn new(rates: StepRates, timer_hz: u64) -> Result<Self, PlanError> {
        if timer_hz == 0 || timer_hz > MAX_TIMER_HZ {
            return Err(PlanError::TimerRate { given: timer_hz, most: MAX_TIMER_HZ });
        }
        for (rate, value) in [
            (RateKind::Speed, Some(rates.speed)),
            (RateKind::Acceleration, Some(rates.acceleration)),
            (RateKind::Deceleration, Some(rates.deceleration)),
            (RateKind::Jerk, rates.jerk),
            (RateKind::StartSpeed, Some(rates.start_speed)),
        ] {
            if rate != RateKind::StartSpeed && value.is_some_and(|value| *value.numer() == 0) {
                return Err(PlanError::ZeroRate { rate });
            }
            if value.is_some_and(|value| *value.denom() == 0) {
                return Err(PlanError::RateOutOfRange { rate });
            }
        }
        let (speed, second) = parts(rates.speed);
        let timer = U256::from(timer_hz);
        if speed > timer * second {
            return Err(PlanError::SpeedAboveTimer { given: rates.speed.to_integer(), timer_hz });
        }
        let period = Scale::at_least(timer * second, speed)
            .ok_or(PlanError::RateOutOfRange { rate: RateKind::Speed })?;
        let start = start_speed(&rates, timer)?;
        let profiles = match rates.jerk {
            Some(_) if *rates.start_speed.numer() != 0 => {
                return Err(PlanError::JerkWithStartSpeed);
            }
            Some(jerk) => Profiles::Jerk(JerkLimits::new(&rates, jerk, timer)?),
            None if rates.start_speed >= rates.speed => Profiles::Constant,
            None => Profiles::Trapezoid(TrapezoidLimits::new(&rates, start, timer)?),
        };
        Ok(Self { rates, timer_hz, start, period, profiles })
    }

    /// Returns the same limits with a slower speed, for one move.
    ///
    /// # Errors
    /// A speed of zero, or above the speed of these limits.
    pub fn slower(&self, speed: Ratio<u64>) -> Result<Self, PlanError> {
        if speed > self.rates.speed {
            return Err(PlanError::NotSlower);
        }
        Self::new(StepRates { speed, ..self.rates }, self.timer_hz)
    }

    /// Returns the rates these limits were made from.
    pub const fn rates(&self) -> &StepRates {
        &self.rates
    }

    /// Returns the timer's rate in Hz.
    pub const fn timer_hz(&self) -> u64 {
        self.timer_hz
    }

    /// Returns the start speed profiles use: that of the rates, or just below it.
    pub const fn start_speed(&self) -> StartSpeed {
        self.start
    }

    /// Returns the fastest profile of whole-tick durations over `steps` steps within
    /// these limits. It takes at most 2 ticks (4 if jerk-limited) longer than
    /// the continuous optimum.
    ///
    /// # Errors
    /// More than [`MAX_STEPS`] steps, or more than [`super::MAX_TICKS`] ticks.
    #[inline]
    pub fn profile(&self, steps: u64) -> Result<Profile, PlanError> {
        if steps == 0 {
            return Profile::new(0, Shape::Rest);
        }
        if steps > MAX_STEPS {
            return Err(PlanError::TooManySteps { given: steps, most: MAX_STEPS });
        }
        let shape = match &self.profiles {
            Profiles::Constant => self.constant(steps),
            Profiles::Trapezoid(limits) => limits.shape(steps, &self.period),
            Profiles::Jerk(limits) => limits.shape(steps, &self.period),
        };
        Profile::new(steps, shape.ok_or(PlanError::TooLong { steps, most_ticks: super::MAX_TICKS })?)
    }

    fn constant(&self, steps: u64) -> Option<Shape> {
        let ticks = u64::try_from(self.period.ceil_times(steps)?).ok()?;
        Some(Shape::Constant { ticks })
    }
}

/// Numerator and denominator, wide.
pub(crate) fn parts(ratio: Ratio<u64>) -> (U256, U256) {
    (U256::from(*ratio.numer()), U256::from(*ratio.denom()))
}
