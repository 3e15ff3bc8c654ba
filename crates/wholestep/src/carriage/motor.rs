//! The motor as the carriage knows it: the step it stands on, and the motion under way.
//!
//! The step is the sum of the edges given out, so it is exact at every instant. A motion starts where
//! the motor stands, and a brake starts at the last edge given out, so every motion ends on a whole
//! step that is known beforehand.

use super::configuration::{Configuration, Pace};
use super::{Direction, Fault, StepEdge};
use crate::plan::{Cursor, Profile, StepLimits, Stop};

#[derive(Clone, Debug)]
pub(super) struct Motor {
    step: i64,
    on: bool,
    /// Whether the step's number comes from a proof and the drive has been on ever since.
    numbered: bool,
    /// Which way the direction pin points, once it has been set.
    facing: Option<Direction>,
    /// From when on an edge may be given: the drive has settled and the direction has stood.
    ready_at: u64,
    /// The way in which the present step was reached.
    reached: Option<Direction>,
    motion: Option<Motion>,
}

#[derive(Clone, Debug)]
struct Motion {
    edges: Cursor,
    pace: Pace,
    /// Whether this is already the last brake.
    brakes: bool,
    /// A step short of the plan's end on which to brake.
    landing: Option<i64>,
    /// Tick of the plan's beginning.
    start: u64,
    /// Tick of the edge before the next, or of the beginning.
    previous: u64,
    /// Tick of the next edge.
    next: Option<u64>,
}

/// A poll came so late that the motor must have stopped from a speed at which it cannot.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct TooLate;

impl Motion {
    fn new(profile: Profile, pace: Pace, start: u64) -> Self {
        let mut edges = Cursor::new(profile);
        let next = edges.next().map(|tick| start.saturating_add(tick));
        Self { edges, pace, brakes: false, landing: None, start, previous: start, next }
    }

    const fn profile(&self) -> &Profile {
        self.edges.profile()
    }

    /// The last edge given out, counted from 1.
    fn given(&self) -> u64 {
        self.edges.next_edge() - 1 - u64::from(self.next.is_some())
    }

    /// Whether the motor still stands, the first edge not given; a brake has begun whatever its edges.
    fn is_unbegun(&self) -> bool {
        self.given() == 0 && !self.brakes
    }

    /// Edges still to come.
    fn left(&self) -> u64 {
        self.profile().steps() - self.given()
    }

    /// How it stops after `edge` at the earliest; a motion that already brakes runs out.
    fn stop(&self, configuration: &Configuration, edge: u64) -> Stop {
        let run_out = Stop::RunOut { steps: self.profile().steps().saturating_sub(edge) };
        if self.brakes {
            return run_out;
        }
        self.profile().stop_after(edge, configuration.limits(self.pace)).unwrap_or(run_out)
    }

    fn brake(&mut self, configuration: &Configuration) {
        if let Stop::Brake(profile) = self.stop(configuration, self.given()) {
            *self = Self::new(profile, self.pace, self.previous);
        }
        self.landing = None;
        self.brakes = true;
    }

    /// Brakes so as to end `steps` on; at the earliest, should that not be possible.
    fn brake_over(&mut self, configuration: &Configuration, steps: u64) {
        match self.profile().stop_on(self.given(), steps, configuration.limits(self.pace)) {
            Ok(Some(profile)) => {
                *self = Self::new(profile, self.pace, self.previous);
                self.brakes = true;
            }
            _ => self.brake(configuration),
        }
    }

    /// Goes on to `steps` in all, no fewer than it has, without slowing down in between. Where it
    /// cannot, because it slows down already, it stays as it is.
    fn lengthen(&mut self, limits: &StepLimits, steps: u64) {
        let Ok(longer) = limits.profile(steps) else { return };
        let given = self.given();
        // As if it had been the longer move from the start.
        let start = match given {
            0 => Some(self.start),
            _ => self.profile().goes_on_as(&longer, given).and_then(|tick| self.previous.checked_sub(tick)),
        };
        let Some(start) = start else { return };
        self.edges = Cursor::enter(longer, given + 1);
        self.start = start;
        self.next = self.edges.next().map(|tick| start.saturating_add(tick));
    }

