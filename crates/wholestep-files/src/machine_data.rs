//! The `[machine]` of an axis file: what the axis moves and what moves it, for rehearsals.

use super::axis_keys::MachineKeys;
use super::section::Section;
use crate::messages;
use wholestep::error::{Error, ErrorKind, Result, Value};
use wholestep::exact::Exact;

/// What an axis moves and what moves it, as far as its file tells; in SI units.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct MachineData {
    /// Mass that moves, kg.
    pub load_mass: Option<Exact>,
    /// Whether the axis stands upright, so that gravity pulls the mass along it.
    pub upright: Option<bool>,
    /// Friction of the guides, N.
    pub guide_friction: Option<Exact>,
    /// Efficiency of screw, belt or rack, above 0 and at most 1.
    pub efficiency: Option<Exact>,
    /// Holding torque of the motor, N·m.
    pub holding_torque: Option<Exact>,
    /// Speed of the motor up to which it keeps that torque, turns a minute.
    pub full_torque_to: Option<Exact>,
    /// Speed of the motor at which none is left, turns a minute.
    pub no_torque_at: Option<Exact>,
    /// Inertia of the rotor, g·cm².
    pub rotor_inertia: Option<Exact>,
}

impl MachineData {
    pub(super) fn read(section: Option<Section<'_>>) -> Result<Self> {
        let Some(mut section) = section else { return Ok(Self::default()) };
        let keys: MachineKeys = section.read()?;
        let figures = Self {
            load_mass: figure(&section, "load_mass", keys.load_mass, "kg", "12 kg")?,
            upright: keys.upright,
            guide_friction: figure(&section, "guide_friction", keys.guide_friction, "N", "10 N")?,
            efficiency: figure(&section, "efficiency", keys.efficiency, "", "0.35")?,
            holding_torque: figure(&section, "holding_torque", keys.holding_torque, "N·m", "0.9 N·m")?,
            full_torque_to: figure(
                &section,
                "full_torque_to",
                keys.full_torque_to,
                "rev/min",
                "300 rev/min",
            )?,
            no_torque_at: figure(&section, "no_torque_at", keys.no_torque_at, "rev/min", "1500 rev/min")?,
            rotor_inertia: figure(&section, "rotor_inertia", keys.rotor_inertia, "g·cm²", "300 g·cm²")?,
        };
        if let Some(given) = figures.efficiency.filter(|given| *given > Exact::ONE) {
            let error = messages::EFFICIENCY.error().given(Value::Exact(given));
            return Err(section.blame_at("efficiency", error.at_most(Value::Exact(Exact::ONE))));
        }
        if let (Some(full), Some(none)) = (figures.full_torque_to, figures.no_torque_at)
            && full >= none
        {
            return Err(section.blame_at("no_torque_at", messages::SPEED_WITHOUT_TORQUE.error()));
        }
        Ok(figures)
    }
}

/// The figure at `key`: a number in quotes, with its unit, above 0.
fn figure(
    section: &Section<'_>,
    key: &'static str,
    text: Option<String>,
    unit: &'static str,
    spelling: &'static str,
) -> Result<Option<Exact>> {
    let Some(text) = text else { return Ok(None) };
    let number = match unit {
        "" => Some(text.trim()),
        _ => text.trim().strip_suffix(unit).map(str::trim),
    };
    let refuse = |kind| Error::new(kind, key).given(Value::text(&text));
    match number.and_then(|number| Exact::read(number).ok()) {
        Some(number) if number.signum() > 0 => Ok(Some(number)),
        Some(_) => Err(section.blame_at(key, refuse(ErrorKind::OutOfRange).remedy("give a number above 0"))),
        None => Err(section.blame_at(key, refuse(ErrorKind::Syntax).spelling(spelling))),
    }
}
