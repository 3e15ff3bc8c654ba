//! What really happened, beside what the pulses asked for.

/// The machine as it really is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GroundTruth {
    /// When, in ticks.
    pub tick: u64,
    /// Pulses sent so far, forward less backward: where a controller that lost nothing believes it is.
    pub commanded_step: i64,
    /// Where the rotor is, in steps from where it first was powered: the step it is locked to while
    /// driven, the nearest one while not.
    pub rotor_step: i64,
    /// `commanded_step − rotor_step`: 0 as long as nothing was lost.
    pub lost_steps: i64,
    /// Where the rotor is, in steps and parts of a step.
    pub rotor_position: f64,
    /// Where the carriage stands, m.
    pub carriage_position: f64,
    /// How fast the carriage moves, m/s, positive upward.
    pub carriage_speed: f64,
    /// Whether the supply is on.
    pub powered: bool,
    /// Whether the motor is driven.
    pub driven: bool,
    /// Counts of the dial turned so far.
    pub dial_count: i64,
    /// What was recorded on the way.
    pub record: Record,
}

/// Extremes and mishaps since the machine was made.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Record {
    /// The lowest the carriage has been, m.
    pub lowest: f64,
    /// The highest the carriage has been, m.
    pub highest: f64,
    /// Closest approach to the low end stop, m; 0 if it was touched.
    pub room_below: f64,
    /// Closest approach to the high end stop, m; 0 if it was touched.
    pub room_above: f64,
    /// The moment with the least torque to spare; `None` before the motor was asked for any.
    pub worst_torque: Option<TorqueUse>,
    /// How often the rotor fell out of step.
    pub slips: u64,
    /// When it first did.
    pub first_slip: Option<u64>,
    /// How often the carriage ran into an end stop.
    pub end_stop_hits: u64,
    /// The fastest it ran into one, m/s.
    pub hardest_hit: f64,
    /// Pulses the driver did not take notice of: too close to the one before, or the supply was off.
    pub missed_pulses: u64,
}

/// Torque asked of the motor and torque it had.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TorqueUse {
    /// When, in ticks.
    pub tick: u64,
    /// What the motion needed, N·m, as a magnitude.
    pub needed: f64,
    /// What the motor could give at that speed, N·m.
    pub available: f64,
}

impl TorqueUse {
    /// Returns the part of the torque not used: 1 idle, 0 at the limit, negative if it fell out of step.
    pub fn margin(&self) -> f64 {
        1.0 - self.needed / self.available.max(f64::MIN_POSITIVE)
    }
}

impl Record {
    pub(crate) fn new(carriage: f64, (low, high): (f64, f64)) -> Self {
        Self {
            lowest: carriage,
            highest: carriage,
            room_below: carriage - low,
            room_above: high - carriage,
            worst_torque: None,
            slips: 0,
            first_slip: None,
            end_stop_hits: 0,
            hardest_hit: 0.0,
            missed_pulses: 0,
        }
    }

    pub(crate) fn visit(&mut self, carriage: f64, (low, high): (f64, f64)) {
        self.lowest = self.lowest.min(carriage);
        self.highest = self.highest.max(carriage);
        self.room_below = self.lowest - low;
        self.room_above = high - self.highest;
    }

    /// Notes a use of torque, and says whether the motor could give it.
    pub(crate) fn torque(&mut self, tick: u64, needed: f64, available: f64) -> bool {
        let used = TorqueUse { tick, needed: needed.abs(), available };
        if self.worst_torque.is_none_or(|worst| used.margin() < worst.margin()) {
            self.worst_torque = Some(used);
        }
        used.needed <= available
    }

    pub(crate) fn slip(&mut self, tick: u64) {
        self.slips += 1;
        self.first_slip.get_or_insert(tick);
    }

    pub(crate) fn hit(&mut self, speed: f64) {
        self.end_stop_hits += 1;
        self.hardest_hit = self.hardest_hit.max(speed.abs());
    }
}
