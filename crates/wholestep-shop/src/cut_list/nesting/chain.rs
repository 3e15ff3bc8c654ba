//! The order and the turns in which mitred parts take the least of one piece of stock.
//!
//! Parts that may be laid in the same ways are of one kind, and only how many of each kind are laid,
//! and the slant of the last end, tell how the rest is best laid; so the best order is found by going
//! through these states. Copies that are alike at both ends and are never turned stay together:
//! parted, they would only take more.

use super::Lay;
use super::task::{QUARTERS, Task};

/// Above so many states the order goes to the nearest next instead.
const STATES_MAX: usize = 2_000;

/// Parts in their order along the stock.
#[derive(Debug)]
pub(super) struct Chain {
    /// Each item, and which of its ways it is laid in.
    pub(super) laid: Vec<(usize, usize)>,
    /// From the beginning of the first part to the outermost point of the last.
    pub(super) length: i128,
}

/// The shortest chain of the items that fits `usable` and leaves at every cut something long enough
/// to hold, as far as one was found.
pub(super) fn laid(task: &Task<'_>, usable: i128, items: &[usize]) -> Option<Chain> {
    let shortest = follow(task, &[items]);
    if shortest.length > usable {
        return None;
    }
    if holds(task, usable, &shortest) {
        return Some(as_cut(task, usable, shortest));
    }
    // What cannot be held goes first, while the piece of stock is still long.
    let (long, short): (Vec<usize>, Vec<usize>) = items.iter().partition(|&&item| task.is_holder(item));
    let held = follow(task, &[&short, &long]);
    (held.length <= usable && holds(task, usable, &held)).then(|| as_cut(task, usable, held))
}

/// The chain in the order in which square parts are cut, as far as that takes no more: what cannot be held
/// first, then the longest first; over the whole chain, or with what is square before or behind the rest.
fn as_cut(task: &Task<'_>, usable: i128, chain: Chain) -> Chain {
    let is_mitred = |&(item, way): &(usize, usize)| {
        let lay = task.items[item].lays[way];
        lay.left != 0 || lay.right != 0
    };
    let groups: [fn(bool) -> bool; 3] = [|_| false, |mitred| mitred, |mitred| !mitred];
    let orders = groups.into_iter().map(|group| {
        let mut laid = chain.laid.clone();
        laid.sort_by_key(|&(item, way)| {
            let length = std::cmp::Reverse(task.items[item].length);
            (group(is_mitred(&(item, way))), task.is_holder(item), length, item)
        });
        Chain { length: length_of(task, &laid), laid }
    });
    let mut orders = orders.filter(|order| order.length <= chain.length && holds(task, usable, order));
    orders.next().unwrap_or(chain)
}

fn length_of(task: &Task<'_>, laid: &[(usize, usize)]) -> i128 {
    let mut end = None;
    let taken = laid.iter().map(|&(item, way)| {
        let lay = task.items[item].lays[way];
        let joint = end.replace(lay.right).map_or(0, |end: usize| task.kerfs.planned[end][lay.left]);
        joint + task.items[item].length
    });
    taken.sum()
}

/// A length below which no chain of the items is.
pub(super) fn length_at_least(task: &Task<'_>, items: &[usize]) -> i128 {
    let kinds = kinds(task, items);
    let least = shortest(&kinds, &task.kerfs.at_least, None).map(|(kerfs, _)| {
        let parts = items.iter().map(|&item| task.items[item].length - task.items[item].rounded_up);
        kerfs + parts.sum::<i128>()
    });
    // Too many states: by what each takes at the least.
    least.unwrap_or_else(|| {
        let rooms: i128 = items.iter().map(|&item| task.room_at_least(item)).sum();
        rooms.div_euclid(QUARTERS) - task.kerf()
    })
}

/// Whether at every cut the part, or what remains by its shorter edge, is long enough to hold.
fn holds(task: &Task<'_>, usable: i128, chain: &Chain) -> bool {
    let kerfs = &task.kerfs;
    let mut length = 0;
    let mut before = None;
    chain.laid.iter().all(|&(item, way)| {
        let lay = task.items[item].lays[way];
        length += before.map_or(0, |end: usize| kerfs.planned[end][lay.left]) + task.items[item].length;
        before = Some(lay.right);
        task.is_holder(item) || usable - length - kerfs.slants[lay.right].kerf.high >= task.hold
    })
}

/// Lays each group in its best order, one group after another.
fn follow(task: &Task<'_>, groups: &[&[usize]]) -> Chain {
    let planned = &task.kerfs.planned;
    let mut chain = Chain { laid: Vec::new(), length: 0 };
    let mut end = None;
    for group in groups {
        let mut kinds = kinds(task, group);
        let order = match shortest(&kinds, planned, end) {
            Some((_, order)) => order,
            None => nearest(&kinds, planned, end),
        };
        for (kind, way) in order {
            let lay = kinds[kind].lays[way];
            let copies = if kinds[kind].is_block() { kinds[kind].items.len() } else { 1 };
            for item in kinds[kind].items.drain(..copies) {
                chain.length += end.map_or(0, |end: usize| planned[end][lay.left]) + task.items[item].length;
                end = Some(lay.right);
                chain.laid.push((item, way));
            }
        }
    }
    chain
}

