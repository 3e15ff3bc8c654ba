//! What lies between two parts on one piece of stock: kerf, and a wedge where their ends differ.
//!
//! A cut is a line across the stock, x = a + s·y, with y from 0 at the fence to the width at the far
//! edge; s is its slant. Where the end of one part and the beginning of the next have the same slant,
//! one cut makes both. Otherwise the blade first cuts the one part off and then makes the end of the
//! next, which takes a wedge of waste that ends in a point at one edge.
//!
//! Parts are added up by their overall lengths, from the outermost point to the outermost. Two ends
//! that slant the same way overlap there by as much as the less slanted of them reaches, so what lies
//! between two parts, counted so, is the kerf of the cut less that overlap. Nothing is added at
//! either end of a piece of stock, for it is square and the outermost points touch it.

/// A whole number known between two bounds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Between {
    /// The lower bound.
    pub low: i128,
    /// The upper bound.
    pub high: i128,
}

impl Between {
    /// Returns a number that is known.
    pub const fn exactly(value: i128) -> Self {
        Self { low: value, high: value }
    }
}

/// A direction in which a cut crosses the stock.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Slant {
    /// Whether it runs towards the far end of the stock on its way from the fence; of no matter for
    /// a square cut.
    pub away: bool,
    /// How far it runs along the stock: 0 for a square cut.
    pub reach: Between,
    /// What its kerf takes along the stock.
    pub kerf: Between,
}

/// The slants of a problem, the square one first, and what lies between ends that have them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Kerfs {
    pub(super) slants: Vec<Slant>,
    /// What a plan sets aside, by the slant of the end before and of the beginning behind.
    pub(super) planned: Vec<Vec<i128>>,
    /// What no way of cutting can go below.
    pub(super) at_least: Vec<Vec<i128>>,
}

impl Kerfs {
    /// Of stock `width` wide, cut square with a kerf of `kerf` and at the `mitred` slants.
    pub fn new(width: i128, kerf: i128, mitred: &[Slant]) -> Self {
        let square = Slant { away: false, reach: Between::exactly(0), kerf: Between::exactly(kerf) };
        let slants: Vec<Slant> = std::iter::once(square).chain(mitred.iter().copied()).collect();
        let table = |joint: &dyn Fn(&Slant, &Slant) -> i128| {
            slants.iter().map(|before| slants.iter().map(|behind| joint(before, behind)).collect()).collect()
        };
        let planned = table(&|before, behind| {
            before.kerf.high
                - if same_way(before, behind) { before.reach.low.min(behind.reach.low) } else { 0 }
        });
        // Any cut that parts the two has a kerf of its own, and with stock wider than the kerf none
        // takes less than the squarest between the two slants.
        let at_least = table(&|before, behind| match same_way(before, behind) {
            true if width >= kerf => {
                before.kerf.low.min(behind.kerf.low) - before.reach.high.min(behind.reach.high)
            }
            true => kerf - before.reach.high.min(behind.reach.high),
            false => kerf,
        });
        Self { slants, planned, at_least }
    }

    /// Of stock that is only cut square.
    pub fn square(kerf: i128) -> Self {
        Self::new(0, kerf, &[])
    }

    /// What a plan sets aside between an end with one slant and the beginning with another.
    pub(crate) fn between(&self, before: usize, behind: usize) -> i128 {
        self.planned[before][behind]
    }

    /// What the kerf of a cut takes along the stock, as a plan sets it aside.
    pub(crate) fn kerf(&self, slant: usize) -> i128 {
        self.slants[slant].kerf.high
    }

    /// How far a cut certainly reaches along the stock.
    pub(crate) fn reach(&self, slant: usize) -> i128 {
        self.slants[slant].reach.low
    }

    /// What an end with slant `end` takes at the least beyond the outermost point of its part, in
    /// quarters of a unit: its share of the joint with one of `others`, or with the end of the stock.
    ///
    /// A joint's length between the middles of the two ends is shared by halves; a last kerf that
    /// needs no room is shared by both ends of the stock.
    pub(super) fn quarters_at_least(&self, end: usize, others: &[usize], joint: Order) -> i128 {
        let own = self.slants[end].reach;
        let share = |&other: &usize| {
            let between = match joint {
                Order::EndFirst => self.at_least[end][other],
                Order::OtherFirst => self.at_least[other][end],
            };
            let beyond = if other == end { 0 } else { self.slants[other].reach.low - own.high };
            2 * between + beyond
        };
        let kerf = self.slants[0].kerf.low;
        others.iter().map(share).min().unwrap_or(2 * kerf).min(2 * kerf)
    }
}

/// Which of two ends that meet comes first.
#[derive(Clone, Copy, Debug)]
pub(super) enum Order {
    EndFirst,
    OtherFirst,
}

fn same_way(a: &Slant, b: &Slant) -> bool {
    a.reach.high > 0 && b.reach.high > 0 && a.away == b.away
}
