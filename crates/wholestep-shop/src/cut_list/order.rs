//! Ordering: which cut comes next.
//!
//! As a rule each piece of stock is finished before the next is taken up: a motorised stop moves in
//! seconds, lifting a long board does not. Within a piece the parts that cannot be held themselves are
//! cut first, while the stock is long, and the longest first among them and among the others. The order of the pieces is the one in which the stop moves least for up to [`EXACT_MAX`] of
//! them, and otherwise the best of those that go to the nearest next.
//!
//! For a stop that is set by hand the stop may move least instead: taken over all pieces of stock, from
//! the shortest stop distance to the longest, it moves once over the distance between them. The shortest
//! parts come first, so what remains of each piece is as long as it can be while they are cut. Where
//! mitres make a part with a short edge stand at a long stop distance, the longest part of that piece is
//! kept to the end and cut on the way back.
//!
//! A piece of stock with mitred parts is cut in the order in which they lie on it, among many after the
//! others.

use wholestep::Length;

/// How many pieces are put into their best order by trying every one.
const EXACT_MAX: usize = 10;

/// A piece of stock and what is to be cut from it.
#[derive(Clone, Debug)]
pub(super) struct Piece {
    pub(super) usable: i128,
    pub(super) cuts: Vec<Candidate>,
    /// Whether the cuts follow one another as they stand, since each makes the end of the next part.
    pub(super) in_order: bool,
}

#[derive(Clone, Copy, Debug)]
pub(super) struct Candidate {
    /// Which part.
    pub(super) part: usize,
    /// Which of its ways it is laid in.
    pub(super) way: usize,
    pub(super) stop: Length,
    /// The stop in whole units fine enough to compare distances; `None` if it is set by hand.
    pub(super) travel: Option<i128>,
    pub(super) room: i128,
    /// Whether the part itself is long enough to hold.
    pub(super) holds: bool,
}

/// The piece and the cut of it, as indices, in the order of cutting.
pub(super) type Sequence = Vec<(usize, usize)>;

/// The order in which the stop moves least, all pieces of stock being at hand.
pub(super) fn least_travel(pieces: &[Piece], hold: i128) -> Sequence {
    let mut kept = Vec::new();
    let mut sequence = Vec::new();
    let (in_order, free): (Vec<usize>, Vec<usize>) = (0..pieces.len()).partition(|&at| pieces[at].in_order);
    for at in free {
        let piece = &pieces[at];
        let (route, last) = upward(piece, hold);
        sequence.extend(route.into_iter().map(|cut| (at, cut)));
        kept.extend(last.map(|cut| (at, cut)));
    }
    let stop =
        |&(piece, cut): &(usize, usize)| (pieces[piece].cuts[cut].stop, piece, pieces[piece].cuts[cut].part);
    sequence.sort_by_key(stop);
    kept.sort_by_key(|place| std::cmp::Reverse(stop(place)));
    sequence.extend(kept);
    sequence.extend(in_order.into_iter().flat_map(|at| (0..pieces[at].cuts.len()).map(move |cut| (at, cut))));
    sequence
}

/// Each piece of stock finished before the next is taken up, which lifts each once; the pieces in the
/// order in which the stop moves little.
pub(super) fn board_after_board(pieces: &[Piece]) -> Sequence {
    let routes: Vec<Route> = pieces.iter().map(Route::longest_first).collect();
    let tour = if pieces.len() <= EXACT_MAX { best_tour(&routes) } else { nearest_tour(&routes) };
    tour.into_iter().flat_map(|piece| routes[piece].cuts.iter().map(move |&cut| (piece, cut))).collect()
}

fn distance(stops: impl Iterator<Item = i128>) -> i128 {
    let mut last = None;
    stops.map(|stop| (stop - last.replace(stop).unwrap_or(stop)).abs()).sum()
}

/// Whether at every cut the part or what remains behind it is long enough to hold.
pub(super) fn stays_long_enough(piece: &Piece, route: &[usize], hold: i128) -> bool {
    let mut rest = piece.usable;
    route.iter().all(|&cut| {
        rest -= piece.cuts[cut].room;
        piece.cuts[cut].holds || rest >= hold
    })
}

