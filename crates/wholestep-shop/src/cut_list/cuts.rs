//! What comes out of a cut list.

use serde::{Serialize, Serializer};
use wholestep::{Angle, AngleUnit, Measure};

use super::nesting::Reason;
use super::part::MeasuredTo;
use super::timing::{Seconds, StopMove};
use super::turn::Turn;
use super::{Bounds, Dimension};

/// A cut list worked out: where the stop stands for each cut, in the order of cutting.
///
/// Serialized with every length as its exact text and every step as a whole number.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct CutSheet {
    /// The cuts, in order.
    pub cuts: Vec<Cut>,
    /// The marks along single pieces.
    pub marks: Vec<MarkedPiece>,
    /// The pieces of stock that are used.
    pub stock: Vec<StockPiece>,
    /// Parts that could not be cut.
    pub unplaced: Vec<Unplaced>,
    /// Sums.
    pub totals: Totals,
    /// What to mind about the stop.
    pub warnings: Vec<String>,
    /// What a person must see to, for each kind of work among the cuts; see [`caution`](crate::caution).
    pub cautions: Vec<&'static str>,
}

/// One cut.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Cut {
    /// Its place in the order, from 1.
    pub number: usize,
    /// The piece of stock it is cut from, from 1.
    pub stock: usize,
    /// The part's name.
    pub part: String,
    /// The part's length as asked for.
    pub length: Dimension,
    /// Between which points of mitred ends the length is measured.
    pub measured_to: MeasuredTo,
    /// How the part is turned on the stock.
    pub turn: Turn,
    /// The end at the stop, as the part is laid: its angle from square, positive with its long point
    /// at the fence.
    #[serde(serialize_with = "in_degrees")]
    pub left: Angle,
    /// The end at the blade, as the part is laid.
    #[serde(serialize_with = "in_degrees")]
    pub right: Angle,
    /// Whether the end at the stop is sawn first, because neither the cut before made it nor is the
    /// end of the stock square to begin with.
    pub saw_left_first: bool,
    /// Where the end at the stop touches it.
    pub stop_touches: Touch,
    /// How far the point that touches the stop lies beyond the other corner of that end, along the
    /// fence: what a stop that touches the other corner is out by.
    pub left_reach: Bounds,
    /// Where the stop is set.
    #[serde(flatten)]
    pub setting: Setting,
    /// How the stop gets there from the setting before, where the moves have been planned.
    pub stop_move: Option<StopMove>,
    /// Which piece is held while it is cut.
    pub held: Held,
    /// Whether there is anything to saw off; false where the part ends where the stock does.
    pub sawn: bool,
    /// What is left of the piece of stock after this cut, along the edge at the fence.
    pub remaining: Dimension,
    /// Where the stop is backed off to before the cut, if the stock is held and the list states a gap.
    pub backed_off: Option<Setting>,
    /// That move of the stop, if it is planned.
    pub back_off_move: Option<StopMove>,
    /// What to mind.
    pub warnings: Vec<String>,
}

impl Cut {
    /// Tells whether an end is mitred, or sawn first at an angle that the cut before did not leave.
    pub fn is_mitred(&self) -> bool {
        self.left != Angle::ZERO || self.right != Angle::ZERO || self.saw_left_first
    }
}

/// Where the stop is set: by the axis, or by hand if the axis does not reach.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Setting {
    /// From the stop's face to the near side of the kerf, along the fence. Measured by hand, this is
    /// the distance.
    pub stop: Bounds,
    /// Where the axis stands; `None` if it does not reach.
    pub placement: Option<Placed>,
    /// Why it is set by hand.
    pub by_hand: Option<String>,
}

/// Where the axis stands for a stop distance.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Placed {
    /// The step.
    pub step: i64,
    /// Where that step stands.
    pub position: Bounds,
    /// Position minus stop distance.
    pub remainder: Bounds,
    /// Whether the bounds told the step apart from its neighbours.
    pub is_decided: bool,
}

