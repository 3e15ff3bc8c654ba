//! A figure between two bounds, in floating point.

use serde::Serialize;

/// A figure between two bounds. Efforts are estimates of physics: their bounds follow from those of the figures
/// that were given, in floating point, and nothing exact is decided by them.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Span {
    /// The lower bound.
    pub low: f64,
    /// The upper bound.
    pub high: f64,
}

impl Span {
    /// Makes the span from `low` to `high`.
    pub const fn new(low: f64, high: f64) -> Self {
        Self { low, high }
    }

    /// The least span that holds all of `values`.
    pub(crate) fn around(values: impl IntoIterator<Item = f64>) -> Self {
        values.into_iter().fold(Self::new(f64::INFINITY, f64::NEG_INFINITY), |span, value| {
            Self::new(span.low.min(value), span.high.max(value))
        })
    }

    /// Each bound changed alike, by something that rises.
    pub(crate) fn map(self, change: impl Fn(f64) -> f64) -> Self {
        Self::new(change(self.low), change(self.high))
    }

    /// Both together, each from its own lower bound to its own upper one.
    pub(crate) fn plus(self, other: Self) -> Self {
        Self::new(self.low + other.low, self.high + other.high)
    }

    /// The bound that is further from zero.
    pub(crate) fn greatest(self) -> f64 {
        self.low.abs().max(self.high.abs())
    }
}
