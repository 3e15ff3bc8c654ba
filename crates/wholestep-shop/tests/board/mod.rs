//! A board as lines drawn across it, in floating point: it shares nothing with what it checks but
//! the lengths, the width, the angles, the kerf and the trim.

use std::cell::RefCell;
use std::collections::BTreeMap;

use wholestep::{Angle, Exact, Length, Measure};
use wholestep_shop::cut_list::{Cut, CutList, CutSheet, Held, MeasuredTo, Part, Stock, Turning};

/// Nearer than this, two places are the same.
const NEAR: f64 = 1e-6;

#[expect(clippy::cast_precision_loss, reason = "checked in floating point, to a millionth")]
fn number(value: Exact) -> f64 {
    value.numerator() as f64 / value.denominator() as f64
}

fn millimetres(length: Length) -> f64 {
    number(length.base())
}

/// A line across the board: where it starts at the fence, and how far it runs along for each
/// millimetre across.
#[derive(Clone, Copy, Debug)]
struct Line {
    at_fence: f64,
    slant: f64,
}

impl Line {
    fn at(self, across: f64) -> f64 {
        self.at_fence + self.slant * across
    }

    /// How far apart along the board a saw's two sides are on it.
    fn kerf(self, kerf: f64) -> f64 {
        kerf * self.slant.hypot(1.0)
    }
}

fn tangent(angle: Angle) -> f64 {
    number(angle.base()).to_radians().tan()
}

/// A part with its ends at angles: positive with the long point at the fence.
#[derive(Clone, Copy, Debug)]
struct Shape {
    /// From the outermost point to the outermost.
    overall: f64,
    left: f64,
    right: f64,
    holdable: f64,
}

impl Shape {
    fn of(part: &Part, ends: (Angle, Angle), width: f64) -> Self {
        let (left, right) = (tangent(ends.0), tangent(ends.1));
        let length = millimetres(part.length);
        let overall = match part.measured_to {
            MeasuredTo::LongPoint => length,
            MeasuredTo::ShortPoint => length + width * (left.abs() + right.abs()),
        };
        let edge = |across: f64| {
            let beyond = |tangent: f64| {
                if tangent > 0.0 { tangent * across } else { tangent.abs() * (width - across) }
            };
            overall - beyond(left) - beyond(right)
        };
        Self { overall, left, right, holdable: edge(0.0).min(edge(width)) }
    }

    /// Its two ends, its outermost left point lying at `start`.
    fn lines(self, start: f64, width: f64) -> (Line, Line) {
        let left = Line { at_fence: start + (-self.left * width).max(0.0), slant: self.left };
        let right =
            Line { at_fence: start + self.overall - (-self.right * width).max(0.0), slant: -self.right };
        (left, right)
    }
}

/// Every way of laying the part that the list allows.
fn shapes(list: &CutList, part: &Part) -> Vec<Shape> {
    allowed(list, part).into_iter().map(|ends| Shape::of(part, ends, width(list))).collect()
}

fn allowed(list: &CutList, part: &Part) -> Vec<(Angle, Angle)> {
    let (left, right) = (part.left, part.right);
    let mut ways = vec![(left, right)];
    if list.turning != Turning::None {
        // Half a turn lying flat: what was at the fence lies away from it.
        ways.push((-right, -left));
    }
    if list.turning == Turning::Over {
        ways.push((-left, -right));
        ways.push((right, left));
    }
    ways.sort_unstable();
    ways.dedup();
    ways
}

fn width(list: &CutList) -> f64 {
    list.width.map_or(0.0, millimetres)
}

/// What may be done between two parts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Rule {
    /// The part is cut off by its own end; the next end is shared or sawn afterwards.
    AsPlanned,
    /// Any straight cut may part the two first; the ends are trimmed afterwards.
    AnyWay,
}

/// How far behind the line of an end the next outermost point lies.
fn next_start(end: Line, next: Shape, width: f64, kerf: f64, rule: Rule) -> f64 {
    let begin = next.lines(0.0, width).0;
    let parted = |slant: f64| {
        // The nearest line of that slant behind `end`, then the nearest beginning behind its kerf.
        let cut = Line { at_fence: end.at(0.0).max(end.at(width) - slant * width), slant };
        [0.0, width]
            .map(|across| cut.at(across) + cut.kerf(kerf) - begin.at(across))
            .into_iter()
            .fold(f64::MIN, f64::max)
    };
    match rule {
        Rule::AsPlanned => parted(end.slant),
        Rule::AnyWay => {
            let steps = (0..=20).map(|step| end.slant + (begin.slant - end.slant) * f64::from(step) / 20.0);
            steps.chain([0.0]).map(parted).fold(f64::MAX, f64::min)
        }
    }
}

