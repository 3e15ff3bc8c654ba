//! What is to spare on a board, where a short part lets the stop stand off, and how the stop arrives.

#[expect(dead_code, reason = "it makes more than this needs")]
mod bench;

use bench::{read, stop_block};
use wholestep::axis::{Approach, Axis, AxisConfig};
use wholestep::mechanism::Linear;
use wholestep::{Length, LengthUnit, Measure};
use wholestep_shop::cut_list::{CutList, CutSheet, Held, Part, Stock};

fn four_of(kerf: &str, kerf_error: &str) -> CutSheet {
    let mut list = CutList::new(LengthUnit::Inch);
    list.parts.push(Part::square("shelf", read("23-7/8 in"), 4));
    list.stock.push(Stock { length: read("96 in"), quantity: None });
    (list.kerf, list.kerf_error) = (read(kerf), read(kerf_error));
    list.cuts(&stop_block("1 in", "36 in")).unwrap()
}

/// Worked by hand (recomputed): four times 23-7/8 and three kerfs of 1/8 leave 1/8 of 96.
#[test]
fn spare_that_the_kerfs_may_use_up_is_named() {
    let full =
        "only 0.1205 in is left for a kerf of 0.1265 in, which pushes the blade aside: take longer stock";
    let nothing = "nothing to spare: a kerf wider by a hair leaves the last part short";
    let used_up = "0.02 in to spare, and 4 kerfs, each up to 0.006 in wider, may take 0.024 in: measure the kerf, or \
                   take longer stock";
    for (kerf, kerf_error, warnings) in [
        ("1/8 in", "0 in", &[nothing][..]),
        ("1/8 in", "0.0015 in", &[nothing]),
        ("0.1265 in", "0 in", &[full]),
        ("0.12 in", "0 in", &[]),
        ("0.12 in", "0.005 in", &[]),
        ("0.12 in", "0.006 in", &[used_up]),
    ] {
        let sheet = four_of(kerf, kerf_error);
        assert_eq!(sheet.cuts[3].warnings, warnings, "kerf {kerf}, {kerf_error} out");
        assert!(sheet.cuts[..3].iter().all(|cut| cut.warnings.is_empty()));
    }
    let last = &four_of("0.1265 in", "0 in").cuts[3];
    assert_eq!((last.remaining.to_string().as_str(), last.sawn), ("0 in", true));
}

/// Worked by hand (recomputed): a board taped at 96-1/8, its end trimmed by 1/2 and a kerf, five of 17-1/4.
#[test]
fn board_as_taped_keeps_what_is_left() {
    let mut list = CutList::new(LengthUnit::Inch);
    list.parts.push(Part::square("rail", read("17-1/4 in"), 5));
    list.stock.push(Stock { length: read("96-1/8 in"), quantity: Some(1) });
    (list.kerf, list.end_trim) = (read("1/8 in"), read("1/2 in"));
    let sheet = list.cuts(&stop_block("1 in", "36 in")).unwrap();
    let left = sheet.stock[0].offcut;
    assert_eq!(left.to_string(), "8.625 in");
    assert_eq!(
        left.length.checked_sub(list.end_trim).unwrap(),
        read("8-1/8 in"),
        "after the far end is trimmed too"
    );
}

#[test]
fn stop_is_backed_off_by_the_gap_where_the_stock_is_held() {
    let mut list = CutList::new(LengthUnit::Inch);
    list.parts = vec![Part::square("cleat", read("3 in"), 2), Part::square("rail", read("20 in"), 1)];
    list.stock.push(Stock { length: read("48 in"), quantity: None });
    (list.kerf, list.shortest_to_hold) = (read("1/8 in"), read("6 in"));
    let by_hand = list.cuts(&stop_block("1 in", "36 in")).unwrap();
    assert!(by_hand.cuts.iter().all(|cut| cut.backed_off.is_none()));

    list.stop_gap = Some(read("2 in"));
    let sheet = list.cuts(&stop_block("1 in", "36 in")).unwrap();
    let told = |cut: &wholestep_shop::cut_list::Cut| {
        let backed_off = cut.backed_off.as_ref();
        (cut.held, backed_off.and_then(|setting| Some(setting.placement.as_ref()?.position.low.to_string())))
    };
    assert_eq!(
        sheet.cuts.iter().map(told).collect::<Vec<_>>(),
        [(Held::Stock, Some("5 in".to_owned())), (Held::Stock, Some("5 in".to_owned())), (Held::Part, None),]
    );
    // From 3 to 5, back to 3, to 5 again, and on to 20.
    let totals = &sheet.totals;
    assert_eq!((totals.stop_moves, totals.stop_travel.low.to_string().as_str()), (4, "21 in"));

    // Where the axis does not reach, a hand backs the stop off.
    let near = list.cuts(&stop_block("1 in", "4 in")).unwrap();
    let backed_off = near.cuts[0].backed_off.as_ref().unwrap();
    assert!(backed_off.placement.is_none() && backed_off.by_hand.is_some());
}

#[test]
fn stop_that_arrives_away_from_the_blade_is_named() {
    let mut list = CutList::new(LengthUnit::Inch);
    list.parts.push(Part::square("rail", read("12 in"), 1));
    list.stock.push(Stock { length: read("48 in"), quantity: None });
    for (approach, backlash, named) in [
        (Approach::FromAbove, "0.01 in", false),
        (Approach::Either, "0 in", false),
        (Approach::Either, "0.01 in", true),
        (Approach::FromBelow, "0 in", true),
    ] {
        let plain = stop_block("1 in", "36 in");
        let config = AxisConfig { approach, backlash: read(backlash), ..*plain.config() };
        let axis: Axis<Linear<Length>> = Axis::new(*plain.mechanism(), config).unwrap();
        let warnings = list.cuts(&axis).unwrap().warnings;
        assert_eq!(warnings.len(), usize::from(named), "{approach:?}, {backlash} of play: {warnings:?}");
    }
}
