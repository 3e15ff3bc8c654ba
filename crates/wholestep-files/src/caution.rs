//! What in an axis file works but looks wrong, and is told without being refused.

use core::fmt;

use super::document::Document;
use super::pulse::Pulse;
use wholestep::axis::{AnyAxis, Approach, Axis, AxisConfig};
use wholestep::carriage::{AnyEquipment, CarriageConfig, Equipment, Wiring};
use wholestep::error::Result;
use wholestep::exact::Exact;
use wholestep::measure::{Acceleration, Length, Measure, Time};
use wholestep::mechanism::Mechanism;

/// Something in an axis file that works but looks wrong.
///
/// ```
/// # use wholestep_files::AxisFile;
/// let lift = AxisFile::open("../../examples/axes/router_lift.toml")?;
/// assert!(lift.cautions().is_empty());
/// let hasty = lift.with("contact_settle", "1 ms")?;
/// let caution = &hasty.cautions()[0];
/// assert_eq!((caution.key(), caution.line()), ("switches.contact_settle", 43));
/// # Ok::<(), wholestep::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Caution {
    file: Option<String>,
    line: usize,
    key: &'static str,
    text: String,
}

impl Caution {
    /// Returns the file it stands in, if it was read from one.
    pub fn file(&self) -> Option<&str> {
        self.file.as_deref()
    }

    /// Returns the line that looks wrong, counted from 1; of a key left out, that of its section.
    pub const fn line(&self) -> usize {
        self.line
    }

    /// Returns the key that looks wrong, with its section.
    pub const fn key(&self) -> &'static str {
        self.key
    }

    /// Returns what looks wrong, and what to do.
    pub fn text(&self) -> &str {
        &self.text
    }
}

impl fmt::Display for Caution {
    /// As errors are shown: file, line, key, and what looks wrong.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(file) = &self.file {
            write!(f, "{file}: ")?;
        }
        write!(f, "line {}: `{}`: {}", self.line, self.key, self.text)
    }
}

/// Longest bounce of 16 of 18 switches, in µs (J. Ganssle, A Guide to Debouncing, 2004, second-hand).
const MOST_BOUNCE: i64 = 6_200;
/// The longest bounce there, of a switch that opened, in µs.
const LONGEST_BOUNCE: i64 = 157_000;
/// Between two detents of a hand that still turns, in µs (common practice).
const HAND_STOPS: [i64; 2] = [20_000, 2_000_000];
/// Longest time, in µs, in which drivers switched on settle (memory).
const DRIVE_SETTLES: i64 = 5_000_000;
/// Longest set-up of a direction, in µs; drivers state microseconds, relays milliseconds (memory).
const DIRECTION_SETUP: i64 = 10_000;
/// Counts of a dial to a detent; those sold have 1, 2 or 4 (memory).
const COUNTS_PER_DETENT: u32 = 4;
/// Ticks to a step at full speed below which rounding to whole ticks is felt: a tenth of the step.
const TICKS_TO_A_STEP: u64 = 10;
/// Millimetres or degrees a second squared: ten times what falling adds to a speed, and as much turning.
const ACCELERATION: i64 = 100_000;
/// Seconds from one soft limit to the other.
const LONGEST_TRAVEL: u64 = 3_600;

/// What looks wrong on an axis of its equipment, in the order of the file's sections.
pub(super) fn of_axis<M: Mechanism>(
    document: &Document,
    axis: &Axis<M>,
    pulse: Pulse,
    equipment: &Equipment<M::Measure>,
    configuration: &CarriageConfig,
) -> Result<Vec<Caution>> {
    let mut look = Look { document, found: Vec::new() };
    look.at_motion(axis.config(), configuration)?;
    look.at_pulses(pulse, configuration)?;
    look.at_contacts(equipment)?;
    look.at_hand(axis.config(), equipment)?;
    look.at_commissioning(axis.config(), equipment)?;
    Ok(look.found)
}

struct Look<'d> {
    document: &'d Document,
    found: Vec<Caution>,
}

