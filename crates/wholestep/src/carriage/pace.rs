//! How fast each kind of motion goes.

use num_rational::Ratio;

/// Which of the [`Paces`](super::Paces) a motion keeps to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Pace {
    Travel,
    /// To a target, more slowly than others: so many steps a second, which were checked.
    At(Ratio<u64>),
    Jog,
    Search,
    Latch,
}
