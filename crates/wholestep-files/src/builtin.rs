//! The built-in kinds and the parameters that each takes from a file.

use super::keys::{Key, Keys};
use super::section::Section;
use crate::keys;
use crate::messages;
use wholestep::axis::AnyMechanism;
use wholestep::error::Result;
use wholestep::exact::Exact;
use wholestep::measure::{Angle, Length, Measure};
use wholestep::mechanism::{
    Arm, ArmScrew, DriveTrain, Linear, ScrewMotion, ScrewTilt, Sector, SwingArm, Thread, TiltScrew,
};

/// A kind: its name, what it is, its keys, and what makes it.
pub(super) struct Kind {
    pub(super) name: &'static str,
    pub(super) about: &'static str,
    pub(super) keys: fn() -> Vec<Key>,
    pub(super) factory: fn(&mut Section<'_>, DriveTrain) -> Result<AnyMechanism>,
}

pub(super) const BUILT_IN: [Kind; 8] = [
    Kind {
        name: "lead_screw",
        about: "A nut on a screw. Give one of `thread`; `pitch` with `starts`; `lead`; or `threads_per_inch`.",
        keys: LeadScrew::keys,
        factory: |section, drive| lead_screw(section, drive).map(AnyMechanism::length),
    },
    Kind {
        name: "belt",
        about: "A toothed belt on a pulley.",
        keys: Belt::keys,
        factory: |section, drive| belt(&section.read()?, drive).map(AnyMechanism::length),
    },
    Kind {
        name: "rack",
        about: "A pinion on a rack. Give `tooth_pitch` or `module`.",
        keys: Rack::keys,
        factory: |section, drive| rack(&section.read()?, drive).map(AnyMechanism::length),
    },
    Kind {
        name: "drum",
        about: "A rope or a band on a drum.",
        keys: Drum::keys,
        factory: |section, drive| drum(&section.read()?, drive).map(AnyMechanism::length),
    },
    Kind {
        name: "measured",
        about: "Anything that travels alike with every turn, by what was measured.",
        keys: Measured::keys,
        factory: |section, drive| measured(&section.read()?, drive).map(AnyMechanism::length),
    },
    Kind {
        name: "rotary",
        about: "An axis that turns with the driven shaft. It has no keys; give its gears in `[motor]`.",
        keys: Vec::new,
        factory: |_, drive| Linear::<Angle>::rotary(drive).map(AnyMechanism::angle),
    },
    Kind {
        name: "swing_arm",
        about: "A blade whose arbor swings on an arm: give the arm, then the keys of its screw, or of its worm and \
                sector.",
        keys: swing_arm_keys,
        factory: |section, drive| swing_arm(section, drive).map(AnyMechanism::length),
    },
    Kind {
        name: "screw_tilt",
        about: "A trunnion, with its blade or table, tilted by a screw across two pivots.",
        keys: TiltScrew::keys,
        factory: |section, drive| ScrewTilt::new(drive, section.read()?).map(AnyMechanism::angle),
    },
];

keys! {
    struct LeadScrew {
        /// The designation of the thread: `"Tr12x3"`, `"1/2-10 Acme"`, `"M8"`, `"3/8-16 UNC"`.
        thread: Option<Thread>,
        /// From one crest of the thread to the next.
        pitch: Option<Length>,
        /// What a turn of the screw moves the nut by.
        lead: Option<Length>,
        /// Threads along one inch.
        threads_per_inch: Option<Exact>,
        /// Starts of the thread; give it with `pitch`, and with `threads_per_inch` if there are several.
        starts: Option<u32>,
    }
}

/// One of `thread`, `pitch` with `starts`, `lead`, or `threads_per_inch` with the `starts` if there are
/// several.
fn lead_screw(section: &mut Section<'_>, drive: DriveTrain) -> Result<Linear<Length>> {
    let LeadScrew { thread, pitch, lead, threads_per_inch, starts } = section.read()?;
    match (thread, pitch, lead, threads_per_inch) {
        (Some(thread), None, None, None) if starts.is_none() => Linear::lead_screw_by_thread(drive, thread),
        (Some(_), None, None, None) => Err(messages::STARTS_BESIDE_A_THREAD.error()),
        (None, Some(pitch), None, None) => {
            Linear::lead_screw_by_pitch(drive, pitch, section.required("starts")?)
        }
        (None, None, Some(lead), None) if starts.is_none() => Linear::lead_screw_by_lead(drive, lead),
        (None, None, Some(_), None) => Err(messages::STARTS_BESIDE_A_LEAD.error()),
        (None, None, None, Some(threads)) => {
            Linear::lead_screw_by_threads_per_inch(drive, threads, starts.unwrap_or(1))
        }
        (None, None, None, None) => Err(messages::SCREW_WITHOUT_TRAVEL.error().remedy(WAYS)),
        _ => Err(messages::SCREW_GIVEN_TWICE.error().remedy(WAYS)),
    }
}

const WAYS: &str =
    "give exactly one of: thread; pitch and starts; lead; threads_per_inch (and starts, if several)";

keys! {
    struct Belt {
        /// Distance between the teeth of the belt.
        tooth_pitch: Length,
        /// Teeth of the pulley.
        pulley_teeth: u32,
    }
}

fn belt(belt: &Belt, drive: DriveTrain) -> Result<Linear<Length>> {
    Linear::belt(drive, belt.tooth_pitch, belt.pulley_teeth)
}

keys! {
    struct Rack {
        /// Distance between the teeth of the rack.
        tooth_pitch: Option<Length>,
        /// Module of the rack: its tooth pitch divided by π.
        module: Option<Length>,
        /// Teeth of the pinion.
        pinion_teeth: u32,
    }
}

fn rack(rack: &Rack, drive: DriveTrain) -> Result<Linear<Length>> {
    match (rack.tooth_pitch, rack.module) {
        (Some(tooth_pitch), None) => Linear::rack_by_tooth_pitch(drive, tooth_pitch, rack.pinion_teeth),
        (None, Some(module)) => Linear::rack_by_module(drive, module, rack.pinion_teeth),
        (None, None) => Err(messages::RACK_WITHOUT_TEETH.error()),
        (Some(_), Some(_)) => Err(messages::RACK_GIVEN_TWICE.error()),
    }
}

keys! {
    struct Drum {
        /// Diameter of the drum.
        diameter: Length,
        /// Thickness of the rope or band that winds on it.
        rope_thickness: Length,
    }
}

fn drum(drum: &Drum, drive: DriveTrain) -> Result<Linear<Length>> {
    Linear::drum(drive, drum.diameter, drum.rope_thickness)
}

keys! {
    struct Measured {
        /// What a turn of the driven shaft moves the axis by.
        travel_per_turn: Length,
    }
}

fn measured(measured: &Measured, drive: DriveTrain) -> Result<Linear<Length>> {
    Linear::measured(drive, measured.travel_per_turn)
}

keys! {
    struct ScrewedArm {
        /// From the arm's pivot to the arbor.
        arm: Length,
        /// How far the arm's pivot lies below the table's top.
        pivot_depth: Length,
        /// The diameter of the blade.
        blade_diameter: Length,
        /// Screw: from the arm's pivot to the nut's pivot, along the line from the arm's pivot to the arbor.
        nut_along: Length,
        /// Screw: from that line to the nut's pivot, square to it; positive on its upper side.
        nut_across: Option<Length> = "0",
        /// Screw: from the arm's pivot to the screw's pivot on the frame, level, positive towards the blade.
        anchor_ahead: Length,
        /// Screw: how far the screw's pivot stands above the arm's; negative below it.
        anchor_above: Length,
        /// Screw: from the screw's pivot to the nut's at step 0.
        screw_length: Length,
        /// Screw: what the nut travels along the screw in one turn.
        lead: Length,
        /// Screw: which way of the screw raises the arm.
        raised_by: ScrewMotion,
    }
}

keys! {
    struct WormedArm {
        /// From the arm's pivot to the arbor.
        arm: Length,
        /// How far the arm's pivot lies below the table's top.
        pivot_depth: Length,
        /// The diameter of the blade.
        blade_diameter: Length,
        /// Worm and sector: the starts of the worm.
        worm_starts: u32,
        /// Worm and sector: the teeth of the whole wheel of which the sector is a part.
        sector_teeth: u32,
        /// Worm and sector: the elevation of the arm above the horizontal at step 0; negative if it hangs.
        arm_angle: Angle,
    }
}

/// The keys of both, as the reference shows them: those of one drive may be left out for the other's.
fn swing_arm_keys() -> Vec<Key> {
    let mut keys = ScrewedArm::keys();
    keys.extend(WormedArm::keys().split_off(3));
    keys.iter_mut().skip(3).for_each(|key| key.optional = true);
    keys
}

/// An arm with a worm and sector if one of their keys is given, otherwise with a screw.
fn swing_arm(section: &mut Section<'_>, drive: DriveTrain) -> Result<SwingArm> {
    if section.keys().any(|key| ["worm_starts", "sector_teeth", "arm_angle"].contains(&key)) {
        let keys: WormedArm = section.read()?;
        let arm =
            Arm { length: keys.arm, pivot_depth: keys.pivot_depth, blade_diameter: keys.blade_diameter };
        let WormedArm { worm_starts, sector_teeth, arm_angle, .. } = keys;
        return SwingArm::by_sector(drive, arm, Sector { worm_starts, sector_teeth, arm_angle });
    }
    let keys: ScrewedArm = section.read()?;
    let arm = Arm { length: keys.arm, pivot_depth: keys.pivot_depth, blade_diameter: keys.blade_diameter };
    let screw = ArmScrew {
        nut_along: keys.nut_along,
        nut_across: keys.nut_across.unwrap_or(Length::ZERO),
        anchor_ahead: keys.anchor_ahead,
        anchor_above: keys.anchor_above,
        screw_length: keys.screw_length,
        lead: keys.lead,
        raised_by: keys.raised_by,
    };
    SwingArm::by_screw(drive, arm, screw)
}

keys! {
    impl TiltScrew {
        /// From the trunnion's pivot to the nut's pivot on the trunnion.
        nut_distance: Length,
        /// From the trunnion's pivot to the screw's pivot on the frame.
        anchor_distance: Length,
        /// From the screw's pivot to the nut's at step 0, where the tilt is 0.
        screw_length: Length,
        /// What the nut travels along the screw in one turn.
        lead: Length,
        /// Which way of the screw increases the tilt.
        tilted_by: ScrewMotion,
        /// The tilt at the low stop.
        low_stop: Angle,
        /// The tilt at the high stop.
        high_stop: Angle,
    }
}
