//! How many pieces of stock any nesting needs.

use super::task::{QUARTERS, Task};

/// A number of pieces below which the items that fit by themselves cannot be laid.
///
/// The better of two bounds. By length: the longest stock there is, piece by piece, until it holds
/// every part and kerf. By halves (Martello and Toth's second bound, 1990) (memory): no two
/// parts longer than half of the longest stock share a piece, and what is shorter only fills up
/// what they leave. Rooms are what each part takes at the least, in quarters of a unit.
pub(super) fn pieces(problem: &Task<'_>) -> usize {
    let rooms: Vec<(i128, usize)> = (0..problem.items.len())
        .filter(|&item| problem.fits_somewhere(item))
        .map(|item| (problem.room_at_least(item), problem.items[item].quantity))
        .collect();
    by_length(problem, &rooms).max(by_halves(problem, &rooms))
}

fn total(rooms: impl Iterator<Item = (i128, usize)>) -> i128 {
    rooms.map(|(room, quantity)| room * count(quantity)).sum()
}

fn count(quantity: usize) -> i128 {
    i128::try_from(quantity).unwrap_or(i128::MAX)
}

fn by_length(problem: &Task<'_>, rooms: &[(i128, usize)]) -> usize {
    let mut left = total(rooms.iter().copied());
    let mut stock: Vec<_> = problem.stock.iter().filter(|stick| stick.usable > 0).collect();
    stock.sort_by_key(|stick| std::cmp::Reverse(stick.usable));
    let mut pieces = 0;
    for stick in stock {
        let capacity = QUARTERS * (stick.usable + problem.kerf());
        let wanted = usize::try_from(left.max(0).div_euclid(capacity)).unwrap_or(usize::MAX)
            + usize::from(left > 0 && left % capacity != 0);
        let taken = stick.quantity.map_or(wanted, |quantity| quantity.min(wanted));
        pieces += taken;
        left -= capacity * count(taken);
    }
    pieces
}

fn by_halves(problem: &Task<'_>, rooms: &[(i128, usize)]) -> usize {
    let Some(usable) = problem.stock.iter().map(|stick| stick.usable).max().filter(|usable| *usable > 0)
    else {
        return 0;
    };
    let capacity = QUARTERS * (usable + problem.kerf());
    let thresholds = rooms.iter().map(|(room, _)| *room).filter(|room| 2 * room <= capacity).chain([0]);
    let bound = |threshold: i128| {
        let alone = rooms.iter().filter(|(room, _)| *room > capacity - threshold);
        let alone: i128 = alone.map(|(_, quantity)| count(*quantity)).sum();
        let large = || {
            let is_large = |room: i128| 2 * room > capacity && room <= capacity - threshold;
            rooms.iter().copied().filter(move |(room, _)| is_large(*room))
        };
        let number: i128 = large().map(|(_, quantity)| count(quantity)).sum();
        let spare = number * capacity - total(large());
        let small =
            total(rooms.iter().copied().filter(|(room, _)| 2 * room <= capacity && *room >= threshold));
        let more = (small - spare).max(0);
        alone + number + more.div_euclid(capacity) + i128::from(more % capacity != 0)
    };
    usize::try_from(thresholds.map(bound).max().unwrap_or(0)).unwrap_or(usize::MAX)
}
