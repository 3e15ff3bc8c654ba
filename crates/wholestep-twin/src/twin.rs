//! A carriage on a machine: what a controller believes beside what is true.

use std::sync::Arc;

use wholestep::axis::MotorDirection;
use wholestep::carriage::{
    Carriage, CarriageConfig, End, Event, Events, Inputs, Quadrature, State, StepEdge,
};

use crate::ground_truth::GroundTruth;
use crate::inputs::NEVER;
use crate::schedule::{Fault, Hand};
use crate::{Direction, Machine, MachineParameters, ParameterError, RawInputs};

/// The carriage that a twin leads.
pub type TwinCarriage = Carriage<Arc<CarriageConfig>>;

/// A carriage coupled with a simulated machine, and the clock of both.
///
/// Time is in ticks of the carriage's timer and passes only in [`advance`](Self::advance) and what is
/// made of it; idle time costs nothing. The carriage is polled when it asks to be, at every change of an
/// input and after every request, late if a fault says so. Its pulses reach the machine at the tick
/// of the poll. A power cut ends the carriage: when the power returns there is a new one, which knows
/// nothing but whether the machine had been commissioned.
///
/// ```
/// use std::sync::Arc;
/// use wholestep::carriage::State;
/// use wholestep_files::AxisFile;
/// use wholestep_twin::{Hand, Input, Rehearsable, Twin};
///
/// let file = AxisFile::open("../../examples/axes/router_lift.toml")?;
/// let lift = Rehearsable::new(&file, 1)?;
/// let mut twin = Twin::commissioned(Arc::new(lift.configuration), lift.machine, 1)?;
/// twin.hand(twin.now(), Hand::Press(Input::Enable, true))?;
/// assert!(twin.run_until_still(1_000_000));
/// twin.request(|carriage| carriage.find_datum())?;
/// assert!(twin.run_until_still(60_000_000));
/// assert!(twin.carriage().is_proven() && twin.carriage().state() == State::Resting);
/// assert_eq!(twin.ground_truth().lost_steps, 0);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug)]
pub struct Twin {
    configuration: Arc<CarriageConfig>,
    carriage: TwinCarriage,
    machine: Machine,
    now: u64,
    /// What the carriage's counter read at tick 0.
    counter: u64,
    /// When the carriage is to be polled; `None` if only an input brings anything new.
    poll_at: Option<u64>,
    dial: Quadrature,
    inputs: Inputs,
    /// Whether the supply was on when last looked at, and whether the drive was switched on.
    powered: bool,
    drive: bool,
    events: Vec<(u64, Event)>,
    edges: u64,
    polls: u64,
}

/// One poll and what came of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Moment {
    /// When.
    pub tick: u64,
    /// What the carriage was told.
    pub inputs: Inputs,
    /// The edge it gave.
    pub edge: Option<StepEdge>,
    /// The level of the direction pin.
    pub direction: bool,
    /// Whether the drive is switched on.
    pub drive: bool,
    /// What it said happened.
    pub events: Events,
}

/// What happened in [`Twin::go_on`].
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[expect(clippy::large_enum_variant, reason = "passed by value from poll to poll, never kept")]
pub enum Passed {
    /// Something changed on the machine; the carriage may have to be polled for it.
    Change,
    /// The carriage was polled.
    Poll(Moment),
    /// Nothing more, up to the tick that was given.
    Nothing,
}

impl Twin {
    /// Makes a new machine, which has to be commissioned, its chance drawn from `seed`.
    ///
    /// # Errors
    /// As [`Machine::new`].
    pub fn new(
        configuration: Arc<CarriageConfig>,
        machine: MachineParameters,
        seed: u64,
    ) -> Result<Self, ParameterError> {
        Self::of(Carriage::new(configuration.clone()), configuration, machine, seed)
    }

    /// Returns a machine that has been commissioned.
    ///
    /// # Errors
    /// As [`Machine::new`].
    pub fn commissioned(
        configuration: Arc<CarriageConfig>,
        machine: MachineParameters,
        seed: u64,
    ) -> Result<Self, ParameterError> {
        Self::of(Carriage::commissioned(configuration.clone()), configuration, machine, seed)
    }