/// The fewest pieces for every part that fits a piece of stock by itself.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Best {
    Pieces(usize),
    /// There is not enough stock, or nothing to hold.
    Impossible,
}

pub(crate) fn best(list: &CutList, rule: Rule) -> Best {
    let copies = |part: &Part| {
        let shapes = shapes(list, part);
        let fits = |stock: &Stock| shapes[0].overall <= usable(list, stock.length) + NEAR;
        let quantity = if list.stock.iter().any(fits) { usize::try_from(part.quantity).unwrap() } else { 0 };
        vec![shapes; quantity]
    };
    let parts: Vec<Vec<Shape>> = list.parts.iter().flat_map(copies).collect();
    let sets = 1_usize << parts.len();
    let fits: Vec<Vec<bool>> = list
        .stock
        .iter()
        .map(|stock| {
            let gaps = RefCell::new(Vec::new());
            let board = Board { list, rule, parts: &parts, usable: usable(list, stock.length), gaps };
            (0..sets).map(|set| board.takes(set, None, 0.0)).collect()
        })
        .collect();
    let mut used = vec![0; list.stock.len()];
    match fewest(list, &fits, sets - 1, &mut used) {
        Some(pieces) => Best::Pieces(pieces),
        None => Best::Impossible,
    }
}

fn usable(list: &CutList, length: Length) -> f64 {
    let trim =
        if list.end_trim > Length::ZERO { millimetres(list.end_trim) + millimetres(list.kerf) } else { 0.0 };
    let usable = millimetres(length) - trim;
    if trim > 0.0 && usable < millimetres(list.shortest_to_hold) { 0.0 } else { usable }
}

struct Board<'a> {
    list: &'a CutList,
    rule: Rule,
    parts: &'a [Vec<Shape>],
    usable: f64,
    /// How far behind an outermost point the next one lies, by the slants of the two ends.
    gaps: RefCell<Vec<((f64, f64), f64)>>,
}

impl Board<'_> {
    /// Whether some order and turns of the parts in `set` can be cut behind an end of this slant,
    /// whose outermost point lies at `outermost`.
    fn takes(&self, set: usize, slant: Option<f64>, outermost: f64) -> bool {
        if set == 0 {
            return true;
        }
        let (kerf, hold) = (millimetres(self.list.kerf), millimetres(self.list.shortest_to_hold));
        (0..self.parts.len()).filter(|part| set & (1 << part) != 0).any(|part| {
            self.parts[part].iter().any(|&shape| {
                let start = slant.map_or(0.0, |slant| outermost + self.gap(slant, shape));
                let outermost = start + shape.overall;
                let dust = if self.rule == Rule::AnyWay { kerf } else { kerf * shape.right.hypot(1.0) };
                let held = shape.holdable >= hold - NEAR || self.usable - outermost - dust >= hold - NEAR;
                outermost <= self.usable + NEAR
                    && held
                    && self.takes(set & !(1 << part), Some(-shape.right), outermost)
            })
        })
    }

    fn gap(&self, slant: f64, next: Shape) -> f64 {
        let key = (slant, next.left);
        if let Some((_, gap)) = self.gaps.borrow().iter().find(|(known, _)| *known == key) {
            return *gap;
        }
        let width = width(self.list);
        let end = Line { at_fence: -(slant * width).max(0.0), slant };
        let gap = next_start(end, next, width, millimetres(self.list.kerf), self.rule);
        self.gaps.borrow_mut().push((key, gap));
        gap
    }
}

fn fewest(list: &CutList, fits: &[Vec<bool>], left: usize, used: &mut [u32]) -> Option<usize> {
    if left == 0 {
        return Some(0);
    }
    let first = left & left.wrapping_neg();
    let mut best: Option<usize> = None;
    let mut set = left;
    while set > 0 {
        if set & first != 0 {
            for stock in 0..list.stock.len() {
                if fits[stock][set]
                    && list.stock[stock].quantity.is_none_or(|quantity| used[stock] < quantity)
                {
                    used[stock] += 1;
                    let rest = fewest(list, fits, left & !set, used);
                    used[stock] -= 1;
                    best = [best, rest.map(|rest| rest + 1)].into_iter().flatten().min();
                }
            }
        }
        set = (set - 1) & left;
    }
    best
}

