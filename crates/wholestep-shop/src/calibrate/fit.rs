//! Where readings lie on a straight line: read = zero + scale × asked, and play more on the way down.
//!
//! Least squares in exact rationals. Of uncertainties, which need a square root, only that is taken in floating point.

use num_bigint::BigInt;
use num_rational::BigRational;
use num_traits::{ToPrimitive as _, Zero as _};
use wholestep::Exact;

use super::readings::{Reading, Way};

/// A figure of the line.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Fitted {
    pub(super) exact: BigRational,
    /// Its variance where that of a reading is 1.
    cofactor: BigRational,
}

/// The line through readings.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Line {
    pub(super) zero: Fitted,
    pub(super) scale: Fitted,
    /// `None` if every reading came from one way.
    pub(super) play: Option<Fitted>,
    /// The sum of the squares of what the readings are off the line.
    squares: BigRational,
    /// Readings less figures.
    freedom: usize,
}

impl Fitted {
    /// The standard uncertainty if that of a reading is `each`.
    pub(super) fn uncertainty(&self, each: f64) -> f64 {
        each * float(&self.cofactor).max(0.0).sqrt()
    }
}

impl Line {
    /// Fits readings that differ in where they were asked for.
    pub(super) fn of(readings: &[Reading]) -> Self {
        let both =
            readings.iter().any(|one| one.way == Way::Up) && readings.iter().any(|one| one.way == Way::Down);
        let columns = 2 + usize::from(both);
        let rows: Vec<Vec<BigRational>> = readings.iter().map(|one| row(one, both)).collect();
        let read: Vec<BigRational> = readings.iter().map(|one| big(one.read)).collect();
        // The normal equations, and beside them the identity, which becomes the inverse.
        let mut equations = vec![vec![BigRational::zero(); 2 * columns + 1]; columns];
        for (of, equation) in equations.iter_mut().enumerate() {
            for (row, read) in rows.iter().zip(&read) {
                for (with, cell) in row.iter().enumerate() {
                    equation[with] += &row[of] * cell;
                }
                equation[columns] += &row[of] * read;
            }
            equation[columns + 1 + of] = BigRational::from_integer(1.into());
        }
        eliminate(&mut equations);
        let fitted = |of: usize| Fitted {
            exact: equations[of][columns].clone(),
            cofactor: equations[of][columns + 1 + of].clone(),
        };
        let off = |(row, read): (&Vec<BigRational>, &BigRational)| {
            let line: BigRational =
                row.iter().enumerate().map(|(of, cell)| cell * &equations[of][columns]).sum();
            read - line
        };
        let squares = rows.iter().zip(&read).map(off).map(|off| &off * &off).sum();
        Self {
            zero: fitted(0),
            scale: fitted(1),
            play: both.then(|| fitted(2)),
            squares,
            freedom: readings.len() - columns,
        }
    }

    /// The standard deviation of a reading about the line.
    pub(super) fn deviation(&self) -> f64 {
        (float(&self.squares) / self.freedom.max(1) as f64).sqrt()
    }

    /// By how much a reading is off the line.
    pub(super) fn off(&self, reading: &Reading) -> BigRational {
        let play = match (&self.play, reading.way) {
            (Some(play), Way::Down) => play.exact.clone(),
            _ => BigRational::zero(),
        };
        big(reading.read) - &self.zero.exact - &self.scale.exact * big(reading.asked) - play
    }
}

fn row(reading: &Reading, both: bool) -> Vec<BigRational> {
    let one = || BigRational::from_integer(1.into());
    let down = if reading.way == Way::Down { one() } else { BigRational::zero() };
    [one(), big(reading.asked)].into_iter().chain(both.then_some(down)).collect()
}

/// Gauss and Jordan; the equations are independent, for the readings differ.
fn eliminate(equations: &mut [Vec<BigRational>]) {
    for of in 0..equations.len() {
        let pivot = (of..equations.len()).find(|row| !equations[*row][of].is_zero());
        let Some(pivot) = pivot else { continue };
        equations.swap(of, pivot);
        let lead = equations[of][of].clone();
        equations[of].iter_mut().for_each(|cell| *cell /= &lead);
        let base = equations[of].clone();
        for (row, equation) in equations.iter_mut().enumerate() {
            if row != of {
                let times = equation[of].clone();
                equation.iter_mut().zip(&base).for_each(|(cell, from)| *cell -= &times * from);
            }
        }
    }
}

pub(super) fn big(value: Exact) -> BigRational {
    BigRational::new(BigInt::from(value.numerator()), BigInt::from(value.denominator()))
}

/// As an exact number, where it holds one of so many digits.
pub(super) fn small(value: &BigRational) -> Option<Exact> {
    Exact::new(value.numer().to_i128()?, value.denom().to_i128()?).ok()
}

pub(super) fn float(value: &BigRational) -> f64 {
    value.to_f64().unwrap_or(f64::NAN)
}
