//! A short exhaustive search for a packing with fewer pieces.

use super::Problem;
use super::packing::{Bin, Packing};

/// How many placements are tried before the question is left open.
const TRIES_MAX: u32 = 200_000;
/// How many parts are searched at most.
const PARTS_MAX: usize = 80;

pub(super) enum Outcome<'p> {
    Found(Packing<'p>),
    /// Every packing was tried.
    Impossible,
    Undecided,
}

/// Looks for a packing of everything that fits by itself on at most `limit` pieces.
pub(super) fn with_at_most(problem: &Problem, limit: usize) -> Outcome<'_> {
    let (items, too_long): (Vec<_>, Vec<_>) =
        problem.longest_first().into_iter().partition(|&item| problem.fits_somewhere(&problem.items[item]));
    if items.len() > PARTS_MAX {
        return Outcome::Undecided;
    }
    let waiting = items.iter().map(|&item| problem.room(item)).sum();
    let largest = problem.stock.iter().map(|stick| stick.usable + problem.kerf).max().unwrap_or(0);
    let packing = Packing { unplaced: too_long, ..Packing::empty(problem) };
    let mut search = Search { items: &items, limit, largest, packing, left: TRIES_MAX };
    match search.lay(0, 0, waiting) {
        true => Outcome::Found(search.packing),
        false if search.left > 0 => Outcome::Impossible,
        false => Outcome::Undecided,
    }
}

struct Search<'a, 'p> {
    items: &'a [usize],
    limit: usize,
    largest: i128,
    packing: Packing<'p>,
    left: u32,
}

impl Search<'_, '_> {
    /// Lays the items from `at` on; the first of them no further forward than piece `from`.
    fn lay(&mut self, at: usize, from: usize, waiting: i128) -> bool {
        let problem = self.packing.problem;
        let Some(&item) = self.items.get(at) else {
            // Short parts come last and long ones make them fit to hold, so this is asked at the end.
            return self.packing.bins.iter().all(|bin| bin.changed(problem, &[], &[]).is_some());
        };
        let open = |bin: &Bin| problem.stock[bin.stock].usable + problem.kerf - bin.filled;
        let room: i128 = self.packing.bins.iter().map(open).sum();
        let fresh = i128::try_from(self.limit - self.packing.bins.len()).unwrap_or(i128::MAX);
        if waiting > room + fresh * self.largest {
            return false;
        }
        // Copies of one part go to pieces in the order of these: any other way is the same packing.
        let next_from = |bin: usize| if self.items.get(at + 1) == Some(&item) { bin } else { 0 };
        let mut seen = Vec::new();
        for bin in from..self.packing.bins.len() {
            let state = &self.packing.bins[bin];
            let alike = (state.stock, state.filled, state.holders);
            let filled = state.filled + problem.room(item);
            if seen.contains(&alike) || !problem.takes(&problem.stock[state.stock], filled) {
                continue;
            }
            seen.push(alike);
            if self.spend() {
                return false;
            }
            self.packing.bins[bin].change(problem, &[], &[item]);
            if self.lay(at + 1, next_from(bin), waiting - problem.room(item)) {
                return true;
            }
            self.packing.bins[bin].change(problem, &[item], &[]);
        }
        if self.packing.bins.len() == self.limit {
            return false;
        }
        for stock in 0..problem.stock.len() {
            if !self.packing.has_left(stock) || !problem.takes(&problem.stock[stock], problem.room(item)) {
                continue;
            }
            if self.spend() {
                return false;
            }
            self.packing.open(stock, &[item]);
            let last = self.packing.bins.len() - 1;
            if self.lay(at + 1, next_from(last), waiting - problem.room(item)) {
                return true;
            }
            self.packing.close(last);
        }
        false
    }

    /// Counts a try; whether there are no more.
    fn spend(&mut self) -> bool {
        self.left = self.left.saturating_sub(1);
        self.left == 0
    }
}
