//! What stops the carriage whatever it is doing, and what contacts mean for what it does.

use super::activity::Activity;
use super::commission::{CommissioningProgress, Progress};
use super::contact::Contact;
use super::event::{Event, Stop};
use super::live::{Changes, Live};
use super::touch::Touching;
use super::{CarriageConfig, End, Fault};

impl Live {
    /// The drive's own fault comes before any other, and is told whatever is latched.
    pub(super) fn guard_drive(&self) -> Result<(), Fault> {
        let told = matches!(self.activity, Activity::Faulted { fault: Fault::Drive, .. });
        if self.inputs.drive_fault && !told { Err(Fault::Drive) } else { Ok(()) }
    }

    pub(super) fn guard(&mut self, configuration: &CarriageConfig, changes: &Changes) -> Result<(), Fault> {
        if matches!(self.activity, Activity::Faulted { .. }) {
            return Ok(());
        }
        self.guard_enable(configuration);
        let by_hand_alone = matches!(self.trust, CommissioningProgress::New(Progress::Inputs { .. }));
        if !by_hand_alone && self.switches.iter().all(Contact::is_pressed) {
            return Err(Fault::BothPressed);
        }
        End::BOTH.into_iter().try_for_each(|end| self.guard_switch(configuration, changes, end))
    }

    /// Letting the enable input go stops every motion that no hand leads.
    fn guard_enable(&mut self, configuration: &CarriageConfig) {
        if self.inputs.enable {
            return;
        }
        match self.activity {
            Activity::Travelling(_)
            | Activity::FindingDatum(_)
            | Activity::TouchingOff(Touching::Begin { .. } | Touching::Creep { .. }) => {
                self.motor.brake(configuration);
                self.activity = Activity::Braking { why: Stop::EnableReleased, release: false };
            }
            Activity::Commissioning => self.brake_commissioning(configuration),
            Activity::Resting
            | Activity::Braking { .. }
            | Activity::Jogging(_)
            | Activity::TouchingOff(Touching::ByHand { .. })
            | Activity::Faulted { .. } => {}
        }
    }

    /// A motion of commissioning that was not begun will not be.
    pub(super) fn brake_commissioning(&mut self, configuration: &CarriageConfig) {
        self.motor.brake(configuration);
        if let CommissioningProgress::New(Progress::Moving { begun, .. }) = &mut self.trust {
            *begun = true;
        }
    }

    fn guard_switch(
        &mut self,
        configuration: &CarriageConfig,
        changes: &Changes,
        end: End,
    ) -> Result<(), Fault> {
        let contact = self.switches[end as usize];
        let Some(moves) = self.motor.moves().filter(|_| contact.is_pressed()) else { return Ok(()) };
        let nears = configuration.end_toward(moves) == end;
        if !changes.switches[end as usize].settled {
            let released = nears
                || self.outermost[end as usize].abs_diff(self.motor.step())
                    <= configuration.parts().release_bound;
            return if released { Ok(()) } else { Err(Fault::NeverReleased(end)) };
        }
        if let (Activity::FindingDatum(_), Some(datum)) = (&self.activity, &configuration.parts().datum) {
            return match (datum.end == end, nears) {
                (true, true) => Ok(()),
                (true, false) => Err(Fault::PressedMovingAway(end)),
                (false, _) => Err(Fault::WrongSwitch(end)),
            };
        }
        if !nears {
            return Err(Fault::PressedMovingAway(end));
        }
        if self.proven || !(self.activity.is_by_hand() || matches!(self.activity, Activity::Braking { .. })) {
            return Err(Fault::SwitchReached(end));
        }
        if self.activity.is_by_hand() {
            self.events.push(Event::AtSwitch(end));
            self.motor.brake(configuration);
        }
        Ok(())
    }

    /// What the readings mean for what the carriage does.
    pub(super) fn react(&mut self, configuration: &CarriageConfig, changes: &Changes) -> Result<(), Fault> {
        match self.activity {
            Activity::FindingDatum(mut search) => {
                let Some(datum) = &configuration.parts().datum else { return Ok(()) };
                let first = changes.switches[datum.end as usize].first;
                let pressed = self.switch(datum.end).reads_pressed();
                if first && search.stage.awaits() == Some(pressed) {
                    search.contact(self.motor.step());
                    self.motor.brake(configuration);
                    self.activity = Activity::FindingDatum(search);
                }
            }
            Activity::TouchingOff(mut touching) => {
                if changes.probe.first && self.probe.reads_pressed() {
                    touching.first_contact(self.motor.step(), self.is_loaded(configuration));
                    if matches!(touching, Touching::Creep { .. }) {
                        self.motor.brake(configuration);
                    }
                }
                if let Touching::ByHand { contact_step, hand, contact, mut sure, begun: true, stepped } =
                    touching
                {
                    if changes.probe.settled && self.probe.is_pressed() && !sure {
                        let step = contact.ok_or(Fault::ProbeClosed)?;
                        sure = true;
                        self.events.push(Event::Contact { step });
                    }
                    let hand = self.lead_by_hand(configuration, hand)?;
                    touching = Touching::ByHand { contact_step, hand, contact, sure, begun: true, stepped };
                }
                self.activity = Activity::TouchingOff(touching);
            }
            Activity::Jogging(hand) => {
                self.activity = Activity::Jogging(self.lead_by_hand(configuration, hand)?);
            }
            Activity::Commissioning => self.watch_inputs(configuration, changes),
            Activity::Resting
            | Activity::Travelling(_)
            | Activity::Braking { .. }
            | Activity::Faulted { .. } => {}
        }
        Ok(())
    }
}
