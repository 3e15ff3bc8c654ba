//! A short exhaustive search for a packing with fewer pieces.

use super::packing::Packing;
use super::task::{QUARTERS, Task};

/// How many placements are tried before the question is left open.
const TRIES_MAX: u32 = 200_000;
/// The same if parts are mitred.
const MITRED_TRIES_MAX: u32 = 20_000;
/// How many parts are searched at most.
const PARTS_MAX: usize = 80;

pub(super) enum Outcome<'p> {
    Found(Packing<'p>),
    /// Every packing was tried.
    Impossible,
    Undecided,
}

/// Looks for a packing of everything that fits by itself on at most `limit` pieces.
///
/// Pieces are filled by what their parts take at the least, so that none is given up too early; only
/// a packing that can also be laid as a plan sets it aside is found.
pub(super) fn with_at_most<'p>(problem: &'p Task<'p>, limit: usize) -> Outcome<'p> {
    let (items, too_long): (Vec<_>, Vec<_>) =
        problem.longest_first().into_iter().partition(|&item| problem.fits_somewhere(item));
    if items.len() > PARTS_MAX {
        return Outcome::Undecided;
    }
    let room = items.iter().map(|&item| problem.room_at_least(item)).sum();
    let largest = problem.stock.iter().map(|stick| stick.usable + problem.kerf()).max().unwrap_or(0);
    let left = if problem.has_mitres() { MITRED_TRIES_MAX } else { TRIES_MAX };
    let used = vec![0; problem.stock.len()];
    let mut search = Search {
        problem,
        items: &items,
        limit,
        largest,
        room,
        pieces: Vec::new(),
        used,
        left,
        doubtful: false,
    };
    if search.lay(0, 0) {
        let mut packing = Packing { unplaced: too_long, ..Packing::empty(problem) };
        for piece in &search.pieces {
            packing.open(piece.stock, &piece.items);
        }
        return Outcome::Found(packing);
    }
    if search.left > 0 && !search.doubtful { Outcome::Impossible } else { Outcome::Undecided }
}

/// A piece of stock in the search.
struct Piece {
    stock: usize,
    items: Vec<usize>,
    /// How far it is filled at the least.
    filled: i128,
    holders: usize,
}

struct Search<'a, 'p> {
    problem: &'p Task<'p>,
    items: &'a [usize],
    limit: usize,
    largest: i128,
    /// What all items take at the least, in quarters of a unit.
    room: i128,
    pieces: Vec<Piece>,
    used: Vec<usize>,
    left: u32,
    /// Whether a packing was passed over that the least allows and a plan does not.
    doubtful: bool,
}

impl Search<'_, '_> {
    /// Lays the items from `at` on; the first of them no further forward than piece `from`.
    fn lay(&mut self, at: usize, from: usize) -> bool {
        let problem = self.problem;
        let Some(&item) = self.items.get(at) else { return self.can_be_cut() };
        let capacity = |piece: &Piece| problem.stock[piece.stock].usable + problem.kerf();
        let open: i128 = self.pieces.iter().map(capacity).sum();
        let fresh = i128::try_from(self.limit - self.pieces.len()).unwrap_or(i128::MAX);
        if self.room > QUARTERS * (open + fresh * self.largest) {
            return false;
        }
        // Copies of one part go to pieces in the order of these: any other way is the same packing.
        let next_from = |piece: usize| if self.items.get(at + 1) == Some(&item) { piece } else { 0 };
        let mut seen: Vec<usize> = Vec::new();
        for at_piece in from..self.pieces.len() {
            if seen.iter().any(|&other| self.alike(other, at_piece)) || !self.fills(at_piece, item) {
                continue;
            }
            seen.push(at_piece);
            if self.spend() {
                return false;
            }
            let filled = self.put(at_piece, item);
            if self.lay(at + 1, next_from(at_piece)) {
                return true;
            }
            self.take(at_piece, item, filled);
        }
        if self.pieces.len() == self.limit {
            return false;
        }
        for stock in 0..problem.stock.len() {
            if !self.has_left(stock) || !problem.takes(&problem.stock[stock], problem.room(item)) {
                continue;
            }
            if self.spend() {
                return false;
            }
            self.pieces.push(Piece { stock, items: Vec::new(), filled: 0, holders: 0 });
            self.used[stock] += 1;
            let last = self.pieces.len() - 1;
            self.put(last, item);
            if self.lay(at + 1, next_from(last)) {
                return true;
            }
            self.pieces.pop();
            self.used[stock] -= 1;
        }
        false
    }

    /// Whether what is laid can be held at every cut, and be laid as a plan sets it aside.
    ///
    /// Short parts come last and long ones make them fit to hold, so this is asked at the end.
    fn can_be_cut(&mut self) -> bool {
        let problem = self.problem;
        let held = |piece: &Piece| problem.holds(&problem.stock[piece.stock], piece.filled, piece.holders);
        if !self.pieces.iter().all(held) {
            return false;
        }
        let planned = self.pieces.iter().all(|piece| problem.filling(piece.stock, &piece.items).is_some());
        self.doubtful |= !planned;
        planned
    }

    /// Whether two pieces take the same from here on.
    fn alike(&self, a: usize, b: usize) -> bool {
        let (a, b) = (&self.pieces[a], &self.pieces[b]);
        let state = |piece: &Piece| (piece.stock, piece.filled, piece.holders);
        let square = |piece: &Piece| !piece.items.iter().any(|&item| self.problem.is_mitred(item));
        let same = |a: &Piece, b: &Piece| a.items == b.items || (square(a) && square(b));
        state(a) == state(b) && (!self.problem.has_mitres() || same(a, b))
    }

    fn filled_with(&self, piece: usize, item: usize) -> i128 {
        let piece = &self.pieces[piece];
        let square = |item: &usize| !self.problem.is_mitred(*item);
        if !self.problem.has_mitres() || (square(&item) && piece.items.iter().all(square)) {
            return piece.filled + self.problem.room(item);
        }
        self.problem.filling_at_least(&[&piece.items[..], &[item]].concat())
    }

    fn fills(&self, piece: usize, item: usize) -> bool {
        let stick = &self.problem.stock[self.pieces[piece].stock];
        self.problem.takes(stick, self.filled_with(piece, item))
    }

    /// Puts the item on the piece; returns how far it was filled.
    fn put(&mut self, piece: usize, item: usize) -> i128 {
        let filled = self.filled_with(piece, item);
        let piece = &mut self.pieces[piece];
        piece.items.push(item);
        piece.holders += usize::from(self.problem.is_holder(item));
        std::mem::replace(&mut piece.filled, filled)
    }

    fn take(&mut self, piece: usize, item: usize, filled: i128) {
        let piece = &mut self.pieces[piece];
        piece.items.pop();
        piece.holders -= usize::from(self.problem.is_holder(item));
        piece.filled = filled;
    }

    fn has_left(&self, stock: usize) -> bool {
        self.problem.stock[stock].quantity.is_none_or(|quantity| self.used[stock] < quantity)
    }

    /// Counts a try; whether there are no more.
    fn spend(&mut self) -> bool {
        self.left = self.left.saturating_sub(1);
        self.left == 0
    }
}
