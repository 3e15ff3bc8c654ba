//! The rotor's equation of motion, integrated on a fixed grid of ticks.
//!
//! `J·a = T(field speed)·sin(90°·lag) + load − friction − viscous − detent`, the lag in full steps. The
//! method is semi-implicit Euler, whose energy does not drift. Pulses take effect at the next point of
//! the grid, so that the truth does not depend on how often it is asked for.

use crate::inputs::NEVER;
use crate::machine::Machine;
use crate::motion::Motion;

/// Longest time between two points of the integration, s.
const STEP_TIME: f64 = 5e-6;

#[derive(Clone, Copy, Debug)]
pub(crate) struct Rotor {
    /// steps
    pub(crate) position: f64,
    /// steps/s
    pub(crate) speed: f64,
    /// The next point of the grid; never while everything rests.
    pub(crate) next: u64,
    /// Ticks between points of the grid.
    grid: u64,
    /// Points of the integration in one interval of the grid, and the seconds between them.
    parts: u32,
    seconds: f64,
    /// Ticks between the last two pulses.
    pub(crate) interval: u64,
    /// Which cycle of the field it is locked to, to notice when it falls into another.
    tooth: i64,
}

impl Rotor {
    pub(crate) fn new(hz: f64) -> Self {
        let grid = (hz * STEP_TIME).max(1.0).floor();
        let parts = (grid / hz / STEP_TIME).max(1.0).ceil();
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "both are at least 1 and small"
        )]
        let (ticks, count) = (grid as u64, parts as u32);
        Self {
            position: 0.0,
            speed: 0.0,
            next: NEVER,
            grid: ticks,
            parts: count,
            seconds: grid / hz / parts,
            interval: NEVER,
            tooth: 0,
        }
    }

    /// Sets it going again after `now`.
    pub(crate) fn wake(&mut self, now: u64) {
        self.next = self.next.min((now / self.grid + 1).saturating_mul(self.grid));
    }
}

impl Machine {
    /// Integrates up to the grid point `now`.
    pub(crate) fn integrate(&mut self, mut rotor: Rotor) {
        let (least, greatest) = self.body.stops();
        let angle = self.body.step_angle;
        let interval = rotor.interval.max(self.now.wrapping_sub(self.last_pulse));
        let field_speed = angle / self.clock.seconds(interval.max(1));
        let strength = if self.driven { self.parameters.motor.torque.at(field_speed) } else { 0.0 };
        let field = (self.field - self.shift) as f64;
        let (full, detent, viscous) = (self.body.full, self.body.detent, self.body.viscous * angle);
        let pull = |position: f64| {
            let lag = (field - position) / full;
            strength * libm::sin(core::f64::consts::FRAC_PI_2 * lag)
                - detent * libm::sin(core::f64::consts::TAU * position / full)
        };
        let per_torque = rotor.seconds / (self.body.inertia * angle);
        let (load, friction) = (self.body.load(), self.body.friction());
        let mut still = true;
        for _ in 0..rotor.parts {
            let driving = pull(rotor.position) + load - viscous * rotor.speed;
            let was = rotor.speed;
            if was == 0.0 {
                if driving.abs() <= friction {
                    continue;
                }
                rotor.speed = (driving - driving.signum() * friction) * per_torque;
            } else {
                rotor.speed += (driving - was.signum() * friction) * per_torque;
                if rotor.speed * was < 0.0 && driving.abs() <= friction {
                    rotor.speed = 0.0;
                }
            }
            still = false;
            rotor.position += rotor.speed * rotor.seconds;
            if rotor.position < least || rotor.position > greatest {
                rotor.position = rotor.position.clamp(least, greatest);
                if rotor.speed * driving > 0.0 && rotor.speed.abs() > driving.abs() * per_torque {
                    self.record.hit(self.body.carriage_speed(rotor.speed));
                }
                rotor.speed = 0.0;
            }
        }
        let resting_at_stop = rotor.speed == 0.0 && (rotor.position <= least || rotor.position >= greatest);
        if self.driven {
            let lag = ((field - rotor.position) / full).abs();
            let used = if lag < 1.0 { libm::sin(core::f64::consts::FRAC_PI_2 * lag) } else { 1.0 };
            self.record.torque(self.now, used * strength, strength);
            let cycle = self.cycle();
            let tooth = (self.field - self.shift - self.nearest_rest(rotor.position)) / cycle;
            if tooth != rotor.tooth {
                rotor.tooth = tooth;
                self.record.slip(self.now);
            }
        }
        // At rest for good unless something outside changes; a field that still turns wakes it.
        rotor.next = if still || resting_at_stop { NEVER } else { self.now.saturating_add(rotor.grid) };
        self.motion = Motion::Dynamic(rotor);
        self.move_rotor(rotor.position);
    }

    /// Takes the tooth it stands nearest to as the one it is locked to.
    pub(crate) fn take_tooth(&mut self) {
        let (field, shift, cycle) = (self.field, self.shift, self.cycle());
        if let Motion::Dynamic(mut rotor) = self.motion {
            rotor.tooth = (field - shift - self.nearest_rest(rotor.position)) / cycle;
            self.motion = Motion::Dynamic(rotor);
        }
    }
}
