//! How well a search for the datum repeats.

use crate::messages;
use wholestep::error::{Error, Result, Value};
use wholestep::exact::{Enclosure, Exact};

/// The largest deviation, in steps, and the most searches that are taken.
const DEVIATION_MAX: i64 = 1 << 24;
const COUNT_MAX: u32 = 1 << 16;

/// Deviations of repeated searches from one another, in steps: those of
/// [`Event::DatumFound`](wholestep::carriage::Event::DatumFound), or of any position that was approached again and
/// again from one side.
///
/// Mean and variance are exact; what needs a square root is an enclosure narrower than a millionth of
/// a step.
///
/// ```
/// use wholestep::Exact;
/// use wholestep_shop::Repeatability;
/// let mut searches = Repeatability::new();
/// for deviation in [0, 1, 0, -1, 0] {
///     searches.add(deviation)?;
/// }
/// assert_eq!(searches.mean()?, Exact::ZERO);
/// assert_eq!(searches.variance()?, Exact::new(1, 2)?);
/// // R = 4 s = 2.828427… steps.
/// let repeatability = searches.repeatability()?;
/// assert!(repeatability.low() <= Exact::new(2_828_428, 1_000_000)?);
/// assert!(repeatability.high() >= Exact::new(2_828_427, 1_000_000)?);
/// # Ok::<(), wholestep::Error>(())
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Repeatability {
    count: u32,
    sum: i128,
    squares: i128,
}

impl Repeatability {
    /// Begins without any search.
    pub const fn new() -> Self {
        Self { count: 0, sum: 0, squares: 0 }
    }

    /// Takes the deviation of one more search, in steps.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](wholestep::ErrorKind::OutOfRange) for a deviation above 2^24 steps, or after 65,536 searches.
    pub fn add(&mut self, deviation: i64) -> Result<()> {
        if !(-DEVIATION_MAX..=DEVIATION_MAX).contains(&deviation) || self.count == COUNT_MAX {
            return Err(messages::DEVIATION_OF_A_SEARCH
                .error()
                .given(Value::Integer(deviation.into()))
                .between(Value::Integer((-DEVIATION_MAX).into()), Value::Integer(DEVIATION_MAX.into())));
        }
        self.count += 1;
        self.sum += i128::from(deviation);
        self.squares += i128::from(deviation).pow(2);
        Ok(())
    }

    /// Returns how many searches there were.
    pub const fn count(&self) -> u32 {
        self.count
    }

    /// Returns the mean deviation.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](wholestep::ErrorKind::OutOfRange) without a search.
    pub fn mean(&self) -> Result<Exact> {
        self.at_least(1)?;
        Ok(Exact::new(self.sum, self.count.into())?)
    }

    /// Returns the variance, with one degree of freedom fewer than searches.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](wholestep::ErrorKind::OutOfRange) with fewer than two searches.
    pub fn variance(&self) -> Result<Exact> {
        self.at_least(2)?;
        let count = i128::from(self.count);
        Ok(Exact::new(count * self.squares - self.sum * self.sum, count * (count - 1))?)
    }

    /// Returns the standard deviation, the root of the variance.
    ///
    /// # Errors
    /// As [`variance`](Self::variance).
    pub fn standard_deviation(&self) -> Result<Enclosure<Exact>> {
        root(self.variance()?)
    }

    /// Returns the repeatability of searches from one side: four standard deviations.
    ///
    /// The formula is that of ISO 230-2 (memory). The figure is not one of that standard, which also
    /// says where, how often and with what to measure; do not call it by the standard's name.
    ///
    /// # Errors
    /// As [`variance`](Self::variance).
    pub fn repeatability(&self) -> Result<Enclosure<Exact>> {
        let four = Exact::integer(4);
        Ok(self.standard_deviation()?.map(|bound| bound.checked_mul(four))?)
    }

