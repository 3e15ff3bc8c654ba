//! Kerfs measured in cut pieces, and what a change of blades does to the zero: worked by hand (recomputed).

use wholestep::{ErrorKind, Length, LengthUnit, Measure};
use wholestep_shop::blade::{Blade, Flange, measured_kerf};

fn lengths(texts: &[&str], unit: LengthUnit) -> Vec<Length> {
    texts.iter().map(|text| Length::read(text, Some(unit)).unwrap()).collect()
}

#[test]
fn kerf_is_what_the_pieces_are_short_of_the_board_shared_among_the_cuts() {
    let (mm, inch) = (LengthUnit::Millimetre, LengthUnit::Inch);
    for (board, pieces, unit, kerf) in [
        ("600", &["117.6", "117.7", "117.7", "117.6", "117.8"][..], mm, "2.9"),
        ("24", &["4.699", "4.699", "4.698", "4.699", "4.699"], inch, "0.1265"),
        ("100", &["48", "48"], mm, "4"),
        ("10", &["3", "3", "3"], inch, "1/2"),
    ] {
        let [board, kerf] = [board, kerf].map(|text| Length::read(text, Some(unit)).unwrap());
        assert_eq!(measured_kerf(board, &lengths(pieces, unit), unit), Ok(kerf), "{board}");
    }
}

#[test]
fn pieces_that_tell_no_kerf_are_refused() {
    let mm = LengthUnit::Millimetre;
    for (pieces, message) in [
        (&[][..], "number of pieces 0: give every piece that the board was cut into, two or more"),
        (&["97"], "number of pieces 1: give every piece that the board was cut into, two or more"),
        (&["97", "0"], "piece 0 mm: give a length above 0"),
        (&["97", "-1"], "piece -1 mm: give a length above 0"),
        (
            &["50", "50"],
            "length of the pieces together 100 mm: at most 100 mm is allowed; measure the board before it is cut, \
             then every piece; the cuts took something",
        ),
    ] {
        let refused = measured_kerf("100 mm".parse().unwrap(), &lengths(pieces, mm), mm).unwrap_err();
        assert_eq!((refused.kind(), refused.to_string().as_str()), (ErrorKind::OutOfRange, message));
    }
}

#[test]
fn zero_moves_by_half_of_what_kerf_and_plate_lose() {
    let mm = LengthUnit::Millimetre;
    let blade = |kerf: &str, plate: &str| {
        let [kerf, plate] = [kerf, plate].map(|text| Length::read(text, Some(mm)).unwrap());
        Blade::new(kerf, plate, mm)
    };
    let (worn, thin) = (blade("3.2", "2.2").unwrap(), blade("2.2", "1.6").unwrap());
    for (flange, shift) in [(Flange::FarSide, "0.8 mm"), (Flange::FenceSide, "0.2 mm")] {
        assert_eq!(worn.zero_shift(&thin, flange), shift.parse());
        assert_eq!(thin.zero_shift(&worn, flange), shift.parse().map(|shift: Length| -shift));
        assert_eq!(worn.zero_shift(&worn, flange), Ok(Length::ZERO));
    }
    assert_eq!(
        blade("2.2", "2.3").unwrap_err().to_string(),
        "plate thicker than the kerf 2.3 mm: at most 2.2 mm is allowed; measure the plate beside the teeth, and the \
         kerf in a test cut"
    );
    assert_eq!(blade("0", "1").unwrap_err().to_string(), "kerf 0 mm: give a length above 0");
}