    fn ends(&self) -> u64 {
        self.start.saturating_add(self.profile().ticks())
    }

    /// Ticks between the last edge and the next.
    fn interval(&self) -> Option<u64> {
        self.next.map(|next| next - self.previous)
    }
}

impl Motor {
    pub(super) const fn new() -> Self {
        Self { step: 0, on: false, numbered: false, facing: None, ready_at: 0, reached: None, motion: None }
    }

    pub(super) const fn step(&self) -> i64 {
        self.step
    }

    pub(super) const fn is_on(&self) -> bool {
        self.on
    }

    /// Whether the next proof can tell by how many steps the numbers have come to be wrong.
    pub(super) const fn is_numbered(&self) -> bool {
        self.numbered
    }

    pub(super) const fn stands(&self) -> bool {
        self.motion.is_none()
    }

    /// Which way the direction pin points.
    pub(super) fn facing(&self) -> Direction {
        self.facing.unwrap_or(Direction::Forward)
    }

    /// The way in which the present step was reached, once it was by a motion.
    pub(super) const fn reached(&self) -> Option<Direction> {
        self.reached
    }

    /// The way it moves.
    pub(super) fn moves(&self) -> Option<Direction> {
        self.motion.as_ref().and(self.facing)
    }

    /// The way it moves with a first edge given, after which it cannot but brake.
    pub(super) fn runs(&self) -> Option<Direction> {
        self.motion.as_ref().filter(|motion| !motion.is_unbegun()).and(self.facing)
    }

    /// Gives the step it stands on another number.
    pub(super) const fn renumber(&mut self, by: i64) {
        self.step += by;
        self.numbered = true;
    }

    /// Switches the drive on, if it was off.
    pub(super) fn switch_on(&mut self, now: u64, configuration: &Configuration) {
        if !self.on {
            self.on = true;
            self.ready_at = now.saturating_add(configuration.parts().drive_settle);
        }
    }

    /// Counts the settling of the drive and the direction from `now` again.
    pub(super) fn settle_again(&mut self, now: u64, configuration: &Configuration) {
        let parts = configuration.parts();
        self.ready_at = now.saturating_add(parts.drive_settle.max(parts.timing.direction_setup()));
    }

    /// Switches the drive off, moving or not.
    pub(super) fn switch_off(&mut self) {
        self.on = false;
        self.numbered = false;
        self.reached = None;
        self.motion = None;
    }

    /// Starts from where it stands to step `to`.
    pub(super) fn run(
        &mut self,
        configuration: &Configuration,
        pace: Pace,
        now: u64,
        to: i64,
    ) -> Result<(), Fault> {
        let Some(direction) = Direction::between(self.step, to) else { return Ok(()) };
        let profile = configuration.limits(pace).profile(to.abs_diff(self.step)).map_err(|_| Fault::Plan)?;
        self.switch_on(now, configuration);
        if self.facing != Some(direction) {
            self.facing = Some(direction);
            self.ready_at =
                self.ready_at.max(now.saturating_add(configuration.parts().timing.direction_setup()));
        }
        self.motion = Some(Motion::new(profile, pace, now.max(self.ready_at)));
        Ok(())
    }

    /// Starts toward `far`, to land on `to` on the way there, so that `to` may still move on.
    pub(super) fn run_on(
        &mut self,
        configuration: &Configuration,
        pace: Pace,
        now: u64,
        to: i64,
        far: i64,
    ) -> Result<(), Fault> {
        if self.run(configuration, pace, now, far).is_ok() && self.land(configuration, to) {
            return Ok(());
        }
        self.motion = None;
        self.run(configuration, pace, now, to)
    }

