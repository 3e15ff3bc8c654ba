//! Reading measures, rates and units the way people write them.

use core::str::FromStr;

use super::quantity::{Angle, Length, Measure};
use super::rate::Rate;
use super::unit::{AngleUnit, LengthUnit, Unit};
use crate::error::{Error, ErrorKind, Result};
use crate::exact::Exact;
use crate::measure::scanner::{Cursor, is_hyphen};

const ONE_UNIT: &str = "give one number with one unit";

/// Reads a unit that stands alone.
pub(super) fn unit<U: Unit>(text: &str) -> Result<U> {
    let mut cursor = Cursor::new(text, "unit", U::BASE.symbol());
    let unit = unit_at(&mut cursor)?;
    cursor.skip_spaces();
    cursor.end()?;
    unit.ok_or_else(|| cursor.error(ErrorKind::MissingUnit, U::LISTED))
}

/// Reads a length or an angle.
pub(super) fn measure<M: Measure>(text: &str, declared: Option<M::Unit>) -> Result<M> {
    let mut cursor = Cursor::new(text, M::NAME, M::EXAMPLES[0]);
    let start = cursor.at();
    let negative = cursor.sign();
    let mut total = Exact::ZERO;
    let mut larger: Option<M::Unit> = None;
    loop {
        let number_at = cursor.at();
        let number = cursor.number()?;
        cursor.skip_spaces();
        let unit_start = cursor.at();
        if larger.is_some() && cursor.is_at_end() {
            // A declared unit stands for a whole measure, never for a part of one.
            return Err(cursor.error(ErrorKind::MissingUnit, "give the last number its unit too"));
        }
        let unit = unit_or(&mut cursor, declared)?;
        let value = number.value.checked_mul(unit.in_base()).map_err(|_| cursor.out_of_range(number_at))?;
        if let Some(larger) = larger {
            if !larger.parts().contains(&unit) {
                return Err(cursor.error_at(unit_start, ErrorKind::Unit, ONE_UNIT));
            }
            if value >= larger.in_base() {
                return Err(cursor.error_at(
                    number_at,
                    ErrorKind::OutOfRange,
                    "give less than one of the larger unit, and carry the rest over to it",
                ));
            }
        }
        total = total.checked_add(value).map_err(|_| cursor.out_of_range(start))?;
        if cursor.is_at_end() {
            let total = if negative { -total } else { total };
            return M::from_base(total).map_err(|error| error.in_text(text, start));
        }
        another_part(&mut cursor, unit)?;
        if !number.whole {
            return Err(cursor.error_at(
                number_at,
                ErrorKind::Syntax,
                "give a whole number of the larger unit where a smaller one follows",
            ));
        }
        larger = Some(unit);
    }
}

/// Steps up to the number of the next part, or says why there cannot be one.
fn another_part<U: Unit>(cursor: &mut Cursor<'_>, unit: U) -> Result<()> {
    // Parts may be joined by a hyphen, 3'-4"; behind a space it would be the sign of a part.
    if !cursor.take(is_hyphen) {
        cursor.skip_spaces();
    }
    if cursor.is_at_number() && !unit.parts().is_empty() {
        return Ok(());
    }
    if cursor.peek() == Some('/') {
        return Err(cursor.error(ErrorKind::Unit, "leave out the time; this is not a rate"));
    }
    Err(too_much(cursor))
}

/// Refuses what follows a whole measure.
fn too_much(cursor: &mut Cursor<'_>) -> Error {
    let at = cursor.at();
    if cursor.is_at_number() || !cursor.unit_word().is_empty() {
        cursor.error_at(at, ErrorKind::Unit, ONE_UNIT)
    } else {
        cursor.error_at(at, ErrorKind::Syntax, "give one measure and nothing behind it")
    }
}

/// Reads a speed, an acceleration or a jerk.
pub(super) fn rate<M: Measure, const ORDER: u32>(
    text: &str,
    declared: Option<M::Unit>,
) -> Result<Rate<M, ORDER>> {
    let example = Rate::<M, ORDER>::EXAMPLE;
    let mut cursor = Cursor::new(text, Rate::<M, ORDER>::NAME, example);
    let start = cursor.at();
    let negative = cursor.sign();
    let number = cursor.number()?.value;
    cursor.skip_spaces();
    let bare = cursor.is_at_end();
    let unit = unit_or(&mut cursor, declared)?;
    let time = if bare { Exact::ONE } else { per_time(&mut cursor, ORDER)? };
    cursor.skip_spaces();
    if !cursor.is_at_end() {
        return Err(too_much(&mut cursor));
    }
    let value = number.checked_mul(unit.in_base()).and_then(|value| value.checked_div(time));
    let value = value.map_err(|_| cursor.out_of_range(start))?;
    let value = if negative { -value } else { value };
    Rate::from_base(value).map_err(|error| error.in_text(text, start))
}

