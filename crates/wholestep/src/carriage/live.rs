//! The live axis: what it knows, and what one poll does.

use super::activity::{Activity, Stopping};
use super::commission::CommissioningProgress;
use super::contact::{Change, Contact};
use super::event::{Event, Events, Stop, Unproven};
use super::motor::{Given, Motor, TooLate};
use super::{CarriageConfig, Direction, End, Fault, Inputs, Output, StepEdge, TIME_MAX};
use crate::axis::MotorDirection;

/// Everything that changes in a carriage.
#[derive(Clone, Debug)]
pub(super) struct Live {
    pub(super) now: u64,
    /// Whether the contacts have settled for the first time.
    pub(super) ready: bool,
    polled: bool,
    pub(super) inputs: Inputs,
    pub(super) switches: [Contact; 2],
    pub(super) probe: Contact,
    pub(super) enable: Contact,
    pub(super) motor: Motor,
    /// By end, the step nearest to it since its switch was pressed; until then, the present one.
    pub(super) outermost: [i64; 2],
    /// Whether the step it believes to stand on is the step it stands on.
    pub(super) proven: bool,
    pub(super) trust: CommissioningProgress,
    pub(super) activity: Activity,
    pub(super) events: Events,
}

/// What one reading of the inputs brought.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Changes {
    pub(super) switches: [Change; 2],
    pub(super) probe: Change,
    pub(super) enable: Change,
    /// How far the dial's counter moved.
    pub(super) counts: i32,
    /// Where the rocker has been moved to.
    pub(super) rocker: Option<End>,
}

impl Live {
    pub(super) fn new(trust: CommissioningProgress) -> Self {
        Self {
            now: 0,
            ready: false,
            polled: false,
            inputs: Inputs::default(),
            switches: [Contact::default(); 2],
            probe: Contact::default(),
            enable: Contact::default(),
            motor: Motor::new(),
            outermost: [0; 2],
            proven: false,
            trust,
            activity: if matches!(trust, CommissioningProgress::New(_)) {
                Activity::Commissioning
            } else {
                Activity::Resting
            },
            events: Events::default(),
        }
    }

    pub(super) fn poll(&mut self, configuration: &CarriageConfig, now: u64, inputs: &Inputs) -> Output {
        let edge = self.sense(configuration, now, inputs).unwrap_or_else(|fault| {
            self.fail(configuration, fault);
            None
        });
        loop {
            match self.motor.stands().then(|| self.stand(configuration)) {
                Some(Ok(true)) => {}
                Some(Ok(false)) | None => break,
                Some(Err(fault)) => self.fail(configuration, fault),
            }
        }
        // With the drive off a hand may turn the screw, so the room off a switch is had anew. One released
        // and asked for again before this poll never let go.
        if !self.motor.is_on() {
            self.outermost = [self.motor.step(); 2];
        }
        Output {
            edge,
            direction: (self.motor.facing() == Direction::Forward)
                == (configuration.parts().motor == MotorDirection::Normal),
            drive: self.motor.is_on(),
            events: core::mem::take(&mut self.events),
            poll_again_at: self.due(configuration).map(|due| due.max(now)),
        }
    }

    /// Reads the inputs, sees what they mean, and then gives the edge that is due: a contact read at
    /// a poll belongs to the step on which the motor stood before it.
    fn sense(
        &mut self,
        configuration: &CarriageConfig,
        now: u64,
        inputs: &Inputs,
    ) -> Result<Option<StepEdge>, Fault> {
        let time = self.check_time(now);
        if time.is_err() {
            self.restart_time(configuration, now);
        }
        let changes = self.read(configuration, now, inputs);
        self.guard_drive()?;
        time?;
        self.follow_switches(configuration);
        self.guard(configuration, &changes)?;
        self.motor.grant_drive(now, configuration);
        self.react(configuration, &changes)?;
        let given = self.motor.poll(configuration, now).map_err(|TooLate| Fault::PolledLate)?;
        Ok(given.map(|Given { edge, late }| {
            self.activity.note_step();
            if let Some(by) = late {
                self.events.push(Event::PolledLate { by });
            }
            edge
        }))
    }

    /// Times go forward, and not so far that what is planned from them leaves 64 bits: a plan takes
    /// less than 2^62 ticks, and every settling time less than 2^41.
    fn check_time(&self, now: u64) -> Result<(), Fault> {
        if self.polled && now < self.now {
            return Err(Fault::TimeBackwards);
        }
        // Told once, and contacts read afresh once: behind another fault too, which has stopped everything.
        let latched = match self.activity {
            Activity::Faulted { fault: Fault::TimeTooLarge, .. } => true,
            Activity::Faulted { .. } => self.now > TIME_MAX,
            _ => false,
        };
        if now > TIME_MAX && !latched { Err(Fault::TimeTooLarge) } else { Ok(()) }
    }

