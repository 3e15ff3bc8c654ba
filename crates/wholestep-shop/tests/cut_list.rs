//! Cut lists from parts to steps.

mod bench;

use bench::{degrees, rack_stop, read, stop_block};
use proptest::prelude::*;
use wholestep::{ErrorKind, Exact, Length, LengthUnit, Measure};
use wholestep_shop::cut_list::{CutList, CutSheet, Held, Marks, MarksFrom, MeasuredTo, Part, Reason, Stock};

fn list(parts: &[(&str, &str, u32)], stock: &[(&str, Option<u32>)]) -> CutList {
    CutList {
        parts: parts
            .iter()
            .map(|(name, length, quantity)| Part::square(name, read(length), *quantity))
            .collect(),
        stock: stock
            .iter()
            .map(|(length, quantity)| Stock { length: read(length), quantity: *quantity })
            .collect(),
        ..CutList::new(LengthUnit::Inch)
    }
}

fn steps(cuts: &CutSheet) -> Vec<Option<i64>> {
    cuts.cuts.iter().map(|cut| cut.setting.placement.as_ref().map(|placed| placed.step)).collect()
}

/// Every piece of stock is its trim, parts, kerf and offcut, exactly.
fn check_sums(list: &CutList, cuts: &CutSheet) {
    for piece in &cuts.stock {
        let sum = [piece.trim, piece.parts, piece.wedges, piece.kerf, piece.offcut];
        let sum = sum.iter().try_fold(Length::ZERO, |sum, length| sum.checked_add(length.length)).unwrap();
        assert_eq!(sum, piece.length.length);
    }
    for part in &list.parts {
        let cut = cuts.cuts.iter().filter(|cut| cut.part == part.name).count();
        let unplaced: usize =
            cuts.unplaced.iter().filter(|left| left.part == part.name).map(|left| left.quantity).sum();
        assert_eq!(cut + unplaced, usize::try_from(part.quantity).unwrap(), "{}", part.name);
    }
    let totals = &cuts.totals;
    let sum = totals
        .parts
        .length
        .checked_add(totals.offcuts_kept.length)
        .unwrap()
        .checked_add(totals.waste.length)
        .unwrap();
    assert_eq!(sum, totals.stock_length.length);
    for cut in &cuts.cuts {
        let unchecked = list.shortest_to_hold == Length::ZERO;
        assert_eq!(cut.held == Held::NotChecked, unchecked, "{cut:?}");
        assert!(cut.held != Held::Stock || cut.remaining.length >= list.shortest_to_hold);
        let part = list.parts.iter().find(|part| part.name == cut.part).unwrap();
        let part_holds = part.length >= list.shortest_to_hold || !cut.sawn;
        assert!(cut.held != Held::Part || part_holds, "{cut:?}");
        assert!(cut.held != Held::Stock || part.is_mitred() || !part_holds, "{cut:?}");
    }
}

/// Repeated cuts: n = floor((L + k) / (p + k)); L 96 in, k 1/8 in, p 12 in → 7 pieces and an offcut
/// of 11-1/8 in after 7 kerfs. Arithmetic, recomputed.
#[test]
fn repeated_cuts() {
    let mut list = list(&[("rail", "12 in", 7)], &[("96 in", None)]);
    list.kerf = read("1/8 in");
    let cuts = list.cuts(&stop_block("1 in", "60 in")).unwrap();
    check_sums(&list, &cuts);
    assert_eq!((cuts.stock.len(), cuts.totals.proven), (1, true));
    assert_eq!(cuts.stock[0].offcut.length, read("11-1/8 in"));
    assert_eq!(cuts.stock[0].kerf.length, read("7/8 in"));
    let remaining: Vec<String> = cuts.cuts.iter().map(|cut| cut.remaining.to_string()).collect();
    assert_eq!(remaining[..3], ["83.875 in", "71.75 in", "59.625 in"]);
    // 12 in × 8 turns an inch × 3200 steps a turn.
    assert_eq!(steps(&cuts), [Some(307_200); 7]);
    assert_eq!((cuts.totals.stop_moves, cuts.totals.stop_travel.high.length), (0, Length::ZERO));
    list.parts[0].quantity = 8;
    assert_eq!(list.cuts(&stop_block("1 in", "60 in")).unwrap().stock.len(), 2);
}

