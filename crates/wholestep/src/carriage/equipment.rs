//! What is fitted to an axis, with units; and the configuration that follows from it.

use super::configuration::{Configuration, DatumSearch, Dial, Paces, Parts, TouchSearch};
use super::{End, Wiring};
use crate::axis::{Approach, Axis};
use crate::error::{Error, ErrorKind, Result};
use crate::exact::{Exact, Rounding};
use crate::measure::{Measure, Speed, Time};
use crate::mechanism::Mechanism;
use crate::plan::{Planner, PulseTiming};

/// What is fitted to an axis: switches, probe, dial and rocker, and how they are used.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Equipment<Q: Measure> {
    /// The switch at the low end, where there is one.
    pub low_switch: Option<Wiring>,
    /// The switch at the high end, where there is one.
    pub high_switch: Option<Wiring>,
    /// How long a contact must read the same to have settled; longer than its maker's bounce.
    pub contact_settle: Time,
    /// How long the drive takes from being switched on until it holds.
    pub drive_settle: Time,
    /// How the datum is found, where there is a switch for it.
    pub home: Option<Home<Q>>,
    /// How far the carriage may go until a switch it moves away from must be released.
    pub release_within: Q,
    /// The probe, where there is one.
    pub touch_off: Option<TouchOff<Q>>,
    /// The dial, where there is one.
    pub dial: Option<DialFitting<Q>>,
    /// Whether there is a rocker.
    pub rocker: bool,
    /// The highest speed of a motion led by hand.
    pub jog_speed: Speed<Q>,
    /// How far the nudge goes whose direction a person confirms.
    pub nudge: Q,
    /// How far the travel goes that a person measures while commissioning.
    pub measured_travel: Q,
    /// Whether the screw holds the load when the drive is released.
    pub self_holding: bool,
}

/// How the datum is found.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Home<Q: Measure> {
    /// The end at which its switch stands.
    pub end: End,
    /// Where the switch is met, measured from the datum: the offset.
    pub switch: Q,
    /// The speed of the search.
    pub search: Speed<Q>,
    /// The speed of the last approach, at which the contact is latched.
    pub latch: Speed<Q>,
    /// How far the carriage clears the switch, more than its hysteresis.
    pub clearance: Q,
    /// How far the carriage may go in search of the switch.
    pub search_within: Q,
}

/// How a touch-off goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TouchOff<Q: Measure> {
    /// How the probe is wired.
    pub probe: Wiring,
    /// The end toward which the carriage creeps.
    pub toward: End,
    /// How far it may creep.
    pub within: Q,
}

/// The dial.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct DialFitting<Q: Measure> {
    /// Counts from one detent to the next.
    pub counts_per_detent: u32,
    /// How far the dial may be ahead of the motion.
    pub ahead: Q,
    /// How long no detent must come for the hand to have stopped.
    pub hand_stops: Time,
}

/// Two slow approaches to a switch agree within a fiftieth of its clearance, which is more than its
/// hysteresis; a switch repeats far better than its hysteresis is wide (common practice; see the
/// maker's figure).
const CLEARANCE_IN_AGREEMENT: u64 = 50;

/// A touch agrees with a proven position within a thousandth of the travel, and the play: the datum may
/// be met on one flank and the probe on the other.
const TRAVEL_IN_AGREEMENT: u64 = 1_000;

/// The most counts a hand turns between two polls.
const COUNTS_AT_ONCE: u32 = 256;

impl<Q: Measure> Equipment<Q> {
    /// Nothing fitted but an enable input: a driver that holds the load, contacts that settle within
    /// 10 ms (common practice; see the maker's figure), a drive that is ready within 100 ms, motions by
    /// hand at a tenth of the axis's speed, a nudge of a hundredth and a measured travel of a tenth of
    /// the room between the soft limits.
    ///
    /// # Errors
    /// As exact arithmetic, for soft limits of too many digits.
    pub fn bare<M: Mechanism<Measure = Q>>(axis: &Axis<M>) -> Result<Self> {
        let settings = axis.settings();
        let room = settings.high.sub(settings.low)?;
        let part = |denominator| room.times(Exact::new(1, denominator)?);
        Ok(Self {
            low_switch: None,
            high_switch: None,
            contact_settle: Time::from_seconds(Exact::new(1, 100)?)?,
            drive_settle: Time::from_seconds(Exact::new(1, 10)?)?,
            home: None,
            release_within: part(20)?,
            touch_off: None,
            dial: None,
            rocker: false,
            jog_speed: Speed::from_base(settings.rates.speed.base().div(Exact::integer(10))?)?,
            nudge: part(100)?,
            measured_travel: part(10)?,
            self_holding: true,
        })
    }

