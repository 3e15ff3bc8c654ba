//! A tiny deterministic machine: a rotor that follows every edge, two switches with hysteresis and
//! bounce, a probe, an enable input, a dial and a rocker.

use std::collections::VecDeque;

use num_rational::Ratio;
use wholestep::axis::MotorDirection;
use wholestep::carriage::{
    Carriage, CarriageConfig, DatumSearch, Detent, Dial, Direction, End, Event, Fault, Inputs, Output, Paces,
    Parts, State, TouchSearch, Wiring,
};
use wholestep::mechanism::Trend;
use wholestep::plan::{PulseTiming, StepLimits, StepRates};

pub(crate) const HZ: u64 = 1_000_000;
pub(crate) const SETTLE: u64 = 5_000;

pub(crate) fn limits(speed: u64, acceleration: u64, jerk: Option<u64>) -> StepLimits {
    let rates = StepRates {
        speed: Ratio::from(speed),
        acceleration: Ratio::from(acceleration),
        deceleration: Ratio::from(acceleration),
        start_speed: Ratio::from(0),
        jerk: jerk.map(Ratio::from),
    };
    StepLimits::new(rates, HZ).unwrap()
}

/// A small lift: 10,000 steps between soft limits, switches 200 steps outside them.
pub(crate) fn parts() -> Parts {
    Parts {
        steps: (0, 10_000),
        trend: Trend::Rising,
        motor: MotorDirection::Normal,
        approach: None,
        paces: Paces {
            travel: limits(8_000, 40_000, None),
            jog: limits(2_000, 20_000, None),
            fast: limits(1_500, 20_000, None),
            slow: limits(200, 10_000, None),
        },
        switches: [Some(Wiring::NormallyClosed), Some(Wiring::NormallyClosed)],
        probe: Some(Wiring::NormallyOpen),
        contact_settle: SETTLE,
        drive_settle: 1_000,
        timing: PulseTiming::new(20, 5, 5).unwrap(),
        datum: Some(DatumSearch { end: End::Low, step: -200, bound: 12_000, clearance: 50, agreement: 5 }),
        release_bound: 400,
        touch: Some(TouchSearch { toward: End::High, bound: 3_000, agreement: 100 }),
        dial: Some(Dial { counts_per_detent: 4, counts_at_once: 64, backlog: 300, hand_stops: 100_000 }),
        rocker: true,
        jog_bound: 20_000,
        nudge: 100,
        measured: 2_000,
        self_holding: false,
    }
}

/// The same lift, whose targets are approached from `end` over `overrun` steps; it touches off on the
/// same flank.
pub(crate) fn approached_from(end: End, overrun: u64, parts: &Parts) -> Parts {
    let touch = parts.touch.map(|touch| TouchSearch { toward: end.other(), ..touch });
    Parts { approach: Some((end, overrun)), touch, ..*parts }
}

pub(crate) fn configuration() -> CarriageConfig {
    CarriageConfig::new(parts()).unwrap()
}

/// A contact worked by the position, or stuck.
#[derive(Clone, Debug)]
pub(crate) struct Contact {
    pub(crate) wiring: Wiring,
    /// Pressed from this position on, toward `end`; released `hysteresis` steps before it.
    pub(crate) end: End,
    pub(crate) at: i64,
    pub(crate) hysteresis: i64,
    /// Ticks after a change at which the level flips once more; an even number.
    pub(crate) bounce: Vec<u64>,
    pub(crate) stuck: Option<bool>,
    pressed: bool,
    changed: Option<u64>,
}

impl Contact {
    pub(crate) fn new(wiring: Wiring, end: End, at: i64) -> Self {
        let bounce = vec![300, 450, 1_200, 1_300];
        Self { wiring, end, at, hysteresis: 3, bounce, stuck: None, pressed: false, changed: None }
    }

    fn follow(&mut self, now: u64, truth: i64) {
        let past = if self.end == End::High { truth - self.at } else { self.at - truth };
        let pressed = self.stuck.unwrap_or(if self.pressed { past >= -self.hysteresis } else { past >= 0 });
        if pressed != self.pressed {
            self.pressed = pressed;
            self.changed = Some(now);
        }
    }

