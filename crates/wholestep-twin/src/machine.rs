//! The machine: pulses and levels in, input levels out.

use crate::body::Body;
use crate::clock::Clock;
use crate::ground_truth::{GroundTruth, Record};
use crate::inputs::{Contact, Dial, Direction, Input, NEVER, RawInputs, SwitchState};
use crate::motion::{Follower, Motion, Rotor};
use crate::parameters::error::within;
use crate::parameters::{Fidelity, MachineParameters, ParameterError};
use crate::random::Chance;
use crate::schedule::{Event, Fault, FaultKind, Hand, Schedule};

/// The tick of the last pulse before there was any; intervals are taken modulo 2^64.
const LONG_AGO: u64 = 1 << 63;

/// A simulated machine.
///
/// Time is in ticks of a timer and never runs backward: an earlier tick counts as the present. Levels
/// and truth depend on what happened and when, never on how often they were asked for. It starts powered,
/// with the drive released and nobody at the controls.
///
/// ```
/// use wholestep_twin::{Machine, MachineParameters};
/// let mut lift = Machine::new(MachineParameters::router_lift(), 1, 1_000_000)?;
/// lift.set_drive(true, 0);
/// for step in 1..=800 {
///     lift.pulse(1_000 * step, true);
/// }
/// let truth = lift.ground_truth();
/// assert_eq!((truth.commanded_step, truth.lost_steps), (800, 0));
/// assert!((truth.carriage_position - 0.031).abs() < 1e-9);
/// # Ok::<(), wholestep_twin::ParameterError>(())
/// ```
#[derive(Clone, Debug)]
#[expect(clippy::struct_excessive_bools, reason = "one level a line")]
pub struct Machine {
    pub(crate) parameters: MachineParameters,
    pub(crate) clock: Clock,
    pub(crate) body: Body,
    pub(crate) motion: Motion,
    pub(crate) record: Record,
    pub(crate) now: u64,
    /// Steps the driver has counted, and the way of the last: +1 or −1.
    pub(crate) field: i64,
    pub(crate) way: i64,
    pub(crate) last_pulse: u64,
    /// `field − shift` is the driver's place in the electrical cycle.
    pub(crate) shift: i64,
    /// `field − offset` is the step the rotor is locked to.
    pub(crate) offset: i64,
    pub(crate) against_stop: bool,
    pub(crate) driven: bool,
    /// Steps the driver missed, forward less backward.
    missed: i64,
    shortest_interval: u64,
    chance: Chance,
    powered: bool,
    drive_level: bool,
    drive_fault: bool,
    low: Option<SwitchState>,
    high: Option<SwitchState>,
    probe: Option<SwitchState>,
    plate: f64,
    cutter: f64,
    plate_in_place: bool,
    enable: Contact,
    dial: Dial,
    jog: Option<Direction>,
    poll_delay: u64,
    schedule: Schedule,
    /// The next tick at which anything but the end of a run of pulses happens.
    next_event: u64,
}

impl Machine {
    /// Makes a machine whose chance is drawn from `seed`, on a timer of 1,000 to 1e9 Hz.
    ///
    /// # Errors
    /// [`ParameterError`] if a parameter is out of its range or contradicts another.
    pub fn new(parameters: MachineParameters, seed: u64, timer_hz: u64) -> Result<Self, ParameterError> {
        parameters.check()?;
        within("timer", timer_hz as f64, (1e3, 1e9), "Hz")?;
        let clock = Clock::new(timer_hz);
        let body = Body::new(&parameters);
        let carriage = body.carriage();
        let switch = |switch: Option<_>, in_place, stream| {
            switch.map(|switch| SwitchState::new(switch, in_place, carriage, clock, seed, stream))
        };
        let probe = parameters.probe;
        let plate_in_place = probe.is_some_and(|probe| probe.in_place);
        Ok(Self {
            motion: match parameters.fidelity {
                Fidelity::Quasistatic => Motion::Quasistatic(Follower::new()),
                Fidelity::Dynamic => Motion::Dynamic(Rotor::new(clock.hz())),
            },
            record: Record::new(carriage, body.end_stops()),
            now: 0,
            field: 0,
            way: 1,
            last_pulse: LONG_AGO,
            shift: 0,
            offset: 0,
            against_stop: false,
            driven: false,
            missed: 0,
            shortest_interval: clock.ticks(parameters.motor.shortest_interval).max(1),
            chance: Chance::new(seed, 0),
            powered: true,
            drive_level: false,
            drive_fault: false,
            low: switch(parameters.low_switch, true, 1),
            high: switch(parameters.high_switch, true, 2),
            probe: switch(probe.map(|probe| probe.switch()), plate_in_place, 3),
            plate: probe.map_or(0.0, |probe| probe.plate),
            cutter: probe.map_or(0.0, |probe| probe.cutter),
            plate_in_place,
            enable: Contact::new(false, parameters.hand_bounce, clock, Chance::new(seed, 8)),
            dial: Dial::new(parameters.hand_bounce, clock, seed, 5),
            jog: None,
            poll_delay: 0,
            schedule: Schedule::default(),
            next_event: NEVER,
            parameters,
            clock,
            body,
        }
        .released())
    }

