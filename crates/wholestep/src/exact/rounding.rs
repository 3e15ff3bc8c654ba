//! The one rounding: from an exact ratio to a whole number.

use num_integer::Integer;

use super::long_division::divide_down;

/// How a target is rounded to a whole step.
///
/// The rule is by measure, never by step number: `Below` is the last step whose position is at or
/// below the target, whichever way the step numbers run.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Rounding {
    /// The nearest step; of two equally near, the one with the even number.
    #[default]
    Nearest,
    /// The highest step that does not stand above the target.
    Below,
    /// The lowest step that does not stand below the target.
    Above,
}

impl Rounding {
    /// Returns the rule's name as files, Python and the command line spell it.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Nearest => "nearest",
            Self::Below => "below",
            Self::Above => "above",
        }
    }

    /// The three rules, in the order in which they are documented.
    pub const ALL: [Self; 3] = [Self::Nearest, Self::Below, Self::Above];

    /// Returns the rule seen from the other end of the scale: below and above change places.
    #[must_use]
    pub const fn mirrored(self) -> Self {
        match self {
            Self::Nearest => Self::Nearest,
            Self::Below => Self::Above,
            Self::Above => Self::Below,
        }
    }

    /// Rounds `numerator / denominator` to a whole number and returns it with what is left over:
    /// `(whole, numerator - whole * denominator)`.
    ///
    /// `denominator` must be positive and both at most 2^126, which every caller has checked.
    pub(crate) fn split(self, numerator: i128, denominator: i128) -> (i128, i128) {
        debug_assert!(denominator > 0, "a denominator is positive");
        // Most quotients fit 64 bits, and a 128-bit division costs several times as much.
        let (floor, rest) = match (i64::try_from(numerator), i64::try_from(denominator)) {
            (Ok(n), Ok(d)) => {
                let (floor, rest) = n.div_mod_floor(&d);
                (i128::from(floor), i128::from(rest))
            }
            _ => divide_down(numerator, denominator),
        };
        let up = match self {
            Self::Below => false,
            Self::Above => rest > 0,
            Self::Nearest => {
                let other = denominator - rest;
                rest > other || (rest == other && floor & 1 != 0)
            }
        };
        if up { (floor + 1, rest - denominator) } else { (floor, rest) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_three_rules_on_both_sides_of_zero() {
        let cases = [
            // numerator, denominator, nearest, below, above
            (5, 2, 2, 2, 3),
            (7, 2, 4, 3, 4),
            (-5, 2, -2, -3, -2),
            (-7, 2, -4, -4, -3),
            (1, 3, 0, 0, 1),
            (-1, 3, 0, -1, 0),
            (2, 3, 1, 0, 1),
            (6, 3, 2, 2, 2),
            (0, 7, 0, 0, 0),
            (1 << 100, 1 << 99, 2, 2, 2),
        ];
        for (n, d, nearest, below, above) in cases {
            for (rule, expected) in Rounding::ALL.into_iter().zip([nearest, below, above]) {
                let (whole, rest) = rule.split(n, d);
                assert_eq!(whole, expected, "{rule:?} of {n}/{d}");
                assert_eq!(whole * d + rest, n, "{rule:?} of {n}/{d} leaves {rest}");
            }
        }
    }
}
