//! The rotor stands on its step while there is torque enough.
//!
//! Speed and acceleration are taken from the pulses over stretches of one full step, which is about as
//! far as a rotor can lag. A stretch's ends are rounded to ticks; acceleration that rounding alone could
//! feign is not counted.

use super::coast::Coast;
use crate::inputs::NEVER;
use crate::machine::Machine;
use crate::motion::Motion;

#[derive(Clone, Debug)]
pub(crate) struct Follower {
    /// The free motion, while the rotor is out of step or not driven.
    pub(crate) coast: Option<Coast>,
    /// Whether the pulses belong to one run: one way, and no pause of four times the interval before.
    pub(crate) running: bool,
    /// Longest interval that still belongs to the run, ticks.
    pub(crate) patience: u64,
    /// Pulses until there is something to look at.
    pub(crate) quiet: u32,
    stretch_from: u64,
    stretch_field: i64,
    /// Speed over the stretch before, rad/s, and its duration, ticks; 0 from rest.
    speed: f64,
    duration: f64,
}

impl Follower {
    pub(crate) fn new() -> Self {
        Self {
            coast: None,
            running: false,
            patience: NEVER,
            quiet: 0,
            stretch_from: 0,
            stretch_field: 0,
            speed: 0.0,
            duration: 0.0,
        }
    }

    /// Speed of the field over the stretch before, rad/s.
    pub(crate) fn field_speed(&self) -> f64 {
        if self.running { self.speed } else { 0.0 }
    }
}

/// After how long a coasting carriage is looked at again if its springs change the load on the way, s.
const LOOK_AT_SPRING: f64 = 1e-3;

/// Seconds between the middle of a stretch and rest, for a stretch that lasts one second and spans steps
/// `near` to `near + span` of a constant acceleration whose edges stand at half steps.
fn time_from_rest(near: f64, span: f64) -> f64 {
    let (start, end) = (libm::sqrt(near + 0.5), libm::sqrt(near + span + 0.5));
    0.5 * (end + start) / (end - start)
}

impl Machine {
    fn follower(&mut self) -> &mut Follower {
        match &mut self.motion {
            Motion::Quasistatic(follower) => follower,
            Motion::Dynamic(_) => unreachable!("only a quasi-static machine has a follower"),
        }
    }

    /// Takes one pulse that needs more than counting. The machine is already at its tick.
    pub(crate) fn follow_pulse(&mut self, interval: u64) {
        let (now, field, way) = (self.now, self.field, self.way);
        let before = field - way;
        let follower = self.follower();
        if follower.running {
            follower.patience = interval.saturating_mul(4);
        } else {
            follower.running = true;
            follower.patience = NEVER;
            follower.stretch_from = now;
            follower.stretch_field = field;
            follower.speed = 0.0;
            let standing = follower.coast.is_none();
            if standing && self.driven {
                let needed = self.body.torque_to_turn(way as f64);
                let holding = self.parameters.motor.torque.holding();
                if !self.record.torque(now, needed, holding) {
                    self.fall_out_of_step(self.clamped(before - self.offset), 0.0);
                }
            }
        }
        let counted = (field - self.follower().stretch_field).unsigned_abs();
        let mut left = u64::from(self.parameters.motor.step_mode) - counted;
        if left == 0 {
            self.end_stretch(counted as f64);
            left = u64::from(self.parameters.motor.step_mode);
        }
        let quiet = if self.follower().coast.is_some() { 1 } else { self.pulses_to_look_at().min(left) };
        self.follower().quiet = u32::try_from(quiet).unwrap_or(u32::MAX);
    }

