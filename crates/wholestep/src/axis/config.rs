//! What a person sets about an axis.

use super::Rates;
use crate::error::{Result, Value, messages};
use crate::measure::Measure;

/// What a person sets about an axis, apart from its mechanism.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct AxisConfig<Q: Measure> {
    /// The unit in which the axis speaks to people.
    pub unit: Q::Unit,
    /// Where step 0 stands on the axis's scale.
    pub step_zero_at: Q,
    /// The low soft limit: nothing is placed below it.
    pub low: Q,
    /// The high soft limit: nothing is placed above it.
    pub high: Q,
    /// Whether the motor turns the usual way round.
    pub direction: MotorDirection,
    /// From which side a target is approached.
    pub approach: Approach,
    /// The lost motion of the drive, which an approach from one side takes up.
    pub backlash: Q,
    /// How fast it may go.
    pub rates: Rates<Q>,
}

/// Which level of the direction pin raises the step number.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum MotorDirection {
    /// A high level raises the step number.
    #[default]
    Normal,
    /// A high level lowers it.
    Reversed,
}

impl MotorDirection {
    /// Returns the word for it, as files, Python and the command line spell it.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Normal => "normal",
            Self::Reversed => "reversed",
        }
    }

    /// Both, in the order in which they are documented.
    pub const ALL: [Self; 2] = [Self::Normal, Self::Reversed];
}

/// From which side, by measure, a target is approached, so that the drive always rests on the same
/// flank.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Approach {
    /// From whichever side the carriage comes; backlash is then not taken up.
    #[default]
    Either,
    /// From below: a lift whose nut the weight keeps loaded.
    FromBelow,
    /// From above.
    FromAbove,
}

impl Approach {
    /// Returns the side's name, as files, Python and the command line spell it.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Either => "either",
            Self::FromBelow => "from_below",
            Self::FromAbove => "from_above",
        }
    }

    /// Every side, in the order in which they are documented.
    pub const ALL: [Self; 3] = [Self::Either, Self::FromBelow, Self::FromAbove];
}

impl<Q: Measure> AxisConfig<Q> {
    /// Returns the values every axis starts from: step 0 at position 0, the usual direction, no backlash, either
    /// approach.
    pub const fn new(unit: Q::Unit, low: Q, high: Q, rates: Rates<Q>) -> Self {
        Self {
            unit,
            step_zero_at: Q::ZERO,
            low,
            high,
            direction: MotorDirection::Normal,
            approach: Approach::Either,
            backlash: Q::ZERO,
            rates,
        }
    }

    /// `value` as an error quotes it.
    pub(crate) fn quote(&self, value: Q) -> Value {
        value.quoted(self.unit)
    }

    pub(super) fn check(&self) -> Result<()> {
        if self.low >= self.high {
            return Err(messages::LOW_LIMIT.error().given(self.quote(self.low)));
        }
        if self.backlash < Q::ZERO {
            return Err(messages::BACKLASH_BELOW_ZERO
                .error()
                .given(self.quote(self.backlash))
                .at_least(self.quote(Q::ZERO)));
        }
        self.rates.check(self.unit)
    }
}