    fn read(&mut self, configuration: &CarriageConfig, now: u64, inputs: &Inputs) -> Changes {
        let parts = configuration.parts();
        let settle = parts.contact_settle;
        let before = if self.polled { self.inputs } else { *inputs };
        self.polled = true;
        self.now = now;
        self.inputs = *inputs;
        let levels = [inputs.low_switch, inputs.high_switch];
        let mut changes = Changes {
            counts: inputs.dial.wrapping_sub(before.dial).cast_signed(),
            rocker: inputs.rocker.filter(|_| before.rocker != inputs.rocker),
            ..Changes::default()
        };
        // An input that is not fitted reads released.
        for ((change, contact), (wiring, level)) in
            changes.switches.iter_mut().zip(&mut self.switches).zip(parts.switches.into_iter().zip(levels))
        {
            *change = contact.read(now, wiring.is_some_and(|wiring| wiring.is_pressed(level)), settle);
        }
        let probe = parts.probe.is_some_and(|wiring| wiring.is_pressed(inputs.probe));
        changes.probe = self.probe.read(now, probe, settle);
        changes.enable = self.enable.read(now, inputs.enable, settle);
        if !self.ready && self.contacts().all(|contact| contact.is_pressed() || contact.is_released()) {
            self.ready = true;
            self.events.push(Event::Ready);
        }
        changes
    }

    fn contacts(&self) -> impl Iterator<Item = &Contact> {
        self.switches.iter().chain([&self.probe, &self.enable])
    }

    /// Time begins again: contacts are read afresh, and a motion cannot go on.
    fn restart_time(&mut self, configuration: &CarriageConfig, now: u64) {
        if !self.motor.halt(configuration) {
            self.unprove(Unproven::Halted);
        }
        self.motor.settle_again(now, configuration);
        self.switches = [Contact::default(); 2];
        self.probe = Contact::default();
        self.enable = Contact::default();
        self.ready = false;
    }

    /// The switch at `end`.
    pub(super) fn switch(&self, end: End) -> &Contact {
        &self.switches[end as usize]
    }

    /// Whether the enable input is held, and has been for its settling time.
    pub(super) fn is_enabled(&self) -> bool {
        self.inputs.enable && self.enable.is_pressed() && self.enable.is_settled()
    }

    /// The pressed switch to which `direction` leads.
    pub(super) fn blocking_switch(
        &self,
        configuration: &CarriageConfig,
        direction: Direction,
    ) -> Option<End> {
        let end = configuration.end_toward(direction);
        self.switch(end).is_pressed().then_some(end)
    }

    fn follow_switches(&mut self, configuration: &CarriageConfig) {
        let step = self.motor.step();
        for (end, outermost) in End::BOTH.into_iter().zip(&mut self.outermost) {
            *outermost = match configuration.direction_to(end) {
                _ if !self.switches[end as usize].is_pressed() => step,
                Direction::Forward => step.max(*outermost),
                Direction::Backward => step.min(*outermost),
            };
        }
    }

    /// Latches `fault` and stops. A drive fault switches the drive off, and is told even if another is
    /// latched; anything else brakes, and behind another is not told.
    pub(super) fn fail(&mut self, configuration: &CarriageConfig, fault: Fault) {
        let moving = !self.motor.stands();
        let releases = self.activity.releases();
        self.motor.withdraw();
        if fault == Fault::Drive {
            self.switch_off(configuration);
        } else {
            self.motor.brake(configuration);
        }
        if fault.doubts_position() {
            self.unprove(Unproven::Contradicted);
        }
        if matches!(self.activity, Activity::Faulted { .. }) && fault != Fault::Drive {
            return;
        }
        self.events.push(Event::Faulted(fault));
        let stopping = if releases { Stopping::Releasing } else { Stopping::Holding };
        self.activity = Activity::Faulted { fault, stops: moving.then_some(stopping) };
        if releases && !moving {
            self.switch_off(configuration);
        }
    }

    pub(super) fn unprove(&mut self, why: Unproven) {
        if self.proven {
            self.proven = false;
            self.events.push(Event::Unproven(why));
        }
    }

    /// Switches the drive off; what then holds the load is the screw alone.
    pub(super) fn switch_off(&mut self, configuration: &CarriageConfig) {
        self.motor.withdraw();
        if self.motor.is_on() {
            self.motor.switch_off();
            self.unprove(Unproven::Released);
            if !configuration.parts().self_holding {
                self.events.push(Event::LoadCanFall);
            }
        }
    }

    /// It stands, and does nothing more.
    pub(super) fn rest(&mut self, why: Stop) {
        self.events.push(Event::Stopped { step: self.motor.step(), why });
        self.activity = self.at_rest();
    }

    /// What it does when it does nothing.
    pub(super) const fn at_rest(&self) -> Activity {
        match self.trust {
            CommissioningProgress::New(_) => Activity::Commissioning,
            CommissioningProgress::Checked | CommissioningProgress::Commissioned => Activity::Resting,
        }
    }

    fn due(&self, configuration: &CarriageConfig) -> Option<u64> {
        let settle = configuration.parts().contact_settle;
        let hand = match &self.activity {
            Activity::Jogging(hand) | Activity::TouchingOff(super::touch::Touching::ByHand { hand, .. }) => {
                hand.due(configuration)
            }
            _ => None,
        };
        let contacts = self.contacts().filter_map(|contact| contact.due(settle));
        contacts.chain(self.motor.due(configuration, self.now)).chain(hand).min()
    }
}

#[cfg(test)]
impl Live {
    /// Counts all times from now, and makes all that are long past one.
    pub(super) fn forget_time(&mut self, settle: u64) {
        let now = core::mem::take(&mut self.now);
        for contact in self.switches.iter_mut().chain([&mut self.probe, &mut self.enable]) {
            contact.forget_time(now, settle);
        }
        self.motor.forget_time(now);
    }
}
