//! Which way the motor turns and which end of the travel is meant.

use crate::mechanism::Trend;
use crate::plan::Direction;

impl Direction {
    /// Returns the other way.
    #[must_use]
    pub const fn reversed(self) -> Self {
        match self {
            Self::Forward => Self::Backward,
            Self::Backward => Self::Forward,
        }
    }

    /// Returns the way from step `here` to step `there`; `None` if they are the same.
    pub const fn between(here: i64, there: i64) -> Option<Self> {
        if there > here {
            Some(Self::Forward)
        } else if there < here {
            Some(Self::Backward)
        } else {
            None
        }
    }
}

/// An end of the travel, by measure: of a lift, the bottom and the top.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum End {
    /// Where the measure is least.
    Low,
    /// Where it is greatest.
    High,
}

impl End {
    /// Both ends.
    pub const BOTH: [Self; 2] = [Self::Low, Self::High];

    /// Returns the end's name, as files, Python and the command line spell it.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Low => "low",
            Self::High => "high",
        }
    }

    /// Returns the other end.
    #[must_use]
    pub const fn other(self) -> Self {
        match self {
            Self::Low => Self::High,
            Self::High => Self::Low,
        }
    }

    /// Returns the way the motor turns to come nearer to this end.
    pub const fn direction(self, trend: Trend) -> Direction {
        match (self, trend) {
            (Self::High, Trend::Rising) | (Self::Low, Trend::Falling) => Direction::Forward,
            (Self::High, Trend::Falling) | (Self::Low, Trend::Rising) => Direction::Backward,
        }
    }

    /// Returns the end that is neared by turning `direction`.
    pub const fn toward(direction: Direction, trend: Trend) -> Self {
        match (direction, trend) {
            (Direction::Forward, Trend::Rising) | (Direction::Backward, Trend::Falling) => Self::High,
            (Direction::Forward, Trend::Falling) | (Direction::Backward, Trend::Rising) => Self::Low,
        }
    }
}
