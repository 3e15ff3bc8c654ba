//! Led by hand: the dial and the held rocker.
//!
//! The rocker runs the carriage while it is held and brakes it when it is let go; it must have been
//! seen at rest first. The dial points to a mark, and the carriage follows. The mark is never further
//! ahead than the backlog allows: detents beyond it are dropped, and said to be. When no detent has
//! come for the time in which a hand counts as stopped, the dial falls back to the nearest mark on
//! which a brake begun then can end. While the rocker leads, detents are dropped; when it is let go
//! the marks are counted from where the carriage comes to stand.

use super::config::CarriageConfig;
use super::dial::Detents;
use super::event::{Event, Stop};
use super::live::Live;
use super::marks::Marks;
use super::pace::Pace;
use super::{Detent, Direction, End, Fault};

#[derive(Clone, Copy, Debug)]
pub(super) struct Hand {
    marks: Option<Marks>,
    detents: Detents,
    rocker: Rocker,
    /// The motion under way, or the last, is the rocker's.
    by_rocker: bool,
    /// The step the motion was last led to by the dial.
    led_to: i64,
    /// When the last detent came, until the hand has stopped.
    turned_at: Option<u64>,
    moving: bool,
}

/// What the rocker has shown.
#[derive(Clone, Copy, Debug)]
enum Rocker {
    /// Held since the hand took over; that leads nothing.
    NotSeenAtRest,
    AtRest,
    /// Held toward an end; `spent` once it has had its motion.
    Held {
        end: End,
        spent: bool,
    },
}

impl Hand {
    pub(super) fn new(detent: Option<Detent>, step: i64, count: u32) -> Self {
        Self {
            marks: detent.map(|detent| Marks::from(step, detent)),
            detents: Detents::at(count),
            rocker: Rocker::NotSeenAtRest,
            by_rocker: false,
            led_to: step,
            turned_at: None,
            moving: false,
        }
    }

    /// Counts the marks from `step`.
    pub(super) fn rebase(&mut self, step: i64) {
        self.marks = self.marks.map(|marks| Marks::from(step, marks.detent()));
        self.led_to = step;
        self.turned_at = None;
    }

    /// When the hand counts as stopped.
    pub(super) fn due(&self, configuration: &CarriageConfig) -> Option<u64> {
        Some(self.turned_at?.saturating_add(configuration.parts().dial?.hand_stops))
    }
}

impl Live {
    /// One look at dial and rocker, and what follows for the motor.
    pub(super) fn lead_by_hand(
        &mut self,
        configuration: &CarriageConfig,
        mut hand: Hand,
    ) -> Result<Hand, Fault> {
        if self.motor.stands() && hand.moving {
            hand.moving = false;
            self.end_of_hand_motion(configuration, &mut hand);
        }
        let turned = self.read_dial(configuration, &mut hand);
        hand.rocker = match (self.inputs.rocker.filter(|_| configuration.parts().rocker), hand.rocker) {
            (None, _) => Rocker::AtRest,
            (Some(now), Rocker::Held { end, spent }) if now == end => Rocker::Held { end, spent },
            (Some(_), Rocker::NotSeenAtRest) => Rocker::NotSeenAtRest,
            (Some(end), _) => Rocker::Held { end, spent: false },
        };
        if let Rocker::Held { end, spent } = hand.rocker {
            // Nothing waits for the hand on the dial any more, so no poll is asked for it.
            hand.turned_at = None;
            self.drop_detents(turned.unsigned_abs());
            if !spent {
                self.lead_by_rocker(configuration, &mut hand, end)?;
            }
        } else if hand.by_rocker {
            self.drop_detents(turned.unsigned_abs());
            self.motor.brake(configuration);
            if self.motor.stands() {
                hand.by_rocker = false;
                hand.rebase(self.motor.step());
            }
        } else if hand.marks.is_some() {
            self.lead_by_dial(configuration, &mut hand, turned)?;
        }
        hand.moving |= !self.motor.stands();
        Ok(hand)
    }

    fn end_of_hand_motion(&mut self, configuration: &CarriageConfig, hand: &mut Hand) {
        let step = self.motor.step();
        self.events.push(Event::Stopped { step, why: Stop::Arrived });
        if self.blocking_switch(configuration, self.motor.facing()).is_some() {
            hand.rebase(step);
        }
        if hand.by_rocker && self.proven && step == configuration.last_step(self.motor.facing()) {
            self.events.push(Event::AtLimit(configuration.end_toward(self.motor.facing())));
        }
    }

