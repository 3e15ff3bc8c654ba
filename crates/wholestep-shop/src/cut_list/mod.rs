//! Cut lists for a motorised stop block.
//!
//! A [`CutList`] says which parts are wanted and which stock there is. [`CutList::cuts`] lays the
//! parts on the stock ([`nesting`]), puts the cuts in order, board after board, and gives for each cut the stop distance, the whole step, its exact remainder and what is left of the
//! stock.
//!
//! # Where the stop stands
//!
//! The stop's face is square to the fence and at least as deep as the stock is wide, so it touches
//! the end of the part at its long point. The stop distance runs along the fence from that face to
//! the near side of the kerf; it is what the axis calls a position. Looking down on the saw:
//!
//! ```text
//!      stop                                      blade
//!       ┃<------------ stop distance ------------->┃
//!  ━━━━━╋━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━╋━━━━━━  fence
//!       ┃__________________________________________
//!       ┃\                                        /        long points at the fence:
//!       ┃ \                part                  /         left 45 deg, right 45 deg
//!       ┃  \____________________________________/
//!
//!       ┃<--------- stop distance --------->┃
//!  ━━━━━╋━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━╋━━━━━━━━━━━━━  fence
//!       ┃___________________________________
//!       ┃\                                  \              right -45 deg: its long point
//!       ┃ \                part              \             lies away from the fence, so the
//!       ┃  \__________________________________\            stop distance is shorter by
//!       ┃<----------- overall length --------->            width × tan 45°
//! ```
//!
//! The long point of an end lies width × tan(angle) beyond its short point. A part measured to its
//! short points is longer by that at each mitred end. The tangent is exact at 0 and 45 degrees and
//! an enclosure otherwise, and with it the stop distance.
//!
//! # What a cut takes
//!
//! The raw end of each piece of stock is cut off first, where a trim is given; that costs the trim
//! and one kerf. A part takes its overall length, and the cut behind it one kerf; a mitred cut takes
//! kerf ÷ cos(angle) along the stock, rounded up to a billionth. The last kerf needs no room: where a
//! part ends with the stock nothing is sawn, and where less than a kerf is left all of it turns to
//! dust.
//!
//! # Mitres that share a cut
//!
//! One cut ends one part and begins the next where both ends slant alike: a right end at 45 degrees
//! and a left end at -45, or the other way about. Between other ends a wedge of waste is cut out; the
//! end at the stop is then sawn first, and the result says so.
//!
//! ```text
//!  ━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━  fence
//!       |    \            \            \                       square-ended stock, parallelograms:
//!       |     \    part    \    part    \     remaining        the first end is sawn first, each
//!       |______\____________\____________\______________        further cut is shared
//!
//!       |\              //              \                      trapezoids, every other turned end
//!       | \    part    //      part      \     remaining        for end: its other edge lies at
//!       |__\__________//__________________\_______________      the fence
//! ```
//!
//! Parts are turned only as [`Turning`] allows. Turned end for end, a part keeps its face up, and the
//! saw is swung from one side to the other. With the saw left at one angle the board would have to be
//! turned over instead, which puts the face of every other part down.
//!
//! What remains, and the sums of a piece of stock, are told along the edge at the fence.
//!
//! # What stays long enough to hold
//!
//! A cut parts the piece in two: the part, between stop and blade, and what remains. One of the two
//! must be at least `shortest_to_hold` long, a mitred part by its shorter edge, and the result says which one is
//! held: the part, which touches the stop, where it is long enough; otherwise the stock, and then the stop
//! is backed off by `stop_gap`, with the blade at rest, before the cut, so that the part falls free. So parts shorter than
//! `shortest_to_hold` are cut while enough of the stock remains. Without a shortest length nothing is
//! checked, and the result says so.
//!
//! Cautions: `shortest_to_hold` is a length that a person chose, not a guard. A piece caught between a stop and a
//! running blade can bind and be thrown: let the blade stop before it is taken away. Follow the saw
//! maker's manual, its guards and clamps, and the rules that apply where you work.

pub(crate) mod check;
mod cuts;
mod dimension;
mod lay;
mod marks;
mod mitre;
pub mod nesting;
mod order;
mod part;
mod setting;
mod timing;
mod turn;
mod units;
mod work;

