//! Equally spaced marks along one piece.

use wholestep::error::Value;
use wholestep::{Exact, Length, LengthUnit, Measure, Result, Rounding};

use super::check::{not_negative, positive};
use crate::bounds::MARKS_MAX;
use crate::messages;

/// Equally spaced marks along one piece: holes, dowels, pins, slats.
///
/// | `count` | `spacing` | `from` | `first` | marks |
/// |---|---|---|---|---|
/// | n | – | either | – | at i × length ÷ (n + 1): n + 1 equal spaces |
/// | n | – | end | f | n from f to length − f, n at least 2 |
/// | n | s | end | f, or s | at f + i × s |
/// | – | s | end | f, or s | at f + i × s, as many as lie on the piece |
/// | n | s | centre | – | n, the same at both ends |
/// | – | s | centre | – | as many as lie on the piece, the same at both ends |
///
/// Each mark is computed from the end of the piece by itself, so nothing accumulates.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Marks {
    /// What they are called.
    pub name: String,
    /// The length of the piece.
    pub length: Length,
    /// How many marks.
    pub count: Option<u32>,
    /// The distance from one to the next.
    pub spacing: Option<Length>,
    /// From where they are laid out.
    pub from: MarksFrom,
    /// The distance of the first from the end.
    pub first: Option<Length>,
}

/// From where marks are laid out.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum MarksFrom {
    /// From the end that touches the stop.
    #[default]
    End,
    /// From the middle, the same at both ends.
    Centre,
}

impl MarksFrom {
    /// Returns the name, as files, Python and the command line spell it.
    pub const fn name(self) -> &'static str {
        match self {
            Self::End => "end",
            Self::Centre => "centre",
        }
    }

    /// Both, in the order in which they are documented.
    pub const ALL: [Self; 2] = [Self::End, Self::Centre];
}

impl Marks {
    /// Returns the distance of every mark from the end of the piece.
    ///
    /// ```
    /// use wholestep::{Exact, Length, LengthUnit, Measure};
    /// use wholestep_shop::cut_list::{Marks, MarksFrom};
    /// let inch = |n| Length::new(Exact::integer(n), LengthUnit::Inch);
    /// let marks = Marks {
    ///     name: "shelf pins".into(),
    ///     length: inch(10)?,
    ///     count: Some(2),
    ///     spacing: None,
    ///     from: MarksFrom::End,
    ///     first: None,
    /// };
    /// let places = marks.places(LengthUnit::Inch)?;
    /// assert_eq!(places[1], Length::new(Exact::new(20, 3)?, LengthUnit::Inch)?);
    /// # Ok::<(), wholestep::Error>(())
    /// ```
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](wholestep::ErrorKind::OutOfRange) for lengths that are not positive, marks off the piece, or more than
    /// 10,000 of them; [`ErrorKind::Job`](wholestep::ErrorKind::Job) if neither `count` nor `spacing` is given, or `first`
    /// with `centre`. Lengths are quoted in `unit`.
    pub fn places(&self, unit: LengthUnit) -> Result<Vec<Length>> {
        self.laid_out(unit).map_err(|error| error.of_entry(format!("marks {}", Value::text(&self.name))))
    }

    fn laid_out(&self, unit: LengthUnit) -> Result<Vec<Length>> {
        positive("length", "length", self.length, unit)?;
        if let Some(spacing) = self.spacing {
            positive("spacing", "spacing", spacing, unit)?;
        }
        if let Some(first) = self.first {
            not_negative("first mark", "first", first, unit)?;
        }
        if let Some(count) = self.count {
            check_count(count.into())?;
        }
        if self.from == MarksFrom::Centre && self.first.is_some() {
            return Err(messages::FIRST_MARK.error());
        }
        let (first, spacing, count) = self.layout()?;
        check_count(count)?;
        let place = |mark: i64| {
            let place = first.checked_add(spacing.checked_mul(Exact::integer(mark))?)?;
            if place > self.length.base() || place.signum() < 0 {
                let off = if place.signum() < 0 { -place } else { place.checked_sub(self.length.base())? };
                return Err(messages::MARK_OFF_THE_PIECE
                    .error()
                    .given(Length::from_base(place)?.quoted(unit))
                    .excess(Length::from_base(off)?.quoted(unit)));
            }
            Length::from_base(place)
        };
        (0..i64::try_from(count).unwrap_or(i64::MAX)).map(place).collect()
    }

    /// The first mark, the spacing and how many, in millimetres.
    fn layout(&self) -> Result<(Exact, Exact, i128)> {
        let length = self.length.base();
        let Some(spacing) = self.spacing.map(Measure::base) else {
            let Some(count) = self.count else {
                return Err(messages::MARKS.error());
            };
            let Some(first) = self.first.map(Measure::base) else {
                let spacing = length.checked_div(Exact::integer(i64::from(count) + 1))?;
                return Ok((spacing, spacing, count.into()));
            };
            if count < 2 {
                return Err(messages::MARKS_FROM_END_TO_END
                    .error()
                    .given(Value::Integer(count.into()))
                    .at_least(Value::Integer(2)));
            }
            let between = length.checked_sub(first.checked_mul(Exact::integer(2))?)?;
            return Ok((first, between.checked_div(Exact::integer(i64::from(count) - 1))?, count.into()));
        };
        match self.from {
            MarksFrom::End => {
                let first = self.first.map_or(spacing, Measure::base);
                let fit = length.checked_sub(first)?.checked_div(spacing)?.round(Rounding::Above).max(0);
                Ok((first, spacing, self.count.map_or(fit, Into::into)))
            }
            MarksFrom::Centre => {
                let count =
                    self.count.map_or(length.checked_div(spacing)?.round(Rounding::Above), Into::into);
                let spaces = Exact::new(count - 1, 1)?;
                Ok((
                    length.checked_sub(spaces.checked_mul(spacing)?)?.checked_div(Exact::integer(2))?,
                    spacing,
                    count,
                ))
            }
        }
    }
}

fn check_count(count: i128) -> Result<()> {
    if (1..=MARKS_MAX.into()).contains(&count) {
        return Ok(());
    }
    Err(messages::COUNT_OF_MARKS
        .error()
        .given(Value::Integer(count))
        .between(Value::Integer(1), Value::Integer(MARKS_MAX.into())))
}
