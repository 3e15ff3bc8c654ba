//! What exact arithmetic refuses.

/// Why a number, a bound or an interval could not be formed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum ArithmeticError {
    /// A denominator or divisor of 0, a divisor whose bounds hold 0, or a tangent at its pole.
    DivisionByZero,
    /// A number that is too large, or has too many digits, for the integers that hold it.
    Overflow,
    /// A square root of less than 0, or an arc sine or arc cosine of more than 1.
    Domain,
    /// Bounds that were given in the wrong order.
    CrossedBounds,
    /// Bounds that lie further apart than the width that was asked for.
    TooWide,
    /// More decimals than there are.
    Decimals(u8),
    /// A width of more decimals than there are.
    WidthDecimals(u8),
}
