//! What is fitted to an axis, with units; and the configuration that follows from it.

use super::config::{CarriageConfig, DatumSearch, Dial, Paces, Parts, TouchSearch};
use super::pace::Pace;
use super::soundness::{Allowed, Part, SLOW_BELOW_FAST, SWITCH_OUTSIDE, Unsound};
use super::{End, Wiring};
use crate::axis::{Approach, Axis, AxisConfig};
use crate::error::{Error, Result, Value, messages};
use crate::exact::{Enclosure, Exact, Rounding};
use crate::measure::{Angle, Length, Measure, Speed, Time, Unit};
use crate::mechanism::Mechanism;
use crate::plan::{Planner, PulseTiming, StepLimits};

/// What is fitted to an axis: switches, probe, dial and rocker, and how they are used.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Equipment<Q: Measure> {
    /// The switch at the low end, if there is one.
    pub low_switch: Option<Wiring>,
    /// The switch at the high end, if there is one.
    pub high_switch: Option<Wiring>,
    /// How long a contact must read the same to have settled; longer than its maker's bounce.
    pub contact_settle: Time,
    /// How long the drive takes from being switched on until it holds.
    pub drive_settle: Time,
    /// How the datum is found, if there is a switch for it.
    pub datum: Option<Datum<Q>>,
    /// How far the carriage may go until a switch it moves away from must be released.
    pub release_within: Q,
    /// The probe, if there is one.
    pub touch_off: Option<TouchOff<Q>>,
    /// The dial, if there is one.
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
pub struct Datum<Q: Measure> {
    /// The end at which its switch stands.
    pub end: End,
    /// Where the switch is met, measured from the datum: the offset.
    pub switch_at: Q,
    /// The speed of the search.
    pub fast: Speed<Q>,
    /// The speed of the last approach, at which the contact is latched.
    pub slow: Speed<Q>,
    /// How far the carriage clears the switch, more than its hysteresis.
    pub clearance: Q,
    /// How far the carriage may go in search of the switch.
    pub within: Q,
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

/// The equipment of an axis of either measure.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AnyEquipment {
    /// Of an axis whose positions are lengths.
    Length(Equipment<Length>),
    /// Of an axis whose positions are angles.
    Angle(Equipment<Angle>),
}

impl<Q: Measure> Equipment<Q> {
    /// Nothing fitted but an enable input: a driver that holds the load, contacts that settle within
    /// 10 ms (common practice; see the maker's figure), a drive that is ready within 100 ms, motions by
    /// hand at a tenth of the axis's speed, a nudge of a hundredth and a measured travel of a tenth of
    /// the room between the soft limits; both at least twice the backlash, and as long as can be seen and
    /// measured, half a millimetre or degree and a whole one, if there is room for that.
    ///
    /// # Errors
    /// As exact arithmetic, for soft limits of too many digits.
    pub fn bare<M: Mechanism<Measure = Q>>(axis: &Axis<M>) -> Result<Self> {
        let settings = axis.config();
        let room = Enclosure::exact(settings.high).checked_sub(Enclosure::exact(settings.low))?;
        let part = |denominator| room.checked_div(Exact::integer(denominator))?.to_measure();
        let told = |denominator, seen: Exact| -> Result<Q> {
            let least =
                Q::from_base(seen)?.min(part(2)?).max(settings.backlash.checked_mul(Exact::integer(2))?);
            Ok(part(denominator)?.max(least))
        };
        Ok(Self {
            low_switch: None,
            high_switch: None,
            contact_settle: Time::from_seconds(Exact::new(1, 100)?)?,
            drive_settle: Time::from_seconds(Exact::new(1, 10)?)?,
            datum: None,
            release_within: part(20)?,
            touch_off: None,
            dial: None,
            rocker: false,
            jog_speed: Speed::from_base(settings.rates.speed.base().checked_div(Exact::integer(10))?)?,
            nudge: told(100, Exact::new(1, 2)?)?,
            measured_travel: told(10, Exact::ONE)?,
            self_holding: true,
        })
    }

