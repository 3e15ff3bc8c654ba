//! A problem with what is worked out from it once.

use std::ops::Deref;

use super::chain;
use super::kerfs::Order;
use super::{Lay, Problem};

/// How many make a unit where an end's share of a joint is counted.
pub(super) const QUARTERS: i128 = 4;

#[derive(Debug)]
pub(super) struct Task<'p> {
    given: &'p Problem,
    /// What each item takes of a piece of stock at the least, its share of its kerfs included, in
    /// quarters of a unit.
    rooms: Vec<i128>,
    /// Items of one kind may be laid in the same ways.
    kinds: Vec<usize>,
    mitred: Vec<bool>,
    has_mitres: bool,
}

impl Deref for Task<'_> {
    type Target = Problem;

    fn deref(&self) -> &Problem {
        self.given
    }
}

impl<'p> Task<'p> {
    pub(super) fn new(given: &'p Problem) -> Self {
        let ends = |of: fn(&Lay) -> usize| {
            let mut ends: Vec<usize> = given.items.iter().flat_map(|item| &item.lays).map(of).collect();
            ends.sort_unstable();
            ends.dedup();
            ends
        };
        let (lefts, rights) = (ends(|lay| lay.left), ends(|lay| lay.right));
        let share = |lay: &Lay| {
            given.kerfs.quarters_at_least(lay.left, &rights, Order::OtherFirst)
                + given.kerfs.quarters_at_least(lay.right, &lefts, Order::EndFirst)
        };
        let room = |item: &super::Item| {
            QUARTERS * (item.length - item.rounded_up) + item.lays.iter().map(share).min().unwrap_or(0)
        };
        let mut known: Vec<&[Lay]> = Vec::new();
        let mut kinds = Vec::new();
        for item in &given.items {
            let kind = known.iter().position(|lays| *lays == item.lays).unwrap_or(known.len());
            if kind == known.len() {
                known.push(&item.lays);
            }
            kinds.push(kind);
        }
        let mitred: Vec<bool> = given.items.iter().map(|item| item.lays.iter().any(Lay::is_mitred)).collect();
        Self {
            given,
            rooms: given.items.iter().map(room).collect(),
            kinds,
            has_mitres: mitred.contains(&true),
            mitred,
        }
    }

    pub(super) fn room_at_least(&self, item: usize) -> i128 {
        self.rooms[item]
    }

    pub(super) fn kind(&self, item: usize) -> usize {
        self.kinds[item]
    }

    pub(super) fn is_mitred(&self, item: usize) -> bool {
        self.mitred[item]
    }

    /// Whether anything is mitred; then every look at a piece of stock takes longer.
    pub(super) fn has_mitres(&self) -> bool {
        self.has_mitres
    }

    /// How far the items fill a piece of this stock, and how many of them can be held themselves,
    /// where they fit it and every cut leaves something long enough to hold.
    ///
    /// The kerf of the last cut is counted as that of a square one; it needs no room.
    pub(super) fn filling(&self, stock: usize, items: &[usize]) -> Option<(i128, usize)> {
        let stick = &self.stock[stock];
        let holders = items.iter().filter(|&&item| self.is_holder(item)).count();
        if !items.iter().any(|&item| self.is_mitred(item)) {
            let filled = items.iter().map(|&item| self.room(item)).sum();
            return (self.takes(stick, filled) && self.holds(stick, filled, holders))
                .then_some((filled, holders));
        }
        let least: i128 = items.iter().map(|&item| self.rooms[item]).sum();
        if stick.usable <= 0 || least > QUARTERS * (stick.usable + self.kerf()) {
            return None;
        }
        chain::laid(self, stick.usable, items).map(|chain| (chain.length + self.kerf(), holders))
    }

    /// As far as the items fill a piece of stock at the least, counted as [`filling`](Self::filling)
    /// does, whether they can be held or not.
    pub(super) fn filling_at_least(&self, items: &[usize]) -> i128 {
        if items.iter().any(|&item| self.is_mitred(item)) {
            chain::length_at_least(self, items) + self.kerf()
        } else {
            items.iter().map(|&item| self.room(item)).sum()
        }
    }
}
