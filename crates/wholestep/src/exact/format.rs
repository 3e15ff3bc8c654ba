//! Writing numbers out: exact decimals, mixed numbers, and decimals that are rounded.

use core::fmt;

use super::long_division::divide_128;
use super::{ArithmeticError, Exact, Result, Rounding};
use crate::bounds::DECIMALS_MAX;

/// Most places of a decimal that stands for an exact value; what needs more is a fraction.
pub(crate) const EXACT_PLACES: u8 = 12;

/// In front of a decimal that is not the value itself.
pub(crate) const ABOUT: &str = "≈ ";

/// Refuses more decimals than there are.
pub(crate) fn check_places(places: u8) -> Result<()> {
    if places > DECIMALS_MAX {
        return Err(ArithmeticError::Decimals(places));
    }
    Ok(())
}

/// A decimal that says when it is rounded.
pub(crate) struct Rounded(Decimal);

pub(super) fn rounded(value: Exact, places: u8) -> Result<Rounded> {
    check_places(places)?;
    Ok(Rounded(Decimal::nearest(value, places)))
}

impl fmt::Display for Rounded {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}{}", if self.0.is_exact { "" } else { ABOUT }, self.0)
    }
}

/// A decimal of a fixed number of places, and whether it is the value itself.
pub(crate) struct Decimal {
    pub(crate) negative: bool,
    whole: u128,
    part: u128,
    places: u8,
    pub(crate) is_exact: bool,
}

impl Decimal {
    /// Rounds to `places` (at most 37) decimals; of two equally near, the one with the even last
    /// digit.
    pub(crate) fn nearest(value: Exact, places: u8) -> Self {
        let denominator = value.denominator().unsigned_abs();
        let magnitude = value.numerator().unsigned_abs();
        let (mut whole, mut rest) = divide_128(magnitude, denominator);
        let (mut part, mut scale) = (0, 1);
        for _ in 0..places {
            let (digit, left) = next_digit(rest, denominator);
            (part, scale, rest) = (part * 10 + digit, scale * 10, left);
        }
        let is_exact = rest == 0;
        let odd = if places == 0 { whole } else { part } & 1 == 1;
        let other = denominator - rest;
        if rest > other || (rest == other && odd) {
            part += 1;
            if part == scale {
                (whole, part) = (whole + 1, 0);
            }
        }
        let negative = value.signum() < 0 && (whole, part) != (0, 0);
        Self { negative, whole, part, places, is_exact }
    }

    /// The value itself in as few places as it needs, or `None` if it needs more than
    /// [`EXACT_PLACES`].
    pub(crate) fn exact(value: Exact) -> Option<Self> {
        let mut scale: i128 = 1;
        for places in 0..=EXACT_PLACES {
            if scale % value.denominator() == 0 {
                return Some(Self::nearest(value, places));
            }
            scale *= 10;
        }
        None
    }

    /// How many times `size` goes into the whole part, and the decimal that is left, unsigned.
    pub(crate) const fn parted(&self, size: u128) -> (u128, Self) {
        let left = Self { negative: false, whole: self.whole % size, ..*self };
        (self.whole / size, left)
    }

    /// Whether every digit is 0.
    pub(crate) const fn is_zero(&self) -> bool {
        self.whole == 0 && self.part == 0
    }
}

impl fmt::Display for Decimal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sign = if self.negative { "-" } else { "" };
        write!(f, "{sign}{}", self.whole)?;
        if self.places == 0 {
            return Ok(());
        }
        write!(f, ".{:01$}", self.part, usize::from(self.places))
    }
}

/// The next digit of `rest / denominator` and what it leaves, for `rest < denominator ≤ 2^126`.
fn next_digit(rest: u128, denominator: u128) -> (u128, u128) {
    let (mut digit, mut left) = (0, 0);
    // Ten times the rest may not fit, so it is doubled and added along the bits of ten.
    for bit in [1, 0, 1, 0] {
        left = 2 * left + bit * rest;
        let (whole, rest) = divide_128(left, denominator);
        (digit, left) = (2 * digit + whole, rest);
    }
    (digit, left)
}

/// Writes a mixed number, `-1-3/8`.
pub(crate) struct Mixed(pub(crate) Exact);

impl fmt::Display for Mixed {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let denominator = self.0.denominator();
        let (whole, rest) = Rounding::Below.split(self.0.numerator().abs(), denominator);
        let sign = if self.0.signum() < 0 { "-" } else { "" };
        match (whole, rest) {
            (_, 0) => write!(f, "{sign}{whole}"),
            (0, _) => write!(f, "{sign}{rest}/{denominator}"),
            _ => write!(f, "{sign}{whole}-{rest}/{denominator}"),
        }
    }
}

/// Writes the exact decimal if it has at most [`EXACT_PLACES`], otherwise the mixed number.
pub(crate) fn write_exact(f: &mut fmt::Formatter<'_>, value: Exact) -> fmt::Result {
    match Decimal::exact(value) {
        Some(decimal) => write!(f, "{decimal}"),
        None => write!(f, "{}", Mixed(value)),
    }
}

/// The fraction with `denominator` nearest to `value`, and what it leaves.
pub(crate) fn nearest_fraction(value: Exact, denominator: u32) -> Result<(Exact, Exact)> {
    let nearest = value.round_to(denominator.into(), Rounding::Nearest)?;
    Ok((nearest, value.checked_sub(nearest)?))
}
