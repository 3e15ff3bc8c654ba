//! What follows when the motor stands.

use super::activity::{Activity, Stopping};
use super::commission::{CommissioningProgress, Move, Progress};
use super::contact::Contact;
use super::datum::{Next, Search, Stage};
use super::event::{Event, Stop};
use super::live::Live;
use super::pace::Pace;
use super::touch::{Touching, creep_end};
use super::travel::{Travel, next_leg};
use super::{CarriageConfig, Direction, Fault, Input};

/// A contact that has been changing for so many settling times will not settle.
const CHATTER: u64 = 16;

/// A contact that changed back so often in one search or touch-off goes on doing so.
const FALSE_CONTACTS: u8 = 16;

impl Live {
    /// Decides what follows, with the motor standing; whether to look again.
    pub(super) fn stand(&mut self, configuration: &CarriageConfig) -> Result<bool, Fault> {
        match self.activity {
            Activity::Resting => Ok(false),
            Activity::Travelling(travel) => self.stand_in_travel(configuration, travel),
            Activity::Braking { why, release } => {
                self.conclude_move();
                self.rest(why);
                if release {
                    self.switch_off(configuration);
                }
                Ok(true)
            }
            Activity::Jogging(hand) => {
                self.activity = Activity::Jogging(self.lead_by_hand(configuration, hand)?);
                Ok(false)
            }
            Activity::FindingDatum(search) => self.stand_in_search(configuration, search),
            Activity::TouchingOff(touching) => self.stand_in_touch_off(configuration, touching),
            Activity::Commissioning => self.stand_in_commissioning(configuration),
            Activity::Faulted { fault, stops } => {
                if let Some(stopping) = stops {
                    self.events.push(Event::Stopped { step: self.motor.step(), why: Stop::Fault });
                    self.activity = Activity::Faulted { fault, stops: None };
                    if stopping == Stopping::Releasing {
                        self.switch_off(configuration);
                    }
                }
                Ok(false)
            }
        }
    }

    /// Starts a motion that may not lead to a pressed switch. Every motion that no hand leads begins
    /// here, so a switch that settled while the motor stood is not overlooked.
    fn start(&mut self, configuration: &CarriageConfig, pace: Pace, to: i64) -> Result<(), Fault> {
        if let Some(direction) = Direction::between(self.motor.step(), to)
            && let Some(end) = self.blocking_switch(configuration, direction)
        {
            let searches = matches!(self.activity, Activity::FindingDatum(_));
            return Err(if searches { Fault::WrongSwitch(end) } else { Fault::SwitchReached(end) });
        }
        self.motor.run(configuration, pace, self.now, to)
    }

    fn stand_in_travel(&mut self, configuration: &CarriageConfig, travel: Travel) -> Result<bool, Fault> {
        match next_leg(configuration.approach(), self.motor.step(), self.motor.taken_up(), travel.target) {
            Some(to) => self.start(configuration, travel.pace, to)?,
            None => self.rest(Stop::Arrived),
        }
        Ok(true)
    }

    /// Whether `contact` has settled; one that never does is a fault.
    fn has_settled(
        &self,
        configuration: &CarriageConfig,
        contact: &Contact,
        input: Input,
    ) -> Result<bool, Fault> {
        let most = configuration.parts().contact_settle.saturating_mul(CHATTER);
        if contact.chatters(self.now, most) {
            return Err(Fault::Chatter(input));
        }
        Ok(contact.is_settled())
    }

    fn stand_in_search(&mut self, configuration: &CarriageConfig, mut search: Search) -> Result<bool, Fault> {
        let parts = configuration.parts();
        let Some(datum) = &parts.datum else { return Ok(false) };
        let contact = *self.switch(datum.end);
        if !self.has_settled(configuration, &contact, Input::Switch(datum.end))? {
            return Ok(false);
        }
        let stage = search.stage;
        let toward = configuration.direction_to(datum.end).sign();
        let next =
            search.decide(datum, parts.release_bound, toward, self.motor.step(), contact.is_pressed())?;
        if next == Next::Found {
            let by = datum.step - search.latch;
            let off_by = self.motor.is_numbered().then_some(-by);
            self.renumber(by);
            self.events.push(Event::DatumFound { met_at: datum.step, off_by });
            self.trust = CommissioningProgress::Commissioned;
            self.rest(Stop::Arrived);
            return Ok(true);
        }
        if stage == search.stage {
            search.false_contacts = self.false_contact(Input::Switch(datum.end), search.false_contacts)?;
        }
        self.activity = Activity::FindingDatum(search);
        let pace = if search.stage == Stage::Approach { Pace::Latch } else { Pace::Search };
        self.start(configuration, pace, search.to)?;
        Ok(true)
    }

    /// Tells that a contact changed back, and counts it; one that always does is a fault.
    fn false_contact(&mut self, input: Input, before: u8) -> Result<u8, Fault> {
        if before == FALSE_CONTACTS {
            return Err(Fault::Chatter(input));
        }
        self.events.push(Event::FalseContact(input));
        Ok(before + 1)
    }