    /// Returns what the machine is made of.
    pub fn parameters(&self) -> &MachineParameters {
        &self.parameters
    }

    /// Lets everything happen up to and at `to_tick`.
    pub fn advance(&mut self, to_tick: u64) {
        loop {
            let due = self.next_change().unwrap_or(NEVER);
            if due > to_tick || due == NEVER {
                break;
            }
            self.now = due.max(self.now);
            self.happen();
        }
        self.now = self.now.max(to_tick);
    }

    /// Returns a rising edge on the step pin at `tick`, the direction pin being at `forward`.
    #[inline]
    pub fn pulse(&mut self, tick: u64, forward: bool) {
        let way = if forward { 1 } else { -1 };
        if let Motion::Quasistatic(follower) = &mut self.motion {
            let interval = tick.wrapping_sub(self.last_pulse);
            if follower.quiet > 1
                && tick >= self.now
                && tick < self.next_event
                && way == self.way
                && interval <= follower.patience
                && interval >= self.shortest_interval
            {
                follower.quiet -= 1;
                follower.patience = interval.saturating_mul(4);
                self.field += way;
                self.last_pulse = tick;
                self.now = tick;
                return;
            }
        }
        self.attend_pulse(tick, way);
    }

    /// The level of the drive-enable pin from `tick` on: `false` releases the motor.
    pub fn set_drive(&mut self, on: bool, tick: u64) {
        self.advance(tick);
        self.drive_level = on;
        self.energise();
    }

    /// Returns the input levels at `tick`.
    pub fn inputs(&mut self, tick: u64) -> RawInputs {
        self.advance(tick);
        let on = self.powered;
        let level = |switch: &Option<SwitchState>| on && switch.as_ref().is_some_and(|s| s.contact.level());
        RawInputs {
            low_switch: level(&self.low),
            high_switch: level(&self.high),
            probe: level(&self.probe),
            enable: on && self.enable.level(),
            dial_a: on && self.dial.channels[0].level(),
            dial_b: on && self.dial.channels[1].level(),
            drive_fault: on && self.drive_fault,
            jog: self.jog.filter(|_| on),
        }
    }

    /// Returns the next tick at which anything can happen without a further pulse; `None` if everything rests.
    ///
    /// Never too late, and sometimes early: at that tick nothing an input shows may have changed.
    pub fn next_change(&self) -> Option<u64> {
        let run_ends = match &self.motion {
            Motion::Quasistatic(follower) if follower.running => {
                self.last_pulse.saturating_add(follower.patience).saturating_add(1)
            }
            _ => NEVER,
        };
        Some(self.next_event.min(run_ends)).filter(|tick| *tick != NEVER)
    }

    /// Returns a hand does something at `tick`, or at once if that is past.
    ///
    /// # Errors
    /// As [`Hand::check_range`].
    pub fn schedule(&mut self, tick: u64, hand: Hand) -> Result<(), ParameterError> {
        hand.check_range()?;
        self.act(tick, hand);
        Ok(())
    }

    /// As [`schedule`](Self::schedule), for what a hand can do for certain.
    pub(crate) fn act(&mut self, tick: u64, hand: Hand) {
        self.schedule.add(tick.max(self.now), Event::Hand(hand));
        self.next_event = self.next_event.min(self.schedule.next());
    }

