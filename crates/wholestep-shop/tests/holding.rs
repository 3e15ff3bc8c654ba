//! Holding, order and spare of small lists, each board gone through again in plain integers.

#[expect(dead_code, reason = "it makes more than this needs")]
mod bench;

use bench::stop_block;
use wholestep::{Exact, Length, LengthUnit, Measure};
use wholestep_shop::cut_list::{Cut, CutList, Held, Part, Reason, Stock};

const LISTS: usize = 5_000;

/// Numbers that look random and are the same in every run: Knuth's MMIX generator (memory).
struct Chance(u64);

impl Chance {
    fn below(&mut self, end: i64) -> i64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        i64::try_from(self.0 >> 33).unwrap() % end
    }

    fn one(&mut self, of: &[i64]) -> i64 {
        of[usize::try_from(self.below(of.len().try_into().unwrap())).unwrap()]
    }
}

/// A list in whole millimetres.
#[derive(Debug)]
struct Plain {
    parts: Vec<(i64, u32)>,
    stock: Vec<i64>,
    kerf: i64,
    trim: i64,
    hold: i64,
}

impl Plain {
    /// Lengths that often fill a board to the last kerf, or leave less.
    fn any(chance: &mut Chance) -> Self {
        let kerf = chance.below(4);
        let kinds = 1 + chance.below(4);
        let parts = (0..kinds)
            .map(|_| (chance.one(&[7, 15, 22, 30, 48, 50, 97]) + chance.below(3), chance.one(&[1, 1, 2, 3])));
        let parts = parts.map(|(length, quantity)| (length, u32::try_from(quantity).unwrap())).collect();
        let stock = (0..=chance.below(2)).map(|_| 98 + chance.below(60)).collect();
        Self { parts, stock, kerf, trim: chance.one(&[0, 0, 5]), hold: chance.one(&[0, 12, 20, 40]) }
    }

    fn list(&self) -> CutList {
        let parts = self.parts.iter().zip(0..);
        CutList {
            parts: parts
                .map(|(&(length, quantity), at)| {
                    Part::square(&format!("part {at}"), millimetres(length), quantity)
                })
                .collect(),
            stock: self
                .stock
                .iter()
                .map(|&length| Stock { length: millimetres(length), quantity: None })
                .collect(),
            kerf: millimetres(self.kerf),
            end_trim: millimetres(self.trim),
            shortest_to_hold: millimetres(self.hold),
            ..CutList::new(LengthUnit::Millimetre)
        }
    }

    fn usable(&self, board: i64) -> i64 {
        let usable = if self.trim > 0 { board - self.trim - self.kerf } else { board };
        if self.trim > 0 && usable < self.hold { 0 } else { usable }
    }

    /// Whether every cut, in this order, leaves on one side something long enough to hold.
    fn can_be_cut(&self, usable: i64, order: &[i64]) -> bool {
        let mut rest = usable;
        order.iter().all(|&part| {
            let alone = rest == part;
            rest -= part + self.kerf;
            rest >= -self.kerf && (alone || part >= self.hold || rest >= self.hold)
        })
    }
}

fn millimetres(whole: i64) -> Length {
    Length::from_base(Exact::integer(whole)).unwrap()
}

fn whole(length: Length) -> i64 {
    assert_eq!(length.base().denominator(), 1);
    length.base().numerator().try_into().unwrap()
}

/// Every order of the parts.
fn orders(parts: &[i64]) -> Vec<Vec<i64>> {
    if parts.is_empty() {
        return vec![Vec::new()];
    }
    let first = |at: usize| {
        let mut rest = parts.to_vec();
        let part = rest.remove(at);
        orders(&rest).into_iter().map(move |order| [vec![part], order].concat())
    };
    (0..parts.len()).flat_map(first).collect()
}

/// The order of a board: what cannot be held while it is long, then the longest first.
fn ordered(plain: &Plain, mut parts: Vec<i64>) -> Vec<i64> {
    parts.sort_unstable_by_key(|&part| (part >= plain.hold, -part));
    parts
}

fn check_board(plain: &Plain, board: i64, cuts: &[&Cut]) -> [bool; 5] {
    let usable = plain.usable(board);
    let parts: Vec<i64> = cuts.iter().map(|cut| whole(cut.length.length)).collect();
    assert_eq!(parts, ordered(plain, parts.clone()), "{plain:?}");
    assert!(plain.can_be_cut(usable, &parts), "{plain:?}: {parts:?} from {usable}");
    let mut rest = usable;
    let (mut held_by_stock, mut bare, mut partial, mut raw) = (false, false, false, false);
    for (&cut, &part) in cuts.iter().zip(&parts) {
        let left = rest - part;
        let held = match (plain.hold, left) {
            (0, _) => Held::NotChecked,
            (hold, left) if part >= hold || left == 0 => Held::Part,
            _ => Held::Stock,
        };
        assert_eq!(cut.held, held, "{plain:?}: {cut:?}");
        let about = if left == 0 {
            Some("nothing to saw off".to_owned())
        } else if left < plain.kerf {
            Some(format!("only {left} mm is left for a kerf of {} mm", plain.kerf))
        } else if left == plain.kerf {
            Some("nothing to spare".to_owned())
        } else {
            None
        };
        match about {
            Some(about) => assert!(cut.warnings[0].starts_with(&about), "{plain:?}: {cut:?}"),
            None => assert!(cut.warnings.is_empty(), "{plain:?}: {cut:?}"),
        }
        held_by_stock |= held == Held::Stock;
        raw |= left == 0;
        bare |= left == plain.kerf && left > 0;
        partial |= 0 < left && left < plain.kerf;
        rest = (left - plain.kerf).max(0);
    }
    // Where another order would not do, this one was needed.
    let needed = parts.len() <= 6 && orders(&parts).iter().any(|order| !plain.can_be_cut(usable, order));
    [held_by_stock, raw, bare, partial, needed]
}

#[test]
fn small_lists_are_held_and_ordered_as_told() {
    let axis = stop_block("1 mm", "1500 mm");
    let mut chance = Chance(17);
    let mut seen = [0; 5];
    for _ in 0..LISTS {
        let plain = Plain::any(&mut chance);
        let sheet = plain.list().cuts(&axis).unwrap();
        let numbers: Vec<usize> = sheet.cuts.iter().map(|cut| cut.stock).collect();
        assert!(numbers.is_sorted(), "{plain:?}: a board is lifted once, and numbered as it is lifted");
        for piece in &sheet.stock {
            let cuts: Vec<&Cut> = sheet.cuts.iter().filter(|cut| cut.stock == piece.number).collect();
            let told = check_board(&plain, whole(piece.length.length), &cuts);
            for (count, occurred) in seen.iter_mut().zip(told) {
                *count += usize::from(occurred);
            }
        }
        for left in &sheet.unplaced {
            let part = whole(left.length.length);
            let fits = plain.stock.iter().map(|&board| plain.usable(board)).filter(|&usable| usable >= part);
            let reason = if fits.clone().next().is_none() { Reason::TooLong } else { Reason::TooShortToHold };
            assert_eq!(left.reason, reason, "{plain:?}: {left:?}");
            assert!(fits.into_iter().all(|usable| !plain.can_be_cut(usable, &[part])), "{plain:?}: {left:?}");
        }
    }
    // Stock held, raw ends, nothing to spare, under a kerf, order that matters: all of them came about.
    println!("{seen:?} boards");
    assert!(seen.iter().all(|&count| count > 50), "{seen:?}");
}
