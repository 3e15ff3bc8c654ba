//! Ordering: which cut comes next, so that the stop moves least.
//!
//! Taken over all pieces of stock, cutting from the shortest stop distance to the longest moves the
//! stop once over the distance between them; no order moves it less. The shortest parts come first,
//! so what remains of each piece is as long as it can be while they are cut. Where mitres make a
//! part with a short edge stand at a long stop distance, the longest part of that piece is kept to
//! the end and cut on the way back.
//!
//! A piece of stock with mitred parts is cut in the order in which they lie on it, after the others.
//!
//! Finishing each piece before the next is taken up, every piece is swept upward or, where the
//! pieces stay long enough to hold, downward; the order of the pieces is the best one for up to
//! [`EXACT_MAX`] different sweeps, and otherwise the best of those that go to the nearest next.

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

/// The order in which the stop moves little, each piece of stock being finished before the next.
pub(super) fn piece_after_piece(pieces: &[Piece], hold: i128) -> Sequence {
    let sweeps: Vec<[Option<Sweep>; 2]> = pieces.iter().map(|piece| Sweep::both(piece, hold)).collect();
    let chosen = if pieces.len() <= EXACT_MAX { best_tour(&sweeps) } else { nearest_tour(&sweeps) };
    let cuts = chosen.into_iter().flat_map(|(piece, way)| {
        let route = sweeps[piece][way].as_ref().map(|sweep| sweep.route.clone()).unwrap_or_default();
        route.into_iter().map(move |cut| (piece, cut))
    });
    cuts.collect()
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

/// The cuts of one piece from one end of the stop's travel to the other.
#[derive(Clone)]
struct Sweep {
    route: Vec<usize>,
    /// The first and the last stop, where any is set by the axis.
    ends: Option<(i128, i128)>,
    inside: i128,
}

impl Sweep {
    fn both(piece: &Piece, hold: i128) -> [Option<Self>; 2] {
        if piece.in_order {
            return [Some(Self::new(piece, (0..piece.cuts.len()).collect())), None];
        }
        let (mut up, last) = upward(piece, hold);
        up.extend(last);
        let mut down = up.clone();
        down.sort_by_key(|&cut| (std::cmp::Reverse(piece.cuts[cut].stop), piece.cuts[cut].part));
        let down = stays_long_enough(piece, &down, hold).then_some(down);
        [Some(up), down].map(|route| route.map(|route| Self::new(piece, route)))
    }

    fn new(piece: &Piece, route: Vec<usize>) -> Self {
        let stops: Vec<i128> = route.iter().filter_map(|&cut| piece.cuts[cut].travel).collect();
        let ends = stops.first().copied().zip(stops.last().copied());
        Self { ends, inside: distance(stops.into_iter()), route }
    }

    /// How far the stop moves for this sweep when it stands at `from`, and where it then stands.
    fn follow(&self, from: Option<i128>) -> (i128, Option<i128>) {
        match (from, self.ends) {
            (_, None) => (0, from),
            (None, Some((_, last))) => (self.inside, Some(last)),
            (Some(from), Some((first, last))) => ((first - from).abs() + self.inside, Some(last)),
        }
    }
}

type Tour = Vec<(usize, usize)>;

/// The best order of the pieces and the best way through each, over all of them.
fn best_tour(sweeps: &[[Option<Sweep>; 2]]) -> Tour {
    // For each set of finished pieces and each piece and way that came last: the travel, and what
    // came before. Held–Karp.
    let mut reached =
        vec![[None::<(i128, Option<i128>, Option<(usize, usize)>)>; 2]; sweeps.len() << sweeps.len()];
    let slot = |set: usize, piece: usize| set * sweeps.len() + piece;
    for set in 1..1_usize << sweeps.len() {
        for piece in (0..sweeps.len()).filter(|piece| set & (1 << piece) != 0) {
            let before = set & !(1 << piece);
            for way in 0..2 {
                let Some(sweep) = &sweeps[piece][way] else { continue };
                let starts = (0..sweeps.len()).flat_map(|other| [(other, 0), (other, 1)]);
                let followed = starts.filter_map(|(other, way)| {
                    let (travel, stands, _) = reached[slot(before, other)][way]?;
                    let (more, stands) = sweep.follow(stands);
                    Some((travel + more, stands, Some((other, way))))
                });
                let first = (before == 0).then(|| (sweep.follow(None).0, sweep.follow(None).1, None));
                reached[slot(set, piece)][way] = followed.chain(first).min_by_key(|(travel, _, _)| *travel);
            }
        }
    }
    let mut set = (1 << sweeps.len()) - 1;
    let ends = (0..sweeps.len()).flat_map(|piece| [(piece, 0), (piece, 1)]);
    let travel = |&(piece, way): &(usize, usize)| reached[slot(set, piece)][way].map(|(travel, _, _)| travel);
    let mut at = ends.filter(|end| travel(end).is_some()).min_by_key(travel);
    let mut tour = Vec::new();
    while let Some((piece, way)) = at {
        tour.push((piece, way));
        at = reached[slot(set, piece)][way].and_then(|(_, _, before)| before);
        set &= !(1 << piece);
    }
    tour.reverse();
    tour
}

/// From each piece as the first, always on to the nearest; the best of these.
fn nearest_tour(sweeps: &[[Option<Sweep>; 2]]) -> Tour {
    let ways = |piece: usize| {
        [(piece, 0), (piece, 1)].into_iter().filter(|&(piece, way)| sweeps[piece][way].is_some())
    };
    let follow = |(piece, way): (usize, usize), from| {
        sweeps[piece][way].as_ref().map_or((i128::MAX, from), |sweep| sweep.follow(from))
    };
    let tours = (0..sweeps.len()).flat_map(ways).map(|first| {
        let (mut travel, mut stands) = follow(first, None);
        let mut tour = vec![first];
        let mut waiting: Vec<usize> = (0..sweeps.len()).filter(|&piece| piece != first.0).collect();
        while let Some(next) =
            waiting.iter().flat_map(|&piece| ways(piece)).min_by_key(|&next| follow(next, stands).0)
        {
            let (more, at) = follow(next, stands);
            (travel, stands) = (travel + more, at);
            tour.push(next);
            waiting.retain(|&piece| piece != next.0);
        }
        (travel, tour)
    });
    tours.min_by_key(|(travel, _)| *travel).map(|(_, tour)| tour).unwrap_or_default()
}