    /// Begins a fault at its tick, or now if that is past.
    ///
    /// # Errors
    /// As [`Fault::check_range`].
    pub fn inject(&mut self, fault: Fault) -> Result<(), ParameterError> {
        fault.check_range()?;
        self.schedule.add(fault.at.max(self.now), Event::Begins(fault.kind, fault.until));
        if let Some(until) = fault.until {
            self.schedule.add(until.max(fault.at).max(self.now), Event::Ends(fault.kind));
        }
        self.next_event = self.next_event.min(self.schedule.next());
        Ok(())
    }

    /// By how many ticks a controller on this machine polls late at present, 0 without such a fault.
    pub fn poll_delay(&self) -> u64 {
        self.poll_delay
    }

    /// Tells whether the supply is on.
    pub fn powered(&self) -> bool {
        self.powered
    }

    /// Returns the machine as it really is now.
    pub fn ground_truth(&mut self) -> GroundTruth {
        let rotor = self.rotor();
        self.move_rotor(rotor);
        let commanded_step = self.field + self.missed;
        let rotor_step = self.rotor_step();
        GroundTruth {
            tick: self.now,
            commanded_step,
            rotor_step,
            lost_steps: commanded_step - rotor_step,
            rotor_position: rotor,
            carriage_position: self.body.carriage(),
            carriage_speed: self.body.carriage_speed(self.speed()),
            powered: self.powered,
            driven: self.driven,
            dial_count: self.dial.count(),
            record: self.record,
        }
    }

    fn attend_pulse(&mut self, tick: u64, way: i64) {
        let tick = tick.max(self.now);
        self.advance(tick);
        let interval = tick.wrapping_sub(self.last_pulse);
        if !self.powered || interval < self.shortest_interval {
            self.missed += way;
            self.record.missed_pulses += 1;
            return;
        }
        if way != self.way {
            // The carriage must be where this way took it before backlash is taken up the other way.
            let rotor = self.rotor();
            self.move_rotor(rotor);
            self.end_of_run();
            self.way = way;
        }
        self.field += way;
        self.last_pulse = tick;
        if !self.driven && !self.parameters.motor.keeps_phase {
            self.shift += way;
        }
        match &mut self.motion {
            Motion::Quasistatic(_) => self.follow_pulse(interval),
            Motion::Dynamic(rotor) => {
                rotor.interval = interval;
                rotor.wake(tick);
            }
        }
        self.find_next_event();
    }

    fn end_of_run(&mut self) {
        if matches!(self.motion, Motion::Quasistatic(_)) {
            self.end_run();
        }
    }

    /// Everything due at the present tick.
    fn happen(&mut self) {
        let now = self.now;
        match self.motion {
            Motion::Quasistatic(ref follower) => {
                let (running, patience, coast) = (follower.running, follower.patience, follower.coast);
                if let Some(coast) = coast.filter(|coast| coast.until <= now) {
                    self.look_at_coast(coast);
                }
                if running && now - self.last_pulse > patience {
                    self.end_run();
                }
            }
            Motion::Dynamic(rotor) => {
                if rotor.next <= now {
                    self.integrate(rotor);
                }
            }
        }
        while let Some((_, event)) = self.schedule.pop(now) {
            match event {
                Event::Hand(hand) => self.hand(hand),
                Event::Begins(kind, until) => self.begin(kind, until.unwrap_or(NEVER)),
                Event::Ends(kind) => self.end(kind),
            }
        }
        self.switches_mut().for_each(|switch| switch.contact.advance(now));
        self.enable.advance(now);
        self.dial.advance(now);
        self.find_next_event();
    }

    fn find_next_event(&mut self) {
        let motion = match &self.motion {
            Motion::Quasistatic(follower) => follower.coast.map_or(NEVER, |coast| coast.until),
            Motion::Dynamic(rotor) => rotor.next,
        };
        let switches = self.switches().map(|switch| switch.contact.next()).min().unwrap_or(NEVER);
        self.next_event =
            motion.min(switches).min(self.schedule.next()).min(self.enable.next()).min(self.dial.next());
    }

    fn hand(&mut self, hand: Hand) {
        let now = self.now;
        match hand {
            Hand::Press(Input::Enable, held) => self.enable.change(now, held),
            Hand::Press(input, held) => {
                if let Some(switch) = self.switch(input) {
                    switch.press_by_hand(now, held);
                }
            }
            Hand::Jog(direction) => self.jog = direction,
            Hand::Turn { counts, counts_per_second } => self.dial.turn(now, counts, counts_per_second),
            Hand::Plate(in_place) => {
                self.plate_in_place = in_place;
                self.set_probe();
            }
            Hand::PlateAt(height) => {
                self.plate = height;
                self.set_probe();
            }
            Hand::Cutter(length) => {
                self.cutter = length;
                self.set_probe();
            }
            Hand::TurnScrew(full_steps) => self.turn_screw(full_steps),
        }
    }

