//! What a person or a program may ask for, and when it is refused.

use num_rational::Ratio;

use super::activity::{Activity, Stopping};
use super::commission::{CommissioningProgress, Move, Progress};
use super::config::CarriageConfig;
use super::contact::Contact;
use super::datum::Search;
use super::event::{Event, Stop, Unproven};
use super::hand::Hand;
use super::live::Live;
use super::pace::Pace;
use super::touch::Touching;
use super::travel::{Travel, before, next_leg};
use super::{Detent, Direction, End, Fault, Refusal, TIME_MAX, TouchMode};
use crate::bounds::STEP_MAX;

type Granted = Result<(), Refusal>;

/// What is added to a step may be as far again as steps go.
const FARTHEST: u64 = 2 * STEP_MAX.unsigned_abs();

impl Live {
    /// Refuses what a fault, unread inputs or a machine that is new never allow.
    fn refuse_unready(&self) -> Granted {
        if matches!(self.activity, Activity::Faulted { .. }) {
            return Err(Refusal::Faulted);
        }
        if !self.ready {
            return Err(Refusal::InputsUnsettled);
        }
        match self.trust {
            CommissioningProgress::New(_) => Err(Refusal::NotCommissioned),
            CommissioningProgress::Checked | CommissioningProgress::Commissioned => Ok(()),
        }
    }

    /// Refuses unless it rests, or stands in the hand's lead.
    fn refuse_busy(&self) -> Granted {
        match self.activity {
            Activity::Resting => Ok(()),
            Activity::Jogging(_) if self.motor.stands() => Ok(()),
            _ => Err(Refusal::Busy(self.activity.state())),
        }
    }

    fn refuse_without_enable(&self) -> Granted {
        if self.is_enabled() { Ok(()) } else { Err(Refusal::EnableNotHeld) }
    }

    /// On a new machine the datum comes before any other proof, if it has one.
    fn refuse_before_datum(&self, configuration: &CarriageConfig) -> Granted {
        if self.trust == CommissioningProgress::Checked && configuration.parts().datum.is_some() {
            Err(Refusal::DatumFirst)
        } else {
            Ok(())
        }
    }

    fn refuse_beyond(configuration: &CarriageConfig, step: i64) -> Granted {
        let (lowest, highest) = configuration.parts().steps;
        let last = step.clamp(lowest, highest);
        if step == last { Ok(()) } else { Err(Refusal::BeyondLimit { step, last }) }
    }

    /// Whether the play is taken up for certain toward the side from which targets are approached.
    pub(super) fn is_loaded(&self, configuration: &CarriageConfig) -> bool {
        configuration.approach().is_none_or(|side| self.motor.taken_up() >= side.overrun)
    }

    fn refuse_blocked(&self, configuration: &CarriageConfig, direction: Direction) -> Granted {
        self.blocking_switch(configuration, direction).map_or(Ok(()), |end| Err(Refusal::SwitchPressed(end)))
    }

    pub(super) fn go_to(&mut self, configuration: &CarriageConfig, target: i64) -> Granted {
        self.refuse_unready()?;
        if !matches!(self.activity, Activity::Travelling(_) | Activity::Braking { release: false, .. }) {
            self.refuse_busy()?;
        }
        self.refuse_before_datum(configuration)?;
        if !self.proven {
            return Err(Refusal::PositionUnproven);
        }
        self.refuse_without_enable()?;
        Self::refuse_beyond(configuration, target)?;
        let leg = self.leg_to(configuration, target);
        if let Some(leg) = leg {
            Self::refuse_beyond(configuration, leg)?;
            if let Some(direction) = Direction::between(self.motor.step(), leg) {
                self.refuse_blocked(configuration, direction)?;
            }
        }
        if !self.motor.stands() && !leg.is_some_and(|leg| self.motor.land(configuration, leg)) {
            self.motor.brake(configuration);
        }
        self.activity = Activity::Travelling(Travel { target, pace: Pace::Travel });
        Ok(())
    }

    pub(super) fn go_to_at(
        &mut self,
        configuration: &CarriageConfig,
        target: i64,
        steps_per_second: Ratio<u64>,
    ) -> Granted {
        self.refuse_unready()?;
        self.refuse_busy()?;
        let overrun = configuration.approach().map_or(0, |side| side.overrun);
        let longest = self.motor.step().abs_diff(target).saturating_add(overrun).max(1);
        let slower = configuration.parts().paces.travel.slower(steps_per_second);
        // So slow that its ticks cannot be counted is refused now, and no fault on the way.
        slower.and_then(|limits| limits.profile(longest)).map_err(|_| Refusal::OutOfRange)?;
        self.go_to(configuration, target)?;
        self.activity = Activity::Travelling(Travel { target, pace: Pace::At(steps_per_second) });
        Ok(())
    }

