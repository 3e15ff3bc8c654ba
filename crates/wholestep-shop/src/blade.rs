//! What a saw blade takes, and what a change of blades does to the zero of a stop or fence.

use wholestep::error::Value;
use wholestep::{Exact, Length, LengthUnit, Measure, Result};

use crate::cut_list::check::positive;
use crate::messages;

/// A saw blade: what it takes, wobble included, and how thick its plate is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Blade {
    kerf: Length,
    plate: Length,
}

/// On which side of the blade the arbor has its fixed flange, against which every blade is clamped.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Flange {
    /// On the side away from the fence or stop.
    FarSide,
    /// On the side of the fence or stop.
    FenceSide,
}

impl Blade {
    /// Returns a blade; errors are told in `unit`.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](wholestep::ErrorKind::OutOfRange) for a plate of no thickness, and for one thicker
    /// than the kerf, which would bind.
    pub fn new(kerf: Length, plate: Length, unit: LengthUnit) -> Result<Self> {
        positive("kerf", "kerf", kerf, unit)?;
        positive("plate", "plate", plate, unit)?;
        if plate > kerf {
            return Err(messages::PLATE.error().given(plate.quoted(unit)).at_most(kerf.quoted(unit)));
        }
        Ok(Self { kerf, plate })
    }

    /// Returns by how much the near side of the kerf moves away from the fence or stop when `next` takes this
    /// blade's place: that much is added to every position, until one measured test cut says better.
    ///
    /// The near side lies (plate + kerf)/2 from a flange on the far side, and (kerf − plate)/2 from one on the
    /// side of the fence (geometry).
    ///
    /// ```
    /// use wholestep::{Length, LengthUnit};
    /// use wholestep_shop::blade::{Blade, Flange};
    ///
    /// let blade = |kerf: &str, plate: &str| Blade::new(kerf.parse()?, plate.parse()?, LengthUnit::Millimetre);
    /// let (worn, thin) = (blade("3.2 mm", "2.2 mm")?, blade("2.2 mm", "1.6 mm")?);
    /// assert_eq!(worn.zero_shift(&thin, Flange::FarSide)?, "0.8 mm".parse()?);
    /// assert_eq!(worn.zero_shift(&thin, Flange::FenceSide)?, "0.2 mm".parse()?);
    /// # Ok::<(), wholestep::Error>(())
    /// ```
    ///
    /// # Errors
    /// [`ErrorKind::Overflow`](wholestep::ErrorKind::Overflow) if kerfs and plates have no common denominator in
    /// range.
    pub fn zero_shift(&self, next: &Self, flange: Flange) -> Result<Length> {
        self.near_side(flange)?.checked_sub(next.near_side(flange)?)
    }

    /// From the flange to the near side of the kerf, as far as it depends on the blade.
    fn near_side(&self, flange: Flange) -> Result<Length> {
        let plate = match flange {
            Flange::FarSide => self.plate,
            Flange::FenceSide => -self.plate,
        };
        self.kerf.checked_add(plate)?.checked_mul(Exact::new(1, 2)?)
    }
}

/// Returns the kerf of the cuts that parted a board of length `before` into `pieces`: what the pieces are short
/// of the board, shared among the cuts. Errors are told in `unit`.
///
/// It is what the saw takes, wobble included, as long as the blade is not sharpened or changed.
///
/// ```
/// use wholestep::{Length, LengthUnit, Result};
/// use wholestep_shop::blade::measured_kerf;
///
/// let pieces = ["117.6 mm", "117.7 mm", "117.7 mm", "117.6 mm", "117.8 mm"].map(str::parse::<Length>);
/// let pieces = pieces.into_iter().collect::<Result<Vec<_>>>()?;
/// let kerf = measured_kerf("600 mm".parse()?, &pieces, LengthUnit::Millimetre)?;
/// assert_eq!(kerf, "2.9 mm".parse()?);
/// # Ok::<(), wholestep::Error>(())
/// ```
///
/// # Errors
/// [`ErrorKind::OutOfRange`](wholestep::ErrorKind::OutOfRange) for fewer than two pieces, a piece of no length, and
/// pieces that are together no shorter than the board.
pub fn measured_kerf(before: Length, pieces: &[Length], unit: LengthUnit) -> Result<Length> {
    let cuts = pieces.len().saturating_sub(1);
    if cuts == 0 {
        return Err(messages::PIECES_OF_A_KERF.error().given(Value::Integer(pieces.len() as i128)));
    }
    pieces.iter().try_for_each(|piece| positive("piece", "pieces", *piece, unit))?;
    let together = pieces.iter().try_fold(Length::ZERO, |sum, piece| sum.checked_add(*piece))?;
    if together >= before {
        let error = messages::PIECES_NO_SHORTER.error().given(together.quoted(unit));
        return Err(error.at_most(before.quoted(unit)));
    }
    before.checked_sub(together)?.checked_mul(Exact::new(1, i128::try_from(cuts).unwrap_or(i128::MAX))?)
}
