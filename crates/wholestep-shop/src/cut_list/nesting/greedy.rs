//! First packings.

use super::packing::{Bin, Packing};
use super::task::Task;

/// Which stock is taken when a new piece is needed.
#[derive(Clone, Copy, Debug)]
pub(super) enum Opening {
    Longest,
    Shortest,
}

/// How many subsets are tried for one piece of stock.
const SUBSETS_MAX: u32 = 20_000;
/// The same if parts are mitred.
const MITRED_SUBSETS_MAX: u32 = 500;

impl Opening {
    pub(super) const ALL: [Self; 2] = [Self::Longest, Self::Shortest];

    /// The stock to open for items that fill it by `filled`, of which `holders` can be held.
    fn stock(self, packing: &Packing<'_>, item: usize) -> Option<usize> {
        let problem = packing.problem;
        let allowed = |stock: &usize| packing.has_left(*stock) && problem.filling(*stock, &[item]).is_some();
        let length = |stock: &usize| problem.stock[*stock].length;
        let kinds = (0..problem.stock.len()).filter(allowed);
        match self {
            Self::Longest => kinds.max_by_key(length),
            Self::Shortest => kinds.min_by_key(length),
        }
    }
}

/// Longest first, each on the piece where it leaves least.
pub(super) fn best_fit_decreasing<'p>(problem: &'p Task<'p>, opening: Opening) -> Packing<'p> {
    let mut packing = Packing::empty(problem);
    for item in problem.longest_first() {
        place(&mut packing, item, opening, |packing, fitting| {
            fitting.min_by_key(|&bin| problem.rest(&packing.bins[bin]))
        });
    }
    packing
}

/// Longest first, each on the first piece that takes it.
pub(super) fn first_fit_decreasing<'p>(problem: &'p Task<'p>, opening: Opening) -> Packing<'p> {
    let mut packing = Packing::empty(problem);
    for item in problem.longest_first() {
        place(&mut packing, item, opening, |_, fitting| fitting.next());
    }
    packing
}

fn place(
    packing: &mut Packing<'_>,
    item: usize,
    opening: Opening,
    choose: impl Fn(&Packing<'_>, &mut dyn Iterator<Item = usize>) -> Option<usize>,
) {
    let problem = packing.problem;
    let mut fitting = (0..packing.bins.len()).filter(|&bin| packing.bins[bin].accepts(problem, item));
    if let Some(bin) = choose(packing, &mut fitting) {
        packing.bins[bin].change(problem, &[], &[item]);
    } else if let Some(stock) = opening.stock(packing, item) {
        packing.open(stock, &[item]);
    } else {
        packing.unplaced.push(item);
    }
}

/// Fills one piece after another as fully as can be, each with the longest part still to be laid.
pub(super) fn piece_by_piece<'p>(problem: &'p Task<'p>, opening: Opening) -> Packing<'p> {
    let mut packing = Packing::empty(problem);
    let most = if problem.has_mitres() { MITRED_SUBSETS_MAX } else { SUBSETS_MAX };
    let mut waiting = problem.longest_first();
    while let Some(&longest) = waiting.first() {
        waiting.remove(0);
        let Some(stock) = opening.stock(&packing, longest) else {
            packing.unplaced.push(longest);
            continue;
        };
        let mut fullest = Fullest { problem, waiting: &waiting, best: Vec::new(), most: 0, left: most };
        packing.open(stock, &[longest]);
        if let Some(bin) = packing.bins.last_mut() {
            fullest.extend(bin, &mut Vec::new(), 0);
            let chosen = fullest.best;
            let items: Vec<_> = chosen.iter().map(|&at| waiting[at]).collect();
            bin.change(problem, &[], &items);
            for at in chosen.into_iter().rev() {
                waiting.remove(at);
            }
        }
    }
    packing
}

/// A search for the subset of the waiting items that fills a piece most.
struct Fullest<'a> {
    problem: &'a Task<'a>,
    waiting: &'a [usize],
    best: Vec<usize>,
    most: i128,
    left: u32,
}

impl Fullest<'_> {
    fn extend(&mut self, bin: &Bin, chosen: &mut Vec<usize>, from: usize) {
        let problem = self.problem;
        let mut before = None;
        for at in from..self.waiting.len() {
            let item = self.waiting[at];
            // A copy of what was just tried and given up leads nowhere new.
            if before == Some(item) {
                continue;
            }
            before = Some(item);
            if self.left == 0 || self.most == problem.stock[bin.stock].usable {
                return;
            }
            self.left -= 1;
            let Some((filled, holders)) = bin.changed(problem, &[], &[item]) else { continue };
            chosen.push(at);
            if filled > self.most {
                self.most = filled;
                self.best.clone_from(chosen);
            }
            let chained = bin.chained || problem.is_mitred(item);
            let items = [&bin.items[..], &[item]].concat();
            self.extend(&Bin { stock: bin.stock, items, filled, holders, chained }, chosen, at + 1);
            chosen.pop();
        }
    }
}
