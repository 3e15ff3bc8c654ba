//! Whether a carriage can work as it is configured: the room each motion has, and the room it takes.
//!
//! A contact is certain only once it has settled, and the carriage brakes after that. So each search
//! takes room beyond what it looks for, and each bound must be longer than what it covers and no longer
//! than what there is. All of it is worked out here, in steps, and nowhere else.

use super::config::{DatumSearch, Paces, Parts};
use super::pace::Pace;
use super::{Direction, End};
use crate::error::{Error, Value, messages};
use crate::plan::StepLimits;

/// Why a carriage cannot work as it is configured.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Unsound {
    /// A length that is too long, or too short.
    Length { part: Part, given: u64, allowed: Allowed },
    /// The datum's switch stands within the soft limit of its end, or too near outside it; `last` is the
    /// step at which it may stand at the nearest.
    Switch { end: End, given: i64, last: i64 },
    /// The slow approach to the datum is faster than the search.
    Slow,
    /// The touch-off creeps the other way than targets are approached.
    TouchSide { given: End },
    /// Play that nothing can take up, so that no position is ever proven on the flank of the approach.
    Unprovable,
    /// A motion that takes longer than a plan can.
    Endless,
}

/// A length that a carriage is told, or that follows from what it is told.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Part {
    Brake(Pace),
    Overrun,
    Clearance,
    Search,
    Release,
    Touch,
    Nudge,
    Measured,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Allowed {
    AtLeast(u64),
    AtMost(u64),
}

impl Part {
    const fn in_steps(self) -> &'static str {
        match self {
            Self::Brake(Pace::Travel | Pace::At(_)) => "braking room of a travel in steps",
            Self::Brake(Pace::Jog) => "braking room of a jog in steps",
            Self::Brake(Pace::Search) => "braking room of the search in steps",
            Self::Brake(Pace::Latch) => "braking room of the slow approach in steps",
            Self::Overrun => "overrun in steps",
            Self::Clearance => "clearance in steps",
            Self::Search => "search bound in steps",
            Self::Release => "release bound in steps",
            Self::Touch => "touch-off bound in steps",
            Self::Nudge => "nudge in steps",
            Self::Measured => "measured travel in steps",
        }
    }

    /// What to do if it is too long, or too short.
    pub(super) const fn remedy(self, allowed: Allowed) -> &'static str {
        use Allowed::{AtLeast, AtMost};
        match (self, allowed) {
            (Self::Brake(_), _) => {
                "lower the speed or raise the deceleration; a stop must fit between the soft limits"
            }
            (Self::Overrun, _) => {
                "measure it again, or set the soft limits further apart; it must fit between them twice"
            }
            (Self::Clearance, AtLeast(_)) => "clear the switch by the room that settling and braking take",
            (Self::Clearance, AtMost(_)) => {
                "clear the switch by less; the way off it and back must fit in the travel"
            }
            (Self::Search, AtLeast(_)) => "search as far as from the other soft limit to the switch",
            (Self::Search, AtMost(_)) => {
                "stop the search sooner; twice the way to the switch is enough, and a broken switch is never found"
            }
            (Self::Release, AtLeast(_)) => "allow the room to run past the switch and to clear it again",
            (Self::Touch, AtLeast(_)) => "allow the room that settling and braking take",
            (Self::Measured, AtLeast(_)) => "travel further than the backlash",
            (Self::Release | Self::Touch | Self::Nudge | Self::Measured, _) => {
                "keep it within the soft limits"
            }
        }
    }
}

impl From<Unsound> for Error {
    /// In steps.
    fn from(unsound: Unsound) -> Self {
        let out_of_range = |subject| messages::VALUE.error().of(subject);
        match unsound {
            Unsound::Length { part, given, allowed } => {
                let error = out_of_range(part.in_steps()).given(Value::Integer(given.into()));
                match allowed {
                    Allowed::AtLeast(least) => error.at_least(Value::Integer(least.into())),
                    Allowed::AtMost(most) => error.at_most(Value::Integer(most.into())),
                }
                .remedy(part.remedy(allowed))
            }
            Unsound::Switch { given, last, .. } => {
                let error = out_of_range("step of the datum's switch").given(Value::Integer(given.into()));
                let last_value = Value::Integer(last.into());
                if given < last { error.at_least(last_value) } else { error.at_most(last_value) }
                    .remedy(SWITCH_OUTSIDE)
            }
            Unsound::Slow => out_of_range("slow approach faster than the search").remedy(SLOW_BELOW_FAST),
            Unsound::TouchSide { given } => messages::TOUCH_SIDE.error().given(Value::Word(given.name())),
            Unsound::Unprovable => messages::UNPROVABLE.error(),
            Unsound::Endless => messages::ENDLESS.error(),
        }
    }
}

