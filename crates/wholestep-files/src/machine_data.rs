//! The `[machine]`, `[springs]` and `[effort]` of an axis file: what the axis moves and what moves it.

use super::axis_keys::{EffortKeys, MachineKeys, SpringsKeys};
use super::figure::{CurvePoint, Figure, Force};
use super::section::Section;
use super::thread_profile::ThreadProfile;
use crate::messages;
use wholestep::carriage::End;
use wholestep::error::{Result, Value};
use wholestep::exact;
use wholestep::exact::{Enclosure, Exact};
use wholestep::measure::{Length, LengthUnit, Measure, Unit};
use wholestep::mechanism::Thread;

/// A figure of a machine between two bounds, which are equal if it is known.
pub type Range = Enclosure<Exact>;

/// What an axis moves and what moves it, as far as its file tells.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct MachineData {
    /// Mass that moves, kg.
    pub load_mass: Option<Range>,
    /// Whether the axis stands upright, so that gravity pulls the mass along it.
    pub upright: Option<bool>,
    /// On an axis that turns: how far from its pivot mass, springs and guides act.
    pub lever: Option<Length>,
    /// Friction of the guides, N.
    pub guide_friction: Option<Range>,
    /// Efficiency of screw, belt or rack, above 0 and at most 1.
    pub efficiency: Option<Range>,
    /// The screw, as far as it is told.
    pub screw: ScrewData,
    /// Holding torque of the motor, N·m.
    pub holding_torque: Option<Range>,
    /// Speed of the motor up to which it keeps that torque, turns a minute.
    pub full_torque_to: Option<Range>,
    /// Speed of the motor at which none is left, turns a minute.
    pub no_torque_at: Option<Range>,
    /// Points of the maker's torque curve: speed, turns a minute, rising; and torque, N·m.
    pub torque_points: Vec<(Range, Range)>,
    /// The windings and their supply, if they are told.
    pub winding: Option<WindingData>,
    /// Inertia of the rotor, g·cm².
    pub rotor_inertia: Option<Range>,
    /// Inertia of screw, pulleys and coupling at the motor, g·cm².
    pub shaft_inertia: Option<Range>,
    /// How far apart a switch is met from one time to the next, one standard deviation, µm.
    pub switch_scatter: Option<Range>,
    /// By what part the true travel of a step may be longer than that of the file, or shorter if negative.
    pub travel_error: Option<Range>,
    /// The springs, if there are any.
    pub springs: Option<Springs>,
    /// What a person measured at the carriage.
    pub pushed: Option<Pushed>,
    /// Torque at the driven shaft, N·m, that a person measured at a crank where raising is hardest.
    pub cranked: Option<Range>,
}

/// A screw and its nut, as far as the file tells.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct ScrewData {
    /// The outside diameter.
    pub diameter: Option<Length>,
    /// The form of the thread.
    pub profile: Option<ThreadProfile>,
    /// From one ridge to the next.
    pub pitch: Option<Length>,
    /// What a turn moves the nut by, if `[mechanism]` gives it so.
    pub lead: Option<Length>,
    /// Coefficient of friction of the nut.
    pub friction: Option<Range>,
    /// Mean diameter of a plain collar that takes the thrust, and its coefficient of friction.
    pub collar: Option<(Length, Range)>,
}

/// The windings of a motor and their supply.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct WindingData {
    /// Supply, V.
    pub supply: Range,
    /// Current of a phase, A.
    pub current: Range,
    /// Inductance of a phase, mH.
    pub inductance: Range,
    /// Resistance of a phase, Ω.
    pub resistance: Option<Range>,
}

/// Springs along the axis.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Springs {
    /// How many push at the same time.
    pub count: u32,
    /// By how much the force of one grows as it is compressed, N/mm.
    pub rate: Range,
    /// Force of one at the soft limit toward which it pushes, N.
    pub preload: Range,
    /// The end toward which they push.
    pub toward: End,
}

/// Forces along the axis that a person measured with the nut or belt off, at the low soft limit and at the high
/// one, N.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Pushed {
    /// What just moves the carriage toward the high end.
    pub push: [Range; 2],
    /// With what it just sinks back, if that was measured too.
    pub sink: Option<[Range; 2]>,
}