    /// Moves the carriage to the locked step, and says after how many pulses something can happen.
    fn pulses_to_look_at(&mut self) -> u64 {
        let (least, greatest) = self.body.stops();
        let way = self.way as f64;
        let cycle = self.cycle();
        let mut locked = (self.field - self.offset) as f64;
        let beyond = if way > 0.0 { locked - greatest } else { least - locked };
        if beyond > 0.0 {
            // The end stop holds the rotor. The field takes hold of the next tooth once it is half a
            // cycle ahead.
            if !self.against_stop {
                self.against_stop = true;
                let speed = self.speed();
                self.record.hit(self.body.carriage_speed(speed));
            }
            if beyond > 0.5 * cycle as f64 {
                self.offset += self.way * cycle;
                self.record.slip(self.now);
                locked = (self.field - self.offset) as f64;
            }
            self.move_rotor(locked.clamp(least, greatest));
            return 1;
        }
        self.against_stop = false;
        self.move_rotor(locked.clamp(least, greatest));
        let ahead = self.something_ahead(way).unwrap_or(way * f64::INFINITY);
        let stop = if way > 0.0 { greatest } else { least };
        let distance = (way * (ahead - locked)).min(way * (stop - locked));
        whole_at_least_one(distance)
    }

    /// Rotor position at which a switch may next change, moving in direction `way`.
    fn something_ahead(&self, way: f64) -> Option<f64> {
        let rising = self.body.rises(way);
        self.switches()
            .filter_map(|switch| self.body.rotor_at(switch.ahead(rising)?, rising))
            .min_by(|one, other| (way * one).total_cmp(&(way * other)))
    }

    fn end_stretch(&mut self, steps: f64) {
        let (now, field, hz, angle) = (self.now, self.field, self.clock.hz(), self.body.step_angle);
        let way = self.way as f64;
        let follower = self.follower();
        let ticks = (now - follower.stretch_from) as f64;
        let speed = steps * angle * hz / ticks;
        let gap = if follower.speed == 0.0 {
            ticks * time_from_rest(0.0, steps)
        } else {
            0.5 * (ticks + follower.duration)
        };
        let before = follower.speed;
        follower.stretch_from = now;
        follower.stretch_field = field;
        follower.speed = speed;
        follower.duration = ticks;
        let coasting = follower.coast.is_some();
        if coasting {
            self.catch_step(way * speed);
            return;
        }
        let feigned = 2.0 * speed / ticks;
        let change = speed - before;
        let change = change.signum() * (change.abs() - feigned).max(0.0);
        let at_stop = self.against_stop;
        if self.driven && !at_stop && !self.can_give(speed, change * hz / gap) {
            let rotor = self.clamped(field - self.way - self.offset);
            self.fall_out_of_step(rotor, way * before / angle);
        }
    }

    /// Whether the motor can turn at `speed` rad/s with `acceleration` rad/s² along the run.
    fn can_give(&mut self, speed: f64, acceleration: f64) -> bool {
        let body = &self.body;
        let needed =
            body.torque_to_turn(self.way as f64) + body.viscous * speed + body.inertia * acceleration;
        self.record.torque(self.now, needed, self.parameters.motor.torque.at(speed))
    }

    /// The pulses have stopped, or turned round: the rotor must stop too.
    pub(crate) fn end_run(&mut self) {
        let (field, hz, angle) = (self.field, self.clock.hz(), self.body.step_angle);
        let way = self.way as f64;
        let follower = self.follower();
        if !follower.running {
            return;
        }
        follower.running = false;
        follower.patience = NEVER;
        follower.quiet = 0;
        let (speed, duration) = (follower.speed, follower.duration);
        let since = (field - follower.stretch_field).unsigned_abs() as f64;
        if follower.coast.is_some() {
            self.catch_step(0.0);
        } else if speed > 0.0 && !self.against_stop {
            let gap = duration * time_from_rest(since, self.body.full);
            if self.driven && !self.can_give(speed, -speed * hz / gap) {
                self.fall_out_of_step(self.clamped(field - self.offset), way * speed / angle);
                self.catch_step(0.0);
            }
        }
    }

    fn fall_out_of_step(&mut self, rotor: f64, speed: f64) {
        self.record.slip(self.now);
        self.coast_from(rotor, speed);
    }