    fn read_dial(&mut self, configuration: &CarriageConfig, hand: &mut Hand) -> i64 {
        let (Some(dial), Some(_)) = (configuration.parts().dial, hand.marks) else { return 0 };
        hand.detents.read(self.inputs.dial, dial.counts_per_detent, dial.counts_at_once).unwrap_or_else(
            |_jumped| {
                self.events.push(Event::DialJumped);
                0
            },
        )
    }

    fn drop_detents(&mut self, detents: u64) {
        if detents > 0 {
            self.events.push(Event::DetentsDropped(u32::try_from(detents).unwrap_or(u32::MAX)));
        }
    }

    fn lead_by_rocker(
        &mut self,
        configuration: &CarriageConfig,
        hand: &mut Hand,
        end: End,
    ) -> Result<(), Fault> {
        let direction = configuration.direction_to(end);
        self.motor.brake(configuration);
        if !self.motor.stands() {
            return Ok(());
        }
        hand.rocker = Rocker::Held { end, spent: true };
        hand.by_rocker = true;
        if self.blocking_switch(configuration, direction).is_some() {
            self.events.push(Event::AtSwitch(end));
            return Ok(());
        }
        let to = self.farthest(configuration, direction);
        if Direction::between(self.motor.step(), to) != Some(direction) {
            self.events.push(Event::AtLimit(end));
            return Ok(());
        }
        self.motor.run(configuration, Pace::Jog, self.now, to)
    }

    fn lead_by_dial(
        &mut self,
        configuration: &CarriageConfig,
        hand: &mut Hand,
        turned: i64,
    ) -> Result<(), Fault> {
        let (Some(dial), Some(mut marks)) = (configuration.parts().dial, hand.marks) else { return Ok(()) };
        let step = self.motor.step();
        if turned != 0 {
            hand.turned_at = Some(self.now);
            let backlog = dial.backlog.max(marks.detent().longest());
            let (lowest, highest) = self.allowed_by_hand(configuration);
            let dropped = marks
                .turn(turned, |mark| mark.abs_diff(step) <= backlog && (lowest..=highest).contains(&mark));
            self.drop_detents(dropped);
            let wanted = marks.after(turned.signum());
            if dropped > 0 && !(lowest..=highest).contains(&wanted) {
                let direction = if wanted > highest { Direction::Forward } else { Direction::Backward };
                self.events.push(Event::AtLimit(configuration.end_toward(direction)));
            }
        }
        if hand.turned_at.is_some_and(|at| self.now - at >= dial.hand_stops) {
            hand.turned_at = None;
            if self.motor.moves().is_some() && self.motor.moves() == Direction::between(step, marks.step()) {
                let dropped = marks.fall_back(step, self.motor.brakes_on(configuration));
                self.drop_detents(dropped);
            }
        }
        hand.marks = Some(marks);
        self.follow(configuration, hand, marks.step())
    }

    fn follow(&mut self, configuration: &CarriageConfig, hand: &mut Hand, to: i64) -> Result<(), Fault> {
        if !self.motor.stands() {
            if to != hand.led_to {
                hand.led_to = to;
                if !self.motor.land(configuration, to) {
                    self.motor.brake(configuration);
                }
            }
            return Ok(());
        }
        let Some(direction) = Direction::between(self.motor.step(), to) else { return Ok(()) };
        let (lowest, highest) = self.allowed_by_hand(configuration);
        if !(lowest..=highest).contains(&to) {
            // A mark set on the way back within the limits, which the brake then passed.
            self.events.push(Event::AtLimit(configuration.end_toward(direction)));
            hand.rebase(self.motor.step());
            return Ok(());
        }
        if let Some(end) = self.blocking_switch(configuration, direction) {
            self.events.push(Event::AtSwitch(end));
            hand.rebase(self.motor.step());
            return Ok(());
        }
        hand.led_to = to;
        let far = self.farthest(configuration, direction);
        self.motor.run_on(configuration, Pace::Jog, self.now, to, far)
    }

    /// The farthest a hand may lead it.
    fn farthest(&self, configuration: &CarriageConfig, direction: Direction) -> i64 {
        if self.proven {
            configuration.last_step(direction)
        } else {
            self.motor.step() + direction.sign() * configuration.parts().jog_bound.cast_signed()
        }
    }

    /// Between which steps a hand may lead it: the soft limits, once proven, and on the way back within
    /// them no further out than a brake would end.
    fn allowed_by_hand(&self, configuration: &CarriageConfig) -> (i64, i64) {
        let (lowest, highest) = configuration.parts().steps;
        if self.proven {
            let rest = self.motor.brakes_on(configuration);
            (lowest.min(rest), highest.max(rest))
        } else {
            (i64::MIN, i64::MAX)
        }
    }
}