    fn set_probe(&mut self) {
        let rotor = self.rotor();
        self.move_rotor(rotor);
        let (now, carriage) = (self.now, self.body.carriage());
        let (at, in_place) = (self.plate - self.cutter, self.plate_in_place);
        if let Some(probe) = &mut self.probe {
            probe.move_to(now, carriage, at, in_place);
        }
        self.look_again();
    }

    fn begin(&mut self, kind: FaultKind, until: u64) {
        let now = self.now;
        match kind {
            FaultKind::BrokenWire(input) => self.force(input, Some(false)),
            FaultKind::Stuck(input, closed) => self.force(input, Some(closed)),
            FaultKind::BounceStorm(input) => {
                if let Some(contact) = self.contact(input) {
                    contact.chatter(now, until);
                }
            }
            FaultKind::Stall(torque) => {
                self.body.jam += torque;
                self.look_again();
            }
            FaultKind::PowerCut => {
                self.powered = false;
                self.drive_level = false;
                self.energise();
            }
            FaultKind::EnableReleased => self.enable.change(now, false),
            FaultKind::DriveFault => {
                self.drive_fault = true;
                self.energise();
            }
            FaultKind::HandTurn(full_steps) => self.turn_screw(full_steps),
            FaultKind::LatePolls(seconds) => self.poll_delay += self.clock.ticks(seconds),
        }
    }

    fn end(&mut self, kind: FaultKind) {
        match kind {
            FaultKind::BrokenWire(input) | FaultKind::Stuck(input, _) => self.force(input, None),
            FaultKind::Stall(torque) => {
                self.body.jam -= torque;
                self.look_again();
            }
            FaultKind::PowerCut => {
                self.powered = true;
                self.shift = self.field;
            }
            FaultKind::DriveFault => {
                self.drive_fault = false;
                self.energise();
            }
            FaultKind::LatePolls(seconds) => self.poll_delay -= self.clock.ticks(seconds),
            FaultKind::BounceStorm(_) | FaultKind::EnableReleased | FaultKind::HandTurn(_) => {}
        }
    }

    fn force(&mut self, input: Input, level: Option<bool>) {
        if let Some(contact) = self.contact(input) {
            contact.forced = level;
        }
    }

    /// Drives or releases the motor as the lines now say.
    fn energise(&mut self) {
        let driven = self.powered && self.drive_level && !self.drive_fault;
        if driven == self.driven {
            return;
        }
        let rotor = self.rotor();
        let speed = self.speed();
        if !driven {
            self.end_of_run();
        }
        self.driven = driven;
        if !driven && !self.parameters.motor.keeps_phase {
            self.shift = self.field;
        }
        match &mut self.motion {
            Motion::Quasistatic(follower) if driven => {
                let speed = follower.field_speed() * self.way as f64;
                self.catch_step(speed);
            }
            Motion::Quasistatic(_) => self.coast_from(self.settled_in_detent(rotor, speed), speed),
            Motion::Dynamic(state) => {
                state.wake(self.now);
                self.take_tooth();
            }
        }
        self.find_next_event();
    }

    /// Where a released rotor comes to rest: in the nearest detent where that is strong enough.
    fn settled_in_detent(&self, rotor: f64, speed: f64) -> f64 {
        let (least, greatest) = self.body.stops();
        if speed == 0.0 && self.body.detent > self.body.friction() + self.body.load().abs() {
            (libm::round(rotor / self.body.full) * self.body.full).clamp(least, greatest)
        } else {
            rotor
        }
    }

    fn turn_screw(&mut self, full_steps: f64) {
        if self.driven {
            return;
        }
        let (least, greatest) = self.body.stops();
        let turned = (self.rotor() + full_steps * self.body.full).clamp(least, greatest);
        match &mut self.motion {
            Motion::Quasistatic(_) => self.coast_from(turned, 0.0),
            Motion::Dynamic(rotor) => {
                rotor.position = turned;
                rotor.speed = 0.0;
                rotor.wake(self.now);
                self.move_rotor(turned);
            }
        }
    }