    fn level(&self, now: u64) -> bool {
        let flips = self.changed.map_or(0, |at| self.bounce.iter().filter(|&&b| at + b <= now).count());
        let pressed = self.pressed ^ (flips % 2 == 1);
        pressed == self.wiring.is_pressed(true)
    }

    fn due(&self, now: u64) -> Option<u64> {
        self.bounce.iter().map(|&b| self.changed.unwrap_or(0) + b).find(|&at| at > now)
    }
}

/// Something that happens to the machine.
pub(crate) type Act = fn(&mut World<'_>);

/// The machine and the carriage that leads it.
#[expect(clippy::struct_excessive_bools, reason = "levels of pins, and what a test looks at")]
pub(crate) struct World<'a> {
    pub(crate) carriage: Carriage<&'a CarriageConfig>,
    pub(crate) now: u64,
    /// Where the rotor truly stands; the low switch is at -200 and the high one at 10,200.
    pub(crate) truth: i64,
    pub(crate) low: Contact,
    pub(crate) high: Contact,
    pub(crate) probe: Contact,
    pub(crate) enable: bool,
    pub(crate) drive_fault: bool,
    pub(crate) dial: u32,
    pub(crate) rocker: Option<End>,
    /// The motor does not turn.
    pub(crate) stalled: bool,
    /// What is to happen at which tick.
    pub(crate) agenda: VecDeque<(u64, Act)>,
    pub(crate) edges: Vec<(u64, Direction)>,
    pub(crate) events: Vec<Event>,
    pub(crate) last: Option<Output>,
    /// Whether the last edge changed an input.
    changed: bool,
    /// Whether to check at every edge that it keeps within the soft limits and knows where it is.
    pub(crate) watched: bool,
    /// Whether a switch lied about the datum.
    pub(crate) misled: bool,
    /// An extra poll every so many ticks.
    pub(crate) extra_polls: Option<u64>,
    /// Polled only when it asked to be, so that what bounces in between goes unseen.
    pub(crate) only_when_asked: bool,
}

impl<'a> World<'a> {
    pub(crate) fn new(carriage: Carriage<&'a CarriageConfig>, truth: i64) -> Self {
        let parts = *carriage.config().parts();
        let wiring = |end: End| parts.switches[end as usize].unwrap_or_default();
        let mut world = Self {
            carriage,
            now: 1_000,
            truth,
            low: Contact::new(wiring(End::Low), End::Low, -200),
            high: Contact::new(wiring(End::High), End::High, 10_200),
            probe: Contact::new(parts.probe.unwrap_or_default(), End::High, i64::MAX / 2),
            enable: true,
            drive_fault: false,
            dial: 0,
            rocker: None,
            stalled: false,
            agenda: VecDeque::new(),
            edges: Vec::new(),
            events: Vec::new(),
            last: None,
            changed: false,
            watched: false,
            misled: false,
            extra_polls: None,
            only_when_asked: false,
        };
        for contact in [&mut world.low, &mut world.high, &mut world.probe] {
            contact.follow(0, truth);
        }
        world.run_for(20_000);
        world
    }

    /// A commissioned machine whose position has been stated, with the play taken up by one detent.
    pub(crate) fn proven(configuration: &'a CarriageConfig, step: i64) -> Self {
        let parts = configuration.parts();
        let play = parts
            .approach
            .map_or(0, |(from, play)| from.other().direction(parts.trend).sign() * play.cast_signed());
        let mut world = Self::new(Carriage::commissioned(configuration), step - play);
        world.carriage.hold().unwrap();
        world.run_for(parts.drive_settle.max(5_000));
        if play != 0 {
            world.carriage.jog(Some(Detent::new(play, 1).unwrap())).unwrap();
            world.run_for(1);
            world.dial += 4;
            world.run();
            world.dial -= 4;
            world.edges.clear();
        }
        world.carriage.confirm_position(step).unwrap();
        world.carriage.brake();
        world.run_for(1);
        assert_eq!(world.carriage.state(), State::Resting);
        world.events.clear();
        world
    }

