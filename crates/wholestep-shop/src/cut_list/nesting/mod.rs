//! Nesting: which parts are cut from which piece of stock.
//!
//! Everything is in whole units of a common measure, so sums and comparisons are exact. Parts are
//! laid by best fit and by first fit, longest first, and by filling one piece after another as
//! fully as can be; the best of these is improved by moving and exchanging parts between pieces.
//! A short exhaustive search then tries to save one piece more, or proves that none can be saved.
//!
//! What is better, first things first: less length left unplaced; fewer pieces of stock; less
//! stock; less waste in offcuts too short to keep; and what is kept in fewer, longer offcuts.

mod bound;
mod fill;
mod improve;
mod packing;
mod search;

use fill::Opening;
use packing::Packing;

/// A part to be nested.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Item {
    /// The length it occupies.
    pub length: i128,
    /// The kerf of the cut behind it, at least that of a square cut.
    pub kerf: i128,
    /// The length that there is to hold.
    pub holdable: i128,
    /// How many.
    pub quantity: usize,
}

/// Pieces of stock of one length.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stick {
    /// The length of one.
    pub length: i128,
    /// What is left of it once its raw end is cut off; 0 or less where it cannot be used.
    pub usable: i128,
    /// How many there are; `None` where there are as many as needed.
    pub quantity: Option<usize>,
}

/// What is to be nested on what.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// The parts.
    pub items: Vec<Item>,
    /// The stock.
    pub stock: Vec<Stick>,
    /// The kerf of a square cut.
    pub kerf: i128,
    /// The shortest piece that can be held: of the two pieces that a cut parts, one must be as long.
    pub hold: i128,
    /// The shortest offcut that is kept.
    pub smallest_offcut: i128,
}

/// One piece of stock and what is cut from it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Nested {
    /// Which of the problem's stock.
    pub stock: usize,
    /// The items, as indices, longest first, one index for each copy.
    pub items: Vec<usize>,
}

/// Parts laid on stock.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Nesting {
    /// The pieces of stock that are used.
    pub pieces: Vec<Nested>,
    /// Items that could not be laid, one index for each copy, with the reason.
    pub unplaced: Vec<(usize, Reason)>,
    /// No nesting of the same parts uses fewer pieces.
    pub lower_bound: usize,
    /// Whether it is proven that no fewer pieces will do.
    pub proven: bool,
}

/// Why a part could not be laid.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Reason {
    /// It is longer than what every piece of stock offers.
    TooLong,
    /// All stock that is long enough is used up.
    NoStockLeft,
    /// At its cut neither it nor what remains would be long enough to hold.
    TooShortToHold,
}

impl core::fmt::Display for Reason {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        f.write_str(match self {
            Self::TooLong => "longer than what any piece of stock offers",
            Self::NoStockLeft => "all stock that is long enough is used up",
            Self::TooShortToHold => "neither it nor what remains would be long enough to hold",
        })
    }
}

impl Problem {
    /// Whether stock of this kind takes items that fill `filled`, their kerfs counted.
    ///
    /// The last kerf needs no room: the last part may end where the stock does.
    fn takes(&self, stick: &Stick, filled: i128) -> bool {
        stick.usable > 0 && filled <= stick.usable + self.kerf
    }

    /// Whether every cut leaves something long enough to hold, where `holders` parts can be held
    /// themselves. Parts too short for that are cut first: what is left then still holds the longer
    /// part, or else the offcut.
    fn holds(&self, stick: &Stick, filled: i128, holders: usize) -> bool {
        holders > 0 || stick.usable - filled >= self.hold
    }

    fn fits_somewhere(&self, item: &Item) -> bool {
        self.stock.iter().any(|stick| self.takes(stick, item.length + item.kerf))
    }
}

/// Lays the items on the stock; deterministic.
pub fn nest(problem: &Problem) -> Nesting {
    let mut best = Opening::ALL
        .into_iter()
        .flat_map(|opening| {
            [
                fill::best_fit_decreasing(problem, opening),
                fill::first_fit_decreasing(problem, opening),
                fill::piece_by_piece(problem, opening),
            ]
        })
        .map(|start| improve::improved(start))
        .min_by_key(Packing::cost)
        .unwrap_or_else(|| Packing::empty(problem));
    let mut lower_bound = bound::pieces(problem);
    while best.unplaced_that_fit() == 0 && best.bins.len() > lower_bound {
        match search::with_at_most(problem, best.bins.len() - 1) {
            search::Outcome::Found(better) => best = improve::improved(better),
            search::Outcome::Impossible => lower_bound = best.bins.len(),
            search::Outcome::Undecided => break,
        }
    }
    best.into_nesting(lower_bound)
}