    /// Returns the configuration of a carriage on `axis` with this equipment, on a timer of `timer_hz`.
    ///
    /// Lengths become whole steps, rounded up by the axis's finest step; times whole ticks, rounded
    /// up. Two slow approaches to the datum must agree within a fiftieth of the clearance, and a touch
    /// with a proven position within a thousandth of the travel and the backlash. The slow speed of the search for the datum is also that of a touch-off and of the nudge;
    /// without a search they are that of the hand.
    ///
    /// # Errors
    /// Whatever is out of range, or cannot work for want of room, in the terms it was given in; see
    /// [`CarriageConfig::new`].
    pub fn config<M: Mechanism<Measure = Q>>(
        &self,
        axis: &Axis<M>,
        timer_hz: u64,
        timing: PulseTiming,
    ) -> Result<CarriageConfig> {
        let settings = axis.config();
        let (first, last) = (axis.lowest_step(), axis.highest_step());
        let (lowest, highest) = (first.min(last), first.max(last));
        let finest = axis.mechanism().step_sizes(lowest..=highest)?.finest;
        let steps = |subject, parameter, length: Q| whole_steps(axis, subject, parameter, length, finest);
        let ticks = |parameter, time: Time| whole_ticks(parameter, time, timer_hz);
        let planner = Planner::new(axis, timer_hz, timing)?;
        let at = |subject, parameter, speed: Speed<Q>| pace(&planner, subject, parameter, speed);
        let jog = at("jog speed", "hand.jog", self.jog_speed)?;
        let (fast, slow) = match &self.datum {
            Some(datum) => {
                (at("fast speed", "datum.fast", datum.fast)?, at("slow speed", "datum.slow", datum.slow)?)
            }
            None => (jog, jog),
        };
        let approach = match approached_from(settings)? {
            Some(end) => Some((end, steps("backlash", "motion.backlash", settings.backlash)?)),
            None => None,
        };
        let parts = Parts {
            steps: (lowest, highest),
            trend: axis.trend(),
            motor: settings.direction,
            approach,
            paces: Paces { travel: *planner.limits(), jog, fast, slow },
            switches: [self.low_switch, self.high_switch],
            probe: self.touch_off.map(|touch| touch.probe),
            contact_settle: ticks("switches.contact_settle", self.contact_settle)?,
            drive_settle: ticks("drive.settle", self.drive_settle)?,
            timing,
            datum: match &self.datum {
                Some(datum) => Some(DatumSearch {
                    end: datum.end,
                    step: step_at(axis, datum.switch_at).map_err(|error| error.about("datum.switch_at"))?,
                    bound: steps("search within", "datum.within", datum.within)?,
                    clearance: steps("clearance", "datum.clearance", datum.clearance)?,
                    agreement: steps("clearance", "datum.clearance", datum.clearance)?
                        .div_ceil(CLEARANCE_IN_AGREEMENT),
                }),
                None => None,
            },
            release_bound: steps("release within", "switches.release_within", self.release_within)?,
            touch: match &self.touch_off {
                Some(touch) => Some(TouchSearch {
                    toward: touch.toward,
                    bound: steps("touch-off within", "touch_off.within", touch.within)?,
                    agreement: approach.map_or(0, |(_, play)| play)
                        + highest.abs_diff(lowest).div_ceil(TRAVEL_IN_AGREEMENT),
                }),
                None => None,
            },
            dial: match &self.dial {
                Some(dial) => Some(Dial {
                    counts_per_detent: dial.counts_per_detent,
                    counts_at_once: COUNTS_AT_ONCE.max(dial.counts_per_detent.saturating_mul(16)),
                    backlog: steps("dial ahead", "hand.ahead", dial.ahead)?,
                    hand_stops: ticks("hand.hand_stops", dial.hand_stops)?,
                }),
                None => None,
            },
            rocker: self.rocker,
            jog_bound: highest.abs_diff(lowest),
            nudge: steps("nudge", "commissioning.nudge", self.nudge)?,
            measured: steps("measured travel", "commissioning.measured_travel", self.measured_travel)?,
            self_holding: self.self_holding,
        };
        let configuration = CarriageConfig::sound(&parts, |unsound| self.in_units(axis, finest, unsound))?;
        Ok(configuration.of_axis(axis.fingerprint()))
    }

