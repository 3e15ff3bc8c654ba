//! A trunnion tilted by a screw across two pivots.

use core::ops::RangeInclusive;

use num_rational::Ratio;

use super::search::{self, checked_range};
use super::triangle::{ScrewMotion, Triangle, enclosure, part, reach, step_sizes};
use super::{DriveTrain, Mechanism, StepSizes, Trend};
use crate::error::{ErrorKind, Result, messages};
use crate::exact::Interval;
use crate::exact::{Enclosure, Exact, Rounding, Width};
use crate::measure::{Angle, AngleUnit, Length, Measure};

/// The screw of a tilting trunnion, as a rule and a protractor measure it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TiltScrew {
    /// From the trunnion's pivot to the nut's pivot on the trunnion.
    pub nut_distance: Length,
    /// From the trunnion's pivot to the screw's pivot on the frame.
    pub anchor_distance: Length,
    /// From the screw's pivot to the nut's at step 0, where the tilt is zero.
    pub screw_length: Length,
    /// What the nut travels along the screw in one turn.
    pub lead: Length,
    /// Which way of the screw increases the tilt.
    pub tilted_by: ScrewMotion,
    /// The tilt at the low stop.
    pub low_stop: Angle,
    /// The tilt at the high stop.
    pub high_stop: Angle,
}

impl TiltScrew {
    fn sides(&self) -> Result<[[Exact; 2]; 2]> {
        let nut = part("nut distance from the trunnion's pivot", "nut_distance", self.nut_distance)?;
        let anchor =
            part("anchor distance from the trunnion's pivot", "anchor_distance", self.anchor_distance)?;
        Ok([[nut, Exact::ZERO], [anchor, Exact::ZERO]])
    }
}

/// A trunnion, with its blade or table, tilted by a screw across two pivots.
///
/// The screw, from its pivot on the frame to the nut's pivot on the trunnion, is the side of a
/// triangle opposite the trunnion's own pivot. With a the [`nut_distance`](TiltScrew::nut_distance),
/// b the [`anchor_distance`](TiltScrew::anchor_distance) and s the length of the screw, which grows by
/// the same travel with every step,
///
/// > γ = arccos((a² + b² − s²) / (2·a·b)), and the tilt is γ − γ₀ (or γ₀ − γ where it is
/// > [`tilted_by`](TiltScrew::tilted_by) shortening),
///
/// γ₀ being γ at step 0. This is the law of cosines (identity; Euclid II.12 and II.13).
///
#[doc = include_str!("../../docs/screw_tilt.svg")]
///
/// # Span
/// From the last step at or below the low stop to the first at or above the high stop, and never
/// nearer than 5 degrees to a dead centre, where the three pivots stand in line. There 0 < γ < 180°,
/// s > 0 and dγ/ds = s / (a·b·sin γ) > 0, so that the tilt is strictly monotone.
///
/// # Travel of a step
/// The travel of a step is dγ/ds somewhere within the step, times the travel of the screw.
/// [`step_sizes`](Mechanism::step_sizes) encloses it over sixty-four pieces of the range, so that its
/// bounds are proven; [`travel_at`](Mechanism::travel_at) is the travel of one step.
///
/// # Exact positions
/// A tilt is exact, and a tie with it decided, if it is a multiple of 30 degrees by rational
/// sides; step 0 stands at 0 exactly. Everything else is irrational and decided by its bounds.
///
/// ```
/// use wholestep::mechanism::{DriveTrain, ScrewMotion, ScrewTilt, StepMode, TiltScrew};
/// use wholestep::{Angle, Enclosure, Measure, Mechanism, Rounding};
///
/// let motor = DriveTrain::new("1.8 deg".parse()?, StepMode::new(8)?)?;
/// let tilt = ScrewTilt::new(
///     motor,
///     TiltScrew {
///         nut_distance: "180 mm".parse()?,
///         anchor_distance: "240 mm".parse()?,
///         screw_length: "200 mm".parse()?,
///         lead: "4 mm".parse()?,
///         tilted_by: ScrewMotion::Lengthening,
///         low_stop: "0 deg".parse()?,
///         high_stop: "45 deg".parse()?,
///     },
/// )?;
/// let located = tilt.locate("22.5 deg".parse()?, Rounding::Nearest)?;
/// assert!(located.is_decided);
/// // At both ends, in degrees: what a step tilts.
/// let rounded = |found: Enclosure<Angle>| found.low().base().round_to(1_000_000, Rounding::Nearest);
/// for (target, travel) in [("0 deg", "0.000813"), ("45 deg", "0.001087")] {
///     let step = tilt.locate(target.parse()?, Rounding::Nearest)?.step;
///     assert_eq!(rounded(tilt.travel_at(step)?)?, travel.parse()?);
/// }
/// # Ok::<(), wholestep::Error>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ScrewTilt {
    screw: TiltScrew,
    triangle: Triangle,
    /// 2·a·b.
    denominator: Exact,
    /// a·b·cos γ₀.
    across_at_rest: Ratio<i128>,
    /// γ₀, in degrees.
    at_rest: Interval,
    first: i64,
    last: i64,
}

