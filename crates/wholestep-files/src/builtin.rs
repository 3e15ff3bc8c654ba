//! The built-in kinds and the parameters that each takes from a file.

use serde::Deserialize;

use super::section::Section;
use wholestep::axis::AnyMechanism;
use wholestep::error::{Error, ErrorKind, Result};
use wholestep::exact::Exact;
use wholestep::measure::{Angle, Length};
use wholestep::mechanism::{Arm, DriveTrain, Linear, ScrewTilt, SwingArm, Thread};

type Factory = fn(&mut Section<'_>, DriveTrain) -> Result<AnyMechanism>;

pub(super) const BUILT_IN: [(&str, Factory); 8] = [
    ("lead_screw", |section, drive| lead_screw(section, drive).map(AnyMechanism::length)),
    ("belt", |section, drive| belt(&section.read()?, drive).map(AnyMechanism::length)),
    ("rack", |section, drive| rack(&section.read()?, drive).map(AnyMechanism::length)),
    ("drum", |section, drive| drum(&section.read()?, drive).map(AnyMechanism::length)),
    ("measured", |section, drive| measured(&section.read()?, drive).map(AnyMechanism::length)),
    ("rotary", |_, drive| Linear::<Angle>::rotary(drive).map(AnyMechanism::angle)),
    ("swing_arm", |section, drive| swing_arm(section, drive).map(AnyMechanism::length)),
    ("screw_tilt", |section, drive| ScrewTilt::new(drive, section.read()?).map(AnyMechanism::angle)),
];

/// One of `thread`, `pitch` with `starts`, `lead`, or `threads_per_inch` with the `starts` if there are
/// several.
fn lead_screw(section: &mut Section<'_>, drive: DriveTrain) -> Result<Linear<Length>> {
    let thread: Option<Thread> = section.optional("thread")?;
    let pitch: Option<Length> = section.optional("pitch")?;
    let lead: Option<Length> = section.optional("lead")?;
    let threads_per_inch: Option<Exact> = section.optional("threads_per_inch")?;
    let starts: Option<u32> = section.optional("starts")?;
    section.finish()?;
    match (thread, pitch, lead, threads_per_inch) {
        (Some(thread), None, None, None) if starts.is_none() => Linear::lead_screw_by_thread(drive, thread),
        (Some(_), None, None, None) => Err(Error::new(ErrorKind::Key, "starts beside a thread")
            .remedy("write them into the thread, as in Tr8x8(P2) or 1/2-10 Acme, 2 starts")),
        (None, Some(pitch), None, None) => {
            Linear::lead_screw_by_pitch(drive, pitch, section.required("starts")?)
        }
        (None, None, Some(lead), None) if starts.is_none() => Linear::lead_screw_by_lead(drive, lead),
        (None, None, Some(_), None) => Err(Error::new(ErrorKind::Key, "starts beside a lead")
            .remedy("leave starts out; the lead is pitch × starts already")),
        (None, None, None, Some(threads)) => {
            Linear::lead_screw_by_threads_per_inch(drive, threads, starts.unwrap_or(1))
        }
        (None, None, None, None) => Err(Error::new(ErrorKind::Key, "screw without its travel").remedy(WAYS)),
        _ => Err(Error::new(ErrorKind::Key, "screw given in more than one way").remedy(WAYS)),
    }
}

const WAYS: &str =
    "give exactly one of: thread; pitch and starts; lead; threads_per_inch (and starts, if several)";

#[derive(Deserialize)]
struct Belt {
    tooth_pitch: Length,
    pulley_teeth: u32,
}

fn belt(belt: &Belt, drive: DriveTrain) -> Result<Linear<Length>> {
    Linear::belt(drive, belt.tooth_pitch, belt.pulley_teeth)
}

#[derive(Deserialize)]
struct Rack {
    tooth_pitch: Option<Length>,
    module: Option<Length>,
    pinion_teeth: u32,
}

fn rack(rack: &Rack, drive: DriveTrain) -> Result<Linear<Length>> {
    match (rack.tooth_pitch, rack.module) {
        (Some(tooth_pitch), None) => Linear::rack_by_tooth_pitch(drive, tooth_pitch, rack.pinion_teeth),
        (None, Some(module)) => Linear::rack_by_module(drive, module, rack.pinion_teeth),
        (None, None) => {
            Err(Error::new(ErrorKind::Key, "rack without its teeth").remedy("give tooth_pitch or module"))
        }
        (Some(_), Some(_)) => Err(Error::new(ErrorKind::Key, "rack given in more than one way")
            .remedy("give tooth_pitch or module, not both")),
    }
}

#[derive(Deserialize)]
struct Drum {
    diameter: Length,
    rope_thickness: Length,
}

fn drum(drum: &Drum, drive: DriveTrain) -> Result<Linear<Length>> {
    Linear::drum(drive, drum.diameter, drum.rope_thickness)
}

#[derive(Deserialize)]
struct Measured {
    travel_per_turn: Length,
}

fn measured(measured: &Measured, drive: DriveTrain) -> Result<Linear<Length>> {
    Linear::measured(drive, measured.travel_per_turn)
}

/// `arm`, `pivot_depth` and `blade_diameter`; then the parameters of a worm and sector where one of
/// them is given, otherwise those of a screw.
fn swing_arm(section: &mut Section<'_>, drive: DriveTrain) -> Result<SwingArm> {
    let arm = Arm {
        length: section.required("arm")?,
        pivot_depth: section.required("pivot_depth")?,
        blade_diameter: section.required("blade_diameter")?,
    };
    if section.keys().any(|key| ["worm_starts", "sector_teeth", "arm_angle"].contains(&key)) {
        SwingArm::by_sector(drive, arm, section.read()?)
    } else {
        SwingArm::by_screw(drive, arm, section.read()?)
    }
}