/// Reads `/s`, `/min²` and the like, and returns the time to that power in seconds.
fn per_time(cursor: &mut Cursor<'_>, order: u32) -> Result<Exact> {
    cursor.skip_spaces();
    if !cursor.take(|next| next == '/') {
        return Err(cursor.error(ErrorKind::Unit, "say per what time, s or min"));
    }
    cursor.skip_spaces();
    let at = cursor.at();
    let time = match cursor.unit_word() {
        "s" | "sec" | "second" | "seconds" => 1,
        "min" | "minute" | "minutes" => 60,
        _ => return Err(cursor.error_at(at, ErrorKind::Unit, "give it per s or per min")),
    };
    let at = cursor.at();
    let power = if cursor.take(|next| next == '^') {
        match cursor.run(|next| next.is_ascii_digit()) {
            "1" => 1,
            "2" => 2,
            "3" => 3,
            _ => 0,
        }
    } else if cursor.take(|next| next == '²') {
        2
    } else if cursor.take(|next| next == '³') {
        3
    } else {
        1
    };
    if power != order {
        return Err(cursor.error_at(at, ErrorKind::Unit, "give the time its power"));
    }
    let time = Exact::integer(time);
    Ok((1..order).try_fold(time, |product, _| product.checked_mul(time))?)
}

/// Reads the unit at the cursor, or takes the declared one where the text ends.
fn unit_or<U: Unit>(cursor: &mut Cursor<'_>, declared: Option<U>) -> Result<U> {
    if let Some(unit) = unit_at(cursor)? {
        return Ok(unit);
    }
    cursor.end()?;
    declared.ok_or_else(|| cursor.error(ErrorKind::MissingUnit, U::LISTED))
}

/// Reads the unit at the cursor, or nothing where no word and no mark stands there.
fn unit_at<U: Unit>(cursor: &mut Cursor<'_>) -> Result<Option<U>> {
    let at = cursor.at();
    let word = cursor.unit_word();
    if word.is_empty() {
        return Ok(None);
    }
    if let Some(unit) = spelled(word) {
        return Ok(Some(unit));
    }
    let is = |spelling: &&str| word.eq_ignore_ascii_case(spelling);
    let remedy = if ["mil", "mils"].iter().any(is) {
        "write thou or µm for a length, and deg for an angle; a mil is 0.001 in to some and an angle to others"
    } else if ["rad", "radian", "radians"].iter().any(is) {
        "give the angle in degrees; a radian has π in it and is not exact"
    } else if spelled::<LengthUnit>(word).is_some() {
        "that is a unit of length; give an angle in deg, arcmin, arcsec or turn"
    } else if spelled::<AngleUnit>(word).is_some() {
        "that is a unit of angle; give a length in mm, cm, m, µm, in, ft, yd or thou"
    } else {
        U::LISTED
    };
    Err(cursor.error_at(at, ErrorKind::Unit, remedy))
}

fn spelled<U: Unit>(word: &str) -> Option<U> {
    let is = |unit: &&U| unit.spellings().iter().any(|spelling| word.eq_ignore_ascii_case(spelling));
    U::ALL.iter().find(is).copied()
}

impl FromStr for Length {
    type Err = Error;

    /// As [`Measure::read`] if no unit was declared.
    fn from_str(text: &str) -> Result<Self> {
        Self::read(text, None)
    }
}

impl FromStr for Angle {
    type Err = Error;

    /// As [`Measure::read`] if no unit was declared.
    fn from_str(text: &str) -> Result<Self> {
        Self::read(text, None)
    }
}

impl<M: Measure, const ORDER: u32> FromStr for Rate<M, ORDER> {
    type Err = Error;

    /// As [`Rate::read`] if no unit was declared.
    fn from_str(text: &str) -> Result<Self> {
        Self::read(text, None)
    }
}
