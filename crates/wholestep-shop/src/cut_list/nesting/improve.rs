//! Improvement: parts are moved and exchanged between pieces until nothing gets better.

use super::packing::{Bin, Packing};

/// How many exchanges are looked at before the search is given up.
const LOOKS_MAX: u32 = 1_000_000;
/// The same if parts are mitred.
const MITRED_LOOKS_MAX: u32 = 20_000;
/// How many of the emptiest pieces are tried to be saved each time.
const SAVES_MAX: usize = 16;

/// The packing after every improvement that was found.
pub(super) fn improved(mut packing: Packing<'_>) -> Packing<'_> {
    let mut looks = if packing.problem.has_mitres() { MITRED_LOOKS_MAX } else { LOOKS_MAX };
    packing.use_shorter_stock();
    let mut best = packing.clone();
    loop {
        lay_unplaced(&mut packing);
        if packing.unplaced.is_empty() && save_a_piece(&mut packing) {
            continue;
        }
        // What is left is gathered on few pieces, which makes room; then waste is avoided.
        if !exchange(&mut packing, false, &mut looks) {
            break;
        }
    }
    for _ in 0..2 {
        if packing.cost() < best.cost() {
            best.clone_from(&packing);
        }
        packing.use_shorter_stock();
        while exchange(&mut packing, true, &mut looks) {}
    }
    if packing.cost() < best.cost() { packing } else { best }
}

fn lay_unplaced(packing: &mut Packing<'_>) {
    let problem = packing.problem;
    for item in std::mem::take(&mut packing.unplaced) {
        let accepts = |bin: &&mut Bin| bin.accepts(problem, item);
        let tightest = packing.bins.iter_mut().filter(accepts).min_by_key(|bin| problem.rest(bin));
        if let Some(bin) = tightest {
            bin.change(problem, &[], &[item]);
            continue;
        }
        let fresh = (0..problem.stock.len())
            .filter(|&stock| packing.has_left(stock) && Bin::empty(stock).accepts(problem, item))
            .min_by_key(|&stock| problem.stock[stock].length);
        match fresh {
            Some(stock) => packing.open(stock, &[item]),
            None => packing.unplaced.push(item),
        }
    }
}

/// Tries to spread the contents of one piece over the others, the emptiest first.
fn save_a_piece(packing: &mut Packing<'_>) -> bool {
    let mut emptiest: Vec<usize> = (0..packing.bins.len()).collect();
    emptiest.sort_by_key(|&bin| packing.bins[bin].filled);
    for at in emptiest.into_iter().take(SAVES_MAX) {
        let mut trial = packing.clone();
        let mut items = trial.close(at).items;
        items.sort_by_key(|&item| std::cmp::Reverse(trial.problem.room(item)));
        if items.into_iter().all(|item| squeeze_in(&mut trial, item)) {
            *packing = trial;
            return true;
        }
    }
    false
}

/// Lays an item on the tightest piece that takes it, or in place of a shorter one that another takes.
fn squeeze_in(packing: &mut Packing<'_>, item: usize) -> bool {
    let problem = packing.problem;
    let fitting = (0..packing.bins.len()).filter(|&bin| packing.bins[bin].accepts(problem, item));
    if let Some(bin) = fitting.min_by_key(|&bin| problem.rest(&packing.bins[bin])) {
        packing.bins[bin].change(problem, &[], &[item]);
        return true;
    }
    for bin in 0..packing.bins.len() {
        for shorter in packing.bins[bin].kinds() {
            if problem.room(shorter) >= problem.room(item)
                || packing.bins[bin].changed(problem, &[shorter], &[item]).is_none()
            {
                continue;
            }
            let takes = |other: &usize| *other != bin && packing.bins[*other].accepts(problem, shorter);
            if let Some(other) = (0..packing.bins.len()).find(takes) {
                packing.bins[bin].change(problem, &[shorter], &[item]);
                packing.bins[other].change(problem, &[], &[shorter]);
                return true;
            }
        }
    }
    false
}

/// Makes every move or exchange between two pieces that improves them; whether there was one.
fn exchange(packing: &mut Packing<'_>, keep: bool, looks: &mut u32) -> bool {
    let problem = packing.problem;
    let mut any = false;
    for a in 0..packing.bins.len() {
        for b in 0..packing.bins.len() {
            while a != b
                && let Some((out, into)) = better(&packing.bins[a], &packing.bins[b], packing, keep, looks)
            {
                packing.bins[a].change(problem, &out, &into);
                packing.bins[b].change(problem, &into, &out);
                any = true;
                if packing.bins[a].items.is_empty() {
                    packing.close(a);
                    return true;
                }
            }
        }
    }
    any
}

/// The first exchange that improves two pieces: one or two parts of `a` for none or one of `b`.
fn better(
    a: &Bin,
    b: &Bin,
    packing: &Packing<'_>,
    keep: bool,
    looks: &mut u32,
) -> Option<(Vec<usize>, Vec<usize>)> {
    if *looks == 0 {
        return None;
    }
    let problem = packing.problem;
    let worth = |a: i128, b: i128| {
        let (a, b) = (problem.worth(a, keep), problem.worth(b, keep));
        (a.0 + b.0, a.1 + b.1)
    };
    let rest = |bin: &Bin, filled: i128| (problem.stock[bin.stock].usable - filled).max(0);
    let now = worth(problem.rest(a), problem.rest(b));
    for out in some_of(a) {
        for into in std::iter::once(Vec::new()).chain(b.kinds().into_iter().map(|item| vec![item])) {
            *looks = looks.checked_sub(1)?;
            let Some((filled_a, _)) = a.changed(problem, &out, &into) else { continue };
            let Some((filled_b, _)) = b.changed(problem, &into, &out) else { continue };
            if worth(rest(a, filled_a), rest(b, filled_b)) > now {
                return Some((out, into));
            }
        }
    }
    None
}

/// One or two items of a piece, each choice once.
fn some_of(bin: &Bin) -> Vec<Vec<usize>> {
    let kinds = bin.kinds();
    let mut choices: Vec<Vec<usize>> = kinds.iter().map(|&item| vec![item]).collect();
    for (at, &first) in kinds.iter().enumerate() {
        for &second in &kinds[at..] {
            let twice = first != second || bin.items.iter().filter(|&&item| item == first).count() > 1;
            if twice {
                choices.push(vec![first, second]);
            }
        }
    }
    choices
}