impl Look<'_> {
    fn note(&mut self, key: &'static str, text: impl Into<String>) {
        let file = self.document.file().map(Into::into);
        self.found.push(Caution { file, line: self.document.line_of(key), key, text: text.into() });
    }

    fn at_motion<Q: Measure>(
        &mut self,
        settings: &AxisConfig<Q>,
        configuration: &CarriageConfig,
    ) -> Result<()> {
        let parts = configuration.parts();
        let (rates, travel) = (settings.rates, settings.high.checked_sub(settings.low)?);
        let most = Acceleration::from_base(Exact::integer(ACCELERATION))?;
        for (key, rate) in
            [("motion.acceleration", rates.acceleration), ("motion.deceleration", rates.deceleration)]
        {
            if rate > most && (key == "motion.acceleration" || rate != rates.acceleration) {
                let (given, most) = (rate.to_text(settings.unit), most.to_text(settings.unit));
                self.note(
                    key,
                    format!("{given} is more than {most}, which no positioner follows; check its unit"),
                );
            }
        }
        let room = parts.steps.0.abs_diff(parts.steps.1);
        let pace = parts.paces.travel;
        let (once, twice) = (pace.profile(room)?.ticks(), pace.profile(2 * room)?.ticks());
        let speed = pace.rates().speed;
        // At full speed, a hundredth more.
        let steady = u128::from(room) * u128::from(pace.timer_hz()) * u128::from(*speed.denom()) * 101
            / (u128::from(*speed.numer()) * 100);
        if u128::from(twice - once) > steady + 8 {
            self.note(
                "motion.speed",
                "not even a move from one soft limit to the other reaches it; lower it, or raise acceleration and jerk",
            );
        }
        if once / pace.timer_hz() > LONGEST_TRAVEL {
            self.note(
                "motion.speed",
                "a move from one soft limit to the other takes more than an hour; check its unit",
            );
        }
        if settings.backlash.checked_mul(Exact::integer(10))? > travel {
            let (given, travel) = (settings.backlash.to_text(settings.unit), travel.to_text(settings.unit));
            self.note(
                "motion.backlash",
                format!("{given} is more than a tenth of the travel of {travel}; measure it again"),
            );
        }
        Ok(())
    }

    fn at_pulses(&mut self, pulse: Pulse, configuration: &CarriageConfig) -> Result<()> {
        let setup = pulse.direction_setup;
        if setup == Time::ZERO {
            self.note(
                "pulse.direction_setup",
                "0 s lets direction and step change at once; take the time from the driver's manual",
            );
        } else if setup > microseconds(DIRECTION_SETUP)? {
            self.note(
                "pulse.direction_setup",
                format!(
                    "{} is longer than drivers ask for, and every change of direction waits for it",
                    told(setup)?
                ),
            );
        }
        let pace = configuration.parts().paces.travel;
        let speed = pace.rates().speed;
        if u128::from(*speed.numer()) * u128::from(TICKS_TO_A_STEP)
            > u128::from(*speed.denom()) * u128::from(pace.timer_hz())
        {
            self.note(
                "pulse.timer_hz",
                format!(
                    "fewer than {TICKS_TO_A_STEP} ticks to a step at full speed make the motor run unevenly; \
                     take a faster timer or a coarser step mode"
                ),
            );
        }
        Ok(())
    }

    fn at_contacts<Q: Measure>(&mut self, equipment: &Equipment<Q>) -> Result<()> {
        for (key, wiring) in
            [("switches.low", equipment.low_switch), ("switches.high", equipment.high_switch)]
        {
            if wiring == Some(Wiring::NormallyOpen) {
                self.note(
                    key,
                    "normally open: a broken wire reads as released and the switch never stops the carriage; \
                     wire it normally closed",
                );
            }
        }
        let settle = equipment.contact_settle;
        if settle < microseconds(MOST_BOUNCE)? {
            self.note(
                "switches.contact_settle",
                format!(
                    "{} is shorter than many contacts bounce, up to 6.2 ms; take the maker's figure",
                    told(settle)?
                ),
            );
        } else if settle > microseconds(LONGEST_BOUNCE)? {
            self.note(
                "switches.contact_settle",
                format!(
                    "{} is longer than contacts bounce, and the carriage runs on meanwhile; take the maker's figure",
                    told(settle)?
                ),
            );
        }
        let settle = equipment.drive_settle;
        if settle == Time::ZERO {
            self.note(
                "drive.settle",
                "0 s lets the first step come before the motor holds; take the time from the driver's manual",
            );
        } else if settle > microseconds(DRIVE_SETTLES)? {
            self.note(
                "drive.settle",
                format!("{} is longer than drivers take; check its unit", told(settle)?),
            );
        }
        Ok(())
    }

    fn at_hand<Q: Measure>(&mut self, settings: &AxisConfig<Q>, equipment: &Equipment<Q>) -> Result<()> {
        let Some(dial) = &equipment.dial else { return Ok(()) };
        let travel = settings.high.checked_sub(settings.low)?;
        if dial.ahead >= travel {
            let (given, travel) = (dial.ahead.to_text(settings.unit), travel.to_text(settings.unit));
            self.note(
                "hand.ahead",
                format!(
                    "the dial may be {given} ahead in a travel of {travel}: the carriage goes on that far after the \
                     hand; give a length that is braked in a moment"
                ),
            );
        }
        if dial.counts_per_detent > COUNTS_PER_DETENT {
            let given = dial.counts_per_detent;
            self.note(
                "hand.counts_per_detent",
                format!("{given} counts to a detent; dials have 1, 2 or 4, so count one detent"),
            );
        }
        let [least, most] = [microseconds(HAND_STOPS[0])?, microseconds(HAND_STOPS[1])?];
        if dial.hand_stops < least || dial.hand_stops > most {
            let [given, least, most] = [told(dial.hand_stops)?, told(least)?, told(most)?];
            self.note(
                "hand.hand_stops",
                format!("{given} is not how long a hand takes to stop; give {least} to {most}"),
            );
        }
        Ok(())
    }

    fn at_commissioning<Q: Measure>(
        &mut self,
        settings: &AxisConfig<Q>,
        equipment: &Equipment<Q>,
    ) -> Result<()> {
        let unit = settings.unit;
        let seen = Q::from_base(Exact::new(1, 10)?)?;
        if equipment.nudge < seen || equipment.nudge <= settings.backlash {
            let given = equipment.nudge.to_text(unit);
            self.note(
                "commissioning.nudge",
                format!(
                    "nobody sees {given}{}; give a length that the eye can follow",
                    if equipment.nudge < seen { "" } else { " that the backlash may swallow" }
                ),
            );
        }
        if equipment.measured_travel < Q::from_base(Exact::ONE)? {
            let given = equipment.measured_travel.to_text(unit);
            self.note(
                "commissioning.measured_travel",
                format!("{given} is too short to measure; give as much as the rule reaches"),
            );
        }
        Ok(())
    }
}