/// The last kerf needs no room: nothing where the part ends with the stock, and what there is
/// where that is less than a kerf.
#[test]
fn the_end_of_the_stock() {
    let raw = "nothing to saw off; check its length against the stop";
    let partial =
        "only 0.05 in is left for a kerf of 0.125 in, which pushes the blade aside: take longer stock";
    let bare = "nothing to spare: a kerf wider by a hair leaves the last part short";
    for (stock, kerf, offcut, sawn, warnings) in [
        ("20 in", "0 in", "0 in", false, vec![raw]),
        ("20.05 in", "0.05 in", "0 in", true, vec![partial]),
        ("20.125 in", "0.125 in", "0 in", true, vec![bare]),
        ("21 in", "0.125 in", "0.875 in", true, vec![]),
    ] {
        let mut list = list(&[("rail", "20 in", 1)], &[(stock, Some(1))]);
        list.kerf = read("1/8 in");
        let cuts = list.cuts(&stop_block("1 in", "60 in")).unwrap();
        check_sums(&list, &cuts);
        assert_eq!(
            (cuts.stock[0].kerf.length, cuts.stock[0].offcut.length),
            (read(kerf), read(offcut)),
            "{stock}"
        );
        assert_eq!(
            (cuts.cuts[0].sawn, &cuts.cuts[0].warnings[..]),
            (sawn, &warnings.iter().map(ToString::to_string).collect::<Vec<_>>()[..]),
            "{stock}"
        );
    }
}

/// Four parts of 23-7/8 in fill 96 in with four kerfs of 1/8 in to the last hair; with a kerf of 0.1265 in only
/// 0.1205 in is left for the fourth. Arithmetic, recomputed: 96 − 4 × 23.875 − 3 × 0.1265.
#[test]
fn a_plan_without_a_hair_to_spare_says_so() {
    for (kerf, last_kerf, warning) in [
        ("1/8 in", "1/8 in", Some("nothing to spare")),
        ("0.1265 in", "0.1205 in", Some("only 0.1205 in is left for a kerf of 0.1265 in")),
        ("0.12 in", "0.12 in", None),
    ] {
        let mut list = list(&[("shelf", "23-7/8 in", 4)], &[("96 in", Some(1))]);
        list.kerf = read(kerf);
        let cuts = list.cuts(&stop_block("1 in", "60 in")).unwrap();
        check_sums(&list, &cuts);
        let dust =
            list.kerf.checked_mul(Exact::integer(3)).and_then(|three| three.checked_add(read(last_kerf)));
        assert_eq!(cuts.stock[0].kerf.length, dust.unwrap(), "{kerf}");
        let (last, before) = cuts.cuts.split_last().unwrap();
        assert!(before.iter().all(|cut| cut.warnings.is_empty()), "{kerf}");
        match warning {
            Some(text) => assert!(last.warnings[0].starts_with(text), "{kerf}: {last:?}"),
            None => assert!(last.warnings.is_empty(), "{kerf}: {last:?}"),
        }
    }
}

/// What is too short to hold is cut while the board is long; the rest longest first.
#[test]
fn short_parts_come_first_then_the_longest() {
    let parts = [("spacer", "2 in", 2), ("rail", "14 in", 1), ("stile", "20 in", 1)];
    for (hold, order) in [
        ("0 in", ["stile", "rail", "spacer", "spacer"]),
        ("6 in", ["spacer", "spacer", "stile", "rail"]),
        ("12 in", ["spacer", "spacer", "stile", "rail"]),
    ] {
        let mut list = list(&parts, &[("48 in", Some(1))]);
        (list.kerf, list.shortest_to_hold) = (read("1/8 in"), read(hold));
        let cuts = list.cuts(&stop_block("1 in", "60 in")).unwrap();
        check_sums(&list, &cuts);
        assert_eq!(cuts.cuts.iter().map(|cut| cut.part.as_str()).collect::<Vec<_>>(), order, "{hold}");
    }
}