/// The piece that touches the stop is held where it is long enough; otherwise the stock, which must be.
fn check_held(cut: &Cut, shape: Shape, (rest, hold): (f64, f64)) {
    match cut.held {
        Held::NotChecked => assert!(hold == 0.0, "{cut:?}"),
        Held::Part => assert!(hold > 0.0 && (!cut.sawn || shape.holdable >= hold - NEAR), "{cut:?}"),
        Held::Stock => {
            assert!(cut.sawn && shape.holdable < hold + NEAR && rest >= hold - NEAR, "{cut:?}: {rest}");
        }
    }
}

/// Checks every printed cut by drawing it.
pub(crate) fn check_plan(list: &CutList, cuts: &CutSheet) {
    let (width, kerf, hold) = (width(list), millimetres(list.kerf), millimetres(list.shortest_to_hold));
    let mut made: BTreeMap<&str, u32> = BTreeMap::new();
    for piece in &cuts.stock {
        let usable = usable(list, piece.length.length);
        let mut end: Option<Line> = None;
        let (mut parts, mut dust) =
            (0.0, millimetres(piece.length.length) - usable - millimetres(piece.trim.length));
        for cut in cuts.cuts.iter().filter(|cut| cut.stock == piece.number) {
            *made.entry(&cut.part).or_default() += 1;
            let part = list.parts.iter().find(|part| part.name == cut.part).unwrap();
            assert!(allowed(list, part).contains(&(cut.left, cut.right)), "{cut:?}");
            assert_eq!(cut.turn.is_face_down(), {
                // Face up, the hand of a part stays: the sum of its angles, or its negative.
                let face_up = [(part.left, part.right), (-part.right, -part.left)];
                !face_up.contains(&(cut.left, cut.right))
            });
            let shape = Shape::of(part, (cut.left, cut.right), width);
            let start = end.map_or(0.0, |end| next_start(end, shape, width, kerf, Rule::AsPlanned));
            let (left, right) = shape.lines(start, width);
            let before = end.map_or(0.0, |end| end.slant);
            assert_eq!(cut.saw_left_first, (left.slant - before).abs() > 1e-9, "{cut:?}");
            assert!(start + shape.overall <= usable + NEAR, "{cut:?} ends at {}", start + shape.overall);
            let stop = cut.setting.stop;
            for bound in [stop.low, stop.high] {
                let along = right.at_fence - start;
                assert!((millimetres(bound.length) - along).abs() < NEAR, "{cut:?}: {along}");
            }
            let reach = millimetres(cut.left_reach.low.length);
            assert!((reach - (left.at(width) - left.at(0.0)).abs()).abs() < NEAR, "{cut:?}");
            let taken = right.kerf(kerf).min(usable - right.at_fence);
            let remaining = usable - right.at_fence - taken;
            assert!((millimetres(cut.remaining.length) - remaining).abs() < NEAR, "{cut:?}: {remaining}");
            let shorter = usable - start - shape.overall - right.kerf(kerf);
            let ends_alone = !cut.sawn;
            assert!(
                shorter >= hold - NEAR || shape.holdable >= hold - NEAR || ends_alone,
                "{cut:?}: {shorter}"
            );
            check_held(cut, shape, (shorter, hold));
            parts += right.at_fence - left.at_fence;
            dust += taken;
            end = Some(right);
        }
        let told = [(piece.parts, parts), (piece.kerf, dust)];
        assert!(
            told.iter().all(|(told, drawn)| (millimetres(told.length) - drawn).abs() < NEAR),
            "{piece:?}"
        );
        let sum = [piece.trim, piece.parts, piece.wedges, piece.kerf, piece.offcut];
        let sum = sum.iter().try_fold(Length::ZERO, |sum, length| sum.checked_add(length.length)).unwrap();
        assert_eq!(sum, piece.length.length);
        assert!(piece.wedges.length >= Length::ZERO && piece.offcut.length >= Length::ZERO);
    }
    for stock in &list.stock {
        let used = cuts.stock.iter().filter(|piece| piece.length.length == stock.length).count();
        let kinds = list.stock.iter().filter(|other| other.length == stock.length);
        let have = kinds.map(|kind| kind.quantity).try_fold(0, |sum, quantity| Some(sum + quantity?));
        assert!(have.is_none_or(|have| used <= usize::try_from(have).unwrap()), "{stock:?}");
    }
    for unplaced in &cuts.unplaced {
        *made.entry(&unplaced.part).or_default() += u32::try_from(unplaced.quantity).unwrap();
    }
    for part in &list.parts {
        assert_eq!(made.get(part.name.as_str()), Some(&part.quantity), "{}", part.name);
    }
}
