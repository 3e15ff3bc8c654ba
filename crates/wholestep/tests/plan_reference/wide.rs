//! The two signed widths in which a segment is evaluated exactly.

use core::ops::{Add, Div, Mul, Shr, Sub};

use ethnum::I256;

/// A signed integer wide enough for a segment's values: `i128` for usual
/// moves, `I256` for any move the limits allow.
pub(crate) trait Wide:
    Copy
    + Ord
    + From<u64>
    + From<i64>
    + Add<Output = Self>
    + Sub<Output = Self>
    + Mul<Output = Self>
    + Div<Output = Self>
    + Shr<u32, Output = Self>
{
    /// Bits of the magnitude.
    fn bits(self) -> u32;
    /// The lowest 64 bits.
    fn low(self) -> u64;
}

impl Wide for i128 {
    #[inline]
    fn bits(self) -> u32 {
        128 - self.unsigned_abs().leading_zeros()
    }

    #[inline]
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "the low half is what is asked for"
    )]
    fn low(self) -> u64 {
        self as u64
    }
}

impl Wide for I256 {
    fn bits(self) -> u32 {
        256 - self.unsigned_abs().leading_zeros()
    }

    fn low(self) -> u64 {
        self.as_u64()
    }
}

/// Bits of an unsigned 64-bit value.
#[inline]
pub(crate) const fn bits(value: u64) -> u32 {
    64 - value.leading_zeros()
}