pub use cuts::{Cut, CutSheet, Held, MarkedPiece, Placed, Setting, StockPiece, Totals, Touch, Unplaced};
pub use dimension::{Bounds, Dimension};
pub use marks::{Marks, MarksFrom};
pub use mitre::MITRE_MAX_DEGREES;
pub use nesting::Reason;
pub use part::{MeasuredTo, Part};
pub use timing::{Seconds, StopMove};
pub use turn::{Turn, Turning};

use wholestep::error::Value;
use wholestep::{Axis, Length, LengthUnit, Measure, Mechanism, Result, Rounding};

use crate::bounds::{PARTS_MAX, STOCK_MAX};
use crate::messages;
use check::{as_typed, not_negative, positive};

/// Parts to be cut, the stock to cut them from, and how.
///
/// ```
/// # use wholestep::axis::{Axis, Rates, AxisConfig};
/// # use wholestep::mechanism::{DriveTrain, Linear, StepMode};
/// # use wholestep::{Acceleration, Angle, Exact, Length, LengthUnit, Measure, Speed};
/// use wholestep_shop::cut_list::{CutList, Part, Stock};
/// # let motor = DriveTrain::new(Angle::from_base(Exact::new(9, 5)?)?, StepMode::new(16)?)?;
/// # let mm = |n| Length::from_base(Exact::integer(n));
/// # let belt = Linear::belt(motor, mm(3)?, 20)?;
/// # let rates = Rates::new(Speed::from_base(Exact::integer(200))?, Acceleration::from_base(Exact::integer(900))?);
/// # let axis = Axis::new(belt, AxisConfig::new(LengthUnit::Inch, mm(20)?, mm(1500)?, rates))?;
/// let inch = |n, d| Length::new(Exact::new(n, d)?, LengthUnit::Inch);
/// let mut list = CutList::new(LengthUnit::Inch);
/// list.kerf = inch(1, 8)?;
/// list.parts.push(Part::square("rail", inch(12, 1)?, 7));
/// list.stock.push(Stock { length: inch(96, 1)?, quantity: None });
/// let cuts = list.cuts(&axis)?;
/// assert_eq!(cuts.totals.stock_pieces, 1);
/// assert_eq!(cuts.stock[0].offcut.to_string(), "11.125 in");
/// assert_eq!(cuts.cuts[0].setting.placement.as_ref().map(|placed| placed.step), Some(16_256));
/// # Ok::<(), wholestep::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CutList {
    /// The unit in which lengths are told.
    pub unit: LengthUnit,
    /// What is wanted.
    pub parts: Vec<Part>,
    /// What there is to cut it from.
    pub stock: Vec<Stock>,
    /// Marks along single pieces.
    pub marks: Vec<Marks>,
    /// What a square cut turns to dust.
    pub kerf: Length,
    /// By how much a kerf may be wider than that.
    pub kerf_error: Length,
    /// What is cut off the raw end of each piece of stock first, without the kerf.
    pub end_trim: Length,
    /// The shortest offcut that is kept.
    pub smallest_offcut: Length,
    /// The shortest piece that may be held, from the saw's manual; 0 if that is not to be checked.
    pub shortest_to_hold: Length,
    /// How far the stop is backed off, with the blade at rest, before a cut for which the stock is held;
    /// `None` if a person sees to it.
    pub stop_gap: Option<Length>,
    /// The width of the stock, which mitred ends need.
    pub width: Option<Length>,
    /// How stop distances are rounded to steps.
    pub rounding: Rounding,
    /// Whether each piece of stock is finished before the next is taken up; if not, the stop moves least.
    pub finish_each_piece: bool,
    /// How the parts may be turned on the stock.
    pub turning: Turning,
}

/// Pieces of stock of one length.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stock {
    /// The length of one.
    pub length: Length,
    /// How many there are; `None` if there are as many as needed.
    pub quantity: Option<u32>,
}

impl Stock {
    pub(crate) fn check(&self, unit: LengthUnit) -> Result<()> {
        positive("length of stock", "length", self.length, unit)?;
        match self.quantity {
            Some(quantity) => check_quantity(quantity, STOCK_MAX),
            None => Ok(()),
        }
    }
}