    /// What cannot work, in the terms in which it was given.
    fn in_units<M: Mechanism<Measure = Q>>(&self, axis: &Axis<M>, finest: Q, unsound: Unsound) -> Error {
        let unit = axis.unit();
        match unsound {
            Unsound::Length { part, given, allowed } => {
                let (subject, parameter, length) = self.named(axis, part);
                let steps = |steps, rounding| length_of(finest, steps, unit, rounding);
                let error = messages::VALUE.error().of(subject).about(parameter);
                let given = length.or_else(|| steps(given, Rounding::Above));
                let error = given.map_or(error.clone(), |given| error.given(given.quoted(unit)));
                let bounded = match allowed {
                    Allowed::AtLeast(least) => {
                        steps(least, Rounding::Above).map(|least| error.clone().at_least(least.quoted(unit)))
                    }
                    Allowed::AtMost(most) => {
                        steps(most, Rounding::Below).map(|most| error.clone().at_most(most.quoted(unit)))
                    }
                };
                bounded.unwrap_or(error).remedy(part.remedy(allowed))
            }
            Unsound::Switch { end, last, .. } => {
                let error = messages::DATUM_SWITCH.error();
                let error = match &self.datum {
                    Some(datum) => error.given(datum.switch_at.quoted(unit)),
                    None => error,
                };
                let last = axis.at_step(last).and_then(|at| match end {
                    End::Low => rounded(at.position().low().checked_add(axis.zero())?, unit, Rounding::Below),
                    End::High => {
                        rounded(at.position().high().checked_add(axis.zero())?, unit, Rounding::Above)
                    }
                });
                match (last, end) {
                    (Ok(last), End::Low) => error.at_most(last.quoted(unit)),
                    (Ok(last), End::High) => error.at_least(last.quoted(unit)),
                    // The mechanism ends before there is room for it.
                    (Err(_), _) => error,
                }
                .remedy(SWITCH_OUTSIDE)
            }
            Unsound::Slow => {
                let error = messages::SLOW_SPEED.error();
                let quoted = |speed: Speed<Q>| Q::quoted_rate(speed.base(), unit, 1);
                match &self.datum {
                    Some(datum) => error.given(quoted(datum.slow)).at_most(quoted(datum.fast)),
                    None => error,
                }
                .remedy(SLOW_BELOW_FAST)
            }
            Unsound::TouchSide { given } => messages::TOUCH_SIDE.error().given(Value::Word(given.name())),
            Unsound::Unprovable => Error::from(unsound).about("motion.backlash"),
            Unsound::Endless => Error::from(unsound).about("motion.speed"),
        }
    }

    /// A part as files name it, with its length as it was given.
    fn named<M: Mechanism<Measure = Q>>(
        &self,
        axis: &Axis<M>,
        part: Part,
    ) -> (&'static str, &'static str, Option<Q>) {
        let datum = self.datum.as_ref();
        match part {
            Part::Brake(Pace::Travel | Pace::At(_)) => {
                ("braking room at full speed", "motion.deceleration", None)
            }
            Part::Brake(Pace::Jog) => ("braking room of a jog", "hand.jog", None),
            Part::Brake(Pace::Search) => ("braking room of the search", "datum.fast", None),
            Part::Brake(Pace::Latch) => ("braking room of the slow approach", "datum.slow", None),
            Part::Overrun => ("backlash", "motion.backlash", Some(axis.config().backlash)),
            Part::Clearance => ("clearance", "datum.clearance", datum.map(|datum| datum.clearance)),
            Part::Search => ("search within", "datum.within", datum.map(|datum| datum.within)),
            Part::Release => ("release within", "switches.release_within", Some(self.release_within)),
            Part::Touch => ("touch-off within", "touch_off.within", self.touch_off.map(|touch| touch.within)),
            Part::Nudge => ("nudge", "commissioning.nudge", Some(self.nudge)),
            Part::Measured => {
                ("measured travel", "commissioning.measured_travel", Some(self.measured_travel))
            }
        }
    }
}