    pub(crate) fn inputs(&self) -> Inputs {
        Inputs {
            low_switch: self.low.level(self.now),
            high_switch: self.high.level(self.now),
            probe: self.probe.level(self.now),
            enable: self.enable,
            drive_fault: self.drive_fault,
            dial: self.dial,
            rocker: self.rocker,
        }
    }

    /// Polls once, now.
    pub(crate) fn poll(&mut self) -> Output {
        while self.agenda.front().is_some_and(|(at, _)| *at <= self.now) {
            let (_, act) = self.agenda.pop_front().unwrap();
            act(self);
        }
        for contact in [&mut self.low, &mut self.high, &mut self.probe] {
            contact.follow(self.now, self.truth);
        }
        let (step, proven) = (self.carriage.step(), self.carriage.is_proven());
        let inputs = self.inputs();
        let output = self.carriage.poll(self.now, &inputs);
        if let Some(edge) = output.edge {
            assert!(output.drive, "an edge while the drive is off");
            if self.watched && proven {
                let (lowest, highest) = self.carriage.config().parts().steps;
                let next = step + edge.direction.sign();
                let (lowest, highest) = (lowest.min(step), highest.max(step));
                assert!((lowest..=highest).contains(&next), "an edge past a soft limit, to {next}");
                assert!(self.misled || step == self.truth, "it believes itself elsewhere: {step}");
            }
            self.edges.push((self.now, edge.direction));
            if !self.stalled {
                self.truth += edge.direction.sign();
            }
            for contact in [&mut self.low, &mut self.high, &mut self.probe] {
                contact.follow(self.now, self.truth);
            }
        }
        self.changed = self.inputs() != inputs;
        self.events.extend(output.events.iter());
        self.last = Some(output);
        output
    }

    /// On to the next instant at which anything can change, `until` at the latest.
    fn advance(&mut self, until: u64) {
        let asked = self.last.and_then(|output| output.poll_again_at);
        let extra = self.extra_polls.map(|every| self.now + every);
        let contacts = [&self.low, &self.high, &self.probe].map(|contact| contact.due(self.now));
        let next = contacts
            .into_iter()
            .filter(|_| !self.only_when_asked)
            .chain([asked, extra])
            .flatten()
            .chain(self.agenda.front().map(|(at, _)| *at))
            .min()
            .unwrap_or(until);
        // A contact that the edge itself changed is polled a tick later.
        let next = if self.changed && !self.only_when_asked { self.now + 1 } else { next };
        self.now = next.clamp(self.now + 1, until.max(self.now + 1));
    }

    pub(crate) fn run_for(&mut self, ticks: u64) {
        let until = self.now + ticks;
        self.poll();
        for _ in 0..200_000 {
            if self.now >= until {
                return;
            }
            self.advance(until);
            self.poll();
        }
        panic!("it asks to be polled without end: {:?} at {}", self.carriage.state(), self.now);
    }

    /// Polls once, and goes on to when it asks to be polled again.
    pub(crate) fn poll_when_asked(&mut self) -> Output {
        let output = self.poll();
        self.now = output.poll_again_at.unwrap_or(self.now);
        output
    }

    /// Polls whenever it asks for it, until so many edges have been given.
    pub(crate) fn run_to_edge(&mut self, edges: usize) {
        for _ in 0..100_000 {
            if self.edges.len() == edges {
                return;
            }
            self.poll_when_asked();
        }
        panic!("it never gave {edges} edges, but {}", self.edges.len());
    }

    /// Polls until it rests, jogs without moving, or is faulted.
    pub(crate) fn run(&mut self) -> State {
        for _ in 0..50_000 {
            self.poll();
            let still = matches!(
                self.carriage.state(),
                State::Resting | State::Faulted | State::Commissioning | State::Jogging
            );
            let waits = self.last.and_then(|output| output.poll_again_at).is_some();
            if still && !self.carriage.is_moving() && !waits {
                return self.carriage.state();
            }
            self.advance(self.now + HZ);
        }
        panic!("it never came to rest: {:?} at {}", self.carriage.state(), self.carriage.step());
    }

    pub(crate) fn fault(&mut self) -> Option<Fault> {
        self.run();
        self.carriage.fault()
    }

    pub(crate) fn has(&self, event: Event) -> bool {
        self.events.contains(&event)
    }
}
