//! A kind of axis that wholestep does not know: a scissor table.
//!
//! Pairs of crossed arms of length L stand on each other; a screw draws their feet together, and the
//! table rises. With x between the feet, each pair is √(L² − x²) high (Pythagoras).
//!
#![doc = include_str!("../scissor_table.svg")]
//!
//! A travel of the screw, or what is lost in its nut, raises each pair x/√(L² − x²) times as far: 7.0
//! times at the low end of the span, where x is 0.99·L, and 0.1 times at the high end, at 0.1·L.

use std::ops::RangeInclusive;

use wholestep::axis::AnyMechanism;
use wholestep::exact::Interval;
use wholestep::mechanism::DriveTrain;
use wholestep::{Enclosure, Error, ErrorKind, Exact, Length, Measure, Mechanism, Result, Rounding, Width};
use wholestep_files::{Registry, keys};

keys! {
    /// What an axis file sets.
    pub struct ScissorTable {
        /// From pivot to pivot along one arm.
        pub arm: Length,
        /// How many pairs of arms stand on each other.
        pub stages: u32,
        /// Between the feet at step 0.
        pub spread: Length,
        /// How far a turn of the screw draws the feet together.
        pub lead: Length,
    }
}

/// The table on its drive.
pub struct Scissor {
    arm: Exact,
    stages: Exact,
    spread: Exact,
    travel: Exact,
}

impl Scissor {
    /// A table that `drive` raises.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] where the arms do not stand on such a spread.
    pub fn new(table: &ScissorTable, drive: DriveTrain) -> Result<Self> {
        if table.spread <= Length::ZERO || table.spread >= table.arm || table.lead <= Length::ZERO {
            return Err(Error::new(ErrorKind::OutOfRange, "spread of the feet, or lead")
                .about("spread")
                .given(table.spread.quoted(Length::BASE))
                .remedy("let the spread be less than the arm, and both spread and lead above 0"));
        }
        Ok(Self {
            arm: table.arm.base(),
            stages: Exact::integer(table.stages.into()),
            spread: table.spread.base(),
            travel: table.lead.base().checked_mul(drive.turns_per_step()?)?,
        })
    }

    /// The step at which the feet stand `part` of an arm apart.
    fn step_at(&self, part: (i128, i128), rounding: Rounding) -> Result<i64> {
        let drawn = self.spread.checked_sub(self.arm.checked_mul(Exact::new(part.0, part.1)?)?)?;
        Ok(i64::try_from(drawn.checked_div(self.travel)?.round(rounding)).unwrap_or(0))
    }
}

impl Mechanism for Scissor {
    type Measure = Length;

    /// From nearly flat to nearly upright.
    fn span(&self) -> RangeInclusive<i64> {
        let flat = self.step_at((99, 100), Rounding::Above).unwrap_or(0);
        flat..=self.step_at((1, 10), Rounding::Below).unwrap_or(0)
    }

    fn position_at(&self, step: i64, width: Width) -> Result<Enclosure<Length>> {
        let spread = self.spread.checked_sub(self.travel.checked_mul(Exact::integer(step))?)?;
        let square = self.arm.checked_mul(self.arm)?.checked_sub(spread.checked_mul(spread)?)?;
        let height = match square.square_root() {
            Some(root) => Enclosure::exact(root.checked_mul(self.stages)?),
            None => (Interval::of(square).sqrt() * Interval::of(self.stages)).within(width)?,
        };
        height.map(Length::from_base)
    }
}

/// The built-in kinds and this one.
///
/// # Errors
/// None, as long as no built-in kind has this name.
pub fn registry() -> Result<Registry> {
    Registry::standard().with_parameters("scissor_table", |table: ScissorTable, drive| {
        Scissor::new(&table, drive).map(AnyMechanism::length)
    })
}
