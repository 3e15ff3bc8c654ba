//! A packing in the making: pieces of stock, what lies on each, and what it costs.

use std::cmp::Reverse;

use super::chain;
use super::task::Task;
use super::{Nested, Nesting, Problem, Reason};

/// What is better, first things first; see the module above. The last is in squares of a coarser
/// unit, for it only breaks ties.
pub(super) type Cost = (i128, usize, i128, i128, Reverse<i128>);

#[derive(Clone, Debug)]
pub(super) struct Bin {
    /// Which of the problem's stock.
    pub(super) stock: usize,
    pub(super) items: Vec<usize>,
    /// Lengths and kerfs of the items.
    pub(super) filled: i128,
    /// How many of the items can be held themselves.
    pub(super) holders: usize,
    /// Whether an item is mitred, so that their order matters.
    pub(super) chained: bool,
}

/// The items without those of `out` and with those of `into`.
fn exchanged(items: &[usize], out: &[usize], into: &[usize]) -> Vec<usize> {
    let mut items = items.to_vec();
    for gone in out {
        if let Some(place) = items.iter().position(|item| item == gone) {
            items.swap_remove(place);
        }
    }
    items.extend_from_slice(into);
    items
}

#[derive(Clone, Debug)]
pub(super) struct Packing<'p> {
    pub(super) problem: &'p Task<'p>,
    pub(super) bins: Vec<Bin>,
    /// How many pieces of each stock are in use.
    pub(super) used: Vec<usize>,
    pub(super) unplaced: Vec<usize>,
}

impl Problem {
    pub(super) fn room(&self, item: usize) -> i128 {
        self.items[item].length + self.kerf()
    }

    pub(super) fn is_holder(&self, item: usize) -> bool {
        self.items[item].holdable >= self.hold
    }

    /// Every copy of every item, longest first.
    pub(super) fn longest_first(&self) -> Vec<usize> {
        let mut kinds: Vec<usize> = (0..self.items.len()).collect();
        kinds.sort_by_key(|&item| (Reverse(self.room(item)), item));
        kinds.into_iter().flat_map(|item| std::iter::repeat_n(item, self.items[item].quantity)).collect()
    }

    /// What the piece has left behind its last cut.
    pub(super) fn rest(&self, bin: &Bin) -> i128 {
        (self.stock[bin.stock].usable - bin.filled).max(0)
    }

    /// A square of `length` that fits, in units coarse enough.
    pub(super) fn square(&self, length: i128) -> i128 {
        let longest = self.stock.iter().map(|stick| stick.length).max().unwrap_or(1).max(1);
        let coarser = longest.ilog2().saturating_sub(44);
        (length >> coarser) * (length >> coarser)
    }

    /// How good two pieces' offcuts are: waste, negated, then the concentration of what is left.
    pub(super) fn worth(&self, rest: i128, keep: bool) -> (i128, i128) {
        let wasted = if keep && rest < self.smallest_offcut { rest } else { 0 };
        (-wasted, self.square(rest))
    }
}

impl Bin {
    pub(super) const fn empty(stock: usize) -> Self {
        Self { stock, items: Vec::new(), filled: 0, holders: 0, chained: false }
    }

    pub(super) fn accepts(&self, problem: &Task<'_>, item: usize) -> bool {
        self.changed(problem, &[], &[item]).is_some()
    }

    /// Fill and holders after taking items out and putting others in, where the piece allows it.
    pub(super) fn changed(&self, problem: &Task<'_>, out: &[usize], into: &[usize]) -> Option<(i128, usize)> {
        if self.chained || into.iter().any(|&item| problem.is_mitred(item)) {
            return problem.filling(self.stock, &exchanged(&self.items, out, into));
        }
        let room = |items: &[usize]| items.iter().map(|&item| problem.room(item)).sum::<i128>();
        let holders = |items: &[usize]| items.iter().filter(|&&item| problem.is_holder(item)).count();
        let filled = self.filled - room(out) + room(into);
        let holders = self.holders - holders(out) + holders(into);
        let stick = &problem.stock[self.stock];
        let allowed = problem.takes(stick, filled) && problem.holds(stick, filled, holders);
        allowed.then_some((filled, holders))
    }

    /// Makes a change that was found to be allowed.
    pub(super) fn change(&mut self, problem: &Task<'_>, out: &[usize], into: &[usize]) {
        self.items = exchanged(&self.items, out, into);
        self.chained = self.items.iter().any(|&item| problem.is_mitred(item));
        self.holders = self.items.iter().filter(|&&item| problem.is_holder(item)).count();
        let filling = if self.chained { problem.filling(self.stock, &self.items) } else { None };
        self.filled = match filling {
            Some((filled, _)) => filled,
            None => problem.filling_at_least(&self.items),
        };
    }