#[test]
fn the_raw_end_is_cut_off_first() {
    let mut list = list(&[("rail", "20 in", 2)], &[("42 in", Some(1))]);
    (list.kerf, list.end_trim) = (read("1/4 in"), read("1 in"));
    let cuts = list.cuts(&stop_block("1 in", "60 in")).unwrap();
    check_sums(&list, &cuts);
    let piece = &cuts.stock[0];
    assert_eq!(
        [piece.trim.length, piece.kerf.length, piece.offcut.length],
        [read("1 in"), read("0.75 in"), read("0.25 in")]
    );
    // A sixteenth more, and the second does not fit: 1 + 1/4 + 20 + 1/4 + 20-9/16 > 42.
    list.parts[0].length = read("20-5/16 in");
    let cuts = list.cuts(&stop_block("1 in", "60 in")).unwrap();
    assert_eq!((cuts.unplaced[0].quantity, cuts.unplaced[0].reason), (1, Reason::NoStockLeft));
}

#[test]
fn parts_drawn_equal_land_on_the_same_step() {
    let parts = [("a", "9.525 mm", 1), ("b", "3/8 in", 1), ("c", "0.375 in", 1), ("d", "375 thou", 1)];
    let cuts = list(&parts, &[("40 in", None)]).cuts(&stop_block("1/8 in", "60 in")).unwrap();
    let all = steps(&cuts);
    assert!(all[0].is_some() && all.iter().all(|step| *step == all[0]));
    // A third of an inch is no whole number of steps: 25600/3 = 8533 and a third.
    let thirds = list(&[("a", "1/3 in", 3), ("b", "1/3 in", 2)], &[("40 in", None)]);
    let cuts = thirds.cuts(&stop_block("1/8 in", "60 in")).unwrap();
    assert_eq!(steps(&cuts), [Some(8533); 5]);
    let remainder = cuts.cuts[0].setting.placement.as_ref().unwrap().remainder;
    assert_eq!(remainder.low.length, Length::new(Exact::new(-1, 76_800).unwrap(), LengthUnit::Inch).unwrap());
}

#[test]
fn a_part_past_the_travel_is_set_by_hand_and_the_others_are_not() {
    let mut list =
        list(&[("slat", "48 in", 1), ("rail", "20 in", 1), ("plug", "1/2 in", 1)], &[("96 in", None)]);
    list.finish_each_piece = false;
    let cuts = list.cuts(&stop_block("3/4 in", "36 in")).unwrap();
    check_sums(&list, &cuts);
    assert_eq!(steps(&cuts), [None, Some(512_000), None]);
    assert_eq!(cuts.totals.by_hand, 2);
    let slat = &cuts.cuts[2].setting;
    assert_eq!((slat.stop.low.to_string().as_str(), slat.stop.is_exact()), ("48 in", true));
    assert_eq!(
        slat.by_hand.as_deref(),
        Some("target past a soft limit 48 in: too far by 12 in; 0.75 in to 36 in is allowed")
    );
}

#[test]
fn mitres_reach_by_the_width_at_45_degrees() {
    let mitred = |left, right, measured_to| Part {
        left: degrees(left),
        right: degrees(right),
        measured_to,
        ..Part::square("frame", read("20 in"), 1)
    };
    let cases = [
        // left, right, measured to, stop distance, the edge at the fence, the wedge before it there
        (45, 45, MeasuredTo::LongPoint, "20 in", "20 in", "0 in"),
        (45, 45, MeasuredTo::ShortPoint, "26 in", "26 in", "0 in"),
        (45, -45, MeasuredTo::LongPoint, "17 in", "17 in", "0 in"),
        (45, -45, MeasuredTo::ShortPoint, "23 in", "23 in", "0 in"),
        (0, 45, MeasuredTo::ShortPoint, "23 in", "23 in", "0 in"),
        (0, -45, MeasuredTo::ShortPoint, "20 in", "20 in", "0 in"),
        (-45, 0, MeasuredTo::LongPoint, "20 in", "17 in", "3 in"),
        (-45, -45, MeasuredTo::ShortPoint, "23 in", "20 in", "3 in"),
    ];
    for (left, right, measured_to, stop, edge, wedge) in cases {
        let mut list = list(&[], &[("96 in", None)]);
        list.parts.push(mitred(left, right, measured_to));
        (list.width, list.kerf) = (Some(read("3 in")), read("1/8 in"));
        let cuts = list.cuts(&stop_block("1 in", "60 in")).unwrap();
        check_sums(&list, &cuts);
        let setting = &cuts.cuts[0].setting;
        assert!(setting.stop.is_exact());
        assert_eq!(setting.stop.low.length, read(stop), "{left} {right} {measured_to:?}");
        let told = (cuts.stock[0].parts.length, cuts.stock[0].wedges.length);
        assert_eq!(told, (read(edge), read(wedge)), "{left} {right} {measured_to:?}");
        // A mitred kerf is √2 times as long; 0.17677669… in (identity).
        let (low, high) =
            if right == 0 { ("1/8 in", "1/8 in") } else { ("0.176776695 in", "0.176776697 in") };
        assert!(cuts.stock[0].kerf.length >= read(low) && cuts.stock[0].kerf.length <= read(high));
    }
}

