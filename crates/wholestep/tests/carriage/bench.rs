//! A bare bench: a carriage whose inputs are set by hand, polled exactly when it asks to be.

use num_rational::Ratio;
use wholestep::axis::MotorDirection;
use wholestep::carriage::{
    Carriage, CarriageConfig, DatumSearch, Detent, Dial, Direction, End, Event, Inputs, Output, Paces, Parts,
    TouchSearch, Wiring,
};
use wholestep::mechanism::Trend;
use wholestep::plan::{PulseTiming, StepLimits, StepRates};

pub(crate) const HZ: u64 = 1_000_000;

fn rates(speed: u64, acceleration: u64, start_speed: u64) -> StepRates {
    StepRates {
        speed: Ratio::from(speed),
        acceleration: Ratio::from(acceleration),
        deceleration: Ratio::from(acceleration),
        start_speed: Ratio::from(start_speed),
        jerk: None,
    }
}

pub(crate) fn limits(speed: u64, acceleration: u64, start_speed: u64) -> StepLimits {
    StepLimits::new(rates(speed, acceleration, start_speed), HZ).unwrap()
}

pub(crate) fn paced(pace: &StepLimits, parts: &Parts) -> Parts {
    Parts { paces: Paces { travel: *pace, jog: *pace, fast: *pace, slow: *pace }, ..*parts }
}

/// Steps 0 to 1000 at 1,000 steps a second and 8,000 a second squared; everything fitted. Contacts
/// settle in 1 ms and the drive in 100 ms.
pub(crate) fn parts(start_speed: u64) -> Parts {
    let pace = limits(1_000, 8_000, start_speed);
    Parts {
        steps: (0, 1_000),
        trend: Trend::Rising,
        motor: MotorDirection::Normal,
        approach: None,
        paces: Paces { travel: pace, jog: pace, fast: pace, slow: pace },
        switches: [Some(Wiring::NormallyClosed); 2],
        probe: Some(Wiring::NormallyOpen),
        contact_settle: 1_000,
        drive_settle: 100_000,
        timing: PulseTiming::new(20, 10, 10).unwrap(),
        datum: Some(DatumSearch { end: End::Low, step: -80, bound: 2_000, clearance: 70, agreement: 2 }),
        release_bound: 300,
        touch: Some(TouchSearch { toward: End::High, bound: 500, agreement: 20 }),
        dial: Some(Dial { counts_per_detent: 4, counts_at_once: 256, backlog: 50, hand_stops: 100_000 }),
        rocker: true,
        jog_bound: 1_000,
        nudge: 10,
        measured: 100,
        self_holding: true,
    }
}

/// As [`parts`], with targets approached from `end` by 40 steps, and the touch-off the same way.
pub(crate) fn with_play(end: End) -> CarriageConfig {
    let toward = if end == End::Low { End::High } else { End::Low };
    let touch = Some(TouchSearch { toward, ..parts(0).touch.unwrap() });
    CarriageConfig::new(Parts { approach: Some((end, PLAY)), touch, ..parts(0) }).unwrap()
}

/// Nothing fitted but the enable input.
pub(crate) fn bare() -> CarriageConfig {
    let all = parts(0);
    let bare = Parts {
        switches: [None; 2],
        probe: None,
        dial: None,
        rocker: false,
        datum: None,
        touch: None,
        ..all
    };
    CarriageConfig::new(bare).unwrap()
}

pub(crate) const PLAY: u64 = 40;

/// Nothing pressed, the enable input held.
pub(crate) const QUIET: Inputs = Inputs {
    low_switch: false,
    high_switch: false,
    probe: true,
    enable: true,
    drive_fault: false,
    dial: 0,
    rocker: None,
};

/// An edge: its tick, the way it was given for, and the level of the direction pin it came with.
pub(crate) type Pulse = (u64, Direction, bool);

pub(crate) struct Bench<'c> {
    pub(crate) carriage: Carriage<&'c CarriageConfig>,
    pub(crate) now: u64,
    pub(crate) inputs: Inputs,
    pub(crate) last: Option<Output>,
    pub(crate) edges: Vec<Pulse>,
    pub(crate) events: Vec<Event>,
}

impl<'c> Bench<'c> {
    /// Switched on at `now`, its contacts settled, nothing asked for yet.
    pub(crate) fn at(carriage: Carriage<&'c CarriageConfig>, now: u64) -> Self {
        let mut bench =
            Self { carriage, now, inputs: QUIET, last: None, edges: Vec::new(), events: Vec::new() };
        bench.run();
        bench
    }

    pub(crate) fn new(configuration: &'c CarriageConfig) -> Self {
        Self::at(Carriage::commissioned(configuration), 0)
    }

    /// Resting on step `at`, which a person stated, the play taken up before by the dial.
    pub(crate) fn proven(configuration: &'c CarriageConfig, at: i64) -> Self {
        let mut bench = Self::new(configuration);
        bench.prove(at);
        bench
    }

    pub(crate) fn prove(&mut self, at: i64) {
        self.carriage.hold().unwrap();
        self.run();
        self.take_up_play();
        self.carriage.confirm_position(at).unwrap();
        self.carriage.brake();
        self.run();
        self.events.clear();
    }

    fn take_up_play(&mut self) {
        let parts = *self.carriage.config().parts();
        let Some((from, play)) = parts.approach else { return };
        self.carriage.jog(Some(Detent::new(1, 1).unwrap())).unwrap();
        self.run();
        let detents = i32::try_from(play).unwrap();
        self.turn(if from == End::Low { detents } else { -detents });
    }

    /// Turns the dial by so many detents, and lets the carriage follow.
    pub(crate) fn turn(&mut self, detents: i32) {
        self.inputs.dial = self.inputs.dial.wrapping_add_signed(4 * detents);
        self.run();
    }

    pub(crate) fn poll(&mut self) -> Output {
        let output = self.carriage.poll(self.now, &self.inputs);
        if let Some(edge) = output.edge {
            self.edges.push((self.now, edge.direction, output.direction));
        }
        self.events.extend(output.events.iter());
        self.last = Some(output);
        output
    }

    /// Polls when asked, until `done` or nothing is asked for.
    pub(crate) fn run_until(&mut self, done: impl Fn(&Self) -> bool) {
        for _ in 0..100_000 {
            let again = self.poll().poll_again_at;
            if done(self) {
                return;
            }
            match again {
                Some(tick) => self.now = tick,
                None => return,
            }
        }
        panic!("it asks to be polled without end: {:?} at {}", self.carriage.state(), self.now);
    }

    /// Polls when asked, until nothing is asked for.
    pub(crate) fn run(&mut self) {
        self.run_until(|_| false);
    }

    /// Polls when asked until so many more edges have been given; the last poll gave one.
    pub(crate) fn run_edges(&mut self, count: usize) {
        let until = self.edges.len() + count;
        self.run_until(|bench| bench.edges.len() == until);
        assert_eq!(self.edges.len(), until, "it stands");
    }

    /// When it asked to be polled again.
    pub(crate) fn due(&self) -> u64 {
        self.last.and_then(|output| output.poll_again_at).unwrap()
    }

    /// The way of the last edge.
    pub(crate) fn went(&self) -> Direction {
        self.edges.last().unwrap().1
    }

    /// The fewest ticks between two edges, of those from `first` on.
    pub(crate) fn shortest(&self, first: usize) -> u64 {
        self.edges[first..].windows(2).map(|pair| pair[1].0 - pair[0].0).min().unwrap()
    }
}