pub(super) const SWITCH_OUTSIDE: &str =
    "move the switch out, or the soft limit in, by the room that settling and braking take in the search";
pub(super) const SLOW_BELOW_FAST: &str = "approach the switch no faster than it is searched for";

impl Parts {
    /// Whether each motion has the room it takes.
    pub(super) fn check_rooms(&self) -> Result<(), Unsound> {
        let room = self.steps.0.abs_diff(self.steps.1);
        let paces = &self.paces;
        for (pace, limits) in [
            (Pace::Travel, &paces.travel),
            (Pace::Jog, &paces.jog),
            (Pace::Search, &paces.fast),
            (Pace::Latch, &paces.slow),
        ] {
            within(Part::Brake(pace), limits.braking_room(), 0, room)?;
        }
        let overrun = self.approach.map_or(0, |(_, overrun)| overrun);
        within(Part::Overrun, overrun, 0, room / 2)?;
        if overrun > 0 && self.datum.is_none() && self.touch.is_none() && self.dial.is_none() && !self.rocker
        {
            return Err(Unsound::Unprovable);
        }
        if let Some(datum) = &self.datum {
            self.check_datum(datum, room)?;
        }
        if self.switches.iter().any(Option::is_some) {
            let least = self.release_need();
            within(Part::Release, self.release_bound, least, room.max(least))?;
        }
        if let Some(touch) = &self.touch {
            if self.approach.is_some_and(|(from, _)| from == touch.toward) {
                return Err(Unsound::TouchSide { given: touch.toward });
            }
            within(Part::Touch, touch.bound, self.run_on(&paces.slow), room)?;
        }
        within(Part::Nudge, self.nudge, 1, room)?;
        within(Part::Measured, self.measured, overrun + 1, room)?;
        self.check_durations(room)
    }

    fn check_datum(&self, datum: &DatumSearch, room: u64) -> Result<(), Unsound> {
        let Paces { fast, slow, .. } = &self.paces;
        if slow.rates().speed > fast.rates().speed {
            return Err(Unsound::Slow);
        }
        let direction = datum.end.direction(self.trend);
        let limit = if direction == Direction::Forward { self.steps.1 } else { self.steps.0 };
        let run_on = self.run_on(fast);
        let need = run_on.max(1).cast_signed();
        let beyond = (datum.step - limit) * direction.sign();
        if beyond < need {
            let last = limit + direction.sign() * need;
            return Err(Unsound::Switch { end: datum.end, given: datum.step, last });
        }
        // From the other soft limit to the switch.
        let span = room + beyond.unsigned_abs();
        let least = self.run_on(slow).max(1);
        within(Part::Clearance, datum.clearance, least, least.max(span.saturating_sub(run_on) / 2))?;
        within(Part::Search, datum.bound, span, 2 * span)
    }

    /// Past a switch and off it again, at the pace of the search and led by hand.
    fn release_need(&self) -> u64 {
        let hysteresis = self.datum.map_or(1, |datum| datum.clearance);
        let by_search = self.datum.map_or(0, |_| 2 * self.paces.fast.braking_room());
        let by_hand = if self.rocker || self.dial.is_some() { 2 * self.run_on(&self.paces.jog) } else { 0 };
        by_search.max(by_hand) + hysteresis
    }

    /// How far the carriage goes on after a contact changes: until that has settled, and to brake then.
    fn run_on(&self, pace: &StepLimits) -> u64 {
        let speed = pace.rates().speed;
        let steps = u128::from(*speed.numer()) * u128::from(self.contact_settle);
        let second = u128::from(*speed.denom()) * u128::from(pace.timer_hz());
        let settling = u64::try_from(steps.div_ceil(second)).unwrap_or(u64::MAX >> 2).min(FAR);
        settling + pace.braking_room()
    }

    /// Whether the longest motion at each pace can be planned.
    fn check_durations(&self, room: u64) -> Result<(), Unsound> {
        let Paces { travel, jog, fast, slow } = &self.paces;
        let searched = self.datum.map_or(0, |datum| datum.bound);
        let crept = self.touch.map_or(0, |touch| touch.bound);
        for (pace, steps) in [
            (travel, room),
            (jog, self.jog_bound),
            (fast, searched.max(self.release_bound)),
            (slow, crept.max(self.nudge).max(self.measured)),
        ] {
            if pace.profile(steps).is_err() {
                return Err(Unsound::Endless);
            }
        }
        Ok(())
    }
}

/// Further than any axis reaches.
const FAR: u64 = 1 << 42;

fn within(part: Part, given: u64, least: u64, most: u64) -> Result<(), Unsound> {
    let refuse = |allowed| Err(Unsound::Length { part, given, allowed });
    if given < least {
        refuse(Allowed::AtLeast(least))
    } else if given > most {
        refuse(Allowed::AtMost(most))
    } else {
        Ok(())
    }
}