impl MachineData {
    /// Reads the sections that there are; `mechanism` may tell of its screw.
    pub(super) fn read(sections: MachineSections<'_>, mechanism: &Section<'_>) -> Result<Self> {
        let mut data = match sections.machine {
            Some(section) => read_machine(section)?,
            None => Self::default(),
        };
        data.screw.complete(mechanism)?;
        if let Some(mut section) = sections.springs {
            let SpringsKeys { count, rate, preload, toward } = section.read()?;
            if !(1..=SPRINGS_MAX).contains(&count) {
                let error = messages::SPRINGS.error().given(Value::Integer(count.into()));
                let (least, most) = (Value::Integer(1), Value::Integer(SPRINGS_MAX.into()));
                return Err(section.blame_at("count", error.between(least, most)));
            }
            data.springs = Some(Springs { count, rate: rate.bounds, preload: preload.bounds, toward });
        }
        if let Some(mut section) = sections.effort {
            let keys: EffortKeys = section.read()?;
            data.pushed = pushed(&section, &keys)?;
            data.cranked = cranked(&section, &keys)?;
        }
        Ok(data)
    }
}

/// The most springs on an axis.
const SPRINGS_MAX: u32 = 100;

/// The sections, each where the file has it.
pub(super) struct MachineSections<'d> {
    machine: Option<Section<'d>>,
    springs: Option<Section<'d>>,
    effort: Option<Section<'d>>,
}

impl<'d> MachineSections<'d> {
    /// Takes the sections from the root of the file.
    pub(super) fn of(root: &mut Section<'d>) -> Result<Self> {
        Ok(Self {
            machine: root.optional_section("machine")?,
            springs: root.optional_section("springs")?,
            effort: root.optional_section("effort")?,
        })
    }
}

fn read_machine(mut section: Section<'_>) -> Result<MachineData> {
    let keys: MachineKeys = section.read()?;
    let bounds = |point: &CurvePoint| (point.speed.bounds, point.torque.bounds);
    let data = MachineData {
        load_mass: keys.load_mass.map(|figure| figure.bounds),
        upright: keys.upright,
        lever: keys.lever,
        guide_friction: keys.guide_friction.map(|figure| figure.bounds),
        efficiency: keys.efficiency.map(|figure| figure.bounds),
        screw: ScrewData {
            diameter: keys.screw_diameter,
            profile: keys.thread_form,
            friction: keys.screw_friction.map(|figure| figure.bounds),
            collar: collar(&section, &keys)?,
            ..ScrewData::default()
        },
        holding_torque: keys.holding_torque.map(|figure| figure.bounds),
        full_torque_to: keys.full_torque_to.map(|figure| figure.bounds),
        no_torque_at: keys.no_torque_at.map(|figure| figure.bounds),
        torque_points: keys.torque_points.iter().map(bounds).collect(),
        winding: winding(&section, &keys)?,
        rotor_inertia: keys.rotor_inertia.map(|figure| figure.bounds),
        shaft_inertia: keys.shaft_inertia.map(|figure| figure.bounds),
        switch_scatter: keys.switch_scatter.map(|figure| figure.bounds),
        travel_error: keys.travel_error.map(|figure| either_way(figure.bounds)).transpose()?,
        ..MachineData::default()
    };
    for (key, length) in [("lever", data.lever), ("screw_diameter", data.screw.diameter)] {
        above_zero(&section, key, length)?;
    }
    if data.efficiency.is_some() && data.screw.friction.is_some() {
        return Err(section.blame_at("efficiency", messages::FRICTION_GIVEN_TWICE.error()));
    }
    check_curve(&section, &data)?;
    Ok(data)
}

/// From so many per cent less to so many more, or between two such figures.
fn either_way(percent: Range) -> Result<Range> {
    let [low, high] = if percent.is_exact() {
        let most = percent.high().abs();
        [Exact::ZERO.checked_sub(most)?, most]
    } else {
        [percent.low(), percent.high()]
    };
    let hundred = Exact::integer(100);
    Ok(Enclosure::new(low.checked_div(hundred)?, high.checked_div(hundred)?)?)
}