    fn of(
        carriage: TwinCarriage,
        configuration: Arc<CarriageConfig>,
        machine: MachineParameters,
        seed: u64,
    ) -> Result<Self, ParameterError> {
        let timer_hz = carriage.config().parts().paces.travel.timer_hz();
        let mut machine = Machine::new(machine, seed, timer_hz)?;
        let raw = machine.inputs(0);
        let mut twin = Self {
            configuration,
            carriage,
            machine,
            now: 0,
            counter: 0,
            poll_at: Some(0),
            dial: Quadrature::new(raw.dial_a, raw.dial_b),
            inputs: Inputs::default(),
            powered: true,
            drive: false,
            events: Vec::new(),
            edges: 0,
            polls: 0,
        };
        twin.inputs = twin.levels(raw);
        Ok(twin)
    }

    /// Returns the same, before anything happens, with a counter of ticks that reads `first` at tick 0: the carriage
    /// is told its readings, which start at 0 again after `u64::MAX`.
    #[must_use]
    pub fn counting_from(mut self, first: u64) -> Self {
        self.counter = first;
        self
    }

    /// Returns the carriage: what is believed.
    pub fn carriage(&self) -> &TwinCarriage {
        &self.carriage
    }

    /// Returns the machine as it really is now.
    pub fn ground_truth(&mut self) -> GroundTruth {
        self.machine.ground_truth()
    }

    /// Returns what the machine is made of.
    pub fn parameters(&self) -> &MachineParameters {
        self.machine.parameters()
    }

    /// Returns the step the rotor really stands on, counted the carriage's way from where the machine was first
    /// powered: while nothing is lost, a fixed number away from the step the carriage believes in.
    pub fn true_step(&mut self) -> i64 {
        self.way() * self.machine.ground_truth().rotor_step
    }

    /// Steps sent and not made, counted the carriage's way.
    pub fn lost_steps(&mut self) -> i64 {
        self.way() * self.machine.ground_truth().lost_steps
    }

    /// Returns the present tick.
    pub fn now(&self) -> u64 {
        self.now
    }

    /// Ticks a second.
    pub fn timer_hz(&self) -> u64 {
        self.carriage.config().parts().paces.travel.timer_hz()
    }

    /// Edges given so far.
    pub fn edges(&self) -> u64 {
        self.edges
    }

    /// Polls so far.
    pub fn polls(&self) -> u64 {
        self.polls
    }

    /// Returns the levels as the carriage was told them last, or will be at its next poll.
    pub fn inputs(&self) -> &Inputs {
        &self.inputs
    }

    /// Returns what happened so far, with its ticks.
    pub fn events(&self) -> &[(u64, Event)] {
        &self.events
    }

    /// Sends a request to the carriage, now. Without power there is nobody to hear it: a carriage that has
    /// never been polled refuses.
    pub fn request<T>(&mut self, ask: impl FnOnce(&mut TwinCarriage) -> T) -> T {
        let answer = ask(&mut self.carriage);
        if self.machine.powered() {
            self.poll_at = Some(self.now);
        }
        answer
    }

    /// Returns a hand does something at `tick`, or at once if that is past.
    ///
    /// # Errors
    /// As [`Hand::check_range`].
    pub fn hand(&mut self, tick: u64, hand: Hand) -> Result<(), ParameterError> {
        self.machine.schedule(tick, hand)
    }

    /// As [`hand`](Self::hand), now, for what a hand can do for certain.
    pub(crate) fn act(&mut self, hand: Hand) {
        self.machine.act(self.now, hand);
    }

    /// Begins a fault at its tick.
    ///
    /// # Errors
    /// As [`Fault::check_range`].
    pub fn inject(&mut self, fault: Fault) -> Result<(), ParameterError> {
        self.machine.inject(fault)
    }

    /// Goes on to the next poll, at `until` at the latest, and says what came of it; `None` once `until`
    /// is reached without a poll.
    pub fn advance(&mut self, until: u64) -> Option<Moment> {
        loop {
            match self.go_on(until) {
                Passed::Change => {}
                Passed::Poll(moment) => return Some(moment),
                Passed::Nothing => return None,
            }
        }
    }

