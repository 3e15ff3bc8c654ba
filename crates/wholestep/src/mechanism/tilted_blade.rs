//! What a tilted blade cuts: how deep, and how far from the fence.

use core::ops::RangeInclusive;

use super::step_bounds::position_at;
use super::triangle::enclosure;
use super::{Mechanism, Trend};
use crate::error::{Result, messages};
use crate::exact::Interval;
use crate::exact::{Enclosure, Exact, Width};
use crate::measure::{Angle, AngleUnit, Length, LengthUnit, Measure, Unit};

/// The tilt beyond which no depth is computed, in degrees.
const TILT_MAX: i64 = 80;

/// A blade that tilts with its height axis about a pivot, and what follows for depth and fence.
///
/// Seen along the cut, with the fence on the right and the table's top at 0:
///
#[doc = include_str!("../../docs/tilted_blade.svg")]
///
/// The pivot lies `d` below the table and `p` from the blade's face towards the fence (negative:
/// away from it), at tilt 0. The tilt θ is positive if the blade's top leans away from the fence.
/// The height `h` is what the height axis says: that of the blade's top at tilt 0, which the trunnion
/// carries round with everything else. A point `x` right of the face and `y` above the table turns to
///
/// > p + (x − p)·cos θ − (y + d)·sin θ to the right and −d + (x − p)·sin θ + (y + d)·cos θ up
///
/// (identity: rotation about a point). The blade's corners (0, h) and
/// (−kerf, h) and the line of its face give what the methods return.
///
/// A blade of another diameter than the one for which the height axis was set up stands higher by
/// half of the difference.
///
/// ```
/// use wholestep::mechanism::TiltedBlade;
/// use wholestep::{Angle, Enclosure, Length, Measure};
///
/// let blade = TiltedBlade::new(
///     "250 mm".parse()?, // on the arbor
///     "250 mm".parse()?, // for which the height axis was set up
///     "2.8 mm".parse()?,
///     "20 mm".parse()?,
///     "1.4 mm".parse()?,
/// )?;
/// let tilt = Enclosure::exact("45 deg".parse::<Angle>()?);
/// let depth = blade.depth_of_cut(Enclosure::exact("60 mm".parse()?), tilt)?;
/// assert!(depth.low() > "35.5785 mm".parse()? && depth.high() < "35.5786 mm".parse()?);
/// // Away from the fence leans the face: the fence follows it by this much.
/// let correction = blade.fence_correction(tilt, Length::ZERO)?;
/// assert!(correction.high() < "-20.5798 mm".parse()?);
/// # Ok::<(), wholestep::Error>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TiltedBlade {
    /// Half of what the blade is larger than the one the height axis was set up with.
    larger: Exact,
    kerf: Exact,
    pivot_depth: Exact,
    pivot_offset: Exact,
}

/// Where everything stays as the height axis says, exactly.
const UPRIGHT: Enclosure<Angle> = Enclosure::exact(Angle::ZERO);

/// Sine and cosine of the tilt.
struct Turn {
    upright: bool,
    sine: Interval,
    cosine: Interval,
}

impl TiltedBlade {
    /// Makes a blade of `diameter` and `kerf` on an axis set up with one of `axis_diameter`; the pivot
    /// `pivot_depth` below the table and `pivot_offset` from the blade's face towards the fence.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a diameter or kerf that is not positive, or a pivot above the
    /// table or farther than ten metres.
    pub fn new(
        diameter: Length,
        axis_diameter: Length,
        kerf: Length,
        pivot_depth: Length,
        pivot_offset: Length,
    ) -> Result<Self> {
        let positive = super::trains::positive;
        let larger = positive("blade diameter", "blade_diameter", diameter)?.checked_sub(positive(
            "axis diameter",
            "axis_diameter",
            axis_diameter,
        )?)?;
        for (subject, length, least) in
            [("pivot depth", pivot_depth, 0), ("pivot offset", pivot_offset, -10_000)]
        {
            let (least, most) = (Exact::integer(least), Exact::integer(10_000));
            if length.base() < least || length.base() > most {
                return Err(messages::VALUE
                    .error()
                    .of(subject)
                    .given(length.quoted(LengthUnit::Millimetre))
                    .between(LengthUnit::Millimetre.quoted(least), LengthUnit::Millimetre.quoted(most)));
            }
        }
        Ok(Self {
            larger: larger.checked_div(Exact::integer(2))?,
            kerf: positive("kerf", "kerf", kerf)?,
            pivot_depth: pivot_depth.base(),
            pivot_offset: pivot_offset.base(),
        })
    }