/// tan 30° = 0.577350269…: a part 1 in wide and 20 in long to its short points reaches 0.57735 in
/// beyond each, at a blade 30 degrees from square. Identity: 21.154700538 in.
#[test]
fn other_mitres_are_enclosed_and_their_steps_decided() {
    let mut list = list(&[], &[("96 in", None)]);
    let angle = degrees(30);
    let part = Part {
        left: angle,
        right: angle,
        measured_to: MeasuredTo::ShortPoint,
        ..Part::square("hexagon", read("20 in"), 6)
    };
    list.parts.push(part);
    (list.width, list.kerf) = (Some(read("1 in")), read("1/8 in"));
    let cuts = list.cuts(&stop_block("1 in", "60 in")).unwrap();
    check_sums(&list, &cuts);
    let setting = &cuts.cuts[0].setting;
    assert!(!setting.stop.is_exact());
    assert!(
        setting.stop.low.length > read("21.1547005 in") && setting.stop.high.length < read("21.1547006 in")
    );
    let placed = setting.placement.as_ref().unwrap();
    // × 25,600 steps an inch = 541560.33…
    assert_eq!((placed.step, placed.is_decided), (541_560, true));
    assert!(placed.remainder.low.length < Length::ZERO && placed.remainder.low.length > read("-0.02 thou"));
    assert_eq!(steps(&cuts), [Some(541_560); 6]);
    let rack = list.cuts(&rack_stop("1 in", "60 in")).unwrap();
    assert!(rack.cuts.iter().all(|cut| cut.setting == rack.cuts[0].setting));
}

#[test]
fn short_parts_are_cut_while_there_is_something_to_hold() {
    let mut list = list(&[("spacer", "2 in", 3), ("rail", "30 in", 1)], &[("48 in", None)]);
    (list.kerf, list.shortest_to_hold) = (read("1/8 in"), read("12 in"));
    for finish_each_piece in [false, true] {
        list.finish_each_piece = finish_each_piece;
        let cuts = list.cuts(&stop_block("1 in", "60 in")).unwrap();
        check_sums(&list, &cuts);
        let held: Vec<Held> = cuts.cuts.iter().map(|cut| cut.held).collect();
        assert_eq!(held, [Held::Stock, Held::Stock, Held::Stock, Held::Part]);
    }
    // Short parts alone need an offcut that can be held.
    let mut short = list.clone();
    short.parts = vec![Part::square("spacer", read("2 in"), 30)];
    let cuts = short.cuts(&stop_block("1 in", "60 in")).unwrap();
    check_sums(&short, &cuts);
    assert_eq!(cuts.stock.len(), 2);
    assert!(cuts.stock.iter().all(|piece| piece.offcut.length >= read("12 in")));
    short.stock = vec![Stock { length: read("13 in"), quantity: None }];
    let cuts = short.cuts(&stop_block("1 in", "60 in")).unwrap();
    assert_eq!((cuts.unplaced[0].quantity, cuts.unplaced[0].reason), (30, Reason::TooShortToHold));
}

/// A long mitred part with a short edge stands at a long stop distance: the part that can be held
/// is kept to the end.
#[test]
fn a_mitred_part_with_a_short_edge_is_cut_before_the_one_that_can_be_held() {
    let mut list = list(&[("rail", "18 in", 1)], &[("41 in", Some(1))]);
    list.parts.push(Part {
        left: degrees(45),
        right: degrees(45),
        ..Part::square("brace", read("20 in"), 1)
    });
    (list.width, list.shortest_to_hold) = (Some(read("8 in")), read("10 in"));
    let cuts = list.cuts(&stop_block("1 in", "60 in")).unwrap();
    assert!(cuts.unplaced.is_empty());
    let order: Vec<&str> = cuts.cuts.iter().map(|cut| cut.part.as_str()).collect();
    assert_eq!(order, ["brace", "rail"]);
    assert_eq!(cuts.cuts[0].held, Held::Stock);
}

