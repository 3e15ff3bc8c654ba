//! A plan: one or two legs, with the dwell a change of direction needs.

use num_rational::Ratio;
use num_traits::CheckedAdd;

use super::edges::Edges;
use super::error::PlanError;
use super::limits::StepLimits;
use super::profile::{MAX_TICKS, Profile};
use super::pulse::PulseTiming;

/// Most legs of a plan: past the target, and back to it from the approach side.
pub const MAX_LEGS: usize = 2;

/// Which way the step number goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Direction {
    /// Towards higher step numbers.
    Forward,
    /// Towards lower step numbers.
    Backward,
}

impl Direction {
    /// 1 or -1.
    pub const fn sign(self) -> i64 {
        match self {
            Self::Forward => 1,
            Self::Backward => -1,
        }
    }
}

/// One stretch of a plan in one direction, from rest to rest.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Leg {
    start: u64,
    direction: Direction,
    profile: Profile,
}

impl Leg {
    /// Returns the tick of the plan at which its profile begins.
    pub const fn start(&self) -> u64 {
        self.start
    }

    /// Its direction. If it differs from what came before, the direction signal
    /// changes the timing's direction set-up before [`Leg::start`].
    pub const fn direction(&self) -> Direction {
        self.direction
    }

    /// Its motion.
    pub const fn profile(&self) -> &Profile {
        &self.profile
    }

    /// Returns the tick of the plan at which its profile ends.
    pub const fn end(&self) -> u64 {
        self.start + self.profile.ticks()
    }
}

/// A step edge: when, and which way.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Edge {
    /// Ticks from the start of the plan.
    pub tick: u64,
    /// Which way the motor steps.
    pub direction: Direction,
}

/// A move of whole steps, all its edges decided: it keeps within the limits and
/// the pulse timing it was made from, or it could not have been made.
///
/// ```
/// use num_rational::Ratio;
/// use wholestep::plan::{Direction, Plan, PulseTiming, StepLimits, StepRates};
///
/// let rates = StepRates {
///     speed: Ratio::from(1_000),
///     acceleration: Ratio::from(8_000),
///     deceleration: Ratio::from(8_000),
///     start_speed: Ratio::from(0),
///     jerk: None,
/// };
/// let limits = StepLimits::new(rates, 1_000_000)?;
/// let timing = PulseTiming::new(20, 5, 5)?;
/// // 100 steps down, past the target, then 10 up to it, after having come up.
/// let plan = Plan::new(&limits, timing, &[-100, 10], Some(Direction::Forward))?;
/// assert_eq!(plan.steps(), -90);
/// assert_eq!(plan.edges().count(), 110);
/// assert_eq!(plan.steps_at(Ratio::from(i128::from(plan.ticks())))?, Ratio::from(-90));
/// # Ok::<(), wholestep::plan::PlanError>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Plan {
    legs: [Option<Leg>; MAX_LEGS],
    timing: PulseTiming,
    timer_hz: u64,
}

impl Plan {
    /// Plans legs of signed steps one after another; legs of no steps are left
    /// out. `before` is the direction of the move before, which the direction
    /// signal still shows; unknown after power-on. Where the direction changes,
    /// the last pulse is let finish and the direction set-up is kept.
    ///
    /// # Errors
    /// More than [`MAX_LEGS`] legs, a leg of more steps or a plan of more ticks
    /// than fit, or a speed whose pulses would come closer than the timing
    /// allows.
    pub fn new(
        limits: &StepLimits,
        timing: PulseTiming,
        legs: &[i64],
        before: Option<Direction>,
    ) -> Result<Self, PlanError> {
        let mut plan = Self { legs: [None; MAX_LEGS], timing, timer_hz: limits.timer_hz() };
        if legs.len() > MAX_LEGS {
            return Err(PlanError::TooManyLegs { given: legs.len(), most: MAX_LEGS });
        }
        let mut before = before;
        let mut slots = plan.legs.iter_mut();
        let mut end = None;
        for &steps in legs.iter().filter(|&&steps| steps != 0) {
            let profile = limits.profile(steps.unsigned_abs())?;
            let direction = if steps > 0 { Direction::Forward } else { Direction::Backward };
            if let Some(shortest) = profile.shortest_interval()
                && shortest < timing.least_interval()
            {
                return Err(PlanError::PulseInterval { shortest, needed: timing.least_interval() });
            }
            let turned = (before != Some(direction)).then(|| end.map_or(0, |end| timing.pulse_over(end)));
            let leg = Leg { start: timing.start_after(end, turned), direction, profile };
            if leg.end() > MAX_TICKS {
                return Err(PlanError::TooLong { steps: steps.unsigned_abs(), most_ticks: MAX_TICKS });
            }
            before = Some(direction);
            end = Some(leg.end());
            if let Some(slot) = slots.next() {
                *slot = Some(leg);
            }
        }
        Ok(plan)
    }

