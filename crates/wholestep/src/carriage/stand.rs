//! What follows when the motor stands.

use super::activity::Activity;
use super::commission::{Move, Progress, Trust};
use super::configuration::Pace;
use super::contact::Contact;
use super::datum::{Next, Search, Stage};
use super::event::{Event, Stop};
use super::live::Live;
use super::touch::{Touching, creep_end};
use super::travel::{Travel, next_leg};
use super::{Configuration, Direction, Fault, Input};

/// A contact that has been changing for so many settling times will not settle.
const CHATTER: u64 = 16;

impl Live {
    /// Decides what follows, with the motor standing; whether to look again.
    pub(super) fn stand(&mut self, configuration: &Configuration) -> Result<bool, Fault> {
        match self.activity {
            Activity::Resting => Ok(false),
            Activity::Travelling(travel) => self.stand_in_travel(configuration, travel),
            Activity::Braking { why, release } => {
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
            Activity::Faulted { fault, moving } => {
                if moving {
                    self.events.push(Event::Stopped { step: self.motor.step(), why: Stop::Fault });
                    self.activity = Activity::Faulted { fault, moving: false };
                }
                Ok(false)
            }
        }
    }

    /// Starts a motion that may not lead to a pressed switch.
    fn start(&mut self, configuration: &Configuration, pace: Pace, to: i64) -> Result<(), Fault> {
        if let Some(direction) = Direction::between(self.motor.step(), to)
            && let Some(end) = self.blocking_switch(configuration, direction)
        {
            return Err(Fault::SwitchReached(end));
        }
        self.motor.run(configuration, pace, self.now, to)
    }

    fn stand_in_travel(&mut self, configuration: &Configuration, travel: Travel) -> Result<bool, Fault> {
        match next_leg(configuration.approach(), self.motor.step(), self.motor.reached(), travel.target) {
            Some(to) => self.start(configuration, Pace::Travel, to)?,
            None => self.rest(Stop::Arrived),
        }
        Ok(true)
    }

    /// Whether `contact` has settled; one that never does is a fault.
    fn has_settled(
        &self,
        configuration: &Configuration,
        contact: &Contact,
        input: Input,
    ) -> Result<bool, Fault> {
        let most = configuration.parts().contact_settle.saturating_mul(CHATTER);
        if contact.chatters(self.now, most) {
            return Err(Fault::Chatter(input));
        }
        Ok(contact.is_settled())
    }

    fn stand_in_search(&mut self, configuration: &Configuration, mut search: Search) -> Result<bool, Fault> {
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
            self.events.push(Event::DatumFound { latch: datum.step, off_by });
            self.trust = Trust::Commissioned;
            self.rest(Stop::Arrived);
            return Ok(true);
        }
        if stage == search.stage {
            self.events.push(Event::FalseContact(Input::Switch(datum.end)));
        }
        self.activity = Activity::FindingDatum(search);
        let pace = if search.stage == Stage::Approach { Pace::Latch } else { Pace::Search };
        self.motor.run(configuration, pace, self.now, search.to)?;
        Ok(true)
    }

    /// Gives the step another number, and takes it for proven.
    pub(super) fn renumber(&mut self, by: i64) {
        self.motor.renumber(by);
        self.outermost = self.outermost.map(|step| step + by);
        self.proven = true;
    }

    fn stand_in_touch_off(
        &mut self,
        configuration: &Configuration,
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
            Touching::Begin { becomes } => {
                let Some(touch) = &configuration.parts().touch else { return Ok(false) };
                let direction = configuration.direction_to(touch.toward);
                let mut to = creep_end(step, direction, touch.bound);
                if self.proven {
                    let last = configuration.last_step(direction);
                    to = if direction == Direction::Forward { to.min(last) } else { to.max(last) };
                }
                self.creep(configuration, becomes, to)
            }
            Touching::Creep { becomes, contact: Some(contact), .. } if closed => {
                self.touched(becomes, contact);
                self.rest(Stop::Arrived);
                Ok(true)
            }
            Touching::Creep { to, .. } if step == to => Err(Fault::NeverTouched),
            Touching::Creep { becomes, to, .. } => {
                self.events.push(Event::FalseContact(Input::Probe));
                self.creep(configuration, becomes, to)
            }
            Touching::ByHand { becomes, mut hand, contact: Some(contact), sure: true, .. } => {
                self.touched(becomes, contact);
                hand.rebase(self.motor.step());
                self.activity = Activity::Jogging(hand);
                Ok(true)
            }
            Touching::ByHand { becomes, hand, contact, sure, .. } => {
                let hand = self.lead_by_hand(configuration, hand)?;
                self.activity =
                    Activity::TouchingOff(Touching::ByHand { becomes, hand, contact, sure, begun: true });
                Ok(false)
            }
        }
    }

    fn creep(&mut self, configuration: &Configuration, becomes: Option<i64>, to: i64) -> Result<bool, Fault> {
        self.activity = Activity::TouchingOff(Touching::Creep { becomes, to, contact: None });
        self.start(configuration, Pace::Latch, to)?;
        Ok(true)
    }

    fn touched(&mut self, becomes: Option<i64>, contact: i64) {
        let Some(becomes) = becomes else {
            self.events.push(Event::Touched { step: contact, off_by: None });
            return;
        };
        let by = becomes - contact;
        let off_by = self.motor.is_numbered().then_some(-by);
        self.renumber(by);
        self.trust = Trust::Commissioned;
        self.events.push(Event::Touched { step: becomes, off_by });
    }

    /// Begins the nudge or the travel that was asked for; after it, what comes next, or the same again
    /// where it was braked.
    fn stand_in_commissioning(&mut self, configuration: &Configuration) -> Result<bool, Fault> {
        let Trust::New(Progress::Moving { what, to, begun }) = self.trust else { return Ok(false) };
        if !begun {
            self.trust = Trust::New(Progress::Moving { what, to, begun: true });
            let pace = if what == Move::Nudge { Pace::Latch } else { Pace::Search };
            self.start(configuration, pace, to)?;
            return Ok(true);
        }
        let step = self.motor.step();
        let arrived = step == to;
        self.trust = Trust::New(match (what, arrived) {
            (Move::Nudge, false) => Progress::Nudge,
            (Move::Nudge, true) => Progress::Confirm,
            (Move::Measured, false) => Progress::Measure,
            (Move::Measured, true) => Progress::Report,
        });
        self.events.push(Event::Stopped { step, why: if arrived { Stop::Arrived } else { Stop::Braked } });
        Ok(false)
    }
}