    /// Returns how far the highest point of the blade stands above the table, square to it; negative below.
    ///
    /// > (h + d)·cos θ − p·sin θ − d, or with p + kerf for p where the blade leans to the fence,
    /// > because then the corner away from the fence is the higher.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a tilt beyond 80 degrees.
    pub fn depth_of_cut(
        &self,
        height: Enclosure<Length>,
        tilt: Enclosure<Angle>,
    ) -> Result<Enclosure<Length>> {
        if tilt == UPRIGHT {
            return height.shifted(self.larger);
        }
        let depth = self.depth(Interval::around(height.base()), &Self::turn(tilt)?)?;
        depth.enclosed()?.map(Length::from_base)
    }

    /// Returns how far to the right of where it stands at tilt 0 the blade's face, towards the fence, crosses
    /// the height `level` above the table: what the fence moves by so that its distance to the cut
    /// stays the same there. Level 0 is the underside of the piece, its thickness the upper side.
    ///
    /// > p·(1 − 1/cos θ) − (d + level)·tan θ
    ///
    /// Negative where the face leans away, so that the fence follows it. The distance from the fence
    /// without a correction grows by as much as this is negative.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a tilt beyond 80 degrees.
    pub fn fence_correction(&self, tilt: Enclosure<Angle>, level: Length) -> Result<Enclosure<Length>> {
        if tilt == UPRIGHT {
            return Ok(Enclosure::exact(Length::ZERO));
        }
        let turn = Self::turn(tilt)?;
        let offset = Interval::of(self.pivot_offset);
        let lever = Interval::of(self.pivot_depth.checked_add(level.base())?);
        // p − (p + (d + level)·sin θ) / cos θ, in which each tilt stands once or twice only.
        let over = (offset + lever * turn.sine) / turn.cosine;
        (offset - over).enclosed()?.map(Length::from_base)
    }

    /// Returns the width of the cut in the plane of the table: kerf / cos θ.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a tilt beyond 80 degrees.
    pub fn kerf_at_table(&self, tilt: Enclosure<Angle>) -> Result<Enclosure<Length>> {
        if tilt == UPRIGHT {
            return Length::from_base(self.kerf).map(Enclosure::exact);
        }
        let width = Interval::of(self.kerf) / Self::turn(tilt)?.cosine;
        width.enclosed()?.map(Length::from_base)
    }

    /// Returns the height axis seen as an axis of the depth of cut at one tilt, so that a depth is placed on
    /// its steps as a height is.
    ///
    /// `tilt` is where the tilt axis stands: the position of its step, not what it was asked for.
    ///
    /// ```
    /// use wholestep::mechanism::{Arm, DriveTrain, Sector, StepMode, SwingArm, TiltedBlade};
    /// use wholestep::{Angle, Enclosure, Mechanism, Rounding};
    ///
    /// let motor = DriveTrain::new("1.8 deg".parse()?, StepMode::new(10)?)?;
    /// let arm = Arm {
    ///     length: "150 mm".parse()?,
    ///     pivot_depth: "125 mm".parse()?,
    ///     blade_diameter: "250 mm".parse()?,
    /// };
    /// let level = Sector { worm_starts: 1, sector_teeth: 120, arm_angle: "0 deg".parse()? };
    /// let height = SwingArm::by_sector(motor, arm, level)?;
    /// let blade = TiltedBlade::new(
    ///     "250 mm".parse()?,
    ///     "250 mm".parse()?,
    ///     "2.8 mm".parse()?,
    ///     "20 mm".parse()?,
    ///     "1.4 mm".parse()?,
    /// )?;
    /// let tilt = Enclosure::exact("45 deg".parse::<Angle>()?);
    /// let depths = blade.at_tilt(&height, tilt)?;
    /// let located = depths.locate("20 mm".parse()?, Rounding::Above)?;
    /// let there = blade.depth_of_cut(height.position_at(located.step, height.finest_width())?, tilt)?;
    /// assert!(located.is_decided && there.low() >= "20 mm".parse()?);
    /// # Ok::<(), wholestep::Error>(())
    /// ```
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a tilt beyond 80 degrees.
    pub fn at_tilt<H: Mechanism<Measure = Length>>(
        &self,
        height: H,
        tilt: Enclosure<Angle>,
    ) -> Result<DepthOfCut<H>> {
        let mut depths = DepthOfCut { blade: *self, height, turn: Self::turn(tilt)?, finest: Width::FINEST };
        depths.finest = depths.finest_there_is()?;
        Ok(depths)
    }