#[test]
fn marks_are_spaced_exactly() {
    let marks = |length: &str, count, spacing: Option<&str>, from, first: Option<&str>| Marks {
        name: "pins".into(),
        length: read(length),
        count,
        spacing: spacing.map(read),
        from,
        first: first.map(read),
    };
    let (end, centre) = (MarksFrom::End, MarksFrom::Centre);
    let cases = [
        (marks("10 in", Some(2), None, end, None), vec!["10/3 in", "20/3 in"]),
        (marks("10 in", Some(2), None, centre, None), vec!["10/3 in", "20/3 in"]),
        (marks("10 in", Some(3), None, end, Some("1 in")), vec!["1 in", "5 in", "9 in"]),
        (marks("10 in", Some(2), Some("3 in"), end, None), vec!["3 in", "6 in"]),
        (marks("10 in", None, Some("3 in"), end, Some("0 in")), vec!["0 in", "3 in", "6 in", "9 in"]),
        // A mark at the very end is no mark.
        (marks("9 in", None, Some("3 in"), end, None), vec!["3 in", "6 in"]),
        (marks("9 in", None, Some("3 in"), centre, None), vec!["1-1/2 in", "4-1/2 in", "7-1/2 in"]),
        (marks("10 in", None, Some("4 in"), centre, None), vec!["1 in", "5 in", "9 in"]),
        (marks("10 in", Some(1), Some("4 in"), centre, None), vec!["5 in"]),
    ];
    for (marks, expected) in cases {
        let expected: Vec<Length> = expected.into_iter().map(read).collect();
        assert_eq!(marks.places(LengthUnit::Inch).unwrap(), expected, "{marks:?}");
    }
    let refused = [
        (marks("10 in", None, None, end, None), ErrorKind::Job),
        (marks("10 in", None, Some("1 in"), centre, Some("1 in")), ErrorKind::Job),
        (marks("10 in", Some(1), None, end, Some("1 in")), ErrorKind::OutOfRange),
        (marks("10 in", Some(0), None, end, None), ErrorKind::OutOfRange),
        (marks("10 in", Some(4), Some("3 in"), end, None), ErrorKind::OutOfRange),
        (marks("10 in", Some(9), Some("3 in"), centre, None), ErrorKind::OutOfRange),
        (marks("10 in", Some(2), Some("0 in"), end, None), ErrorKind::OutOfRange),
        (marks("0 in", Some(2), None, end, None), ErrorKind::OutOfRange),
        (marks("10 in", None, Some("0.9 thou"), end, None), ErrorKind::OutOfRange),
        (marks("10 in", Some(2), None, end, Some("-1 in")), ErrorKind::OutOfRange),
    ];
    for (marks, kind) in refused {
        assert_eq!(marks.places(LengthUnit::Inch).map_err(|error| error.kind()), Err(kind), "{marks:?}");
    }
}

/// Each mark is placed by itself: the thousandth of a thousand thirds stands where it should.
#[test]
fn marks_do_not_drift() {
    let mut list = list(&[], &[]);
    list.marks.push(Marks {
        name: "lines".into(),
        length: read("30 in"),
        count: Some(899),
        spacing: None,
        from: MarksFrom::End,
        first: None,
    });
    let cuts = list.cuts(&stop_block("0 in", "60 in")).unwrap();
    for (at, mark) in (1_i64..).zip(&cuts.marks[0].marks) {
        // at/30 in × 25,600 steps an inch, to the nearest; no tie is possible with a denominator of 3.
        let expected = (at * 25_600 * 2 + 30).div_euclid(60);
        assert_eq!(mark.placement.as_ref().map(|placed| placed.step), Some(expected), "mark {at}");
    }
}

#[test]
fn a_rack_gives_enclosures() {
    let list = list(&[("rail", "12 in", 2), ("arm", "14-1/3 in", 1)], &[("96 in", None)]);
    let cuts = list.cuts(&rack_stop("1 in", "60 in")).unwrap();
    let placed = cuts.cuts[0].setting.placement.as_ref().unwrap();
    assert!(!placed.position.is_exact() && placed.is_decided);
    assert!(placed.remainder.low.length < placed.remainder.high.length);
    assert!(!cuts.totals.stop_travel.is_exact());
}

