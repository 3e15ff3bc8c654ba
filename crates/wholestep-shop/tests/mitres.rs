//! Mitred parts on one piece of stock: published and worked figures, brute force over every order,
//! assignment and turn, and a checker that knows nothing but lines across a board.

mod bench;
mod board;

use bench::{degrees, rack_stop, read, stop_block};
use board::{Best, Rule, best, check_plan};
use wholestep::{Exact, Length, LengthUnit, Measure};
use wholestep_shop::cut_list::{CutList, CutSheet, MeasuredTo, Part, Reason, Stock, Touch, Turn, Turning};

fn millimetres(value: i64) -> Length {
    Length::from_base(Exact::integer(value)).unwrap()
}

fn part(name: &str, length: i64, quantity: u32, left: i64, right: i64) -> Part {
    Part { left: degrees(left), right: degrees(right), ..Part::square(name, millimetres(length), quantity) }
}

fn list(parts: Vec<Part>, width: &str, kerf: &str, stock: &str) -> CutList {
    CutList {
        parts,
        stock: vec![Stock { length: read(stock), quantity: None }],
        width: Some(read(width)),
        kerf: read(kerf),
        ..CutList::new(LengthUnit::Millimetre)
    }
}

fn cut(list: &CutList) -> CutSheet {
    let cuts = list.cuts(&stop_block("1 mm", "3000 mm")).unwrap();
    check_plan(list, &cuts);
    cuts
}

/// Three parallelograms at 45 degrees take 3 × 500 − 2 × width + 2 × 3√2 mm, so 1400 mm is enough
/// from a width of 54.2427 mm upward. Recomputed with 30 digits.
#[test]
fn one_cut_makes_the_end_of_the_next_part() {
    for (width, pieces) in [("100 mm", 1), ("54.243 mm", 1), ("54.242 mm", 2), ("20 mm", 2)] {
        let cuts = cut(&list(vec![part("slat", 500, 3, 45, -45)], width, "3 mm", "1400 mm"));
        assert_eq!((cuts.totals.stock_pieces, cuts.totals.proven), (pieces, true), "{width}");
    }
    let slats = list(vec![part("slat", 500, 3, 45, -45)], "45 mm", "3 mm", "1420 mm");
    let cuts = cut(&slats);
    assert_eq!(slats.cuts(&rack_stop("1 in", "60 in")).unwrap().stock, cuts.stock);
    let first: Vec<bool> = cuts.cuts.iter().map(|cut| cut.saw_left_first).collect();
    assert_eq!(first, [true, false, false]);
    // The stop touches the point at the fence; the point lies 45 mm before the other corner.
    assert!(cuts.cuts.iter().all(|cut| cut.stop_touches == Touch::PointAtFence));
    assert_eq!(cuts.cuts[0].left_reach.low.to_string(), "45 mm");
    // Along the fence 455 mm and a kerf of 3√2 mm for each: 1420 − 1365 − 12.727922… (identity).
    let rest = cuts.stock[0].offcut.length;
    assert!(rest > read("42.272077 mm") && rest < read("42.272078 mm"), "{rest}");
}

/// The frame of 2 × 500 and 2 × 400 mm, 60 mm wide, kerf 3, long points outside: 1812.73 mm as drawn,
/// 1632.73 mm with every other part turned end for end. Recomputed with 30 digits: 1812.727922…,
/// 1632.727922….
#[test]
fn a_frame_is_cut_from_less_when_its_parts_are_turned() {
    let cases = [
        (Turning::None, "1812.728 mm", 1),
        (Turning::None, "1812.727 mm", 2),
        (Turning::EndForEnd, "1632.728 mm", 1),
        (Turning::EndForEnd, "1632.727 mm", 2),
    ];
    for (turning, stock, pieces) in cases {
        let parts = vec![part("rail", 500, 2, 45, 45), part("stile", 400, 2, 45, 45)];
        let frame = CutList { turning, ..list(parts, "60 mm", "3 mm", stock) };
        let cuts = cut(&frame);
        assert_eq!(cuts.totals.stock_pieces, pieces, "{turning:?} in {stock}");
        assert!(cuts.cuts.iter().all(|cut| !cut.turn.is_face_down()));
        let turned = cuts.cuts.iter().filter(|cut| cut.turn == Turn::EndForEnd).count();
        match turning {
            Turning::None => assert_eq!(turned, 0),
            _ if pieces == 1 => assert_eq!(turned, 2),
            _ => {}
        }
    }
    // A square cut between two points would take a kerf of 3 instead of 4.24 mm, so 1812.727 mm is
    // not proven to be too short; 1800 + 3 × 3 mm is.
    for (stock, proven) in [("1812.727 mm", false), ("1808.999 mm", true)] {
        let parts = vec![part("rail", 500, 2, 45, 45), part("stile", 400, 2, 45, 45)];
        let cuts = cut(&list(parts, "60 mm", "3 mm", stock));
        assert_eq!((cuts.totals.stock_pieces, cuts.totals.proven), (2, proven), "{stock}");
    }
}

