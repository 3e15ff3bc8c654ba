//! Sums, products, quotients and roots, each rounded outward to a multiple of 2^-96.

use super::ArithmeticError;
use super::fixed::{FRACTION_BITS, Fixed, around, positive, rounded_outward};
use super::u256::{U256, product, quotient, root};
use core::ops::Neg;
use num_rational::Ratio;

impl Neg for Fixed {
    type Output = Self;

    fn neg(self) -> Self {
        Self { low: -self.high, high: -self.low }
    }
}

impl Fixed {
    /// self + other; rounds nothing.
    pub(super) fn plus(self, other: Self) -> Result<Self, ArithmeticError> {
        Ok(Self { low: sum(self.low, other.low)?, high: sum(self.high, other.high)? })
    }

    /// self - other; rounds nothing.
    pub(super) fn minus(self, other: Self) -> Result<Self, ArithmeticError> {
        self.plus(-other)
    }

    /// self × other.
    pub(super) fn times(self, other: Self) -> Result<Self, ArithmeticError> {
        let first = multiplied(self.low, other.low)?;
        if self.low == self.high && other.low == other.high {
            return Ok(first);
        }
        let corners = [
            multiplied(self.low, other.high)?,
            multiplied(self.high, other.low)?,
            multiplied(self.high, other.high)?,
        ];
        Ok(corners.into_iter().fold(first, Self::hull))
    }

    /// self × self, which knows that both factors are the same number.
    pub(super) fn square(self) -> Result<Self, ArithmeticError> {
        let both = self.each_end(|end| multiplied(end, end))?;
        let low = if self.low < 0 && self.high > 0 { 0 } else { both.low };
        Ok(Self { low, high: both.high })
    }

    /// self ÷ other.
    pub(super) fn over(self, other: Self) -> Result<Self, ArithmeticError> {
        ratio_of((self.low, self.high), (other.low, other.high))
    }

    /// Returns the square root. Near zero the width of the root is as large as the root of the width: where
    /// the square is a rational, [`Fixed::sqrt_of_ratio`] does not suffer from that.
    pub(super) fn sqrt(self) -> Result<Self, ArithmeticError> {
        if self.low < 0 {
            return Err(ArithmeticError::Domain);
        }
        self.each_end(|end| {
            let (whole, exact) = root(product(end.unsigned_abs(), 1 << FRACTION_BITS));
            around(whole, exact, false)
        })
    }

    /// Returns the square root of a rational, to 2^-96 however small it is.
    pub(super) fn sqrt_of_ratio(square: Ratio<i128>) -> Result<Self, ArithmeticError> {
        let denominator = positive(*square.denom())?;
        let numerator = u128::try_from(*square.numer()).map_err(|_| ArithmeticError::Domain)?;
        let (whole, exact) =
            root_of_quotient(numerator, denominator, FRACTION_BITS).ok_or(ArithmeticError::Overflow)?;
        around(whole, exact, false)
    }

    /// The interval around what a monotone function gives at both ends.
    pub(super) fn each_end(
        self,
        function: impl Fn(i128) -> Result<Self, ArithmeticError>,
    ) -> Result<Self, ArithmeticError> {
        let at_low = function(self.low)?;
        if self.low == self.high {
            return Ok(at_low);
        }
        Ok(at_low.hull(function(self.high)?))
    }
}

/// dividend ÷ divisor, where both are bounds in multiples of one unit, whichever it is.
pub(super) fn ratio_of(dividend: (i128, i128), divisor: (i128, i128)) -> Result<Fixed, ArithmeticError> {
    let ((low, high), (least, most)) = match divisor {
        (least, most) if least > 0 => (dividend, (least, most)),
        (least, most) if most < 0 => ((-dividend.1, -dividend.0), (-most, -least)),
        _ => return Err(ArithmeticError::DivisionByZero),
    };
    let below = divided(low, if low < 0 { least } else { most })?;
    if low == high && least == most {
        return Ok(below);
    }
    let above = divided(high, if high < 0 { most } else { least })?;
    Ok(Fixed { low: below.low, high: above.high })
}

/// √(numerator / denominator) in multiples of 2^-`bits`, rounded down, and whether nothing was cut
/// off; 64 < `bits` < 128. `None` if it needs more than 128 bits.
pub(super) fn root_of_quotient(numerator: u128, denominator: u128, bits: u32) -> Option<(u128, bool)> {
    // The radicand to 2·bits binary places: whole part, 128 places, then the rest of them.
    let more = 2 * bits - 128;
    let whole = numerator.checked_div(denominator)?;
    let rest = numerator - whole * denominator;
    let (places, rest) = quotient(U256 { high: rest, low: 0 }, denominator)?;
    let tail = U256 { high: rest >> (128 - more), low: rest << more };
    let (tail, rest) = quotient(tail, denominator)?;
    if whole >> (128 - more) != 0 {
        return None;
    }
    let high = (whole << more) | (places >> (128 - more));
    let (root, exact) = root(U256 { high, low: (places << more) | tail });
    Some((root, exact && rest == 0))
}

fn sum(a: i128, b: i128) -> Result<i128, ArithmeticError> {
    a.checked_add(b).filter(|sum| *sum != i128::MIN).ok_or(ArithmeticError::Overflow)
}

fn multiplied(a: i128, b: i128) -> Result<Fixed, ArithmeticError> {
    let (whole, exact) = product(a.unsigned_abs(), b.unsigned_abs())
        .shifted_right(FRACTION_BITS)
        .ok_or(ArithmeticError::Overflow)?;
    around(whole, exact, (a < 0) != (b < 0))
}

/// a ÷ b for b above zero.
fn divided(a: i128, b: i128) -> Result<Fixed, ArithmeticError> {
    rounded_outward(product(a.unsigned_abs(), 1 << FRACTION_BITS), b.unsigned_abs(), a < 0)
}
