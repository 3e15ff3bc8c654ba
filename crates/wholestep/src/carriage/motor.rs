//! The motor as the carriage knows it: the step it stands on, and the motion under way.
//!
//! The step is the sum of the edges given out, so it is exact at every instant. A motion starts where
//! the motor stands, and a brake starts at the last edge given out, so every motion ends on a whole
//! step that is known beforehand. The motor stands once the motion's time and its last pulse are over;
//! nothing can start, or turn the direction pin, before.

use super::config::CarriageConfig;
use super::pace::Pace;
use super::{Direction, Fault, StepEdge};
use crate::plan::{Cursor, Profile, Stop};

#[derive(Clone, Debug)]
pub(super) struct Motor {
    step: i64,
    drive: Drive,
    /// When the drive will have settled, once it is on.
    settled_at: u64,
    /// Whether the step's number comes from a proof and the drive has been on ever since.
    numbered: bool,
    /// Which way the direction pin points, once it has been set.
    facing: Option<Direction>,
    /// When the direction pin was set, and when the last edge was given out; before the first of
    /// either, time 0, at which somebody may have done it.
    turned_at: u64,
    last_edge: u64,
    /// Whether the pulse of the last edge still lasts.
    pulse: bool,
    /// Steps made toward the side from which targets are approached since the last step away from it
    /// or since the drive came on, as far as they are needed: the play that is taken up for certain.
    taken_up: u64,
    motion: Option<Motion>,
}

/// The drive. Only a poll can switch it on, because only a poll has a pin and a time.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Drive {
    Off,
    /// A request asked for it; the next poll switches it on.
    Asked,
    On,
}

/// An edge to give out.
#[derive(Clone, Copy, Debug)]
pub(super) struct Given {
    pub(super) edge: StepEdge,
    /// By how many ticks it is late, if by so much that a fast motor runs unevenly; once a motion.
    pub(super) late: Option<u64>,
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
    /// Whether it has been told that polls are late.
    late_told: bool,
}

/// A poll came so late that the motor must have stopped from a speed at which it cannot.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct TooLate;

impl Motion {
    fn new(profile: Profile, pace: Pace, start: u64) -> Self {
        let mut edges = Cursor::new(profile);
        let next = edges.next().map(|tick| start.saturating_add(tick));
        Self { edges, pace, brakes: false, landing: None, start, previous: start, next, late_told: false }
    }

    /// Goes on as `profile` from the last edge given out.
    fn become_brake(&mut self, profile: Profile) {
        *self =
            Self { brakes: true, late_told: self.late_told, ..Self::new(profile, self.pace, self.previous) };
    }