/// Refuses a torque curve that is told in more than one way, or whose speeds do not rise.
fn check_curve(section: &Section<'_>, data: &MachineData) -> Result<()> {
    if let (Some(full), Some(none)) = (data.full_torque_to, data.no_torque_at)
        && full.high() >= none.low()
    {
        return Err(section.blame_at("no_torque_at", messages::SPEED_WITHOUT_TORQUE.error()));
    }
    let by_speeds = data.full_torque_to.is_some() || data.no_torque_at.is_some();
    let ways = [by_speeds, !data.torque_points.is_empty(), data.winding.is_some()];
    if ways.into_iter().filter(|given| *given).count() > 1 {
        let key = if data.torque_points.is_empty() { "supply" } else { "torque_points" };
        return Err(section.blame_at(key, messages::TORQUE_CURVE_GIVEN_TWICE.error()));
    }
    let rising = |pair: &[(Range, Range)]| pair[0].0.high() < pair[1].0.low();
    if !data.torque_points.windows(2).all(rising) {
        return Err(section.blame_at("torque_points", messages::CURVE_OUT_OF_ORDER.error()));
    }
    Ok(())
}

fn collar(section: &Section<'_>, keys: &MachineKeys) -> Result<Option<(Length, Range)>> {
    above_zero(section, "collar_diameter", keys.collar_diameter)?;
    match (keys.collar_diameter, &keys.collar_friction) {
        (Some(diameter), Some(friction)) => Ok(Some((diameter, friction.bounds))),
        (None, None) => Ok(None),
        (Some(_), None) => Err(section.blame_at("collar_diameter", messages::COLLAR.error())),
        (None, Some(_)) => Err(section.blame_at("collar_friction", messages::COLLAR.error())),
    }
}

fn winding(section: &Section<'_>, keys: &MachineKeys) -> Result<Option<WindingData>> {
    let given = [
        ("supply", keys.supply.is_some()),
        ("current", keys.current.is_some()),
        ("inductance", keys.inductance.is_some()),
        ("resistance", keys.resistance.is_some()),
    ];
    let (Some(supply), Some(current), Some(inductance)) = (&keys.supply, &keys.current, &keys.inductance)
    else {
        return match given.into_iter().find(|(_, given)| *given) {
            Some((key, _)) => Err(section.blame_at(key, messages::WINDING.error())),
            None => Ok(None),
        };
    };
    let resistance = keys.resistance.map(|figure| figure.bounds);
    let drop = resistance.map(|one| one.high().checked_mul(current.bounds.high())).transpose()?;
    if drop.is_some_and(|drop| drop >= supply.bounds.low()) {
        return Err(section.blame_at("supply", messages::SUPPLY.error()));
    }
    Ok(Some(WindingData {
        supply: supply.bounds,
        current: current.bounds,
        inductance: inductance.bounds,
        resistance,
    }))
}

fn pushed(section: &Section<'_>, keys: &EffortKeys) -> Result<Option<Pushed>> {
    let (push, sink) = ((keys.push_low, keys.push_high), (keys.sink_low, keys.sink_high));
    let Some(push) = pair(section, ["push_low", "push_high"], push)? else {
        return match [("sink_low", sink.0), ("sink_high", sink.1)].into_iter().find(|(_, one)| one.is_some())
        {
            Some((key, _)) => Err(section.blame_at(key, messages::SINK_WITHOUT_PUSH.error())),
            None => Ok(None),
        };
    };
    let sink = pair(section, ["sink_low", "sink_high"], sink)?;
    if let Some(sink) = sink {
        for (key, push, sink) in [("sink_low", push[0], sink[0]), ("sink_high", push[1], sink[1])] {
            if sink.high() > push.low() {
                return Err(section.blame_at(key, messages::SINK_ABOVE_PUSH.error()));
            }
        }
    }
    Ok(Some(Pushed { push, sink }))
}

