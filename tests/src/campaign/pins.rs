//! What a driver sees at its pins, edge by edge.

use wholestep::axis::MotorDirection;
use wholestep::carriage::{Direction, Event, Parts};
use wholestep::plan::{PulseTiming, StepLimits};
use wholestep_twin::Moment;

use super::watch::Broken;

/// A pause of so many start intervals between two edges: the motor has stopped in it.
const STOPPED: u64 = 4;
/// So many leaps of the speed in one motion are no accident any more.
const LEAPS_MOST: u32 = 50;
/// Rounding of two edges at either end of an interval.
const ROUNDING: u64 = 2;

/// The least intervals of a pace, in ticks, and what it may gain.
#[derive(Clone, Copy, Debug)]
pub(super) struct Pace {
    /// At full speed, rounded down.
    pub(super) shortest: u64,
    /// Between the first two edges from rest.
    start: u64,
    /// Steps a second squared.
    acceleration: f64,
    hz: f64,
}

impl Pace {
    #[expect(clippy::cast_precision_loss, reason = "rates are small whole numbers")]
    pub(super) fn new(limits: &StepLimits) -> Result<Self, String> {
        let rates = limits.rates();
        let long = limits.profile(1 << 20).map_err(|error| format!("{error:?}"))?;
        let mut edges = long.edges();
        let (first, second) = (edges.next().unwrap_or(0), edges.next().unwrap_or(0));
        Ok(Self {
            shortest: limits.timer_hz() * rates.speed.denom() / rates.speed.numer(),
            start: second - first,
            acceleration: rates.acceleration.to_integer() as f64,
            hz: limits.timer_hz() as f64,
        })
    }

    /// Whether the speed leaps up from one interval to the next, to one at which the motor cannot start at
    /// once: by four times what the acceleration gives, and more than rounding to ticks feigns.
    #[expect(clippy::cast_precision_loss, reason = "intervals are far below 2^53")]
    fn leaps(&self, before: u64, interval: u64) -> bool {
        let speed = |ticks: u64| self.hz / ticks.max(1) as f64;
        let seconds = 0.5 * (before + interval) as f64 / self.hz;
        let feigned = 2.0 * speed(interval) * speed(interval) / self.hz;
        // Late by less than half a step's time is not told.
        interval + ROUNDING < self.start
            && 2 * before > 3 * interval
            && speed(interval) - speed(before) > 4.0 * self.acceleration * seconds + feigned
    }
}

/// The pins, and the last edge.
#[derive(Clone, Debug)]
pub(super) struct Pins {
    timing: PulseTiming,
    drive_settle: u64,
    motor: MotorDirection,
    level: bool,
    turned_at: u64,
    driven_at: Option<u64>,
    last: Option<(u64, Direction)>,
    /// The pace of the last edge.
    pace: Option<Pace>,
    /// The motor was seen to stand since the last edge.
    stood: bool,
    /// The last edge was the first from rest.
    first: bool,
    interval: u64,
    lateness: Lateness,
}

/// What shows that polls came late in this motion, and whether that has been told.
#[derive(Clone, Copy, Debug, Default)]
struct Lateness {
    leaps: u32,
    told: bool,
}

impl Pins {
    pub(super) fn new(parts: &Parts) -> Self {
        Self {
            timing: parts.timing,
            drive_settle: parts.drive_settle,
            motor: parts.motor,
            level: true,
            turned_at: 0,
            driven_at: None,
            last: None,
            pace: None,
            stood: true,
            first: false,
            interval: 0,
            lateness: Lateness::default(),
        }
    }

    /// The way of the last edge.
    pub(super) fn way(&self) -> Option<Direction> {
        self.last.map(|(_, way)| way)
    }

    /// The power fails.
    pub(super) fn lose_power(&mut self) {
        (self.driven_at, self.last, self.stood) = (None, None, true);
    }

    /// The motor stands.
    pub(super) fn stand(&mut self) {
        self.stood = true;
        self.lateness = Lateness::default();
    }

    /// Whether the drive is on and has been for its settling time.
    pub(super) fn has_settled(&self, tick: u64) -> bool {
        self.driven_at.is_some_and(|at| tick - at >= self.drive_settle)
    }