    /// Where the motion that is under way, or begins, must end on the way to `target`. One that has
    /// not given an edge yet changes nothing: it is given up where it does not serve.
    fn leg_to(&self, configuration: &CarriageConfig, target: i64) -> Option<i64> {
        let side = configuration.approach();
        match (self.motor.runs(), side) {
            (None, _) => next_leg(side, self.motor.step(), self.motor.taken_up(), target),
            (Some(_), None) => Some(target),
            (Some(runs), Some(side)) => {
                // Moving on, it arrives the right way, if the play is taken up until then; it may also
                // have to stop past the target and come back.
                let ahead = Direction::between(self.motor.brakes_on(configuration), target);
                let taken_up = self.motor.taken_up() + target.abs_diff(self.motor.step());
                let serves = runs == side.direction && ahead == Some(runs) && taken_up >= side.overrun;
                Some(if serves { target } else { before(side, target) })
            }
        }
    }

    pub(super) fn go_by(&mut self, configuration: &CarriageConfig, steps: i64) -> Granted {
        let base = match self.activity {
            Activity::Travelling(travel) => travel.target,
            Activity::Braking { .. } => {
                return Err(self.refuse_unready().err().unwrap_or(Refusal::Busy(self.activity.state())));
            }
            _ => self.motor.step(),
        };
        let target = base.checked_add(steps).filter(|target| target.unsigned_abs() <= FARTHEST);
        match target {
            Some(target) => self.go_to(configuration, target),
            None => Err(self.refuse_unready().err().unwrap_or(Refusal::OutOfRange)),
        }
    }

    pub(super) fn travel_to_end(&mut self, configuration: &CarriageConfig, end: End) -> Granted {
        self.go_to(configuration, configuration.last_step(configuration.direction_to(end)))
    }

    pub(super) fn jog(&mut self, configuration: &CarriageConfig, detent: Option<Detent>) -> Granted {
        self.refuse_unready()?;
        self.refuse_busy()?;
        let parts = configuration.parts();
        if (detent.is_some() && parts.dial.is_none()) || (detent.is_none() && !parts.rocker) {
            return Err(Refusal::NotFitted);
        }
        self.motor.ask_for_drive();
        self.activity = Activity::Jogging(Hand::new(detent, self.motor.step(), self.inputs.dial));
        Ok(())
    }

    pub(super) fn hold(&mut self) -> Granted {
        self.refuse_unready()?;
        self.refuse_busy()?;
        self.motor.ask_for_drive();
        self.activity = Activity::Resting;
        Ok(())
    }

    pub(super) fn find_datum(&mut self, configuration: &CarriageConfig) -> Granted {
        self.refuse_unready()?;
        self.refuse_busy()?;
        if configuration.parts().datum.is_none() {
            return Err(Refusal::NotFitted);
        }
        self.refuse_without_enable()?;
        self.activity = Activity::FindingDatum(Search::begin(self.motor.step()));
        self.unprove(Unproven::Searching);
        Ok(())
    }

    pub(super) fn touch_off(
        &mut self,
        configuration: &CarriageConfig,
        mode: TouchMode,
        contact_step: Option<i64>,
    ) -> Granted {
        self.refuse_unready()?;
        self.refuse_busy()?;
        let parts = configuration.parts();
        let Some(search) = &parts.touch else { return Err(Refusal::NotFitted) };
        self.refuse_before_datum(configuration)?;
        if contact_step.is_none() && !self.proven {
            return Err(Refusal::PositionUnproven);
        }
        contact_step.map_or(Ok(()), |step| Self::refuse_beyond(configuration, step))?;
        let direction = configuration.direction_to(search.toward);
        let touching = match mode {
            TouchMode::Stop => {
                self.refuse_without_enable()?;
                self.refuse_blocked(configuration, direction)?;
                if self.proven {
                    // From outside the other limit it creeps back within them.
                    let (step, last) =
                        (self.motor.step() + direction.sign(), configuration.last_step(direction));
                    if Direction::between(last, step) == Some(direction) {
                        return Err(Refusal::BeyondLimit { step, last });
                    }
                }
                Touching::Begin { contact_step }
            }
            TouchMode::Signal(detent) => {
                if (detent.is_some() && parts.dial.is_none()) || (detent.is_none() && !parts.rocker) {
                    return Err(Refusal::NotFitted);
                }
                self.motor.ask_for_drive();
                let hand = Hand::new(detent, self.motor.step(), self.inputs.dial);
                Touching::ByHand {
                    contact_step,
                    hand,
                    contact: None,
                    sure: false,
                    begun: false,
                    stepped: false,
                }
            }
        };
        self.activity = Activity::TouchingOff(touching);
        Ok(())
    }

    pub(super) fn confirm_position(&mut self, configuration: &CarriageConfig, step: i64) -> Granted {
        self.refuse_unready()?;
        self.refuse_busy()?;
        self.refuse_before_datum(configuration)?;
        if !self.motor.is_on() {
            return Err(Refusal::DriveOff);
        }
        if !self.motor.is_settled(self.now) {
            return Err(Refusal::DriveSettling);
        }
        if !self.is_loaded(configuration) {
            return Err(Refusal::PlayNotTakenUp);
        }
        Self::refuse_beyond(configuration, step)?;
        self.renumber(step - self.motor.step());
        self.trust = CommissioningProgress::Commissioned;
        if let Activity::Jogging(hand) = &mut self.activity {
            hand.rebase(step);
        }
        Ok(())
    }