/// Both readings of a pair, in one unit.
fn pair(
    section: &Section<'_>,
    keys: [&'static str; 2],
    given: (Option<Figure<Force>>, Option<Figure<Force>>),
) -> Result<Option<[Range; 2]>> {
    match given {
        (None, None) => Ok(None),
        (Some(_), None) => Err(section.blame_at(keys[0], messages::ONE_END_ONLY.error())),
        (None, Some(_)) => Err(section.blame_at(keys[1], messages::ONE_END_ONLY.error())),
        (Some(low), Some(high)) if low.unit == high.unit => Ok(Some([low.bounds, high.bounds])),
        (Some(low), Some(high)) => {
            let units = format!(
                "give {} and {} in one unit; they stand in {} and {}",
                keys[0], keys[1], low.unit, high.unit
            );
            Err(section.blame_at(keys[1], messages::TWO_UNITS.error().advice(units)))
        }
    }
}

fn cranked(section: &Section<'_>, keys: &EffortKeys) -> Result<Option<Range>> {
    above_zero(section, "crank_arm", keys.crank_arm)?;
    match (&keys.crank_pull, keys.crank_arm) {
        (Some(pull), Some(arm)) => {
            let metres = arm.base().checked_div(Exact::integer(1_000))?;
            let torque = |force: Exact| force.checked_mul(metres);
            Ok(Some(Enclosure::new(torque(pull.bounds.low())?, torque(pull.bounds.high())?)?))
        }
        (None, None) => Ok(None),
        (Some(_), None) => Err(section.blame_at("crank_pull", messages::CRANK.error())),
        (None, Some(_)) => Err(section.blame_at("crank_arm", messages::CRANK.error())),
    }
}

fn above_zero(section: &Section<'_>, key: &'static str, length: Option<Length>) -> Result<()> {
    match length {
        Some(length) if length <= Length::ZERO => {
            let error = messages::LENGTH.error().given(length.quoted(LengthUnit::Millimetre));
            Err(section.blame_at(key, error))
        }
        _ => Ok(()),
    }
}

impl ScrewData {
    /// Takes what `[mechanism]` tells of the screw, which `[machine]` may not contradict.
    fn complete(&mut self, mechanism: &Section<'_>) -> Result<()> {
        let length = |key: &str| Length::read(mechanism.written(key)?, mechanism.length_unit()).ok();
        let number = |key: &str| Exact::read(mechanism.written(key)?).ok();
        let starts = number("starts").unwrap_or(Exact::ONE);
        self.pitch = length("pitch").or_else(|| {
            let pitch = LengthUnit::Inch.in_base().checked_div(number("threads_per_inch")?).ok()?;
            Length::from_base(pitch).ok()
        });
        self.lead = length("lead").or_else(|| self.pitch?.checked_mul(starts).ok());
        self.pitch = self.pitch.or(self.lead);
        if let Some(thread) = mechanism.written("thread").and_then(|text| Thread::read(text).ok()) {
            self.agree_with(thread)?;
        }
        let is_told = self.diameter.is_some() && self.profile.is_some() && self.lead.is_some();
        if self.friction.is_some() && !is_told {
            return Err(messages::FRICTION_WITHOUT_A_SCREW.error());
        }
        if let (Some(_), Some(diameter), Some(pitch)) = (self.friction, self.diameter, self.pitch) {
            let most = diameter.checked_mul(exact!(1 / 2))?;
            if pitch > most {
                let error = messages::PITCH_OF_A_SCREW.error().given(pitch.quoted(LengthUnit::Millimetre));
                return Err(error.at_most(most.quoted(LengthUnit::Millimetre)));
            }
        }
        Ok(())
    }

    fn agree_with(&mut self, thread: Thread) -> Result<()> {
        let (diameter, profile) = (thread.diameter()?, ThreadProfile::of(thread));
        if self.diameter.is_some_and(|given| given != diameter) {
            return Err(messages::SCREW_DIAMETER.error());
        }
        if self.profile.is_some_and(|given| given != profile) {
            return Err(messages::THREAD_FORM.error());
        }
        *self = Self {
            diameter: Some(diameter),
            profile: Some(profile),
            pitch: Some(thread.pitch()),
            lead: Some(thread.lead()?),
            ..*self
        };
        Ok(())
    }
}
