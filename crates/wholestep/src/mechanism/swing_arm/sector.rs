//! An arm turned by a worm and a sector.

use crate::bounds::DEAD_CENTRE_DEGREES;
use crate::error::{Result, messages};
use crate::exact::Exact;
use crate::exact::Interval;
use crate::measure::{Angle, AngleUnit, Measure, Unit};
use crate::mechanism::DriveTrain;
use crate::mechanism::affine::Affine;
use crate::mechanism::triangle::reach;

/// The worm and the sector that turn an arm.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sector {
    /// The starts of the worm.
    pub worm_starts: u32,
    /// The teeth of the whole wheel of which the sector is a part.
    pub sector_teeth: u32,
    /// The elevation of the arm above the horizontal at step 0; negative if it hangs.
    pub arm_angle: Angle,
}

/// The elevation of the arm, in degrees.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Wormed {
    sector: Sector,
    elevation: Affine,
}

impl Wormed {
    pub(super) fn new(drive: DriveTrain, sector: Sector) -> Result<Self> {
        let most = Exact::integer(90 - DEAD_CENTRE_DEGREES);
        if sector.arm_angle.base().abs() > most {
            return Err(messages::ARM_ANGLE
                .error()
                .given(sector.arm_angle.quoted(AngleUnit::Degree))
                .between(AngleUnit::Degree.quoted(-most), AngleUnit::Degree.quoted(most)));
        }
        let turns = drive.geared(sector.worm_starts, sector.sector_teeth)?.turns_per_step()?;
        let elevation = Affine::new(sector.arm_angle.base(), turns.checked_mul(Exact::integer(360))?, &[])?;
        Ok(Self { sector, elevation })
    }

    pub(super) fn span(&self) -> (i64, i64) {
        let most = i128::from(90 - DEAD_CENTRE_DEGREES);
        reach(|step| {
            let within = |parts: i128| Some(parts.abs() <= most.checked_mul(self.elevation.unit())?);
            self.elevation.at(step).ok().and_then(within).unwrap_or(false)
        })
    }

    pub(super) fn sine(&self, step: i64) -> Result<Interval> {
        Ok(Interval::of_ratio(self.elevation.value_at(step)?).sin_degrees())
    }

    /// The step before the elevation has this sine.
    pub(super) fn step_before(&self, sine: Interval) -> Result<i64> {
        self.elevation.step_before(sine.asin_degrees())
    }

    /// The sine, if it is rational: for rational degrees it is then 0, ±1/2 or ±1.
    pub(super) fn exact_sine(&self, step: i64) -> Option<Exact> {
        let sine = self.sine(step).ok()?.enclosed().ok()?;
        sine.is_exact().then_some(sine.low())
    }

    /// How much the arm turns a step, in radians.
    pub(super) fn turn(&self) -> Interval {
        Interval::of_ratio(self.elevation.travel()).to_radians()
    }
}
