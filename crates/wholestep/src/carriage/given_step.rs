//! A step as a request gives it: a bare number, or a placement, which knows its machine.

use crate::axis::{Fingerprint, Placement};
use crate::measure::Measure;

/// The step of a request: its bare number, or that of a [`Placement`].
///
/// A placement of another machine is refused by a carriage whose configuration was made from an axis.
/// A bare number is taken as it is.
///
/// ```
/// use wholestep::carriage::GivenStep;
/// assert_eq!(GivenStep::from(400).step(), 400);
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct GivenStep {
    step: i64,
    axis: Option<Fingerprint>,
}

impl GivenStep {
    /// Returns the step number.
    pub const fn step(self) -> i64 {
        self.step
    }

    /// Of which machine it is, if it was given as a placement.
    pub const fn fingerprint(self) -> Option<Fingerprint> {
        self.axis
    }
}

impl From<i64> for GivenStep {
    fn from(step: i64) -> Self {
        Self { step, axis: None }
    }
}

impl<Q: Measure> From<&Placement<Q>> for GivenStep {
    fn from(placement: &Placement<Q>) -> Self {
        Self { step: placement.step(), axis: Some(placement.fingerprint()) }
    }
}

impl<Q: Measure> From<Placement<Q>> for GivenStep {
    fn from(placement: Placement<Q>) -> Self {
        Self::from(&placement)
    }
}