    /// Lets the rotor go at `speed` steps/s.
    pub(crate) fn coast_from(&mut self, rotor: f64, speed: f64) {
        let detent = if self.driven { 0.0 } else { self.body.detent };
        let (least, greatest) = self.body.stops();
        let mut coast = Coast { from: self.now, position: rotor, speed, acceleration: 0.0, until: NEVER };
        coast.acceleration = self.body.free_acceleration(speed, detent).unwrap_or(0.0);
        let way = coast.way();
        let stop = if way > 0.0 { greatest } else { least };
        if way == 0.0 || way * (stop - rotor) <= 0.0 {
            coast.speed = 0.0;
            coast.acceleration = 0.0;
        } else {
            let switch = self.something_ahead(way).map_or(f64::INFINITY, |ahead| coast.reach(ahead));
            let sprung = if self.body.is_sprung() { LOOK_AT_SPRING } else { f64::INFINITY };
            let seconds = coast.rest().min(coast.reach(stop)).min(switch).min(sprung);
            coast.until = self.now.saturating_add(self.clock.ticks(seconds).max(1));
        }
        self.follower().coast = Some(coast);
        self.move_rotor(rotor);
    }

    /// Something happens to a free rotor: it stops, runs into an end stop or passes a switch.
    pub(crate) fn look_at_coast(&mut self, coast: Coast) {
        let (least, greatest) = self.body.stops();
        let seconds = self.clock.seconds(self.now - coast.from);
        let (rotor, mut speed) = coast.after(seconds.min(coast.rest()));
        if seconds >= coast.rest() {
            speed = 0.0;
        }
        if rotor <= least || rotor >= greatest {
            self.record.hit(self.body.carriage_speed(speed));
            speed = 0.0;
        }
        self.coast_from(rotor.clamp(least, greatest), speed);
        if speed == 0.0 && !self.follower().running {
            self.catch_step(0.0);
        }
    }

    /// Locks a free rotor to the field that turns at `field_speed` rad/s, if it can hold it.
    ///
    /// The difference in speed must be taken up within a full step, as for a start at once from rest.
    pub(crate) fn catch_step(&mut self, field_speed: f64) {
        let Some(coast) = self.follower().coast else { return };
        if !self.driven {
            return;
        }
        let (rotor, speed) = coast.after(self.clock.seconds(self.now - coast.from));
        let body = &self.body;
        let difference = field_speed - speed * body.step_angle;
        let taken_up = body.inertia * difference * difference / (2.0 * body.full * body.step_angle);
        let steady = if field_speed == 0.0 {
            body.torque_to_hold()
        } else {
            body.torque_to_turn(field_speed.signum())
        };
        if steady.abs() + taken_up > self.parameters.motor.torque.at(field_speed) {
            return;
        }
        // How far it ran counts, before it snaps back.
        self.move_rotor(rotor);
        self.follower().coast = None;
        let step = self.nearest_rest(rotor);
        self.offset = self.field - step;
        self.move_rotor(self.clamped(step));
        self.follower().quiet = 0;
    }

    /// The step, or the end stop before it.
    pub(crate) fn clamped(&self, step: i64) -> f64 {
        let (least, greatest) = self.body.stops();
        (step as f64).clamp(least, greatest)
    }
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "the cast saturates at both ends"
)]
fn whole_at_least_one(distance: f64) -> u64 {
    (libm::ceil(distance) as u64).max(1)
}

#[cfg(test)]
mod tests {
    use super::time_from_rest;

    #[test]
    fn constant_acceleration_is_measured_exactly() {
        for (near, span) in [(0.0, 1.0), (0.0, 16.0), (5.0, 16.0), (0.0, 256.0)] {
            let acceleration = 3.0_f64;
            let time = |step: f64| (2.0 * (step + 0.5) / acceleration).sqrt();
            let duration = time(near + span) - time(near);
            let measured = span / duration / (duration * time_from_rest(near, span));
            assert!((measured - acceleration).abs() < 1e-12);
        }
    }
}