    /// Returns the legs that move, in order.
    pub fn legs(&self) -> impl Iterator<Item = &Leg> {
        self.legs.iter().flatten()
    }

    /// Steps from start to end, signed.
    pub fn steps(&self) -> i64 {
        self.legs().map(|leg| leg.direction.sign() * leg.profile.steps().cast_signed()).sum()
    }

    /// Edges in all legs.
    pub fn edge_count(&self) -> u64 {
        self.legs().map(|leg| leg.profile.steps()).sum()
    }

    /// Duration over all legs, in ticks.
    pub fn ticks(&self) -> u64 {
        self.legs().last().map_or(0, Leg::end)
    }

    /// Returns the timer's rate, in Hz.
    pub const fn timer_hz(&self) -> u64 {
        self.timer_hz
    }

    /// Returns the pulse timing it was made for.
    pub const fn timing(&self) -> PulseTiming {
        self.timing
    }

    /// Returns all edges.
    pub fn edges(&self) -> PlanEdges {
        PlanEdges { legs: self.legs, edges: None }
    }

    /// Returns the edges from edge `first` on, counted from 1 over all legs;
    /// one past the last gives none.
    ///
    /// # Errors
    /// An edge the plan does not have.
    pub fn edges_from(&self, first: u64) -> Result<PlanEdges, PlanError> {
        let last = self.edge_count();
        if first == 0 || first > last + 1 {
            return Err(PlanError::EdgeOutOfRange { given: first, last });
        }
        let mut walk = self.edges();
        let mut skip = first - 1;
        for slot in &mut walk.legs {
            let Some(leg) = slot else { continue };
            if skip < leg.profile.steps() {
                walk.edges = Some((*leg, leg.profile.edges_from(skip + 1)?));
                *slot = None;
                break;
            }
            skip -= leg.profile.steps();
            *slot = None;
        }
        Ok(walk)
    }

    /// Returns the ideal position at `tick`, in steps from the start, signed and exact.
    ///
    /// # Errors
    /// A time before 0 or after [`Plan::ticks`], or a fraction of a tick so fine
    /// that the exact position does not fit.
    pub fn steps_at(&self, tick: Ratio<i128>) -> Result<Ratio<i128>, PlanError> {
        self.check(tick)?;
        let mut position = Ratio::from(0);
        for leg in self.legs() {
            let sign = i128::from(leg.direction.sign());
            if let Some(since) = leg.since(tick) {
                return (leg.profile.steps_at(since)? * sign)
                    .checked_add(&position)
                    .ok_or(PlanError::NotRepresentable);
            }
            if tick >= Ratio::from(i128::from(leg.end())) {
                position += sign * i128::from(leg.profile.steps());
            }
        }
        Ok(position)
    }

    /// Returns the speed at `tick`, in steps a tick, signed and exact; zero in a dwell.
    ///
    /// # Errors
    /// As [`Plan::steps_at`].
    pub fn steps_per_tick_at(&self, tick: Ratio<i128>) -> Result<Ratio<i128>, PlanError> {
        self.check(tick)?;
        for leg in self.legs() {
            if let Some(since) = leg.since(tick) {
                let sign = i128::from(leg.direction.sign());
                return Ok(leg.profile.steps_per_tick_at(since)? * sign);
            }
        }
        Ok(Ratio::from(0))
    }

    fn check(&self, tick: Ratio<i128>) -> Result<(), PlanError> {
        let last = self.ticks();
        if *tick.denom() <= 0 || tick < Ratio::from(0) || tick > Ratio::from(i128::from(last)) {
            return Err(PlanError::TickOutOfRange { last });
        }
        Ok(())
    }
}

impl Leg {
    /// Ticks since its start, while it moves.
    fn since(&self, tick: Ratio<i128>) -> Option<Ratio<i128>> {
        let (start, end) = (i128::from(self.start), i128::from(self.end()));
        (tick >= Ratio::from(start) && tick <= Ratio::from(end)).then(|| {
            // Reduced as the tick is, and no larger.
            Ratio::new_raw(tick.numer() - start * tick.denom(), *tick.denom())
        })
    }
}

/// The edges of a plan, in order.
#[derive(Clone, Debug)]
pub struct PlanEdges {
    /// Legs not yet begun.
    legs: [Option<Leg>; MAX_LEGS],
    edges: Option<(Leg, Edges)>,
}

impl Iterator for PlanEdges {
    type Item = Edge;

    #[inline]
    fn next(&mut self) -> Option<Edge> {
        loop {
            if let Some((leg, edges)) = &mut self.edges
                && let Some(tick) = edges.next()
            {
                return Some(Edge { tick: leg.start + tick, direction: leg.direction });
            }
            let leg = self.legs.iter_mut().find_map(Option::take)?;
            self.edges = Some((leg, leg.profile.edges()));
        }
    }
}

impl core::iter::FusedIterator for PlanEdges {}