/// Which of the two pieces that a cut parts is held.
///
/// The piece that touches the stop is the one that can bind between stop and blade, so it is held or
/// clamped wherever it is long enough (published: Popular Woodworking, "Crosscut short pieces").
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Held {
    /// The part, which touches the stop.
    Part,
    /// The stock, because the part is too short: with the blade at rest, the stop is backed off before
    /// the cut, so that the part falls free.
    Stock,
    /// Not known: the list says no shortest length to hold.
    NotChecked,
}

impl Held {
    /// Returns the name, as Python and `--json` spell it.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Part => "part",
            Self::Stock => "stock",
            Self::NotChecked => "not_checked",
        }
    }
}

/// Where the end at the stop touches it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Touch {
    /// All over: the end is square.
    SquareEnd,
    /// With its point, at the fence.
    PointAtFence,
    /// With its point, at the edge away from the fence.
    PointAwayFromFence,
}

impl Touch {
    /// Returns the name, as Python and `--json` spell it.
    pub const fn name(self) -> &'static str {
        match self {
            Self::SquareEnd => "square_end",
            Self::PointAtFence => "point_at_fence",
            Self::PointAwayFromFence => "point_away_from_fence",
        }
    }

    /// Of an end at this angle.
    pub(super) fn of(left: Angle) -> Self {
        match left.cmp(&Angle::ZERO) {
            core::cmp::Ordering::Equal => Self::SquareEnd,
            core::cmp::Ordering::Greater => Self::PointAtFence,
            core::cmp::Ordering::Less => Self::PointAwayFromFence,
        }
    }
}

/// Marks along one piece.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct MarkedPiece {
    /// What they are called.
    pub name: String,
    /// The length of the piece.
    pub length: Dimension,
    /// The marks, from the end that touches the stop.
    pub marks: Vec<Setting>,
}

/// One piece of stock, told along the edge at the fence: its length is the sum of trim, parts,
/// wedges, kerf and offcut, exactly.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct StockPiece {
    /// Its number, from 1.
    pub number: usize,
    /// Its length.
    pub length: Dimension,
    /// Cut off its raw end first, without the kerf.
    pub trim: Dimension,
    /// What the parts occupy.
    pub parts: Dimension,
    /// Wedges of waste between mitred ends, with the kerf of the cut that makes an end first.
    pub wedges: Dimension,
    /// Turned to dust by the cuts behind the parts, and by the trimming cut.
    pub kerf: Dimension,
    /// What is left at the end.
    pub offcut: Dimension,
    /// Whether the offcut is long enough to keep, by its shorter edge.
    pub kept: bool,
}

/// A part that could not be cut.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Unplaced {
    /// Its name.
    pub part: String,
    /// Its length as asked for.
    pub length: Dimension,
    /// How many copies.
    pub quantity: usize,
    /// Why.
    pub reason: Reason,
}

/// Sums over the whole cut list.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Totals {
    /// How many pieces of stock are used.
    pub stock_pieces: usize,
    /// No nesting of the same parts uses fewer.
    pub stock_pieces_at_least: usize,
    /// Whether it is proven that no fewer will do.
    pub proven: bool,
    /// The length of the stock that is used.
    pub stock_length: Dimension,
    /// What the parts occupy.
    pub parts: Dimension,
    /// Offcuts that are kept.
    pub offcuts_kept: Dimension,
    /// Everything else: trims, kerfs, wedges, and offcuts too short to keep.
    pub waste: Dimension,
    /// How far the stop moves from the first cut to the last.
    pub stop_travel: Bounds,
    /// How often it moves.
    pub stop_moves: usize,
    /// How long it moves, in seconds, where the moves have been planned.
    pub seconds_moving: Option<Seconds>,
    /// How many of its moves could not be planned; their time is missing above.
    pub moves_without_time: usize,
    /// How many cuts are set by hand.
    pub by_hand: usize,
}

fn in_degrees<S: Serializer>(angle: &Angle, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.collect_str(&angle.quoted(AngleUnit::Degree))
}