    pub(super) fn mark_unproven(&mut self) -> Granted {
        self.refuse_busy()?;
        self.unprove(Unproven::MarkedUnproven);
        Ok(())
    }

    pub(super) fn brake(&mut self, configuration: &CarriageConfig, release: bool) {
        match self.activity {
            Activity::Resting if !release => {}
            // With the drive off there is nothing left to stop, and what was asked for is taken back.
            Activity::Resting if !self.motor.is_on() => self.motor.withdraw(),
            Activity::Commissioning => {
                self.brake_commissioning(configuration);
                if release && self.motor.stands() {
                    self.switch_off(configuration);
                } else if release {
                    self.activity = Activity::Braking { why: Stop::Braked, release };
                }
            }
            // A brake that releases still does so when it is asked to brake again.
            Activity::Braking { why, release: releasing } => {
                self.activity = Activity::Braking { why, release: release || releasing };
            }
            Activity::Faulted { fault, .. } => {
                self.motor.brake(configuration);
                if release && self.motor.stands() {
                    self.switch_off(configuration);
                } else if release {
                    self.activity = Activity::Faulted { fault, stops: Some(Stopping::Releasing) };
                }
            }
            _ => {
                self.motor.brake(configuration);
                self.activity = Activity::Braking { why: Stop::Braked, release };
            }
        }
    }

    pub(super) fn release(&mut self, configuration: &CarriageConfig) {
        self.brake_commissioning(configuration);
        self.switch_off(configuration);
        if !matches!(self.activity, Activity::Faulted { .. } | Activity::Resting | Activity::Commissioning) {
            self.rest(Stop::Braked);
        }
    }

    pub(super) fn clear_fault(&mut self) -> Granted {
        let Activity::Faulted { fault, .. } = self.activity else { return Err(Refusal::NotFaulted) };
        if !self.ready {
            return Err(Refusal::InputsUnsettled);
        }
        if !self.motor.stands() {
            return Err(Refusal::Busy(self.activity.state()));
        }
        let both_pressed = self.switches.iter().all(Contact::is_pressed);
        let persists = match fault {
            Fault::BothPressed => both_pressed,
            Fault::TimeTooLarge => self.now > TIME_MAX,
            _ => false,
        };
        if self.inputs.drive_fault || persists {
            return Err(Refusal::FaultPersists);
        }
        // Whoever clears it takes it on: a switch still pressed gets its room anew.
        self.outermost = [self.motor.step(); 2];
        self.activity = self.at_rest();
        if let CommissioningProgress::New(Progress::Moving { what, .. }) = self.trust {
            self.trust = CommissioningProgress::New(match what {
                Move::Nudge => Progress::Nudge,
                Move::Measured => Progress::Measure,
            });
        }
        self.events.push(Event::Cleared);
        Ok(())
    }
}

/// Commissioning.
impl Live {
    fn in_turn(&self, progress: Progress) -> Granted {
        if matches!(self.activity, Activity::Faulted { .. }) {
            return Err(Refusal::Faulted);
        }
        if !self.ready {
            return Err(Refusal::InputsUnsettled);
        }
        if matches!(self.activity, Activity::Commissioning)
            && self.trust == CommissioningProgress::New(progress)
        {
            Ok(())
        } else {
            Err(Refusal::OutOfTurn)
        }
    }

    pub(super) fn commission_motion(&mut self, configuration: &CarriageConfig, what: Move) -> Granted {
        let (progress, steps) = match what {
            Move::Nudge => (Progress::Nudge, configuration.parts().nudge),
            Move::Measured => (Progress::Measure, configuration.parts().measured),
        };
        self.in_turn(progress)?;
        self.refuse_without_enable()?;
        let direction = configuration.direction_to(End::High);
        self.refuse_blocked(configuration, direction)?;
        let to = self.motor.step() + direction.sign() * steps.cast_signed();
        self.trust = CommissioningProgress::New(Progress::Moving { what, to, begun: false });
        Ok(())
    }

    pub(super) fn confirm_direction(&mut self, went_toward_high: bool) -> Granted {
        self.in_turn(Progress::Confirm)?;
        self.trust =
            CommissioningProgress::New(if went_toward_high { Progress::Measure } else { Progress::Nudge });
        Ok(())
    }

    pub(super) fn report_travel(&mut self, agrees: bool) -> Granted {
        self.in_turn(Progress::Report)?;
        self.trust = if agrees {
            CommissioningProgress::Checked
        } else {
            CommissioningProgress::New(Progress::Measure)
        };
        self.activity = self.at_rest();
        Ok(())
    }
}