    /// Whether the last pulse is over.
    pub(super) fn stands(&self, tick: u64) -> bool {
        self.last.is_none_or(|(edge, _)| tick - edge >= self.timing.pulse_high())
    }

    /// Sees the levels of a poll; a direction that turns within a pulse is broken.
    pub(super) fn levels(&mut self, moment: &Moment) -> Result<(), Broken> {
        self.driven_at = moment.drive.then(|| self.driven_at.unwrap_or(moment.tick));
        if moment.direction == self.level {
            return Ok(());
        }
        (self.level, self.turned_at) = (moment.direction, moment.tick);
        match self.last.map(|(tick, _)| moment.tick - tick) {
            // With the drive off nobody reads the pulse.
            Some(after) if moment.drive && moment.edge.is_none() && after < self.timing.pulse_high() => {
                Err(format!(
                    "direction turned within a pulse: {after} ticks after its edge, it lasts {}",
                    self.timing.pulse_high()
                ))
            }
            _ => Ok(()),
        }
    }

    /// Sees an edge.
    pub(super) fn edge(&mut self, moment: &Moment, way: Direction, pace: &Pace) -> Result<(), Broken> {
        let tick = moment.tick;
        let forward = self.level == (self.motor == MotorDirection::Normal);
        if forward != (way == Direction::Forward) {
            return Err(format!("wrong way: an edge {way:?} at {tick}, the pin at {}", self.level));
        }
        if !moment.drive {
            return Err(format!("drive off: an edge at {tick}"));
        }
        if !self.has_settled(tick) {
            return Err(format!(
                "drive not settled: an edge at {tick}, on since {:?}, it takes {}",
                self.driven_at, self.drive_settle
            ));
        }
        if tick < self.turned_at + self.timing.direction_setup() {
            return Err(format!("direction not set up: an edge at {tick}, set at {}", self.turned_at));
        }
        // Of the very first edge too: half the interval after it is at its pace.
        let last_pace = self.pace.replace(*pace).unwrap_or(*pace);
        let Some((before, last_way)) = self.last.replace((tick, way)) else {
            (self.first, self.stood) = (true, false);
            return Ok(());
        };
        let interval = tick - before;
        self.apart(interval, way == last_way, &last_pace, pace)?;
        let paused = self.stood || way != last_way || interval >= STOPPED.saturating_mul(pace.start);
        if !paused && !self.first && pace.leaps(self.interval, interval) {
            self.lateness.leaps += 1;
        }
        self.lateness.told |= moment.events.iter().any(|event| matches!(event, Event::PolledLate { .. }));
        if self.lateness.told || paused {
            self.lateness.leaps = 0;
        }
        self.lateness.told &= !paused;
        if self.lateness.leaps >= LEAPS_MOST {
            return Err(format!(
                "lateness untold: the speed leapt {} times in one motion",
                self.lateness.leaps
            ));
        }
        (self.first, self.stood, self.interval) = (paused, false, interval);
        Ok(())
    }

    /// Whether two edges are far enough apart.
    fn apart(&self, interval: u64, same_way: bool, last: &Pace, pace: &Pace) -> Result<(), Broken> {
        let least = self.timing.least_interval();
        if interval < least {
            return Err(format!("pulses too close: {interval} ticks apart, width and gap are {least}"));
        }
        // Between two motions lies half a step of the last and half a step of the next.
        let stood = self.stood || !same_way;
        let between = |last: u64, next: u64| if stood { last.midpoint(next) } else { next };
        let shortest = between(last.shortest, pace.shortest);
        if same_way && interval + u64::from(stood) < shortest {
            return Err(format!("too fast: edges {interval} ticks apart, {shortest} at full speed"));
        }
        if stood || self.first {
            let start = between(last.start, pace.start);
            if interval + ROUNDING < start {
                let which = if self.first { "the second edge" } else { "the first edge" };
                return Err(format!("not as from rest: {which} {interval} ticks on, a start takes {start}"));
            }
        }
        Ok(())
    }
}