/// Parallelograms of either hand share cuts only where the one is turned over, its face down.
#[test]
fn a_part_is_turned_over_only_where_its_faces_are_alike() {
    let parts = || vec![part("left", 300, 1, 45, -45), part("right", 300, 1, -45, 45)];
    for (turning, stock, pieces, down) in [
        (Turning::EndForEnd, "558 mm", 2, 0),
        (Turning::Over, "558 mm", 1, 1),
        (Turning::EndForEnd, "605 mm", 1, 0),
    ] {
        let cuts = cut(&CutList { turning, ..list(parts(), "50 mm", "3 mm", stock) });
        assert_eq!(cuts.totals.stock_pieces, pieces, "{turning:?} in {stock}");
        assert_eq!(cuts.cuts.iter().filter(|cut| cut.turn.is_face_down()).count(), down, "{turning:?}");
    }
}

struct Random(u64);

impl Random {
    fn below(&mut self, end: u64) -> i64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        i64::try_from((self.0 >> 33) % end).unwrap()
    }

    fn one<T: Copy>(&mut self, of: &[T]) -> T {
        of[usize::try_from(self.below(of.len() as u64)).unwrap()]
    }
}

fn any_list(random: &mut Random) -> CutList {
    let angles: &[i64] = random.one(&[&[45, -45][..], &[0, 45, -45], &[0, 30, -30, 45, -60], &[20, -20, 70]]);
    let width = random.one(&[2, 5, 12, 20]);
    let mut parts = Vec::new();
    let mut copies = 0;
    while copies < 4 {
        let quantity = 1 + u32::try_from(random.below(2)).unwrap();
        copies += quantity;
        let (left, right) = (random.one(angles), random.one(angles));
        let longer = if left.abs().max(right.abs()) > 45 { 6 * width } else { 2 * width };
        let mut next = part(&format!("part {copies}"), longer + 5 + random.below(60), quantity, left, right);
        if random.below(3) == 0 {
            next.measured_to = MeasuredTo::ShortPoint;
        }
        parts.push(next);
        if random.below(3) == 0 {
            break;
        }
    }
    let mut list = list(parts, &format!("{width} mm"), random.one(&["0 mm", "1 mm", "3 mm"]), "1 mm");
    list.stock.clear();
    for _ in 0..=random.below(2) {
        let quantity = random.one(&[None, None, Some(1), Some(2)]);
        list.stock.push(Stock { length: millimetres(100 + random.below(160)), quantity });
    }
    list.end_trim = millimetres(random.one(&[0, 0, 4]));
    list.shortest_to_hold = millimetres(random.one(&[0, 0, 0, 15, 40]));
    list.turning = random.one(&Turning::ALL);
    list.finish_each_piece = random.below(2) == 0;
    list
}

/// Nothing is printed that cannot be cut; what is said to be the fewest is the fewest, even for
/// somebody who parts the pieces with cuts of any slant; and nearly always it is said.
#[test]
fn small_lists_are_cut_as_by_brute_force() {
    let rounds: u32 = std::env::var("WHOLESTEP_MITRE_ROUNDS").map_or(400, |rounds| rounds.parse().unwrap());
    let mut random = Random(8);
    let (mut proven, mut fewest, mut all) = (0, 0, 0);
    for _ in 0..rounds {
        let list = any_list(&mut random);
        let cuts = cut(&list);
        let totals = &cuts.totals;
        let planned = best(&list, Rule::AsPlanned);
        let Best::Pieces(any_way) = best(&list, Rule::AnyWay) else {
            assert!(!totals.proven, "{list:?}");
            continue;
        };
        assert!(totals.stock_pieces_at_least <= any_way, "{any_way}: {list:?}");
        if totals.proven {
            assert_eq!(totals.stock_pieces, any_way, "{list:?}");
        }
        if let Best::Pieces(planned) = planned {
            all += 1;
            proven += u32::from(totals.proven);
            let laid = cuts.unplaced.iter().all(|left| left.reason == Reason::TooLong);
            fewest += u32::from(laid && totals.stock_pieces == planned);
        }
    }
    println!("{all} lists: {fewest} with the fewest pieces, {proven} of them proven");
    assert!(all > rounds / 2 && 100 * fewest > 99 * all && 100 * proven > 97 * all);
}

/// What cannot be held comes first on a board with mitres too, and the longest first behind it, if that shares
/// as many cuts.
#[test]
fn mitred_board_is_cut_in_the_order_of_square_ones() {
    let jobs = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples/jobs");
    let job =
        wholestep_shop::Job::load(jobs.join("drawer_boxes.toml"), &wholestep_files::Registry::standard());
    let sheet = job.unwrap().cuts().unwrap();
    for board in sheet.cuts.chunk_by(|a, b| a.stock == b.stock) {
        let keys: Vec<_> = board
            .iter()
            .map(|cut| {
                (
                    cut.held == wholestep_shop::cut_list::Held::Part,
                    cut.is_mitred(),
                    std::cmp::Reverse(cut.length.length),
                )
            })
            .collect();
        assert!(keys.is_sorted(), "board {}: {keys:?}", board[0].stock);
    }
    assert!(sheet.cuts.iter().any(wholestep_shop::cut_list::Cut::is_mitred));
}
