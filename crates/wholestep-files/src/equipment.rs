//! The sections of an axis file that say what is fitted to the machine.

use super::axis_keys::{CommissioningKeys, DatumKeys, DriveKeys, HandKeys, SwitchesKeys, TouchOffKeys};
use super::pulse::Pulse;
use super::section::Section;
use super::value::FileMeasure;
use crate::messages;
use wholestep::axis::AnyAxis;
use wholestep::axis::Axis;
use wholestep::carriage::{AnyEquipment, CarriageConfig, Datum, DialFitting, End, Equipment, TouchOff};
use wholestep::error::Result;
use wholestep::mechanism::Mechanism;

/// The sections, each where the file has it.
pub(super) struct Fitted<'d> {
    switches: Option<Section<'d>>,
    datum: Option<Section<'d>>,
    touch_off: Option<Section<'d>>,
    hand: Option<Section<'d>>,
    drive: Option<Section<'d>>,
    commissioning: Option<Section<'d>>,
}

impl<'d> Fitted<'d> {
    /// Takes the sections from the root of the file.
    pub(super) fn of(root: &mut Section<'d>) -> Result<Self> {
        Ok(Self {
            switches: root.optional_section("switches")?,
            datum: root.optional_section("datum")?,
            touch_off: root.optional_section("touch_off")?,
            hand: root.optional_section("hand")?,
            drive: root.optional_section("drive")?,
            commissioning: root.optional_section("commissioning")?,
        })
    }

    pub(super) fn read(self, axis: &AnyAxis, pulse: Pulse) -> Result<(AnyEquipment, CarriageConfig)> {
        match axis {
            AnyAxis::Length(axis) => {
                self.read_along(axis, pulse).map(|(fitted, whole)| (AnyEquipment::Length(fitted), whole))
            }
            AnyAxis::Angle(axis) => {
                self.read_along(axis, pulse).map(|(fitted, whole)| (AnyEquipment::Angle(fitted), whole))
            }
        }
    }

    fn read_along<M: Mechanism<Measure: FileMeasure>>(
        mut self,
        axis: &Axis<M>,
        pulse: Pulse,
    ) -> Result<(Equipment<M::Measure>, CarriageConfig)> {
        let equipment = self.equipment(axis)?;
        let timing = pulse.timing()?;
        let configuration = equipment.config(axis, pulse.timer_hz, timing)?;
        Ok((equipment, configuration))
    }

    fn equipment<M: Mechanism<Measure: FileMeasure>>(
        &mut self,
        axis: &Axis<M>,
    ) -> Result<Equipment<M::Measure>> {
        let mut equipment = Equipment::bare(axis)?;
        if let Some(section) = &mut self.switches {
            let keys: SwitchesKeys<M::Measure> = section.read()?;
            equipment.low_switch = keys.low;
            equipment.high_switch = keys.high;
            equipment.contact_settle = keys.contact_settle.unwrap_or(equipment.contact_settle);
            equipment.release_within = keys.release_within.unwrap_or(equipment.release_within);
        }
        if let Some(section) = &mut self.datum {
            let DatumKeys { end, switch_at, fast, slow, clearance, within } = section.read()?;
            equipment.datum = Some(Datum { end, switch_at, fast, slow, clearance, within });
        }
        if let Some(section) = &mut self.touch_off {
            let TouchOffKeys { probe, toward, within } = section.read()?;
            let toward = toward.unwrap_or(End::High);
            equipment.touch_off = Some(TouchOff { probe, toward, within });
        }
        if let Some(section) = &mut self.hand {
            let keys: HandKeys<M::Measure> = section.read()?;
            equipment.jog_speed = keys.jog.unwrap_or(equipment.jog_speed);
            equipment.rocker = keys.rocker.unwrap_or(false);
            equipment.dial = match (keys.counts_per_detent, keys.ahead, keys.hand_stops) {
                (Some(counts_per_detent), Some(ahead), Some(hand_stops)) => {
                    Some(DialFitting { counts_per_detent, ahead, hand_stops })
                }
                (None, None, None) => None,
                _ => {
                    let error = messages::INCOMPLETE_DIAL.error();
                    let remedy = "give counts_per_detent, ahead and hand_stops, or none of them";
                    return Err(section.blame(error.remedy(remedy)));
                }
            };
        }
        if let Some(section) = &mut self.drive {
            let keys: DriveKeys = section.read()?;
            equipment.drive_settle = keys.settle.unwrap_or(equipment.drive_settle);
            equipment.self_holding = keys.self_holding.unwrap_or(equipment.self_holding);
        }
        if let Some(section) = &mut self.commissioning {
            let keys: CommissioningKeys<M::Measure> = section.read()?;
            equipment.nudge = keys.nudge.unwrap_or(equipment.nudge);
            equipment.measured_travel = keys.measured_travel.unwrap_or(equipment.measured_travel);
        }
        Ok(equipment)
    }
}