    /// Gives the step another number, and takes it for proven.
    pub(super) fn renumber(&mut self, by: i64) {
        self.motor.renumber(by);
        self.outermost = self.outermost.map(|step| step + by);
        self.proven = true;
    }

    fn stand_in_touch_off(
        &mut self,
        configuration: &CarriageConfig,
        touching: Touching,
    ) -> Result<bool, Fault> {
        if !self.has_settled(configuration, &self.probe, Input::Probe)? {
            return Ok(false);
        }
        let closed = self.probe.is_pressed();
        let step = self.motor.step();
        match touching {
            Touching::Begin { .. } | Touching::ByHand { begun: false, .. } if closed => {
                Err(Fault::ProbeClosed)
            }
            Touching::Begin { contact_step } => {
                let Some(touch) = &configuration.parts().touch else { return Ok(false) };
                let direction = configuration.direction_to(touch.toward);
                let mut to = creep_end(step, direction, touch.bound);
                if self.proven {
                    let last = configuration.last_step(direction);
                    to = if direction == Direction::Forward { to.min(last) } else { to.max(last) };
                }
                let creep =
                    Touching::Creep { contact_step, to, contact: None, stepped: false, false_contacts: 0 };
                self.creep(configuration, creep, to)
            }
            Touching::Creep { contact_step, contact: Some(contact), .. } if closed => {
                self.touched(configuration, contact_step, contact)?;
                self.rest(Stop::Arrived);
                Ok(true)
            }
            Touching::Creep { contact: None, .. } if closed => Err(Fault::ProbeClosed),
            Touching::Creep { to, .. } if step == to => Err(Fault::NeverTouched),
            Touching::Creep { contact_step, to, stepped, false_contacts, .. } => {
                let false_contacts = self.false_contact(Input::Probe, false_contacts)?;
                let creep = Touching::Creep { contact_step, to, contact: None, stepped, false_contacts };
                self.creep(configuration, creep, to)
            }
            Touching::ByHand { contact_step, mut hand, contact: Some(contact), sure: true, .. } => {
                self.touched(configuration, contact_step, contact)?;
                hand.rebase(self.motor.step());
                self.activity = Activity::Jogging(hand);
                Ok(true)
            }
            Touching::ByHand { contact_step, hand, contact, sure, stepped, .. } => {
                let hand = self.lead_by_hand(configuration, hand)?;
                let touching = Touching::ByHand { contact_step, hand, contact, sure, begun: true, stepped };
                self.activity = Activity::TouchingOff(touching);
                Ok(false)
            }
        }
    }

    fn creep(&mut self, configuration: &CarriageConfig, creep: Touching, to: i64) -> Result<bool, Fault> {
        self.activity = Activity::TouchingOff(creep);
        self.start(configuration, Pace::Latch, to)?;
        Ok(true)
    }

    /// Takes the step of first contact for `contact_step`. A proven position is only put right by as much as
    /// touches may differ: the soft limits would move with it.
    fn touched(
        &mut self,
        configuration: &CarriageConfig,
        contact_step: Option<i64>,
        contact: i64,
    ) -> Result<(), Fault> {
        let Some(contact_step) = contact_step else {
            self.events.push(Event::Touched { step: contact, off_by: None });
            return Ok(());
        };
        let agreement = configuration.parts().touch.map_or(0, |touch| touch.agreement);
        if self.proven && contact_step.abs_diff(contact) > agreement {
            return Err(Fault::TouchContradicts);
        }
        let by = contact_step - contact;
        let off_by = self.motor.is_numbered().then_some(-by);
        self.renumber(by);
        self.trust = CommissioningProgress::Commissioned;
        self.events.push(Event::Touched { step: contact_step, off_by });
        Ok(())
    }

    /// Begins the nudge or the travel that was asked for; after it, what comes next, or the same again
    /// where it was braked.
    fn stand_in_commissioning(&mut self, configuration: &CarriageConfig) -> Result<bool, Fault> {
        let CommissioningProgress::New(Progress::Moving { what, to, begun }) = self.trust else {
            return Ok(false);
        };
        if !begun {
            self.trust = CommissioningProgress::New(Progress::Moving { what, to, begun: true });
            let pace = if what == Move::Nudge { Pace::Latch } else { Pace::Search };
            self.start(configuration, pace, to)?;
            return Ok(true);
        }
        let why = if self.motor.step() == to { Stop::Arrived } else { Stop::Braked };
        self.conclude_move();
        self.rest(why);
        Ok(false)
    }

    /// What commissioning asks for after a motion that has ended; nothing is told.
    fn conclude_move(&mut self) {
        let CommissioningProgress::New(Progress::Moving { what, to, .. }) = self.trust else { return };
        self.trust = CommissioningProgress::New(match (what, self.motor.step() == to) {
            (Move::Nudge, false) => Progress::Nudge,
            (Move::Nudge, true) => Progress::Confirm,
            (Move::Measured, false) => Progress::Measure,
            (Move::Measured, true) => Progress::Report,
        });
    }
}
