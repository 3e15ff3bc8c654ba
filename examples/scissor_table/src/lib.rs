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
use wholestep::{
    Enclosure, Error, ErrorKind, Exact, Length, Measure, Mechanism, Result, Rounding, Width, exact,
};
use wholestep_files::{Registry, keys};

keys! {
    /// What an axis file sets.
    #[derive(Clone, Copy)]
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
    table: ScissorTable,
    travel: Exact,
}

impl Scissor {
    /// A table that `drive` raises.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] if the arms do not stand on such a spread.
    pub fn new(table: ScissorTable, drive: DriveTrain) -> Result<Self> {
        if table.spread <= Length::ZERO || table.spread >= table.arm || table.lead <= Length::ZERO {
            return Err(Error::new(ErrorKind::OutOfRange, "spread of the feet, or lead")
                .about("spread")
                .given(table.spread.quoted(Length::BASE))
                .remedy("let the spread be less than the arm, and both spread and lead above 0"));
        }
        Ok(Self { table, travel: table.lead.base().checked_mul(drive.turns_per_step()?)? })
    }

    /// The step at which the feet stand `part` of an arm apart.
    fn step_at(&self, part: Exact, rounding: Rounding) -> Result<i64> {
        let drawn = self.table.spread.base().checked_sub(self.table.arm.base().checked_mul(part)?)?;
        Ok(i64::try_from(drawn.checked_div(self.travel)?.round(rounding)).unwrap_or(0))
    }
}

impl Mechanism for Scissor {
    type Measure = Length;

    /// From nearly flat to nearly upright.
    fn span(&self) -> RangeInclusive<i64> {
        let step = |part, rounding| self.step_at(part, rounding).unwrap_or(0);
        step(exact!(99 / 100), Rounding::Above)..=step(exact!(1 / 10), Rounding::Below)
    }

    fn position_at(&self, step: i64, width: Width) -> Result<Enclosure<Length>> {
        let (arm, stages) = (self.table.arm.base(), Exact::integer(self.table.stages.into()));
        let spread = self.table.spread.base().checked_sub(self.travel.checked_mul(Exact::integer(step))?)?;
        let square = arm.checked_mul(arm)?.checked_sub(spread.checked_mul(spread)?)?;
        let height = match square.square_root() {
            Some(root) => Enclosure::exact(root.checked_mul(stages)?),
            None => (Interval::of(square).sqrt() * Interval::of(stages)).within(width)?,
        };
        height.map(Length::from_base)
    }
}

/// The built-in kinds and this one.
///
/// # Errors
/// None, as long as no built-in kind has this name.
pub fn registry() -> Result<Registry> {
    Registry::standard()
        .with_parameters("scissor_table", |table, drive| Scissor::new(table, drive).map(AnyMechanism::length))
}