type Change = fn(&mut CutList);

#[test]
fn cut_list_that_cannot_be_is_refused() {
    let good = || list(&[("rail", "12 in", 1)], &[("96 in", None)]);
    let change = |change: Change| {
        let mut list = good();
        change(&mut list);
        list.cuts(&stop_block("1 in", "60 in")).unwrap_err()
    };
    let cases: [(Change, ErrorKind, &str); 14] = [
        (|list| list.parts.clear(), ErrorKind::Job, "cut list without parts: give parts or marks"),
        (
            |list| list.stock.clear(),
            ErrorKind::Job,
            "cut list without stock: give the length of the stock; without a quantity there is as much as needed",
        ),
        (|list| list.kerf = read("-1 mm"), ErrorKind::OutOfRange, "kerf -5/127 in: at least 0 in is allowed"),
        (|list| list.shortest_to_hold = read("-1 in"), ErrorKind::OutOfRange, "shortest piece to hold -1 in"),
        (|list| list.end_trim = read("-1 in"), ErrorKind::OutOfRange, "end trim -1 in"),
        (|list| list.smallest_offcut = read("-1 in"), ErrorKind::OutOfRange, "smallest offcut -1 in"),
        (|list| list.width = Some(Length::ZERO), ErrorKind::OutOfRange, "width of the stock 0 in"),
        (
            |list| list.parts[0].length = Length::ZERO,
            ErrorKind::OutOfRange,
            "part “rail”: length 0 in: give a length above 0",
        ),
        (
            |list| list.parts[0].quantity = 0,
            ErrorKind::OutOfRange,
            "part “rail”: quantity 0: 1 to 2000 is allowed",
        ),
        (
            |list| list.parts.extend(vec![Part::square("rail", read("1 in"), 2000)]),
            ErrorKind::OutOfRange,
            "copies of all parts together 2001: at most 2000 is allowed; split it into several jobs",
        ),
        (
            |list| list.parts[0].left = degrees(80),
            ErrorKind::OutOfRange,
            "part “rail”: mitre from square 80 deg",
        ),
        (
            |list| list.parts[0].left = degrees(45),
            ErrorKind::Job,
            "part “rail”: width of the stock: say how wide",
        ),
        (
            |list| {
                list.width = Some(read("6 in"));
                (list.parts[0].left, list.parts[0].right) = (degrees(45), degrees(45));
            },
            ErrorKind::Job,
            "part “rail”: mitred part's length 12 in: make it longer or narrower",
        ),
        (
            |list| list.stock[0].quantity = Some(0),
            ErrorKind::OutOfRange,
            "quantity 0: 1 to 1000000 is allowed",
        ),
    ];
    for (make, kind, text) in cases {
        let error = change(make);
        assert_eq!(error.kind(), kind, "{error}");
        assert!(error.to_string().starts_with(text), "{error}");
    }
}

#[test]
fn programs_are_told_everything_exactly() {
    let mut list = list(&[("rail", "12-1/3 in", 1), ("slat", "48 in", 1)], &[("96 in", None)]);
    (list.kerf, list.finish_each_piece) = (read("1/8 in"), false);
    let cuts = serde_json::to_value(list.cuts(&stop_block("1 in", "36 in")).unwrap()).unwrap();
    let expected = serde_json::json!({
        "number": 1,
        "stock": 1,
        "part": "rail",
        "length": "12-1/3 in",
        "measured_to": "long_point",
        "turn": "none",
        "left": "0 deg",
        "right": "0 deg",
        "saw_left_first": false,
        "stop_touches": "square_end",
        "left_reach": { "low": "0 in", "high": "0 in" },
        "stop": { "low": "12-1/3 in", "high": "12-1/3 in" },
        "placement": {
            "step": 315_733,
            "position": { "low": "12.3333203125 in", "high": "12.3333203125 in" },
            "remainder": { "low": "-1/76800 in", "high": "-1/76800 in" },
            "is_decided": true
        },
        "by_hand": null,
        "stop_move": null,
        "backed_off": null,
        "back_off_move": null,
        "held": "not_checked",
        "sawn": true,
        "remaining": "83-13/24 in",
        "warnings": []
    });
    assert_eq!(cuts["cuts"][0], expected);
    assert_eq!(cuts["cuts"][1]["placement"], serde_json::Value::Null);
    assert_eq!(cuts["totals"]["proven"], true);
}