    /// Returns the repeatability of searches from both sides: the largest of 2s↑ + 2s↓ + |B|, 4s↑ and 4s↓,
    /// where the reversal B is the difference of the means.
    ///
    /// The formula is that of ISO 230-2 (memory), the figure is not; see
    /// [`repeatability`](Self::repeatability).
    ///
    /// # Errors
    /// As [`variance`](Self::variance).
    pub fn from_both_sides(up: &Self, down: &Self) -> Result<Enclosure<Exact>> {
        let reversal = up.mean()?.checked_sub(down.mean()?)?.abs();
        let (up, down) = (up.repeatability()?, down.repeatability()?);
        let half = Exact::new(1, 2)?;
        let largest = |up: Exact, down: Exact| {
            let together = up.checked_add(down)?.checked_mul(half)?.checked_add(reversal)?;
            Ok::<_, Error>(together.max(up).max(down))
        };
        Ok(Enclosure::new(largest(up.low(), down.low())?, largest(up.high(), down.high())?)?)
    }

    fn at_least(&self, searches: u32) -> Result<()> {
        if self.count >= searches {
            return Ok(());
        }
        Err(messages::NUMBER_OF_SEARCHES
            .error()
            .given(Value::Integer(self.count.into()))
            .at_least(Value::Integer(searches.into())))
    }
}

/// The root of a variance: √(p/q) = √(pq) / q, taken with as many more bits as the integers hold.
fn root(variance: Exact) -> Result<Enclosure<Exact>> {
    let product = (variance.numerator() * variance.denominator()).unsigned_abs();
    let places = product.leading_zeros().saturating_sub(2).min(60) / 2;
    let scaled = product << (2 * places);
    let below = scaled.isqrt();
    let above = below + u128::from(below * below < scaled);
    let over = variance.denominator() << places;
    Ok(Enclosure::new(Exact::new(below.cast_signed(), over)?, Exact::new(above.cast_signed(), over)?)?)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(deviations: &[i64]) -> Repeatability {
        let mut searches = Repeatability::new();
        for &deviation in deviations {
            searches.add(deviation).unwrap();
        }
        searches
    }

    #[test]
    fn a_root_encloses() {
        for (n, d) in [(0, 1), (1, 1), (4, 9), (2, 1), (1, 3), (1 << 48, 1), ((1 << 48) + 1, 65_535)] {
            let value = Exact::new(n, d).unwrap();
            let root = root(value).unwrap();
            let square = |bound: Exact| bound.checked_mul(bound);
            if let (Ok(low), Ok(high)) = (square(root.low()), square(root.high())) {
                assert!(low <= value && value <= high);
            }
            assert!(
                root.high().checked_sub(root.low()).unwrap() <= Exact::new(1, 1_000_000).unwrap(),
                "{n}/{d}"
            );
        }
        let exact = root(Exact::new(4, 9).unwrap()).unwrap();
        assert!(exact.low() <= Exact::new(2, 3).unwrap() && exact.high() >= Exact::new(2, 3).unwrap());
    }

    #[test]
    fn both_sides_by_the_formula() {
        // Our own numbers, worked out by hand.
        let (up, down) = (of(&[1, 3, 1, 3]), of(&[-2, -2, -2, -2]));
        // s↑ = √(4/3), s↓ = 0, B = 4: 2 s↑ + 4 = 6.309… is above 4 s↑ = 4.618….
        let both = Repeatability::from_both_sides(&up, &down).unwrap();
        assert!(both.low() <= Exact::new(63_095, 10_000).unwrap());
        assert!(both.high() >= Exact::new(63_094, 10_000).unwrap());
        // Without a reversal the wider side alone decides.
        let alone = Repeatability::from_both_sides(&of(&[-1, 1, -1, 1]), &of(&[0, 0])).unwrap();
        assert_eq!(alone, of(&[-1, 1, -1, 1]).repeatability().unwrap());
    }

    #[test]
    fn too_few_or_too_far_is_refused() {
        assert!(of(&[]).mean().is_err() && of(&[4]).variance().is_err());
        assert_eq!(of(&[4]).mean().unwrap(), Exact::integer(4));
        assert!(Repeatability::new().add(DEVIATION_MAX + 1).is_err());
        let mut full = Repeatability { count: COUNT_MAX, ..of(&[1, 2]) };
        assert!(full.add(0).is_err());
        // The widest that is taken still fits.
        let mut wide = Repeatability::new();
        for n in 0..COUNT_MAX {
            wide.add(if n % 2 == 0 { DEVIATION_MAX } else { -DEVIATION_MAX }).unwrap();
        }
        assert!(wide.repeatability().is_ok());
    }
}