/// Items that may be laid in the same ways.
struct Kind<'a> {
    lays: &'a [Lay],
    /// What cannot be held first, then the longest first.
    items: Vec<usize>,
}

impl Kind<'_> {
    fn is_block(&self) -> bool {
        matches!(self.lays, [only] if only.left == only.right)
    }

    /// How many times it is chosen.
    fn choices(&self) -> usize {
        if self.is_block() { 1 } else { self.items.len() }
    }

    /// What choosing it takes inside.
    fn inside(&self, table: &[Vec<i128>]) -> i128 {
        match (self.is_block(), self.lays) {
            (true, [only, ..]) => {
                let kerfs = i128::try_from(self.items.len()).unwrap_or(i128::MAX) - 1;
                kerfs * table[only.right][only.left]
            }
            _ => 0,
        }
    }
}

fn kinds<'a>(task: &'a Task<'_>, items: &[usize]) -> Vec<Kind<'a>> {
    let mut sorted = items.to_vec();
    sorted.sort_by_key(|&item| {
        (task.kind(item), task.is_holder(item), std::cmp::Reverse(task.items[item].length), item)
    });
    let kinds = sorted.chunk_by(|&a, &b| task.kind(a) == task.kind(b));
    kinds.map(|items| Kind { lays: &task.items[items[0]].lays, items: items.to_vec() }).collect()
}

/// The kind and the way of laying it, each time that one is chosen.
type Choices = Vec<(usize, usize)>;

/// How a state was reached at the least cost.
#[derive(Clone, Copy)]
struct Reached {
    cost: i128,
    choice: (usize, usize),
    /// The state before; `None` at the beginning.
    before: Option<usize>,
}

/// The least that the kerfs take, and the order that takes it; `None` with too many states.
fn shortest(kinds: &[Kind<'_>], table: &[Vec<i128>], from: Option<usize>) -> Option<(i128, Choices)> {
    let slants = table.len();
    let mut strides = Vec::new();
    let mut sets = 1_usize;
    for kind in kinds {
        strides.push(sets);
        sets = sets.checked_mul(kind.choices() + 1).filter(|sets| sets * slants <= STATES_MAX)?;
    }
    if sets == 1 {
        return Some((0, Vec::new()));
    }
    let mut reached: Vec<Option<Reached>> = vec![None; sets * slants];
    for set in 0..sets {
        let ends: Vec<(Option<usize>, i128)> = if set == 0 {
            vec![(None, 0)]
        } else {
            let states =
                (0..slants).filter_map(|end| Some((set * slants + end, reached[set * slants + end]?)));
            states.map(|(state, reached)| (Some(state), reached.cost)).collect()
        };
        for (kind, chosen) in kinds.iter().enumerate() {
            if set / strides[kind] % (chosen.choices() + 1) == chosen.choices() {
                continue;
            }
            for (way, lay) in chosen.lays.iter().enumerate() {
                let next = (set + strides[kind]) * slants + lay.right;
                for &(before, cost) in &ends {
                    let end = before.map(|state| state % slants).or(from);
                    let joint = end.map_or(0, |end| table[end][lay.left]);
                    let cost = cost + joint + chosen.inside(table);
                    if reached[next].is_none_or(|known| cost < known.cost) {
                        reached[next] = Some(Reached { cost, choice: (kind, way), before });
                    }
                }
            }
        }
    }
    let last = (sets - 1) * slants..sets * slants;
    let best = last.filter_map(|state| Some((state, reached[state]?.cost))).min_by_key(|(_, cost)| *cost)?;
    let mut order = Vec::new();
    let mut state = Some(best.0);
    while let Some(Reached { choice, before, .. }) = state.and_then(|state| reached[state]) {
        order.push(choice);
        state = before;
    }
    order.reverse();
    Some((best.1, order))
}

/// Always the kind, and the way, that joins with the least.
fn nearest(kinds: &[Kind<'_>], table: &[Vec<i128>], from: Option<usize>) -> Choices {
    let mut left: Vec<usize> = kinds.iter().map(Kind::choices).collect();
    let mut end = from;
    let mut order = Vec::new();
    loop {
        let open = (0..kinds.len()).filter(|&kind| left[kind] > 0);
        let ways = open.flat_map(|kind| (0..kinds[kind].lays.len()).map(move |way| (kind, way)));
        let joint =
            |&(kind, way): &(usize, usize)| end.map_or(0, |end| table[end][kinds[kind].lays[way].left]);
        let Some((kind, way)) = ways.min_by_key(joint) else { return order };
        left[kind] -= 1;
        end = Some(kinds[kind].lays[way].right);
        order.push((kind, way));
    }
}