    /// Looks at the motion afresh, after a force or the plate has changed.
    fn look_again(&mut self) {
        match &mut self.motion {
            Motion::Quasistatic(follower) => {
                follower.quiet = 0;
                if follower.coast.is_some() {
                    let (rotor, speed) = (self.rotor(), self.speed());
                    self.coast_from(rotor, speed);
                }
            }
            Motion::Dynamic(rotor) => rotor.wake(self.now),
        }
    }

    /// The machine with its drive off from the start.
    fn released(mut self) -> Self {
        match &mut self.motion {
            Motion::Quasistatic(_) => self.coast_from(0.0, 0.0),
            Motion::Dynamic(rotor) => rotor.wake(0),
        }
        self.find_next_event();
        self
    }

    /// Moves the carriage and the switches to where the rotor is.
    pub(crate) fn move_rotor(&mut self, rotor: f64) {
        let now = self.now;
        let carriage = self.body.carry(rotor);
        self.record.visit(carriage, self.body.end_stops());
        self.switches_mut().for_each(|switch| switch.follow(now, carriage));
    }

    /// The rotor's position in steps.
    fn rotor(&self) -> f64 {
        match &self.motion {
            Motion::Quasistatic(Follower { coast: Some(coast), .. }) => {
                coast.after(self.clock.seconds(self.now - coast.from)).0
            }
            Motion::Quasistatic(_) => self.clamped(self.field - self.offset),
            Motion::Dynamic(rotor) => rotor.position,
        }
    }

    /// The rotor's speed in steps/s, as of the last two pulses where it follows them.
    pub(crate) fn speed(&self) -> f64 {
        match &self.motion {
            Motion::Quasistatic(follower) => match follower.coast {
                Some(coast) => coast.after(self.clock.seconds(self.now - coast.from)).1,
                None if follower.running && follower.patience != NEVER => {
                    self.way as f64 * 4.0 / self.clock.seconds(follower.patience.max(1))
                }
                None => 0.0,
            },
            Motion::Dynamic(rotor) => rotor.speed,
        }
    }

    fn rotor_step(&mut self) -> i64 {
        let rotor = self.rotor();
        match &self.motion {
            Motion::Quasistatic(follower) if follower.coast.is_none() => whole(rotor),
            Motion::Dynamic(_) if self.driven => {
                let (least, greatest) = self.body.stops();
                let step = self.field - self.shift;
                let cycle = self.cycle() as f64;
                let teeth = libm::round((rotor - step as f64) / cycle);
                whole((step as f64 + teeth * cycle).clamp(least, greatest))
            }
            _ => whole(rotor),
        }
    }

    /// Steps in one cycle of the field: four full steps.
    pub(crate) fn cycle(&self) -> i64 {
        4 * i64::from(self.parameters.motor.step_mode)
    }

    /// The step at which the field holds a rotor that stands at `rotor`; chance decides half way between
    /// two.
    pub(crate) fn nearest_rest(&mut self, rotor: f64) -> i64 {
        let cycle = self.cycle();
        let step = self.field - self.shift;
        let teeth = (rotor - step as f64) / cycle as f64;
        let below = libm::floor(teeth);
        let up = teeth - below;
        let tie = (up - 0.5).abs() < 1e-12;
        let teeth = if up > 0.5 && !tie || tie && self.chance.coin() { below + 1.0 } else { below };
        step + whole(teeth) * cycle
    }

    pub(crate) fn switches(&self) -> impl Iterator<Item = &SwitchState> {
        [&self.low, &self.high, &self.probe].into_iter().flatten()
    }

    fn switches_mut(&mut self) -> impl Iterator<Item = &mut SwitchState> {
        [&mut self.low, &mut self.high, &mut self.probe].into_iter().flatten()
    }

    fn switch(&mut self, input: Input) -> Option<&mut SwitchState> {
        match input {
            Input::LowSwitch => self.low.as_mut(),
            Input::HighSwitch => self.high.as_mut(),
            Input::Probe => self.probe.as_mut(),
            Input::Enable => None,
        }
    }

    fn contact(&mut self, input: Input) -> Option<&mut Contact> {
        match input {
            Input::Enable => Some(&mut self.enable),
            _ => self.switch(input).map(|switch| &mut switch.contact),
        }
    }
}

#[expect(clippy::cast_possible_truncation, reason = "positions are far below 2^53 steps")]
fn whole(value: f64) -> i64 {
    libm::round(value) as i64
}
