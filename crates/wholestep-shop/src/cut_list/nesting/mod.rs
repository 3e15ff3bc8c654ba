//! Nesting: which parts are cut from which piece of stock.
//!
//! Everything is in whole units of a common measure, so sums and comparisons are exact. Parts are
//! laid by best fit and by first fit, longest first, and by filling one piece after another as
//! fully as can be; the best of these is improved by moving and exchanging parts between pieces.
//! A short exhaustive search then tries to save one piece more, or proves that none can be saved.
//!
//! Mitred parts are laid so that one cut ends one part and begins the next where it can ([`Kerfs`]).
//! What a plan sets aside is rounded up, and what no way of cutting goes below is rounded down; that
//! no fewer pieces will do is said only of the latter.
//!
//! What is better, first things first: less length left unplaced; fewer pieces of stock; less
//! stock; less waste in offcuts too short to keep; and what is kept in fewer, longer offcuts.

mod chain;
mod greedy;
mod improve;
mod kerfs;
mod lower_bound;
mod packing;
mod search;
mod task;

pub use kerfs::{Between, Kerfs, Slant};

use greedy::Opening;
use packing::Packing;
use task::Task;

/// A part to be nested.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Item {
    /// The length it occupies, from its outermost point at one end to that at the other.
    pub length: i128,
    /// By how much the length may have been rounded up.
    pub rounded_up: i128,
    /// The length that there is to hold.
    pub holdable: i128,
    /// How many.
    pub quantity: usize,
    /// The ways in which it may be laid, as drawn first; at least one.
    pub lays: Vec<Lay>,
}

impl Item {
    /// Returns a part with square ends.
    pub fn square(length: i128, quantity: usize) -> Self {
        Self { length, rounded_up: 0, holdable: length, quantity, lays: vec![Lay { left: 0, right: 0 }] }
    }
}

/// The ends of a part as it is laid, by their slants: 0 for a square end, otherwise 1 + the place
/// among the mitred slants of the [`Kerfs`].
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Lay {
    /// The end that comes first.
    pub left: usize,
    /// The end that the blade cuts.
    pub right: usize,
}

impl Lay {
    const fn is_mitred(&self) -> bool {
        self.left != 0 || self.right != 0
    }
}

/// Pieces of stock of one length.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct StockPiece {
    /// The length of one.
    pub length: i128,
    /// What is left of it once its raw end is cut off; 0 or less if it cannot be used.
    pub usable: i128,
    /// How many there are; `None` if there are as many as needed.
    pub quantity: Option<usize>,
}

/// What is to be nested on what.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// The parts.
    pub items: Vec<Item>,
    /// The stock.
    pub stock: Vec<StockPiece>,
    /// The kerf of a square cut, and what lies between mitred ends.
    pub kerfs: Kerfs,
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
    /// The items, as indices, one for each copy: longest first, or in the order of cutting where
    /// some are mitred.
    pub items: Vec<usize>,
    /// Which of its ways each item is laid in, where some are mitred; otherwise any order will do.
    pub lays: Option<Vec<usize>>,
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
    /// The kerf of a square cut.
    fn kerf(&self) -> i128 {
        self.kerfs.slants[0].kerf.high
    }

    /// Whether stock of this kind takes items that fill `filled`, their kerfs counted.
    ///
    /// The last kerf needs no room: the last part may end where the stock does.
    fn takes(&self, stick: &StockPiece, filled: i128) -> bool {
        stick.usable > 0 && filled <= stick.usable + self.kerf()
    }

    /// Whether every cut leaves something long enough to hold, where `holders` parts can be held
    /// themselves. Parts too short for that are cut first: what is left then still holds the longer
    /// part, or else the offcut.
    fn holds(&self, stick: &StockPiece, filled: i128, holders: usize) -> bool {
        holders > 0 || stick.usable - filled >= self.hold
    }

    fn fits_somewhere(&self, item: usize) -> bool {
        self.stock.iter().any(|stick| self.takes(stick, self.room(item)))
    }
}

/// Lays the items on the stock; deterministic.
pub fn nest(problem: &Problem) -> Nesting {
    let task = &Task::new(problem);
    let mut best = Opening::ALL
        .into_iter()
        .flat_map(|opening| {
            [
                greedy::best_fit_decreasing(task, opening),
                greedy::first_fit_decreasing(task, opening),
                greedy::piece_by_piece(task, opening),
            ]
        })
        .map(|start| improve::improved(start))
        .min_by_key(Packing::cost)
        .unwrap_or_else(|| Packing::empty(task));
    let mut lower_bound = lower_bound::pieces(task);
    while best.unplaced_that_fit() == 0 && best.bins.len() > lower_bound {
        match search::with_at_most(task, best.bins.len() - 1) {
            search::Outcome::Found(better) => best = improve::improved(better),
            search::Outcome::Impossible => lower_bound = best.bins.len(),
            search::Outcome::Undecided => break,
        }
    }
    best.into_nesting(lower_bound)
}
