//! Arc sine, arc cosine and arc tangent, in degrees.
//!
//! acos(x) = 2·atan(√((1 - x) / (1 + x))), and both 1 - x and 1 + x are exact integers over one
//! denominator; so an argument however near to ±1 loses nothing, where a computed 1 - x² would.

use super::ArithmeticError;
use super::fixed::{Fixed, ONE, positive};
use super::fixed_arithmetic::root_of_quotient;
use super::taylor::{ARC_ERROR, GRAIN_BITS, ONE_IN_GRAINS, QUARTER_TURN, arc_tangent};
use super::trig::outward;
use num_rational::Ratio;

const MINUS_ONE: i128 = -ONE;

impl Fixed {
    /// Returns the arc sine in degrees, from -90 to 90, exactly if it is a multiple of 30.
    pub(super) fn asin_degrees(self) -> Result<Self, ArithmeticError> {
        self.each_end(|end| Sine::new(end, ONE)?.asin_degrees())
    }

    /// Returns the arc cosine in degrees, from 0 to 180, exactly if it is a multiple of 30.
    pub(super) fn acos_degrees(self) -> Result<Self, ArithmeticError> {
        self.each_end(|end| Sine::new(end, ONE)?.acos_degrees())
    }

    /// Returns the arc sine of a rational in degrees, close however near to ±1 it is.
    pub(super) fn asin_degrees_of_ratio(sine: Ratio<i128>) -> Result<Self, ArithmeticError> {
        Sine::new(*sine.numer(), *sine.denom())?.asin_degrees()
    }

    /// Returns the arc cosine of a rational in degrees, close however near to ±1 it is.
    pub(super) fn acos_degrees_of_ratio(cosine: Ratio<i128>) -> Result<Self, ArithmeticError> {
        Sine::new(*cosine.numer(), *cosine.denom())?.acos_degrees()
    }

    /// Returns the arc tangent in degrees, between -90 and 90, exactly if it is 0 or ±45.
    #[must_use]
    pub(super) fn atan_degrees(self) -> Self {
        let at = |end: i128| match end {
            ONE => degrees(45),
            MINUS_ONE => degrees(-45),
            _ => arc_tangent_of(end).in_degrees(),
        };
        Self { low: at(self.low).low, high: at(self.high).high }
    }
}

/// A sine, or a cosine, as a sign and a fraction from 0 to 1.
struct Sine {
    negative: bool,
    numerator: u128,
    denominator: u128,
}

impl Sine {
    fn new(numerator: i128, denominator: i128) -> Result<Self, ArithmeticError> {
        let (size, denominator) = (numerator.unsigned_abs(), positive(denominator)?);
        if size > denominator {
            return Err(ArithmeticError::Domain);
        }
        Ok(Self { negative: numerator < 0, numerator: size, denominator })
    }

    /// Bounds in grains of the arc cosine of the size: exactly 0 for 1.
    fn acos_of_size(&self) -> Result<(i128, i128), ArithmeticError> {
        let (less, more) = (self.denominator - self.numerator, self.denominator + self.numerator);
        let (root, exact) = root_of_quotient(less, more, GRAIN_BITS).ok_or(ArithmeticError::Overflow)?;
        if less == 0 {
            return Ok((0, 0));
        }
        let low = arc_tangent(root, ONE_IN_GRAINS);
        // The arc tangent rises by less than its argument does.
        let high = low + i128::from(!exact);
        Ok(((2 * (low - ARC_ERROR)).max(0), 2 * (high + ARC_ERROR)))
    }

    fn acos(&self) -> Result<Fixed, ArithmeticError> {
        let (low, high) = self.acos_of_size()?;
        Ok(if self.negative {
            outward(2 * QUARTER_TURN - high, 2 * QUARTER_TURN + 2 - low)
        } else {
            outward(low, high)
        })
    }

    fn asin(&self) -> Result<Fixed, ArithmeticError> {
        if self.numerator == 0 {
            return Ok(degrees(0));
        }
        let (low, high) = self.acos_of_size()?;
        let size = outward((QUARTER_TURN - high).max(0), QUARTER_TURN + 1 - low);
        Ok(if self.negative { -size } else { size })
    }

    fn asin_degrees(&self) -> Result<Fixed, ArithmeticError> {
        match self.whole_asin() {
            Some(whole) => Ok(degrees(whole)),
            None => Ok(self.asin()?.in_degrees()),
        }
    }

    fn acos_degrees(&self) -> Result<Fixed, ArithmeticError> {
        match self.whole_asin() {
            Some(whole) => Ok(degrees(90 - whole)),
            None => Ok(self.acos()?.in_degrees()),
        }
    }

    /// The arc sine in degrees if it is rational.
    fn whole_asin(&self) -> Option<i128> {
        let size = if self.numerator == 0 {
            0
        } else if self.numerator == self.denominator {
            90
        } else if self.numerator == self.denominator - self.numerator {
            30
        } else {
            return None;
        };
        Some(if self.negative { -size } else { size })
    }
}

/// A whole number of degrees.
const fn degrees(whole: i128) -> Fixed {
    Fixed { low: whole * ONE, high: whole * ONE }
}

/// The arc tangent of one bound. Beyond 1 it is π/2 less the arc tangent of the reciprocal.
fn arc_tangent_of(end: i128) -> Fixed {
    let (size, one) = (end.unsigned_abs(), ONE.unsigned_abs());
    let arc = if size == 0 {
        degrees(0)
    } else if size <= one {
        let arc = arc_tangent(size, one);
        outward((arc - ARC_ERROR).max(0), arc + ARC_ERROR)
    } else {
        let rest = arc_tangent(one, size);
        outward(QUARTER_TURN - rest - ARC_ERROR, QUARTER_TURN + 1 - rest + ARC_ERROR)
    };
    if end < 0 { -arc } else { arc }
}
