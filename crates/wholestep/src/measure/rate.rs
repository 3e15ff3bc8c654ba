//! Speed, acceleration and jerk.

use core::fmt;
use core::marker::PhantomData;

use super::quantity::Measure;
use super::unit::Unit;
use crate::bounds::{MEASURE_DENOMINATOR_MAX, RATE_MAX};
use crate::error::{Error, ErrorKind, Result};
use crate::exact::Exact;

/// A measure per second to the power `ORDER`, held exactly in base units (mm or deg, and seconds).
///
/// Never negative: the direction of a motion is not part of its rate.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Rate<M, const ORDER: u32>(Exact, PhantomData<M>);

/// A measure per second.
pub type Speed<M> = Rate<M, 1>;
/// A measure per second squared.
pub type Acceleration<M> = Rate<M, 2>;
/// A measure per second cubed.
pub type Jerk<M> = Rate<M, 3>;

impl<M: Measure, const ORDER: u32> Rate<M, ORDER> {
    /// Nought.
    pub const ZERO: Self = Self(Exact::ZERO, PhantomData);

    const NAME: &'static str = match ORDER {
        1 => "speed",
        2 => "acceleration",
        _ => "jerk",
    };

    /// The rate of `value` base units per second to the power `ORDER`.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] when it is negative, larger, or finer than the range holds.
    pub fn from_base(value: Exact) -> Result<Self> {
        let quote = |value| M::quoted_rate(value, M::Unit::BASE, ORDER);
        if value.denominator() > MEASURE_DENOMINATOR_MAX {
            return Err(Error::new(ErrorKind::OutOfRange, Self::NAME)
                .given(quote(value))
                .remedy("give it with fewer digits; the denominator is finer than the range holds"));
        }
        let max = Exact::reduced(RATE_MAX, 1);
        if value.signum() < 0 || value > max {
            return Err(Error::new(ErrorKind::OutOfRange, Self::NAME)
                .given(quote(value))
                .between(quote(Exact::ZERO), quote(max)));
        }
        Ok(Self(value, PhantomData))
    }

    /// The rate of `value` units per second to the power `ORDER`.
    ///
    /// # Errors
    /// As [`from_base`](Self::from_base), and [`ErrorKind::Overflow`].
    pub fn new(value: Exact, unit: M::Unit) -> Result<Self> {
        Self::from_base(value.mul(unit.in_base())?)
    }

    /// The number of base units per second to the power `ORDER`.
    pub const fn base(self) -> Exact {
        self.0
    }
}

impl<M: Measure, const ORDER: u32> fmt::Display for Rate<M, ORDER> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        M::quoted_rate(self.0, M::Unit::BASE, ORDER).fmt(f)
    }
}

impl<M: Measure, const ORDER: u32> fmt::Debug for Rate<M, ORDER> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Rate({self})")
    }
}