    fn turn(tilt: Enclosure<Angle>) -> Result<Turn> {
        let most = Exact::integer(TILT_MAX);
        if tilt.low().base() < -most || tilt.high().base() > most {
            let given = if tilt.high().base() > most { tilt.high() } else { tilt.low() };
            return Err(messages::TILT
                .error()
                .given(given.quoted(AngleUnit::Degree))
                .between(AngleUnit::Degree.quoted(-most), AngleUnit::Degree.quoted(most)));
        }
        let (upright, tilt) = (tilt == UPRIGHT, Interval::around(tilt.base()));
        Ok(Turn { upright, sine: tilt.sin_degrees(), cosine: tilt.cos_degrees() })
    }

    fn depth(&self, height: Interval, turn: &Turn) -> Result<Interval> {
        let depth = Interval::of(self.pivot_depth);
        let level = (height + Interval::of(self.larger) + depth) * turn.cosine - depth;
        let corner = |offset| level - Interval::of(offset) * turn.sine;
        let (near, far) = (corner(self.pivot_offset), corner(self.pivot_offset.checked_add(self.kerf)?));
        let upright = Interval::of(Exact::ZERO);
        let (leans_away, leans_to) = (upright.is_at_most(turn.sine), turn.sine.is_at_most(upright));
        Ok(match (leans_away, leans_to) {
            (true, _) => near,
            (_, true) => far,
            // About upright either corner may be the higher.
            _ => near.hull(far),
        })
    }
}

/// The depth of cut at one tilt, by the steps of a height axis; made by [`TiltedBlade::at_tilt`].
pub struct DepthOfCut<H> {
    blade: TiltedBlade,
    height: H,
    turn: Turn,
    finest: Width,
}

impl<H: Mechanism<Measure = Length>> DepthOfCut<H> {
    /// The finest width that the tilt and the height axis leave over the whole span.
    fn finest_there_is(&self) -> Result<Width> {
        let finest = self.height.finest_width();
        if self.turn.upright {
            // Moved by what is not a multiple of 2^-62, bounds are rounded outward once more.
            let spare = u8::from(self.blade.larger != Exact::ZERO);
            return Ok(Width::decimals(finest.as_decimals().saturating_sub(spare))?);
        }
        let mut decimals = finest.as_decimals();
        let (first, last) = self.height.span().into_inner();
        for step in [first, last] {
            // The widest a height can be; and the lever of the tilt is longest at an end.
            let low = position_at(&self.height, step, finest)?.low().base();
            let height = Interval::spanning(low, low.checked_add(finest.as_exact())?);
            let depth = self.blade.depth(height, &self.turn)?.enclosed()?;
            let twice = depth.high().checked_sub(depth.low())?.checked_mul(Exact::integer(2))?;
            while decimals > 0 && twice > Width::decimals(decimals)?.as_exact() {
                decimals -= 1;
            }
        }
        Ok(Width::decimals(decimals)?)
    }
}

impl<H: Mechanism<Measure = Length>> Mechanism for DepthOfCut<H> {
    type Measure = Length;

    fn span(&self) -> RangeInclusive<i64> {
        self.height.span()
    }

    fn finest_width(&self) -> Width {
        self.finest
    }

    fn position_at(&self, step: i64, width: Width) -> Result<Enclosure<Length>> {
        if self.turn.upright {
            return position_at(&self.height, step, width)?.shifted(self.blade.larger);
        }
        // The height as closely as it is known: its width is a part of that of the depth.
        let height = position_at(&self.height, step, self.height.finest_width())?;
        enclosure(self.blade.depth(Interval::around(height.base()), &self.turn)?, width)
    }

    fn trend(&self) -> Result<Trend> {
        self.height.trend()
    }
}
