//! Everything that moves, as the motor's shaft feels it. Positions of the rotor are in steps.

use crate::parameters::{Load, MachineParameters, Transmission};

/// Which flank of the thread the carriage rests on.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Flank {
    /// Weight keeps it down on the nut.
    Lower,
    /// A spring keeps it up.
    Upper,
    /// Friction leaves it where it was pushed.
    Neither,
}

#[derive(Clone, Debug)]
pub(crate) struct Body {
    /// rad a step
    pub(crate) step_angle: f64,
    /// steps to a full step
    pub(crate) full: f64,
    /// kg·m² in all
    pub(crate) inertia: f64,
    screw: Transmission,
    carried: Load,
    /// torque of a fault that holds the carriage back, N·m
    pub(crate) jam: f64,
    pub(crate) viscous: f64,
    pub(crate) detent: f64,
    /// m a step, signed
    travel: f64,
    /// position of the nut at rotor step 0, m
    origin: f64,
    backlash: f64,
    low: f64,
    high: f64,
    /// where the carriage stands, m from the origin
    stands: f64,
}

impl Body {
    pub(crate) fn new(machine: &MachineParameters) -> Self {
        let (motor, screw, load) = (&machine.motor, machine.transmission, machine.load);
        let step_angle = motor.step_angle();
        let ratio = screw.travel_per_step / step_angle;
        let mut body = Self {
            step_angle,
            full: f64::from(motor.step_mode),
            inertia: motor.rotor_inertia + screw.inertia + load.mass * ratio * ratio,
            screw,
            carried: load,
            jam: 0.0,
            viscous: motor.viscous,
            detent: motor.detent,
            travel: screw.travel_per_step,
            origin: load.start,
            backlash: screw.backlash,
            low: load.low_stop,
            high: load.high_stop,
            stands: 0.0,
        };
        if body.flank_at(load.start) == Flank::Upper {
            (body.origin, body.stands) = (load.start - screw.backlash, screw.backlash);
        }
        body
    }

    /// On which flank a carriage at `position` rests.
    fn flank_at(&self, position: f64) -> Flank {
        let force = self.carried.force(position);
        if force.abs() <= self.carried.guide_friction {
            Flank::Neither
        } else if force < 0.0 {
            Flank::Lower
        } else {
            Flank::Upper
        }
    }

    /// Whether the load differs from place to place.
    pub(crate) fn is_sprung(&self) -> bool {
        self.carried.spring_rate > 0.0
    }

    /// Torque that screw and guides need to turn in direction `way` (+1 or −1), N·m: the nut pushes against
    /// load and guides, and the friction of the screw grows with that.
    fn torque_of_screw(&self, way: f64) -> f64 {
        let along = way * self.travel.signum() * self.carried.force(self.carriage());
        self.screw.torque(self.carried.guide_friction - along) + self.screw.drag
    }

    /// Torque of weight and spring on the shaft, N·m, positive forward.
    pub(crate) fn load(&self) -> f64 {
        0.5 * (self.torque_of_screw(-1.0) - self.torque_of_screw(1.0))
    }

    /// Torque of friction, N·m, against any motion.
    pub(crate) fn friction(&self) -> f64 {
        0.5 * (self.torque_of_screw(-1.0) + self.torque_of_screw(1.0)) + self.jam
    }

    /// Torque needed to keep turning in direction `way` (+1 or −1), N·m; negative if the load turns
    /// the motor.
    pub(crate) fn torque_to_turn(&self, way: f64) -> f64 {
        self.torque_of_screw(way) + self.jam
    }

    /// Torque the motor must hold at rest, N·m.
    pub(crate) fn torque_to_hold(&self) -> f64 {
        (self.load().abs() - self.friction()).max(0.0)
    }

    /// Acceleration of a shaft nothing drives, steps/s²; `None` if it stays at rest.
    pub(crate) fn free_acceleration(&self, speed: f64, detent: f64) -> Option<f64> {
        let way = if speed == 0.0 {
            if self.load().abs() <= self.friction() + detent {
                return None;
            }
            self.load().signum()
        } else {
            speed.signum()
        };
        Some(-way * self.torque_to_turn(way) / self.inertia / self.step_angle)
    }

    /// Rotor positions at which the end stops hold it, lesser first.
    pub(crate) fn stops(&self) -> (f64, f64) {
        let low = (self.low - self.backlash - self.origin) / self.travel;
        let high = (self.high - self.origin) / self.travel;
        (low.min(high), low.max(high))
    }

    /// Moves the carriage along with the rotor, and says where it stands, m.
    pub(crate) fn carry(&mut self, rotor: f64) -> f64 {
        let nut = self.origin + self.travel * rotor;
        let stands = match self.flank_at(self.carriage()) {
            Flank::Lower => nut,
            Flank::Upper => nut + self.backlash,
            Flank::Neither => (self.origin + self.stands).clamp(nut, nut + self.backlash),
        };
        let stands = stands.clamp(self.low, self.high);
        self.stands = stands - self.origin;
        stands
    }

    /// Where [`carry`](Self::carry) last left the carriage, m.
    pub(crate) fn carriage(&self) -> f64 {
        self.origin + self.stands
    }

    /// Whether the carriage rises when the rotor turns in direction `way`.
    pub(crate) fn rises(&self, way: f64) -> bool {
        (way > 0.0) == (self.travel > 0.0)
    }

    /// The rotor position at which a carriage on its way up or down reaches `position`; `None` if an
    /// end stop is nearer.
    pub(crate) fn rotor_at(&self, position: f64, rising: bool) -> Option<f64> {
        let above_nut = match self.flank_at(position) {
            Flank::Lower => 0.0,
            Flank::Upper => self.backlash,
            Flank::Neither => {
                if rising {
                    0.0
                } else {
                    self.backlash
                }
            }
        };
        (self.low..=self.high).contains(&position).then(|| (position - above_nut - self.origin) / self.travel)
    }

    pub(crate) fn end_stops(&self) -> (f64, f64) {
        (self.low, self.high)
    }

    /// m/s of the carriage at a rotor speed in steps/s
    pub(crate) fn carriage_speed(&self, speed: f64) -> f64 {
        self.travel * speed
    }
}