impl CutList {
    /// Makes an empty cut list told in `unit`: no kerf, no trim, every offcut kept, holding not
    /// checked, the nearest step, each piece of stock finished before the next, and no part turned.
    pub const fn new(unit: LengthUnit) -> Self {
        Self {
            unit,
            parts: Vec::new(),
            stock: Vec::new(),
            marks: Vec::new(),
            kerf: Length::ZERO,
            kerf_error: Length::ZERO,
            end_trim: Length::ZERO,
            smallest_offcut: Length::ZERO,
            shortest_to_hold: Length::ZERO,
            stop_gap: None,
            width: None,
            rounding: Rounding::Nearest,
            finish_each_piece: true,
            turning: Turning::None,
        }
    }

    /// Works the cut list out for `axis`.
    ///
    /// A part that the stop does not reach is set by hand, and one that fits no stock is listed as
    /// unplaced; the others are cut all the same.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](wholestep::ErrorKind::OutOfRange) for a length or quantity out of its range, and for lengths so fine
    /// that they have no common denominator in range; [`ErrorKind::Job`](wholestep::ErrorKind::Job) for mitres without a
    /// width, parts without stock, or nothing to do; what [`Marks::places`] and the axis return.
    pub fn cuts<M: Mechanism<Measure = Length>>(&self, axis: &Axis<M>) -> Result<CutSheet> {
        self.check()?;
        work::out(self, axis).map_err(|error| as_typed(error, self.unit))
    }

    /// Refuses a part that could not be cut with these settings.
    pub(crate) fn check_part(&self, part: &Part) -> Result<()> {
        let extent = || part::Extent::of(part, (part.left, part.right), self).map(|_| ());
        part.check(self.unit).and_then(|()| extent()).map_err(|error| error.of_entry(part.quoted()))
    }

    pub(crate) fn check_settings(&self) -> Result<()> {
        let unit = self.unit;
        not_negative("kerf", "kerf", self.kerf, unit)?;
        not_negative("error of the kerf", "kerf_error", self.kerf_error, unit)?;
        if self.kerf_error > self.kerf {
            return Err(messages::ERROR_OF_THE_KERF
                .error()
                .given(self.kerf_error.quoted(unit))
                .at_most(self.kerf.quoted(unit)));
        }
        not_negative("end trim", "end_trim", self.end_trim, unit)?;
        not_negative("smallest offcut", "smallest_offcut", self.smallest_offcut, unit)?;
        not_negative("shortest piece to hold", "shortest_to_hold", self.shortest_to_hold, unit)?;
        self.stop_gap.map_or(Ok(()), |gap| positive("gap at the stop", "stop_gap", gap, unit))?;
        self.width.map_or(Ok(()), |width| positive("width of the stock", "width", width, unit))
    }

    pub(crate) fn check(&self) -> Result<()> {
        let unit = self.unit;
        self.check_settings()?;
        self.stock.iter().try_for_each(|stock| stock.check(unit))?;
        self.parts.iter().try_for_each(|part| self.check_part(part))?;
        if self.parts.is_empty() && self.marks.is_empty() {
            return Err(messages::CUT_LIST_WITHOUT_PARTS.error());
        }
        if self.stock.is_empty() && !self.parts.is_empty() {
            return Err(messages::CUT_LIST_WITHOUT_STOCK.error());
        }
        let copies = self.parts.iter().fold(0_u32, |sum, part| sum.saturating_add(part.quantity));
        if copies > PARTS_MAX {
            return Err(messages::COPIES_OF_ALL_PARTS
                .error()
                .given(Value::Integer(copies.into()))
                .at_most(Value::Integer(PARTS_MAX.into())));
        }
        Ok(())
    }
}

/// Refuses a quantity of 0, or above `most`.
pub(crate) fn check_quantity(quantity: u32, most: u32) -> Result<()> {
    if (1..=most).contains(&quantity) {
        return Ok(());
    }
    Err(messages::QUANTITY
        .error()
        .given(Value::Integer(quantity.into()))
        .between(Value::Integer(1), Value::Integer(most.into())))
}