/// The end from which targets are approached, if they are from one; there is then a backlash to take up.
fn approached_from<Q: Measure>(settings: &AxisConfig<Q>) -> Result<Option<End>> {
    let end = match settings.approach {
        Approach::Either => None,
        Approach::FromBelow => Some(End::Low),
        Approach::FromAbove => Some(End::High),
    };
    match (end, settings.backlash > Q::ZERO) {
        (None, true) => Err(messages::BACKLASH_ALONE.error().given(settings.backlash.quoted(settings.unit))),
        (Some(_), false) => {
            Err(messages::APPROACH_ALONE.error().given(Value::Word(settings.approach.name())))
        }
        (end, _) => Ok(end),
    }
}

/// The pace of a motion that may be no faster than the axis.
fn pace<M: Mechanism>(
    planner: &Planner<'_, M>,
    subject: &'static str,
    parameter: &'static str,
    speed: Speed<M::Measure>,
) -> Result<StepLimits> {
    let settings = planner.axis().config();
    let quoted = |speed: Speed<M::Measure>| M::Measure::quoted_rate(speed.base(), settings.unit, 1);
    let refused = || messages::VALUE.error().of(subject).about(parameter).given(quoted(speed));
    if speed == Speed::ZERO {
        return Err(refused().remedy("give a speed above 0"));
    }
    if speed > settings.rates.speed {
        let error = refused().at_most(quoted(settings.rates.speed));
        return Err(error.remedy("give the speed of the axis, or less"));
    }
    Ok(*planner.at_speed(speed).map_err(|error| error.about(parameter))?.limits())
}

/// The length of so many of the finest steps, rounded for people; `None` if a measure cannot hold it.
fn length_of<Q: Measure>(finest: Q, steps: u64, unit: Q::Unit, rounding: Rounding) -> Option<Q> {
    let length = finest.checked_mul(Exact::new(steps.into(), 1).ok()?).ok()?;
    rounded(length, unit, rounding).ok()
}

/// `length` in whole thousandths of the unit, if it has any.
fn rounded<Q: Measure>(length: Q, unit: Q::Unit, rounding: Rounding) -> Result<Q> {
    let thousandth = unit.in_base().checked_div(Exact::integer(1_000))?;
    match length.base().checked_div(thousandth)?.round(rounding) {
        0 => Ok(length),
        thousandths => Q::from_base(thousandth.checked_mul(Exact::new(thousandths, 1)?)?),
    }
}

/// The steps of `length`, rounded up.
fn whole_steps<M: Mechanism>(
    axis: &Axis<M>,
    subject: &'static str,
    parameter: &'static str,
    length: M::Measure,
    finest: M::Measure,
) -> Result<u64> {
    let out_of_range =
        || messages::LENGTH_ABOVE_ZERO.error().of(subject).about(parameter).given(length.quoted(axis.unit()));
    let [length_in, step] = [length.base(), finest.base()].map(Enclosure::exact);
    let steps = length_in.checked_div(step).map_err(|error| Error::from(error).about(parameter))?;
    let steps = steps.high().round(Rounding::Above);
    u64::try_from(steps).ok().filter(|&steps| steps > 0).ok_or_else(out_of_range)
}

/// The step nearest to `position`, measured from the datum, within the soft limits or not.
fn step_at<M: Mechanism>(axis: &Axis<M>, position: M::Measure) -> Result<i64> {
    Ok(axis.step_from_datum(position, Rounding::Nearest)?.step)
}

/// The ticks of `time`, rounded up.
fn whole_ticks(parameter: &'static str, time: Time, timer_hz: u64) -> Result<u64> {
    let ticks = time
        .seconds()
        .checked_mul(Exact::new(timer_hz.into(), 1)?)
        .map_err(|error| Error::from(error).about(parameter))?;
    u64::try_from(ticks.round(Rounding::Above)).map_err(|_| messages::TIME_IN_TICKS.error().about(parameter))
}