fn any_list() -> impl Strategy<Value = CutList> {
    let parts = prop::collection::vec((40_i64..700, 1_u32..4), 1..7);
    let stock = prop::collection::vec((500_i64..1500, prop::option::of(0_u32..4)), 0..2);
    (parts, stock, 0_i64..4, 0_i64..20, prop_oneof![Just(0_i64), 50_i64..200], any::<bool>()).prop_map(
        |(parts, stock, kerf, trim, hold, finish_each_piece)| {
            let tenths =
                |value: i64| Length::from_base(Exact::new((value * 10 + 3).into(), 10).unwrap()).unwrap();
            let mut list = CutList::new(LengthUnit::Millimetre);
            list.parts = (0..)
                .zip(parts)
                .map(|(at, (length, quantity))| Part::square(&format!("part {at}"), tenths(length), quantity))
                .collect();
            let limited = stock.into_iter().filter(|(_, quantity)| *quantity != Some(0));
            list.stock =
                limited.map(|(length, quantity)| Stock { length: tenths(length), quantity }).collect();
            list.stock.push(Stock { length: tenths(1200), quantity: None });
            list.kerf = tenths(kerf);
            list.end_trim = if trim == 0 { Length::ZERO } else { tenths(trim) };
            list.shortest_to_hold = if hold == 0 { Length::ZERO } else { tenths(hold) };
            list.smallest_offcut = tenths(100);
            list.finish_each_piece = finish_each_piece;
            list
        },
    )
}

/// The stop's moves, piece after piece and longest first, as one would without thinking.
fn naive_travel(cuts: &CutSheet) -> Exact {
    let mut order: Vec<_> = cuts.cuts.iter().filter(|cut| cut.setting.placement.is_some()).collect();
    order.sort_by_key(|cut| (cut.stock, std::cmp::Reverse(cut.setting.stop.low.length)));
    let stops = order.iter().map(|cut| cut.setting.placement.as_ref().unwrap().position.low.length);
    let stops: Vec<Length> = stops.collect();
    stops.windows(2).fold(Exact::ZERO, |sum, pair| {
        sum.checked_add(pair[1].checked_sub(pair[0]).unwrap().abs().base()).unwrap()
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(120))]

    #[test]
    fn nothing_is_lost_and_everything_can_be_held(list in any_list()) {
        let cuts = list.cuts(&stop_block("2 in", "24 in")).unwrap();
        check_sums(&list, &cuts);
        let travel = cuts.totals.stop_travel.high.length.base();
        // Longest first may not be able to hold every piece; without that rule it is one of the orders.
        // Of more than ten boards not every order is tried.
        let all_tried = cuts.stock.len() <= 10 && list.shortest_to_hold == Length::ZERO;
        if !list.finish_each_piece || all_tried {
            prop_assert!(travel <= naive_travel(&cuts));
        }
        if list.finish_each_piece {
            let pieces: Vec<usize> = cuts.cuts.iter().map(|cut| cut.stock).collect();
            let changes = pieces.windows(2).filter(|pair| pair[0] != pair[1]).count();
            prop_assert_eq!(changes + usize::from(!pieces.is_empty()), cuts.stock.len());
        } else {
            // No order moves the stop less than from the shortest distance to the longest.
            let stops = cuts.cuts.iter().filter_map(|cut| cut.setting.placement.as_ref());
            let stops: Vec<Length> = stops.map(|placed| placed.position.low.length).collect();
            let span = stops.iter().max().zip(stops.iter().min()).map(|(high, low)| high.checked_sub(*low).unwrap());
            prop_assert_eq!(travel, span.unwrap_or(Length::ZERO).base());
        }
    }

    #[test]
    fn the_same_list_gives_the_same_cuts(list in any_list()) {
        let axis = stop_block("2 in", "24 in");
        prop_assert_eq!(list.cuts(&axis).unwrap(), list.cuts(&axis).unwrap());
    }
}