    /// Plans what is left anew, as from rest, with its first edge at `now`; the motor has stopped.
    fn start_again(&mut self, configuration: &CarriageConfig, step: i64, now: u64) {
        let left = self.landing.map_or(self.left(), |landing| landing.abs_diff(step));
        let planned = configuration.limits(self.pace).and_then(|limits| limits.profile(left));
        let Ok(profile) = planned else { return };
        let mut again = Self::new(profile, self.pace, 0);
        // At the beginning of time the plan begins now, and its first edge comes later.
        let start = again.next.map_or(now, |first| now.checked_sub(first).unwrap_or(now));
        again.start = start;
        again.next = again.next.map(|first| start + first);
        *self = Self { brakes: self.brakes, previous: self.previous, late_told: self.late_told, ..again };
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
    fn stop(&self, configuration: &CarriageConfig, edge: u64) -> Stop {
        let run_out = Stop::RunOut { steps: self.profile().steps().saturating_sub(edge) };
        if self.brakes {
            return run_out;
        }
        let limits = configuration.limits(self.pace);
        limits.and_then(|limits| self.profile().stop_after(edge, &limits)).unwrap_or(run_out)
    }

    fn brake(&mut self, configuration: &CarriageConfig) {
        if let Stop::Brake(profile) = self.stop(configuration, self.given()) {
            self.become_brake(profile);
        }
        self.landing = None;
        self.brakes = true;
    }

    /// Brakes so as to end `steps` on; at the earliest, should that not be possible.
    fn brake_over(&mut self, configuration: &CarriageConfig, steps: u64) {
        let limits = configuration.limits(self.pace);
        match limits.and_then(|limits| self.profile().stop_on(self.given(), steps, &limits)) {
            Ok(Some(profile)) => self.become_brake(profile),
            _ => self.brake(configuration),
        }
    }

    /// Goes on to `steps` in all, no fewer than it has, without slowing down in between. Where it
    /// cannot, because it slows down already, it stays as it is.
    fn lengthen(&mut self, configuration: &CarriageConfig, steps: u64) {
        let planned = configuration.limits(self.pace).and_then(|limits| limits.profile(steps));
        let Ok(longer) = planned else { return };
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
        Self {
            step: 0,
            drive: Drive::Off,
            settled_at: 0,
            numbered: false,
            facing: None,
            turned_at: 0,
            last_edge: 0,
            pulse: false,
            taken_up: 0,
            motion: None,
        }
    }

    pub(super) const fn step(&self) -> i64 {
        self.step
    }

    pub(super) const fn is_on(&self) -> bool {
        matches!(self.drive, Drive::On)
    }

    /// Whether the drive is on, and has been for its settling time.
    pub(super) const fn is_settled(&self, now: u64) -> bool {
        self.is_on() && self.settled_at <= now
    }

    /// Whether the next proof can tell by how many steps the numbers have come to be wrong.
    pub(super) const fn is_numbered(&self) -> bool {
        self.numbered
    }

    /// Whether nothing is under way, the last pulse neither, so that a motion may begin.
    pub(super) const fn stands(&self) -> bool {
        self.motion.is_none() && !self.pulse
    }

    /// Whether it moves, or is about to.
    pub(super) const fn is_moving(&self) -> bool {
        self.motion.is_some()
    }

    /// Which way the direction pin points.
    pub(super) fn facing(&self) -> Direction {
        self.facing.unwrap_or(Direction::Forward)
    }

    /// How many steps of play are taken up for certain toward the side from which targets are
    /// approached; no more than that approach overruns.
    pub(super) const fn taken_up(&self) -> u64 {
        self.taken_up
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

    /// Asks for the drive; the next poll switches it on.
    pub(super) const fn ask_for_drive(&mut self) {
        if matches!(self.drive, Drive::Off) {
            self.drive = Drive::Asked;
        }
    }

    /// Takes back what was asked for.
    pub(super) const fn withdraw(&mut self) {
        if matches!(self.drive, Drive::Asked) {
            self.drive = Drive::Off;
        }
    }

    /// Switches the drive on if it was asked for.
    pub(super) const fn grant_drive(&mut self, now: u64, configuration: &CarriageConfig) {
        if matches!(self.drive, Drive::Asked) {
            self.switch_on(now, configuration);
        }
    }

    /// Switches the drive on, if it was off, in the poll at `now`.
    const fn switch_on(&mut self, now: u64, configuration: &CarriageConfig) {
        if !self.is_on() {
            self.drive = Drive::On;
            self.settled_at = now.saturating_add(configuration.parts().drive_settle);
        }
    }

    /// Counts the settling of the drive and the direction from `now` again, and a pulse that was given
    /// later; one that is over stays so.
    pub(super) fn settle_again(&mut self, now: u64, configuration: &CarriageConfig) {
        self.settled_at = now.saturating_add(configuration.parts().drive_settle);
        self.turned_at = now;
        self.last_edge = self.last_edge.min(now);
        self.pulse &= self.pulse_over(configuration) > now;
    }

    /// Switches the drive off, moving or not.
    pub(super) fn switch_off(&mut self) {
        self.drive = Drive::Off;
        self.numbered = false;
        self.taken_up = 0;
        self.motion = None;
    }

    /// Starts from where it stands to step `to`.
    pub(super) fn run(
        &mut self,
        configuration: &CarriageConfig,
        pace: Pace,
        now: u64,
        to: i64,
    ) -> Result<(), Fault> {
        let Some(direction) = Direction::between(self.step, to) else { return Ok(()) };
        let planned = configuration.limits(pace).and_then(|limits| limits.profile(to.abs_diff(self.step)));
        let profile = planned.map_err(|_| Fault::Plan)?;
        self.switch_on(now, configuration);
        if self.facing != Some(direction) {
            self.facing = Some(direction);
            self.turned_at = now;
        }
        let start = configuration.parts().timing.start_after(Some(self.last_edge), Some(self.turned_at));
        self.motion = Some(Motion::new(profile, pace, now.max(start).max(self.settled_at)));
        Ok(())
    }

    /// Starts toward `far`, to land on `to` on the way there, so that `to` may still move on.
    pub(super) fn run_on(
        &mut self,
        configuration: &CarriageConfig,
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
    pub(super) fn land(&mut self, configuration: &CarriageConfig, to: i64) -> bool {
        let (step, facing) = (self.step, self.facing);
        let Some(motion) = &mut self.motion else { return false };
        if motion.brakes || Direction::between(step, to) != facing {
            return false;
        }
        let distance = to.abs_diff(step);
        if distance >= motion.left() {
            motion.landing = None;
            motion.lengthen(configuration, motion.given() + distance);
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
    pub(super) fn brakes_on(&self, configuration: &CarriageConfig) -> i64 {
        let begun = self.motion.as_ref().filter(|motion| !motion.is_unbegun());
        let ahead = begun.map_or(0, |motion| motion.stop(configuration, motion.given()).steps());
        self.step + self.facing().sign() * ahead.cast_signed()
    }

    /// Brakes from the last edge given out; before the first there is nothing to brake.
    pub(super) fn brake(&mut self, configuration: &CarriageConfig) {
        let Some(motion) = &mut self.motion else { return };
        if motion.is_unbegun() {
            self.motion = None;
        } else {
            motion.brake(configuration);
        }
    }

    /// Begins the brake for the landing at the last edge from which there is room for it.
    fn brake_for_landing(&mut self, configuration: &CarriageConfig) {
        let Some(motion) = &mut self.motion else { return };
        let Some(landing) = motion.landing else { return };
        let given = motion.given();
        let distance = landing.abs_diff(self.step);
        if distance == 0 || motion.stop(configuration, given + 1).steps() >= distance {
            motion.brake_over(configuration, distance);
        }
    }

    /// Stops at once; returns whether the motor can have followed.
    pub(super) fn halt(&mut self, configuration: &CarriageConfig) -> bool {
        let followed = self.motion.take().is_none_or(|motion| {
            motion.is_unbegun()
                || motion.interval().is_none_or(|interval| interval >= configuration.start_interval())
        });
        if !followed {
            self.taken_up = 0;
        }
        followed
    }

    /// The edge that is due, if any; one a poll. What follows shifts by as much as the poll is late.
    pub(super) fn poll(
        &mut self,
        configuration: &CarriageConfig,
        now: u64,
    ) -> Result<Option<Given>, TooLate> {
        self.pulse &= self.pulse_over(configuration) > now;
        let (facing, step) = (self.facing(), self.step);
        let Some(motion) = &mut self.motion else { return Ok(None) };
        let Some(due) = motion.next.filter(|&due| due <= now) else {
            self.end_motion(now);
            return Ok(None);
        };
        let (late, interval) = (now - due, due - motion.previous);
        let begun = !motion.is_unbegun();
        let fast = begun && interval < configuration.start_interval();
        let mut uneven = None;
        if begun && late > interval {
            if fast {
                self.motion = None;
                self.taken_up = 0;
                return Err(TooLate);
            }
            motion.start_again(configuration, step, now);
        } else if fast && late > interval / 2 && !motion.late_told {
            motion.late_told = true;
            uneven = Some(late);
        }
        let Some(next) = motion.next.filter(|&next| next <= now) else { return Ok(None) };
        motion.start += now - next;
        motion.previous = now;
        motion.next = motion.edges.next().map(|tick| motion.start.saturating_add(tick));
        self.step += facing.sign();
        self.last_edge = now;
        self.pulse = true;
        self.count_play(configuration, facing);
        self.brake_for_landing(configuration);
        Ok(Some(Given { edge: StepEdge { due, direction: facing }, late: uneven }))
    }

    fn count_play(&mut self, configuration: &CarriageConfig, made: Direction) {
        self.taken_up = match configuration.approach() {
            Some(side) if side.direction == made => (self.taken_up + 1).min(side.overrun),
            _ => 0,
        };
    }

    /// When the pulse of the last edge is over.
    const fn pulse_over(&self, configuration: &CarriageConfig) -> u64 {
        configuration.parts().timing.pulse_over(self.last_edge)
    }

    fn end_motion(&mut self, now: u64) {
        if !self.pulse
            && self.motion.as_ref().is_some_and(|motion| motion.next.is_none() && motion.ends() <= now)
        {
            self.motion = None;
        }
    }

    /// When the next edge is due, or the end of the motion, of its last pulse, or of the settling of
    /// the drive.
    pub(super) fn due(&self, configuration: &CarriageConfig, now: u64) -> Option<u64> {
        let pulse_over = if self.pulse { self.pulse_over(configuration) } else { 0 };
        match &self.motion {
            Some(Motion { next: Some(next), .. }) => Some(*next),
            Some(motion) => Some(motion.ends().max(pulse_over)),
            None if self.pulse => Some(pulse_over),
            None => Some(self.settled_at).filter(|&at| self.is_on() && at > now),
        }
    }
}

/// Ticks after which the direction set-up and the pulse of a test are over.
#[cfg(test)]
const LONG_AGO: u64 = 8;

#[cfg(test)]
impl Motor {
    /// Counts times from `now`.
    pub(super) fn forget_time(&mut self, now: u64) {
        self.settled_at = if self.is_on() { self.settled_at.saturating_sub(now) } else { 0 };
        // What is long past bears on nothing: the times tested with are short.
        let recent = |at: u64| (now - at.min(now)).min(LONG_AGO);
        self.turned_at = recent(self.turned_at);
        self.last_edge = recent(self.last_edge);
        if let Some(motion) = &mut self.motion {
            motion.start = motion.start.wrapping_sub(now);
            motion.previous = motion.previous.wrapping_sub(now);
            motion.next = motion.next.map(|next| next.wrapping_sub(now));
        }
    }
}