    /// The configuration of a carriage on `axis` with this equipment, on a timer of `timer_hz`.
    ///
    /// Lengths become whole steps, rounded up by the axis's finest step; times whole ticks, rounded
    /// up. Two slow approaches to the datum must agree within a fiftieth of the clearance, and a touch
    /// with a proven position within a thousandth of the travel and the backlash. The slow speed of the search for the datum is also that of a touch-off and of the nudge;
    /// without a search they are that of the hand.
    ///
    /// # Errors
    /// Whatever is out of range, in the terms it was given in.
    pub fn configuration<M: Mechanism<Measure = Q>>(
        &self,
        axis: &Axis<M>,
        timer_hz: u64,
        timing: PulseTiming,
    ) -> Result<Configuration> {
        let settings = axis.settings();
        let (first, last) = (axis.lowest_step(), axis.highest_step());
        let (lowest, highest) = (first.min(last), first.max(last));
        let finest = axis.mechanism().step_sizes(lowest..=highest)?.finest;
        let steps = |subject, length: Q| whole_steps(axis, subject, length, finest);
        let ticks = |time: Time| whole_ticks(time, timer_hz);
        let planner = Planner::new(axis, timer_hz, timing)?;
        let at = |subject, speed: Speed<Q>| {
            let quoted = |speed: Speed<Q>| Q::quoted_rate(speed.base(), settings.unit, 1);
            if speed > settings.rates.speed || speed == Speed::ZERO {
                return Err(Error::new(ErrorKind::OutOfRange, subject)
                    .given(quoted(speed))
                    .at_most(quoted(settings.rates.speed))
                    .remedy("give a speed above 0"));
            }
            Ok(*planner.at_speed(speed)?.limits())
        };
        let jog = at("jog speed", self.jog_speed)?;
        let (search, latch) = match &self.home {
            Some(home) => (at("search speed", home.search)?, at("latch speed", home.latch)?),
            None => (jog, jog),
        };
        let approach = match settings.approach {
            Approach::Either => None,
            Approach::FromBelow => Some(End::Low),
            Approach::FromAbove => Some(End::High),
        };
        let taken_up = (settings.backlash > Q::ZERO).then_some(settings.backlash);
        let approach = match approach.zip(taken_up) {
            Some((end, backlash)) => Some((end, steps("backlash", backlash)?)),
            None => None,
        };
        Configuration::new(Parts {
            steps: (lowest, highest),
            trend: axis.trend(),
            motor: settings.direction,
            approach,
            paces: Paces { travel: *planner.limits(), jog, search, latch },
            switches: [self.low_switch, self.high_switch],
            probe: self.touch_off.map(|touch| touch.probe),
            contact_settle: ticks(self.contact_settle)?,
            drive_settle: ticks(self.drive_settle)?,
            timing,
            datum: match &self.home {
                Some(home) => Some(DatumSearch {
                    end: home.end,
                    step: step_at(axis, home.switch)?,
                    bound: steps("search within", home.search_within)?,
                    clearance: steps("clearance", home.clearance)?,
                    agreement: steps("clearance", home.clearance)?.div_ceil(CLEARANCE_IN_AGREEMENT),
                }),
                None => None,
            },
            release_bound: steps("release within", self.release_within)?,
            touch: match &self.touch_off {
                Some(touch) => Some(TouchSearch {
                    toward: touch.toward,
                    bound: steps("touch-off within", touch.within)?,
                    agreement: approach.map_or(0, |(_, play)| play)
                        + highest.abs_diff(lowest).div_ceil(TRAVEL_IN_AGREEMENT),
                }),
                None => None,
            },
            dial: match &self.dial {
                Some(dial) => Some(Dial {
                    counts_per_detent: dial.counts_per_detent,
                    counts_at_once: COUNTS_AT_ONCE.max(dial.counts_per_detent.saturating_mul(16)),
                    backlog: steps("dial ahead", dial.ahead)?,
                    hand_stops: ticks(dial.hand_stops)?,
                }),
                None => None,
            },
            rocker: self.rocker,
            jog_bound: highest.abs_diff(lowest),
            nudge: steps("nudge", self.nudge)?,
            measured: steps("measured travel", self.measured_travel)?,
            self_holding: self.self_holding,
        })
    }
}

/// The steps of `length`, rounded up.
fn whole_steps<M: Mechanism>(
    axis: &Axis<M>,
    subject: &'static str,
    length: M::Measure,
    finest: M::Measure,
) -> Result<u64> {
    let out_of_range = || {
        Error::new(ErrorKind::OutOfRange, subject)
            .given(length.quoted(axis.unit()))
            .remedy("give a length above 0 and within the machine")
    };
    let steps = length.base().div(finest.base())?.round(Rounding::Above);
    u64::try_from(steps).ok().filter(|&steps| steps > 0).ok_or_else(out_of_range)
}

/// The step nearest to `position`, measured from the datum, within the soft limits or not.
fn step_at<M: Mechanism>(axis: &Axis<M>, position: M::Measure) -> Result<i64> {
    Ok(axis.mechanism().locate(position.sub(axis.settings().datum)?, Rounding::Nearest)?.step)
}

/// The ticks of `time`, rounded up.
fn whole_ticks(time: Time, timer_hz: u64) -> Result<u64> {
    let ticks = time.seconds().mul(Exact::new(timer_hz.into(), 1)?)?.round(Rounding::Above);
    u64::try_from(ticks).map_err(|_| Error::new(ErrorKind::Overflow, "time in ticks"))
}