impl ScrewTilt {
    /// Makes the trunnion that `drive` tilts by `screw`; a higher step lengthens the screw.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] for a part below 1 mm or above 10 m, a lead that is not positive,
    /// sides that make no triangle or one too near a dead centre, and stops in the wrong order or
    /// nearer than a step; [`ErrorKind::BeyondLimit`] for a stop that the linkage does not reach;
    /// [`ErrorKind::Overflow`] for figures with too many digits.
    pub fn new(drive: DriveTrain, screw: TiltScrew) -> Result<Self> {
        let sides = screw.sides()?;
        let length = part("screw length at step 0", "screw_length", screw.screw_length)?;
        let lead = super::trains::positive("lead", "lead", screw.lead)?;
        if screw.low_stop >= screw.high_stop {
            return Err(messages::LOW_STOP.error().given(screw.low_stop.quoted(AngleUnit::Degree)));
        }
        let triangle = Triangle::new(sides, length, lead.checked_mul(drive.turns_per_step()?)?)?;
        triangle.check_at_rest()?;
        let [[nut, _], [anchor, _]] = sides;
        let denominator = nut.checked_mul(anchor)?.checked_mul(Exact::integer(2))?;
        let (first, last) = reach(|step| triangle.is_clear_at(step));
        let (across_at_rest, at_rest) = (triangle.across(0)?, Interval::of(Exact::ZERO));
        let mut tilt = Self { screw, triangle, denominator, across_at_rest, at_rest, first, last };
        tilt.at_rest = tilt.corner(0)?;
        let low = tilt.reached("low stop", "low_stop", screw.low_stop, Rounding::Below)?;
        let high = tilt.reached("high stop", "high_stop", screw.high_stop, Rounding::Above)?;
        (tilt.first, tilt.last) = (low.min(high), low.max(high));
        Ok(tilt)
    }

    /// Returns the screw.
    pub const fn screw(&self) -> &TiltScrew {
        &self.screw
    }

    fn reached(
        &self,
        subject: &'static str,
        parameter: &'static str,
        stop: Angle,
        rounding: Rounding,
    ) -> Result<i64> {
        match search::locate(self, stop, rounding) {
            Ok(located) => Ok(located.step),
            Err(error) if error.kind() == ErrorKind::BeyondLimit => Err(messages::STOP_BEYOND_SCREW
                .error()
                .of(subject)
                .about(parameter)
                .given(stop.quoted(AngleUnit::Degree))),
            Err(error) => Err(error),
        }
    }

    /// γ at `step`, in degrees.
    fn corner(&self, step: i64) -> Result<Interval> {
        let across = self.triangle.across(step)?;
        let cosine = || {
            let product = across.denom().checked_mul(self.denominator.numerator())?;
            let numerator = across.numer().checked_mul(2)?.checked_mul(self.denominator.denominator())?;
            Some(Ratio::new_raw(numerator, product))
        };
        Ok(match cosine() {
            Some(cosine) => Interval::acos_degrees_of_ratio(cosine),
            None => self.triangle.cosine(step)?.acos_degrees(),
        })
    }

    fn tilt(&self, step: i64) -> Result<Interval> {
        if self.triangle.across(step)? == self.across_at_rest {
            return Ok(Interval::of(Exact::ZERO));
        }
        let turned = self.corner(step)? - self.at_rest;
        Ok(if self.screw.tilted_by == ScrewMotion::Lengthening { turned } else { -turned })
    }

    /// The tilt where it is a multiple of 30 degrees, although γ and γ₀ are not: its cosine,
    /// cos γ·cos γ₀ + √((1 − cos²γ)(1 − cos²γ₀)), is then a rational number, and by Niven's theorem
    /// one of these.
    fn exact_tilt(&self, step: i64) -> Option<Exact> {
        let cosine = |across: Ratio<i128>| {
            let doubled = Exact::new(across.numer().checked_mul(2)?, *across.denom()).ok()?;
            doubled.checked_div(self.denominator).ok()
        };
        let (here, rest) = (cosine(self.triangle.across(step).ok()?)?, cosine(self.across_at_rest)?);
        let sine_squared = |cosine: Exact| Exact::ONE.checked_sub(cosine.checked_mul(cosine).ok()?).ok();
        let sines = sine_squared(here)?.checked_mul(sine_squared(rest)?).ok()?.square_root()?;
        let twice_cosine =
            here.checked_mul(rest).ok()?.checked_add(sines).ok()?.checked_mul(Exact::integer(2)).ok()?;
        let known = [(2, 0), (1, 60), (0, 90), (-1, 120)];
        let (_, size) = known.into_iter().find(|(twice, _)| twice_cosine == Exact::integer(*twice))?;
        let opened = (here < rest) == (self.screw.tilted_by == ScrewMotion::Lengthening);
        Some(Exact::integer(if opened { size } else { -size }))
    }
}

impl Mechanism for ScrewTilt {
    type Measure = Angle;

    fn span(&self) -> RangeInclusive<i64> {
        self.first..=self.last
    }

    fn position_at(&self, step: i64, width: Width) -> Result<Enclosure<Angle>> {
        if width == Width::FINEST
            && let Some(exact) = self.exact_tilt(step)
        {
            return Angle::from_base(exact).map(Enclosure::exact);
        }
        enclosure(self.tilt(step)?, width)
    }

    fn trend(&self) -> Result<Trend> {
        Ok(match self.screw.tilted_by {
            ScrewMotion::Lengthening => Trend::Rising,
            ScrewMotion::Shortening => Trend::Falling,
        })
    }

    fn step_before(&self, target: Angle) -> Option<i64> {
        let turned = Interval::of(target.base());
        let turned = if self.screw.tilted_by == ScrewMotion::Lengthening { turned } else { -turned };
        self.triangle.step_before((self.at_rest + turned).cos_degrees()).ok()
    }

    fn step_sizes(&self, steps: RangeInclusive<i64>) -> Result<StepSizes<Angle>> {
        let range = checked_range(self, &steps)?;
        step_sizes(range, |first, last| Ok(self.triangle.turn_between(first, last)?.to_degrees()))
    }
}
