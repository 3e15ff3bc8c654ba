//! Mechanisms: what turns a whole motor step into a position of the carriage.
//!
//! [`Mechanism`] is the plug-in point: an author writes [`span`](Mechanism::span) and
//! [`position_at`](Mechanism::position_at), and placement, limits, planning and the bindings follow.

mod affine;
mod drive_train;
mod interpolator;
mod linear;
mod screw_tilt;
mod search;
mod step_bounds;
mod step_mode;
mod swing_arm;
mod thread;
mod tilted_blade;
mod trains;
mod triangle;

use core::ops::RangeInclusive;

pub use drive_train::DriveTrain;
pub use linear::Linear;
pub use screw_tilt::{ScrewTilt, TiltScrew};
pub use search::Located;
pub use step_mode::StepMode;
pub use swing_arm::{Arm, ArmScrew, Sector, SwingArm};
pub use thread::{Hand, Thread, ThreadForm};
pub use tilted_blade::{DepthOfCut, TiltedBlade};
pub use triangle::ScrewMotion;

use crate::error::Result;
use crate::exact::{Enclosure, Exact, Rounding, Width};
use crate::measure::Measure;

/// What turns a whole motor step into a position of the carriage.
///
/// The position must be strictly monotone over the span: always rising, or always falling, as the
/// step number rises. The trait is object-safe for each measure.
///
/// ```
/// use wholestep::{Enclosure, Exact, Length, Measure, Mechanism, Result, Rounding, Width};
///
/// /// A carriage that moves a fortieth of a millimetre a step.
/// struct Slide;
///
/// impl Mechanism for Slide {
///     type Measure = Length;
///     fn span(&self) -> std::ops::RangeInclusive<i64> {
///         0..=40_000
///     }
///     fn position_at(&self, step: i64, _: Width) -> Result<Enclosure<Length>> {
///         Ok(Enclosure::exact(Length::from_base(Exact::new(step.into(), 40)?)?))
///     }
/// }
///
/// let target = Length::from_base(Exact::new(123, 10)?)?;
/// assert_eq!(Slide.locate(target, Rounding::Nearest)?.step, 492);
/// # Ok::<(), wholestep::Error>(())
/// ```
pub trait Mechanism {
    /// What the position is measured in: [`Length`](crate::Length) or [`Angle`](crate::Angle).
    type Measure: Measure;

    /// The steps over which the mechanism is monotone; at most ±2^40.
    fn span(&self) -> RangeInclusive<i64>;

    /// Where the carriage stands at `step`, between bounds no further apart than `width`.
    ///
    /// An exact mechanism returns the same bound twice. Called only for steps of the span.
    ///
    /// # Errors
    /// Whatever keeps the mechanism from answering.
    fn position_at(&self, step: i64, width: Width) -> Result<Enclosure<Self::Measure>>;

    /// The finest width at which [`position_at`](Mechanism::position_at) can answer; 1e-18 unless the
    /// author says otherwise, as where a position is measured and not computed.
    ///
    /// What cannot be told apart at this width is not decided.
    fn finest_width(&self) -> Width {
        Width::FINEST
    }

    /// The step before `target` by the inverse of the mechanism's formula, if it has one.
    ///
    /// It saves the search most of its questions. A wrong one costs time and never the answer, so it
    /// need not be certified.
    fn step_before(&self, _target: Self::Measure) -> Option<i64> {
        None
    }

    /// The step for `target` by `rounding`, found by a certified search.
    ///
    /// The search asks for [`step_before`](Mechanism::step_before) the target and the next; where
    /// that settles nothing, for both ends of the span and then for no more steps than bisection
    /// would. Each only as closely as its comparison needs, beginning with [`Width::COARSE`].
    ///
    /// # Errors
    /// [`ErrorKind::BeyondLimit`](crate::ErrorKind::BeyondLimit) if no step of the span will do,
    /// [`ErrorKind::Mechanism`](crate::ErrorKind::Mechanism) if the mechanism contradicts itself.
    fn locate(&self, target: Self::Measure, rounding: Rounding) -> Result<Located> {
        search::locate(self, target, rounding)
    }

    /// Whether the position rises or falls as the step number rises.
    ///
    /// # Errors
    /// [`ErrorKind::Mechanism`](crate::ErrorKind::Mechanism) if the ends of the span cannot be
    /// told apart.
    fn trend(&self) -> Result<Trend> {
        search::trend(self)
    }

    /// The exact travel of every step, where all are alike and step 0 stands at 0.
    ///
    /// In base units (millimetres, degrees); negative if the position falls. A mechanism that
    /// has one is placed by division instead of a search.
    fn uniform_travel(&self) -> Option<Exact> {
        None
    }

    /// How far the carriage travels from `step` to the next (from the one before, at the last step
    /// of the span), as a magnitude.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a step off the span; whatever
    /// [`position_at`](Mechanism::position_at) returns.
    fn travel_at(&self, step: i64) -> Result<Enclosure<Self::Measure>> {
        search::travel_at(self, step)
    }

    /// Bounds of the travel of one step anywhere in `steps`, as magnitudes.
    ///
    /// Certified only where the mechanism's author overrides it; otherwise the finest and coarsest
    /// of a few hundred samples, and the answer says so.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) unless `steps` are at least two steps
    /// of the span; whatever [`position_at`](Mechanism::position_at) returns.
    fn step_sizes(&self, steps: RangeInclusive<i64>) -> Result<StepSizes<Self::Measure>> {
        search::sampled_step_sizes(self, steps)
    }
}

/// Whether the position rises or falls as the step number rises.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Trend {
    /// A higher step stands at a greater measure.
    Rising,
    /// A higher step stands at a smaller measure.
    Falling,
}

/// The travel of the finest and of the coarsest step of a range.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct StepSizes<M> {
    /// No step travels less.
    pub finest: M,
    /// No step travels more.
    pub coarsest: M,
    /// Whether the two are proven bounds; otherwise they are those of the sampled steps.
    pub certified: bool,
}

macro_rules! forward {
    ($($pointer:ty),*) => { $(
        impl<T: Mechanism + ?Sized> Mechanism for $pointer {
            type Measure = T::Measure;

            fn span(&self) -> RangeInclusive<i64> {
                (**self).span()
            }
            fn position_at(&self, step: i64, width: Width) -> Result<Enclosure<Self::Measure>> {
                (**self).position_at(step, width)
            }
            fn finest_width(&self) -> Width {
                (**self).finest_width()
            }
            fn step_before(&self, target: Self::Measure) -> Option<i64> {
                (**self).step_before(target)
            }
            fn travel_at(&self, step: i64) -> Result<Enclosure<Self::Measure>> {
                (**self).travel_at(step)
            }
            fn locate(&self, target: Self::Measure, rounding: Rounding) -> Result<Located> {
                (**self).locate(target, rounding)
            }
            fn trend(&self) -> Result<Trend> {
                (**self).trend()
            }
            fn uniform_travel(&self) -> Option<Exact> {
                (**self).uniform_travel()
            }
            fn step_sizes(&self, steps: RangeInclusive<i64>) -> Result<StepSizes<Self::Measure>> {
                (**self).step_sizes(steps)
            }
        }
    )* };
}

forward!(&T);
#[cfg(feature = "alloc")]
forward!(alloc::boxed::Box<T>, alloc::sync::Arc<T>);
