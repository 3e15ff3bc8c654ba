//! A lead screw's step by division is the step that bisection finds, whatever the figures.
#![no_main]

use std::ops::RangeInclusive;

use libfuzzer_sys::fuzz_target;
use wholestep::mechanism::{DriveTrain, Linear, StepMode};
use wholestep::{Angle, Enclosure, Exact, Length, Measure, Mechanism, Result, Rounding, Width};

/// The same positions without the closed form.
struct Searched(Linear<Length>);

impl Mechanism for Searched {
    type Measure = Length;
    fn span(&self) -> RangeInclusive<i64> {
        self.0.span()
    }
    fn position_at(&self, step: i64, width: Width) -> Result<Enclosure<Length>> {
        self.0.position_at(step, width)
    }
}

fn length(numerator: i64, denominator: u32) -> Result<Length> {
    Length::from_base(Exact::new(numerator.into(), denominator.into())?)
}

type MachineData = (u16, u32, u32, u8, i64, u32);

fn screw((step_angle_tenths, division, pitch_thousandths, starts, ..): MachineData) -> Result<Linear<Length>> {
    let step_angle = Angle::from_base(Exact::new(step_angle_tenths.into(), 10)?)?;
    let drive = DriveTrain::new(step_angle, StepMode::new(division)?)?;
    Linear::lead_screw_by_pitch(drive, length(pitch_thousandths.into(), 1000)?, starts.into())
}

fuzz_target!(|figures: MachineData| {
    let (.., numerator, denominator) = figures;
    let (Ok(screw), Ok(target)) = (screw(figures), length(numerator, denominator)) else { return };
    for rounding in [Rounding::Nearest, Rounding::Below, Rounding::Above] {
        let (divided, searched) = (screw.locate(target, rounding), Searched(screw).locate(target, rounding));
        match (divided, searched) {
            (Ok(divided), Ok(searched)) => assert_eq!(divided, searched, "{rounding:?}"),
            (Err(divided), Err(searched)) => assert_eq!(divided.kind(), searched.kind(), "{rounding:?}"),
            (divided, searched) => panic!("{rounding:?}: {divided:?} by division, {searched:?} by bisection"),
        }
    }
});
