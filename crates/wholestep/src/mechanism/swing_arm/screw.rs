//! An arm pushed by a screw between two pivots.

use crate::bounds::DEAD_CENTRE_DEGREES;
use crate::error::{Error, Result, messages};
use crate::exact::Exact;
use crate::exact::Interval;
use crate::measure::{Length, LengthUnit, Measure};
use crate::mechanism::DriveTrain;
use crate::mechanism::trains::positive;
use crate::mechanism::triangle::{ScrewMotion, Triangle, part, reach, sine_of};

/// The screw that swings an arm, as rule and square measure it with the arm's pivot as origin.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ArmScrew {
    /// From the arm's pivot to the nut's pivot, along the line from the arm's pivot to the arbor.
    pub nut_along: Length,
    /// From that line to the nut's pivot, square to it; positive on its upper side.
    pub nut_across: Length,
    /// From the arm's pivot to the screw's pivot on the frame, level, positive towards the blade.
    pub anchor_ahead: Length,
    /// How far the screw's pivot stands above the arm's; negative below it.
    pub anchor_above: Length,
    /// From the screw's pivot to the nut's at step 0.
    pub screw_length: Length,
    /// What the nut travels along the screw in one turn.
    pub lead: Length,
    /// Which way of the screw raises the arm.
    pub raised_by: ScrewMotion,
}

impl ArmScrew {
    fn sides(&self) -> [[Exact; 2]; 2] {
        [
            [self.nut_along.base(), self.nut_across.base()],
            [self.anchor_ahead.base(), self.anchor_above.base()],
        ]
    }
}

/// The sine of the arm's elevation as the screw pushes it.
///
/// φ = δ ± γ with δ = β − ψ, so that sin φ = sin δ·cos γ ± cos δ·sin γ. By the coordinates (u, v) of
/// the nut along and across the arm and (x, y) of the screw's pivot, a·b·sin δ = y·u − x·v and
/// a·b·cos δ = x·u + y·v.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Pushed {
    screw: ArmScrew,
    triangle: Triangle,
    /// a·b·sin δ and a·b·cos δ, the latter with the sign of γ.
    turned: [Exact; 2],
    sine: Interval,
    cosine: Interval,
}

impl Pushed {
    pub(super) fn new(drive: DriveTrain, screw: ArmScrew) -> Result<Self> {
        let [nut, anchor] = screw.sides();
        far_enough("nut along and nut across the arm", "nut_along", nut)?;
        far_enough("anchor ahead and anchor above the arm's pivot", "anchor_ahead", anchor)?;
        part("screw length at step 0", "screw_length", screw.screw_length)?;
        let pushed = Self::of(drive, screw)?;
        pushed.triangle.check_at_rest()?;
        if !pushed.is_clear_at(0) {
            return Err(messages::ARM_AT_REST
                .error()
                .given(screw.screw_length.quoted(LengthUnit::Millimetre)));
        }
        Ok(pushed)
    }

    fn of(drive: DriveTrain, screw: ArmScrew) -> Result<Self> {
        let travel = positive("lead", "lead", screw.lead)?.checked_mul(drive.turns_per_step()?)?;
        let [[u, v], [x, y]] = screw.sides();
        let triangle = Triangle::new(screw.sides(), screw.screw_length.base(), travel)?;
        let sine = y.checked_mul(u)?.checked_sub(x.checked_mul(v)?)?;
        let cosine = x.checked_mul(u)?.checked_add(y.checked_mul(v)?)?;
        let cosine = if screw.raised_by == ScrewMotion::Lengthening { cosine } else { -cosine };
        let over_product = |value| Interval::of(value) / triangle.product();
        Ok(Self {
            screw,
            triangle,
            turned: [sine, cosine],
            sine: over_product(sine),
            cosine: over_product(cosine),
        })
    }

    pub(super) const fn motion(&self) -> ScrewMotion {
        self.screw.raised_by
    }

    pub(super) fn span(&self) -> (i64, i64) {
        reach(|step| self.is_clear_at(step))
    }

    fn is_clear_at(&self, step: i64) -> bool {
        let upright = || {
            let corner = self.triangle.cosine(step)?;
            // cos φ = cos δ·cos γ ∓ sin δ·sin γ, times the sign of γ where γ counts the other way.
            let level = self.cosine * corner - self.sine * sine_of(corner);
            let level = if self.motion() == ScrewMotion::Lengthening { level } else { -level };
            let least = Interval::of(Exact::integer(DEAD_CENTRE_DEGREES)).sin_degrees();
            Ok::<_, Error>(least.is_at_most(level))
        };
        self.triangle.is_clear_at(step) && upright().unwrap_or(false)
    }

    pub(super) fn sine(&self, step: i64) -> Result<Interval> {
        let corner = self.triangle.cosine(step)?;
        Ok(self.sine * corner + self.cosine * sine_of(corner))
    }

    /// The step before the arm's elevation has this sine, by γ = ±(φ − δ).
    pub(super) fn step_before(&self, sine: Interval) -> Result<i64> {
        let level = sine_of(sine);
        let level = if self.motion() == ScrewMotion::Lengthening { level } else { -level };
        self.triangle.step_before(self.sine * sine + self.cosine * level)
    }

    /// The sine, where a²·b² − (a·b·cos γ)² is the square of a rational number.
    pub(super) fn exact_sine(&self, step: i64) -> Option<Exact> {
        let across = self.triangle.across(step).ok()?;
        let across = Exact::new(*across.numer(), *across.denom()).ok()?;
        let product_squared = self.triangle.product_squared().ok()?;
        let [sine, cosine] = self.turned;
        let root = if cosine.signum() == 0 {
            Exact::ZERO
        } else {
            product_squared.checked_sub(across.checked_mul(across).ok()?).ok()?.square_root()?
        };
        let sum = sine.checked_mul(across).ok()?.checked_add(cosine.checked_mul(root).ok()?).ok()?;
        sum.checked_div(product_squared).ok()
    }

    /// How much the arm turns a step, in radians, anywhere between two steps.
    pub(super) fn turn_between(&self, first: i64, last: i64) -> Result<Interval> {
        self.triangle.turn_between(first, last)
    }
}

/// A pivot by its two coordinates, at least one millimetre from the arm's pivot and within ten
/// metres of it either way.
fn far_enough(subject: &'static str, parameter: &'static str, [one, other]: [Exact; 2]) -> Result<()> {
    let farther = one.abs().max(other.abs());
    part(subject, parameter, Length::from_base(farther)?).map(drop)
}