    /// The items without repetition.
    pub(super) fn kinds(&self) -> Vec<usize> {
        let mut kinds = self.items.clone();
        kinds.sort_unstable();
        kinds.dedup();
        kinds
    }
}

impl<'p> Packing<'p> {
    pub(super) fn empty(problem: &'p Task<'p>) -> Self {
        Self { problem, bins: Vec::new(), used: vec![0; problem.stock.len()], unplaced: Vec::new() }
    }

    pub(super) fn has_left(&self, stock: usize) -> bool {
        self.problem.stock[stock].quantity.is_none_or(|quantity| self.used[stock] < quantity)
    }

    pub(super) fn open(&mut self, stock: usize, items: &[usize]) {
        let mut bin = Bin::empty(stock);
        bin.change(self.problem, &[], items);
        self.bins.push(bin);
        self.used[stock] += 1;
    }

    pub(super) fn close(&mut self, bin: usize) -> Bin {
        let bin = self.bins.remove(bin);
        self.used[bin.stock] -= 1;
        bin
    }

    /// Puts the contents of every piece on the shortest stock that takes them.
    pub(super) fn use_shorter_stock(&mut self) {
        for at in 0..self.bins.len() {
            let length = |stock: usize| self.problem.stock[stock].length;
            let mut bin = self.bins[at].clone();
            let shorter = (0..self.problem.stock.len())
                .filter(|&stock| length(stock) < length(self.bins[at].stock) && self.has_left(stock))
                .filter(|&stock| {
                    bin.stock = stock;
                    bin.changed(self.problem, &[], &[]).is_some()
                })
                .min_by_key(|&stock| length(stock));
            if let Some(stock) = shorter {
                self.used[self.bins[at].stock] -= 1;
                self.used[stock] += 1;
                self.bins[at].stock = stock;
            }
        }
    }

    pub(super) fn cost(&self) -> Cost {
        let problem = self.problem;
        let unplaced = self.unplaced.iter().map(|&item| problem.items[item].length).sum();
        let stock = self.bins.iter().map(|bin| problem.stock[bin.stock].length).sum();
        let (worth, concentration) = self
            .bins
            .iter()
            .map(|bin| problem.worth(problem.rest(bin), true))
            .fold((0, 0), |sum, worth| (sum.0 + worth.0, sum.1 + worth.1));
        (unplaced, self.bins.len(), stock, -worth, Reverse(concentration))
    }

    /// How many unplaced items would fit a piece of stock by themselves.
    pub(super) fn unplaced_that_fit(&self) -> usize {
        let fits = |item: &&usize| self.problem.fits_somewhere(**item);
        self.unplaced.iter().filter(fits).count()
    }

    fn reason(&self, item: usize) -> Reason {
        let problem = self.problem;
        let takes = |stock: usize| problem.takes(&problem.stock[stock], problem.room(item));
        let kinds = 0..problem.stock.len();
        if !kinds.clone().any(takes) {
            Reason::TooLong
        } else if kinds.into_iter().any(|stock| takes(stock) && self.has_left(stock)) {
            Reason::TooShortToHold
        } else {
            Reason::NoStockLeft
        }
    }

    pub(super) fn into_nesting(mut self, lower_bound: usize) -> Nesting {
        let proven = self.unplaced_that_fit() == 0 && self.bins.len() == lower_bound;
        let mut unplaced: Vec<_> = self.unplaced.iter().map(|&item| (item, self.reason(item))).collect();
        unplaced.sort_by_key(|(item, _)| *item);
        for bin in &mut self.bins {
            bin.items.sort_by_key(|&item| (Reverse(self.problem.room(item)), item));
        }
        let items = |bin: &Bin| bin.items.clone();
        self.bins.sort_by_key(|bin| (bin.stock, Reverse(bin.filled), items(bin)));
        let problem = self.problem;
        let pieces = self.bins.into_iter().map(|bin| nested(problem, bin)).collect();
        Nesting { pieces, unplaced, lower_bound, proven }
    }
}

fn nested(problem: &Task<'_>, bin: Bin) -> Nested {
    let usable = problem.stock[bin.stock].usable;
    let chain = if bin.chained { chain::laid(problem, usable, &bin.items) } else { None };
    match chain {
        Some(chain) => {
            let (items, lays) = chain.laid.into_iter().unzip();
            Nested { stock: bin.stock, items, lays: Some(lays) }
        }
        None => Nested { stock: bin.stock, items: bin.items, lays: None },
    }
}