    /// Makes the motion under way end on `to`, if it leads there and there is room to brake. To a `to`
    /// beyond its end it goes on without stopping, unless it slows down already; then it is served as
    /// far as the motion goes.
    pub(super) fn land(&mut self, configuration: &Configuration, to: i64) -> bool {
        let (step, facing) = (self.step, self.facing);
        let Some(motion) = &mut self.motion else { return false };
        if motion.brakes || Direction::between(step, to) != facing {
            return false;
        }
        let distance = to.abs_diff(step);
        if distance >= motion.left() {
            motion.landing = None;
            motion.lengthen(configuration.limits(motion.pace), motion.given() + distance);
            return true;
        }
        // From rest the first edge is always made.
        let (edge, room) = match motion.given() {
            0 => (1, distance - 1),
            given => (given, distance),
        };
        if motion.stop(configuration, edge).steps() > room {
            return false;
        }
        motion.landing = Some(to);
        self.brake_for_landing(configuration);
        true
    }

    /// Where a brake begun now would end.
    pub(super) fn brakes_on(&self, configuration: &Configuration) -> i64 {
        let begun = self.motion.as_ref().filter(|motion| !motion.is_unbegun());
        let ahead = begun.map_or(0, |motion| motion.stop(configuration, motion.given()).steps());
        self.step + self.facing().sign() * ahead.cast_signed()
    }

    /// Brakes from the last edge given out; before the first there is nothing to brake.
    pub(super) fn brake(&mut self, configuration: &Configuration) {
        let Some(motion) = &mut self.motion else { return };
        if motion.is_unbegun() {
            self.motion = None;
        } else {
            motion.brake(configuration);
        }
    }

    /// Begins the brake for the landing at the last edge from which there is room for it.
    fn brake_for_landing(&mut self, configuration: &Configuration) {
        let Some(motion) = &mut self.motion else { return };
        let Some(landing) = motion.landing else { return };
        let given = motion.given();
        let distance = landing.abs_diff(self.step);
        if distance == 0 || motion.stop(configuration, given + 1).steps() >= distance {
            motion.brake_over(configuration, distance);
        }
    }

    /// Stops at once; returns whether the motor can have followed.
    pub(super) fn halt(&mut self, configuration: &Configuration) -> bool {
        self.motion.take().is_none_or(|motion| {
            motion.is_unbegun()
                || motion.interval().is_none_or(|interval| interval >= configuration.start_interval())
        })
    }

    /// The edge that is due, if any; one a poll. What follows shifts by as much as the poll is late.
    pub(super) fn poll(
        &mut self,
        configuration: &Configuration,
        now: u64,
    ) -> Result<Option<StepEdge>, TooLate> {
        let facing = self.facing();
        let Some(motion) = &mut self.motion else { return Ok(None) };
        let Some(due) = motion.next.filter(|&due| due <= now) else {
            self.end_motion(now);
            return Ok(None);
        };
        let (late, interval) = (now - due, due - motion.previous);
        if !motion.is_unbegun() && late > interval && interval < configuration.start_interval() {
            self.motion = None;
            return Err(TooLate);
        }
        motion.start += late;
        motion.previous = now;
        motion.next = motion.edges.next().map(|tick| motion.start.saturating_add(tick));
        self.step += facing.sign();
        self.reached = Some(facing);
        self.brake_for_landing(configuration);
        self.end_motion(now);
        Ok(Some(StepEdge { due, direction: facing }))
    }

    fn end_motion(&mut self, now: u64) {
        if self.motion.as_ref().is_some_and(|motion| motion.next.is_none() && motion.ends() <= now) {
            self.motion = None;
        }
    }

    /// When the next edge, or the end of the motion, is due.
    pub(super) fn due(&self) -> Option<u64> {
        self.motion.as_ref().map(|motion| motion.next.unwrap_or_else(|| motion.ends()))
    }
}

#[cfg(test)]
impl Motor {
    /// Counts times from `now`.
    pub(super) fn forget_time(&mut self, now: u64) {
        self.ready_at = self.ready_at.saturating_sub(now);
        if let Some(motion) = &mut self.motion {
            motion.start = motion.start.wrapping_sub(now);
            motion.previous = motion.previous.wrapping_sub(now);
            motion.next = motion.next.map(|next| next.wrapping_sub(now));
        }
    }
}
