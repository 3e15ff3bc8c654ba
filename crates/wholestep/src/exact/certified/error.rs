//! What an interval refuses.

use core::fmt;

/// Why an interval could not be formed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum IntervalError {
    /// A bound would reach 2^31 in size, or bounds were given in the wrong order.
    Range,
    /// A square root reaches below 0, or an arc sine or arc cosine beyond 1 in size.
    Domain,
    /// A divisor, or the cosine under a tangent, may be zero, or a denominator is not positive.
    ZeroDivisor,
    /// A width below 1e-18 was asked for.
    Width,
    /// The interval is wider than the width asked for.
    TooWide,
}

impl fmt::Display for IntervalError {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(match self {
            Self::Range => "a bound reaches 2147483648 in size, or the bounds are crossed",
            Self::Domain => "a square root may reach below 0, or an arc sine or arc cosine beyond 1",
            Self::ZeroDivisor => "the divisor may be zero, or the tangent may pass its pole",
            Self::Width => "the width asked for must be 1e-18 or more",
            Self::TooWide => "the value is not known as closely as was asked",
        })
    }
}

impl core::error::Error for IntervalError {}