    /// Goes on to the next poll or the next change on the machine, at `until` at the latest. However long
    /// that is, it is little work: who must be able to stop in between goes on by this.
    pub fn go_on(&mut self, until: u64) -> Passed {
        let polled = match self.poll_at {
            Some(due) => due.saturating_add(self.machine.poll_delay()).max(self.now),
            None => NEVER,
        };
        let change = self.machine.next_change().unwrap_or(NEVER).max(self.now);
        if change <= polled && change <= until && change != NEVER {
            self.now = change;
            self.machine.advance(change);
            self.look_at_machine();
            Passed::Change
        } else if polled <= until && polled != NEVER {
            self.now = polled;
            Passed::Poll(self.poll())
        } else {
            self.now = until.max(self.now);
            self.machine.advance(self.now);
            Passed::Nothing
        }
    }

    /// Lets everything happen up to and at `tick`.
    pub fn run_until(&mut self, tick: u64) {
        while self.advance(tick).is_some() {}
    }

    /// Runs until the carriage stands and waits for nothing but inputs or requests, for `most` ticks at
    /// the longest; whether it came to that. Without power it never does.
    pub fn run_until_still(&mut self, most: u64) -> bool {
        let until = self.now.saturating_add(most);
        while !self.is_still() {
            if self.advance(until).is_none() {
                return self.is_still();
            }
        }
        true
    }

    /// Tells whether the carriage stands and waits for nothing but inputs or requests.
    pub fn is_still(&self) -> bool {
        let waits = matches!(
            self.carriage.state(),
            State::Resting | State::Faulted | State::Jogging | State::Commissioning
        );
        waits && self.machine.powered() && !self.carriage.is_moving() && self.poll_at.is_none()
    }

    /// Tells whether the supply is on.
    pub fn powered(&self) -> bool {
        self.machine.powered()
    }

    fn way(&self) -> i64 {
        match self.carriage.config().parts().motor {
            MotorDirection::Normal => 1,
            MotorDirection::Reversed => -1,
        }
    }

    /// Notices a power cut, the return of the power, and inputs that have changed.
    fn look_at_machine(&mut self) {
        if self.machine.powered() != self.powered {
            self.powered = !self.powered;
            self.drive = false;
            self.poll_at = self.powered.then_some(self.now);
            if !self.powered {
                self.carriage = match self.carriage.commissioning_task() {
                    None => Carriage::commissioned(self.configuration.clone()),
                    Some(_) => Carriage::new(self.configuration.clone()),
                };
            }
        }
        if self.powered {
            let raw = self.machine.inputs(self.now);
            let inputs = self.levels(raw);
            if inputs != self.inputs {
                self.inputs = inputs;
                self.poll_at = Some(self.poll_at.map_or(self.now, |due| due.min(self.now)));
            }
        }
    }

    fn poll(&mut self) -> Moment {
        self.machine.advance(self.now);
        let raw = self.machine.inputs(self.now);
        self.inputs = self.levels(raw);
        let reading = self.counter.wrapping_add(self.now);
        let output = self.carriage.poll(reading, &self.inputs);
        self.polls += 1;
        // At its last reading the counter cannot say how long to wait.
        let wait = |due: u64| if reading == u64::MAX { 1 } else { due.saturating_sub(reading) };
        self.poll_at = output.poll_again_at.map(|due| self.now.saturating_add(wait(due)));
        self.events.extend(output.events.iter().map(|event| (self.now, event)));
        let moment = Moment {
            tick: self.now,
            inputs: self.inputs,
            edge: output.edge,
            direction: output.direction,
            drive: output.drive,
            events: output.events,
        };
        if output.drive != self.drive {
            self.drive = output.drive;
            self.machine.set_drive(output.drive, self.now);
        }
        if output.edge.is_some() {
            self.edges += 1;
            self.machine.pulse(self.now, output.direction);
            self.look_at_machine();
        }
        moment
    }

    /// The levels as a controller reads them with pull-ups: a contact in which current flows reads low.
    fn levels(&mut self, raw: RawInputs) -> Inputs {
        self.dial.read(raw.dial_a, raw.dial_b);
        Inputs {
            low_switch: !raw.low_switch,
            high_switch: !raw.high_switch,
            probe: !raw.probe,
            enable: raw.enable,
            drive_fault: raw.drive_fault,
            dial: self.dial.count(),
            rocker: raw.jog.map(|direction| match direction {
                Direction::Forward => End::High,
                Direction::Backward => End::Low,
            }),
        }
    }
}
