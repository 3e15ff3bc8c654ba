//! A blade that rises on an arm.

mod screw;
mod sector;

use core::ops::RangeInclusive;

pub use screw::ArmScrew;
pub use sector::Sector;

use screw::Pushed;
use sector::Wormed;

use super::search::checked_range;
use super::triangle::{ScrewMotion, enclosure, part, step_sizes};
use super::{DriveTrain, Mechanism, StepSizes, Trend};
use crate::error::{Result, messages};
use crate::exact::Interval;
use crate::exact::{Enclosure, Exact, Width};
use crate::measure::{Length, LengthUnit, Measure};

/// The arm that carries the blade's arbor.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Arm {
    /// From the arm's pivot to the arbor.
    pub length: Length,
    /// How far the arm's pivot lies below the table's top.
    pub pivot_depth: Length,
    /// The diameter of the blade.
    pub blade_diameter: Length,
}

/// A blade whose arbor swings on an arm about a pivot, turned by a screw across a chord or by a worm
/// and a sector.
///
/// With R the arm's length, φ its elevation above the horizontal, D the blade's diameter and d the
/// depth of the pivot below the table, the top of the blade stands
///
/// > R·sin φ + D/2 − d
///
/// above the table (negative: below it). That is the sine of a right-angled triangle; how φ follows
/// from the step is said at [`by_screw`](Self::by_screw) and [`by_sector`](Self::by_sector).
///
#[doc = include_str!("../../../docs/swing_arm.svg")]
///
/// # Span
/// The steps about step 0 at which the arm is at least 5 degrees from upright, above or below, and a
/// screw at least 5 degrees from both dead centres, where its two pivots and the arm's stand in
/// line. There cos φ > 0, so the height is strictly monotone in φ, and φ in the step.
///
/// # Travel of a step
/// The height rises by R·cos φ for a radian: fastest where the arm lies level, and by less and less
/// as it is raised. [`step_sizes`](Mechanism::step_sizes) encloses R·cos φ·dφ over sixty-four pieces
/// of the range, so that its bounds are proven; [`travel_at`](Mechanism::travel_at) is the travel of
/// one step.
///
/// # Exact positions
/// On a screw the sine is a rational number and the square root of one; where that root is rational
/// the position is exact, and so are ties with it. On a sector it is exact at multiples of 30
/// degrees alone (Niven's theorem). Everything else is irrational and decided by its bounds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SwingArm {
    arm: Arm,
    /// D/2 − d.
    above_arbor: Exact,
    drive: DriveTrain,
    turned: Turned,
    first: i64,
    last: i64,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[expect(clippy::large_enum_variant, reason = "the core has no heap to box the larger one in")]
enum Turned {
    Screw(Pushed),
    Sector(Wormed),
}

impl SwingArm {
    /// Returns an arm pushed or pulled by a screw that turns between two pivots, on the frame and on the arm.
    ///
    /// The pivots of arm, nut and screw make a triangle whose third side is the screw; its angle γ at
    /// the arm's pivot follows by the law of cosines, cos γ = (a² + b² − s²) / (2·a·b). The
    /// direction β of the screw's pivot and ψ of the nut's pivot (from the arm's own line) are
    /// fixed, and φ = β − ψ ± γ. Since the pivots are given by rule and square, sin φ needs one square
    /// root and no angle. A higher step lengthens the screw.
    ///
    /// ```
    /// use wholestep::mechanism::{Arm, ArmScrew, DriveTrain, ScrewMotion, StepMode, SwingArm};
    /// use wholestep::{Enclosure, Length, Measure, Mechanism, Rounding};
    ///
    /// let motor = DriveTrain::new("1.8 deg".parse()?, StepMode::new(8)?)?;
    /// let arm = Arm {
    ///     length: "150 mm".parse()?,
    ///     pivot_depth: "140 mm".parse()?,
    ///     blade_diameter: "250 mm".parse()?,
    /// };
    /// let screw = ArmScrew {
    ///     nut_along: "90 mm".parse()?,
    ///     nut_across: "0 mm".parse()?,
    ///     anchor_ahead: "120 mm".parse()?,
    ///     anchor_above: "-160 mm".parse()?,
    ///     screw_length: "150 mm".parse()?,
    ///     lead: "4 mm".parse()?,
    ///     raised_by: ScrewMotion::Lengthening,
    /// };
    /// let blade = SwingArm::by_screw(motor, arm, screw)?;
    /// let located = blade.locate("35 mm".parse()?, Rounding::Nearest)?;
    /// assert!(located.is_decided);
    /// // At both ends, in mm: what a step travels.
    /// let rounded = |found: Enclosure<Length>| found.low().base().round_to(100_000, Rounding::Nearest);
    /// for (height, travel) in [("0 mm", "0.00416"), ("70 mm", "0.00371")] {
    ///     let step = blade.locate(height.parse()?, Rounding::Nearest)?.step;
    ///     assert_eq!(rounded(blade.travel_at(step)?)?, travel.parse()?);
    /// }
    /// # Ok::<(), wholestep::Error>(())
    /// ```
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a part below 1 mm or above 10 m, a lead that is not positive, and
    /// sides that make no triangle, one too near a dead centre, or an arm too near upright at step 0;
    /// [`ErrorKind::Overflow`](crate::ErrorKind::Overflow) for figures with too many digits.
    pub fn by_screw(drive: DriveTrain, arm: Arm, screw: ArmScrew) -> Result<Self> {
        Self::new(drive, arm, &Turned::Screw(Pushed::new(drive, screw)?))
    }