/// From the shortest stop distance to the longest, and a cut to be kept to the end where it must be.
fn upward(piece: &Piece, hold: i128) -> (Vec<usize>, Option<usize>) {
    let mut route: Vec<usize> = (0..piece.cuts.len()).collect();
    route.sort_by_key(|&cut| (piece.cuts[cut].stop, piece.cuts[cut].part));
    if stays_long_enough(piece, &route, hold) {
        return (route, None);
    }
    let last = route.iter().rposition(|&cut| piece.cuts[cut].holds).map(|at| route.remove(at));
    (route, last)
}

/// The cuts of one piece of stock, one after another.
struct Route {
    cuts: Vec<usize>,
    /// The first and the last stop, where any is set by the axis.
    ends: Option<(i128, i128)>,
    inside: i128,
}

impl Route {
    /// What cannot be held itself while the stock is long; then the longest first, for a spoilt long part
    /// still makes a short one.
    fn longest_first(piece: &Piece) -> Self {
        let mut cuts: Vec<usize> = (0..piece.cuts.len()).collect();
        if !piece.in_order {
            cuts.sort_by_key(|&cut| {
                let Candidate { holds, stop, part, .. } = piece.cuts[cut];
                (holds, std::cmp::Reverse(stop), part)
            });
        }
        let stops: Vec<i128> = cuts.iter().filter_map(|&cut| piece.cuts[cut].travel).collect();
        let ends = stops.first().copied().zip(stops.last().copied());
        Self { ends, inside: distance(stops.into_iter()), cuts }
    }

    /// How far the stop moves along it when it stands at `from`, and where it then stands.
    fn follow(&self, from: Option<i128>) -> (i128, Option<i128>) {
        match (from, self.ends) {
            (_, None) => (0, from),
            (None, Some((_, last))) => (self.inside, Some(last)),
            (Some(from), Some((first, last))) => ((first - from).abs() + self.inside, Some(last)),
        }
    }
}

/// The best order of the pieces, over all of them.
fn best_tour(routes: &[Route]) -> Vec<usize> {
    // For each set of finished pieces and each that came last: the travel, where the stop stands, and the
    // piece before. Held and Karp's way.
    let mut reached = vec![None::<(i128, Option<i128>, Option<usize>)>; routes.len() << routes.len()];
    let slot = |set: usize, piece: usize| set * routes.len() + piece;
    for set in 1..1_usize << routes.len() {
        for piece in (0..routes.len()).filter(|piece| set & (1 << piece) != 0) {
            let before = set & !(1 << piece);
            let followed = (0..routes.len()).filter_map(|other| {
                let (travel, stands, _) = reached[slot(before, other)]?;
                let (more, stands) = routes[piece].follow(stands);
                Some((travel + more, stands, Some(other)))
            });
            let (travel, stands) = routes[piece].follow(None);
            let first = (before == 0).then_some((travel, stands, None));
            reached[slot(set, piece)] = followed.chain(first).min_by_key(|(travel, _, _)| *travel);
        }
    }
    let mut set = (1 << routes.len()) - 1;
    let travel = |&piece: &usize| reached[slot(set, piece)].map(|(travel, _, _)| travel);
    let mut at = (0..routes.len()).filter(|piece| travel(piece).is_some()).min_by_key(travel);
    let mut tour = Vec::new();
    while let Some(piece) = at {
        tour.push(piece);
        at = reached[slot(set, piece)].and_then(|(_, _, before)| before);
        set &= !(1 << piece);
    }
    tour.reverse();
    tour
}

/// From each piece as the first, always on to the nearest; the best of these.
fn nearest_tour(routes: &[Route]) -> Vec<usize> {
    let tours = (0..routes.len()).map(|first| {
        let (mut travel, mut stands) = routes[first].follow(None);
        let mut tour = vec![first];
        let mut waiting: Vec<usize> = (0..routes.len()).filter(|&piece| piece != first).collect();
        while let Some(next) = waiting.iter().copied().min_by_key(|&next| routes[next].follow(stands).0) {
            let (more, at) = routes[next].follow(stands);
            (travel, stands) = (travel + more, at);
            tour.push(next);
            waiting.retain(|&piece| piece != next);
        }
        (travel, tour)
    });
    tours.min_by_key(|(travel, _)| *travel).map(|(_, tour)| tour).unwrap_or_default()
}