/// A stop or a fence that arrives away from the blade rests on the wrong flank of its play, and a bumped board
/// pushes it through.
fn arrival(document: &Document, settings: &AxisConfig<Length>) -> Option<Caution> {
    let arrives = match settings.approach {
        Approach::FromAbove => return None,
        Approach::Either if document.says("motion", "backlash") => return None,
        Approach::Either => "from either side",
        Approach::FromBelow => "away from the blade",
    };
    let text = format!(
        "a stop or a fence that is counted from the blade arrives {arrives}, and a bumped board pushes it through the \
         play; measure the play, and write backlash and approach = \"from_above\""
    );
    let mut look = Look { document, found: Vec::new() };
    look.note("motion.approach", text);
    look.found.pop()
}

/// The time in the largest unit of which it is at least one.
fn told(time: Time) -> Result<String> {
    let seconds = time.seconds();
    let milliseconds = seconds.checked_mul(Exact::integer(1_000))?;
    Ok(if time == Time::ZERO || seconds >= Exact::ONE {
        format!("{seconds} s")
    } else if milliseconds >= Exact::ONE {
        format!("{milliseconds} ms")
    } else {
        format!("{time}")
    })
}

fn microseconds(count: i64) -> Result<Time> {
    Time::from_seconds(Exact::new(count.into(), 1_000_000)?)
}

/// As [`of_axis`], of an axis of either measure, that lies if `upright` is `false`.
pub(super) fn all(
    document: &Document,
    axis: &AnyAxis,
    pulse: Pulse,
    equipment: &AnyEquipment,
    configuration: &CarriageConfig,
    upright: Option<bool>,
) -> Result<Vec<Caution>> {
    match (axis, equipment) {
        (AnyAxis::Length(axis), AnyEquipment::Length(equipment)) => {
            let mut found = of_axis(document, axis, pulse, equipment, configuration)?;
            if upright == Some(false) {
                found.splice(0..0, arrival(document, axis.config()));
            }
            Ok(found)
        }
        (AnyAxis::Angle(axis), AnyEquipment::Angle(equipment)) => {
            of_axis(document, axis, pulse, equipment, configuration)
        }
        // An axis and its equipment are read in one measure.
        _ => Ok(Vec::new()),
    }
}