    /// Returns an arm turned by a worm that drives a sector of a wheel fixed to it.
    ///
    /// φ grows by 360 degrees × starts ÷ teeth for a turn of the worm.
    ///
    /// ```
    /// use wholestep::mechanism::{Arm, DriveTrain, Sector, StepMode, SwingArm};
    /// use wholestep::{Mechanism, Width};
    ///
    /// let motor = DriveTrain::new("1.8 deg".parse()?, StepMode::new(10)?)?;
    /// let arm = Arm {
    ///     length: "150 mm".parse()?,
    ///     pivot_depth: "125 mm".parse()?,
    ///     blade_diameter: "250 mm".parse()?,
    /// };
    /// let level = Sector { worm_starts: 1, sector_teeth: 120, arm_angle: "0 deg".parse()? };
    /// let blade = SwingArm::by_sector(motor, arm, level)?;
    /// // Ten turns of the worm raise the arm by 30 degrees, whose sine is a half.
    /// let position = blade.position_at(20_000, Width::FINEST)?;
    /// assert!(position.is_exact() && position.low() == "75 mm".parse()?);
    /// # Ok::<(), wholestep::Error>(())
    /// ```
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for an arm or blade below 1 mm or above 10 m, teeth outside 1 to
    /// 10,000, and an arm within 5 degrees of upright at step 0; [`ErrorKind::Overflow`](crate::ErrorKind::Overflow) for figures
    /// with too many digits.
    pub fn by_sector(drive: DriveTrain, arm: Arm, sector: Sector) -> Result<Self> {
        Self::new(drive, arm, &Turned::Sector(Wormed::new(drive, sector)?))
    }

    fn new(drive: DriveTrain, arm: Arm, turned: &Turned) -> Result<Self> {
        part("arm", "arm", arm.length)?;
        let radius =
            part("blade diameter", "blade_diameter", arm.blade_diameter)?.checked_div(Exact::integer(2))?;
        let above_arbor = radius.checked_sub(arm.pivot_depth.base())?;
        Length::from_base(above_arbor)?;
        let (first, last) = match turned {
            Turned::Screw(screw) => screw.span(),
            Turned::Sector(sector) => sector.span(),
        };
        if first >= last {
            return Err(messages::SWINGS_PAST_SPAN.error().given(arm.length.quoted(LengthUnit::Millimetre)));
        }
        Ok(Self { arm, above_arbor, drive, turned: *turned, first, last })
    }

    /// Returns the arm.
    pub const fn arm(&self) -> &Arm {
        &self.arm
    }

    fn sine(&self, step: i64) -> Result<Interval> {
        match &self.turned {
            Turned::Screw(screw) => screw.sine(step),
            Turned::Sector(sector) => sector.sine(step),
        }
    }

    /// The height where the sine is rational.
    fn exact_height(&self, step: i64) -> Option<Length> {
        let sine = match &self.turned {
            Turned::Screw(screw) => screw.exact_sine(step)?,
            Turned::Sector(sector) => sector.exact_sine(step)?,
        };
        let raised = self.arm.length.base().checked_mul(sine).ok()?;
        Length::from_base(raised.checked_add(self.above_arbor).ok()?).ok()
    }
}

impl Mechanism for SwingArm {
    type Measure = Length;

    fn span(&self) -> RangeInclusive<i64> {
        self.first..=self.last
    }

    fn position_at(&self, step: i64, width: Width) -> Result<Enclosure<Length>> {
        if width == Width::FINEST
            && let Some(exact) = self.exact_height(step)
        {
            return Ok(Enclosure::exact(exact));
        }
        let raised = Interval::of(self.arm.length.base()) * self.sine(step)?;
        enclosure(raised + Interval::of(self.above_arbor), width)
    }

    fn trend(&self) -> Result<Trend> {
        Ok(match &self.turned {
            Turned::Screw(screw) if screw.motion() == ScrewMotion::Shortening => Trend::Falling,
            _ => Trend::Rising,
        })
    }

    fn step_before(&self, target: Length) -> Option<i64> {
        let raised = Interval::of(target.base().checked_sub(self.above_arbor).ok()?);
        let sine = raised / Interval::of(self.arm.length.base());
        match &self.turned {
            Turned::Screw(screw) => screw.step_before(sine).ok(),
            Turned::Sector(sector) => sector.step_before(sine).ok(),
        }
    }

    fn step_sizes(&self, steps: RangeInclusive<i64>) -> Result<StepSizes<Length>> {
        let length = Interval::of(self.arm.length.base());
        step_sizes(checked_range(self, &steps)?, |first, last| {
            let sines = self.sine(first)?.hull(self.sine(last)?);
            let cosine = super::triangle::sine_of(sines);
            let turn = match &self.turned {
                Turned::Screw(screw) => screw.turn_between(first, last)?,
                Turned::Sector(sector) => sector.turn(),
            };
            Ok(length * cosine * turn)
        })
    }
}
