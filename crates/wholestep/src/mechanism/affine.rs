//! What a drive turns at a steady rate: the length of a screw, the angle of a sector.

use num_integer::Integer;
use num_rational::Ratio;

use crate::error::{Error, Result, messages};
use crate::exact::{Exact, Interval};

/// `(start + step × travel) / unit`, all whole numbers, so that a step costs no reduction.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Affine {
    start: i128,
    travel: i128,
    unit: i128,
}

impl Affine {
    /// From `start`, by `travel` a step, in parts so small that all of `others` are whole too.
    pub(super) fn new(start: Exact, travel: Exact, others: &[Exact]) -> Result<Self> {
        let mut unit = start.denominator();
        for value in others.iter().chain([&travel]) {
            let common = unit.gcd(&value.denominator());
            unit = unit.checked_mul(value.denominator() / common).ok_or_else(too_fine)?;
        }
        let mut ramp = Self { start: 0, travel: 0, unit };
        ramp.start = ramp.parts(start)?;
        ramp.travel = ramp.parts(travel)?;
        Ok(ramp)
    }

    /// `value` in parts; it is one of those named to [`new`](Self::new).
    pub(super) fn parts(&self, value: Exact) -> Result<i128> {
        value.numerator().checked_mul(self.unit / value.denominator()).ok_or_else(too_fine)
    }

    /// How many parts make one.
    pub(super) const fn unit(&self) -> i128 {
        self.unit
    }

    /// The value at `step`, in parts.
    pub(super) fn at(&self, step: i64) -> Result<i128> {
        self.travel.checked_mul(step.into()).and_then(|n| n.checked_add(self.start)).ok_or_else(too_fine)
    }

    /// The value at `step`.
    pub(super) fn value_at(&self, step: i64) -> Result<Ratio<i128>> {
        Ok(Ratio::new_raw(self.at(step)?, self.unit))
    }

    /// The step before `value`.
    pub(super) fn step_before(&self, value: Interval) -> Result<i64> {
        let start = Interval::of_ratio(Ratio::new_raw(self.start, self.unit));
        let steps = (value - start) / Interval::of_ratio(self.travel());
        i64::try_from(steps.floor()?).map_err(|_| too_fine())
    }

    /// The travel of a step.
    pub(super) const fn travel(&self) -> Ratio<i128> {
        Ratio::new_raw(self.travel, self.unit)
    }
}

pub(super) fn too_fine() -> Error {
    messages::LINKAGE_TOO_FINE.error()
}
