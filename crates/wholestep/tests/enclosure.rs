//! Enclosures and widths, by tables of small numbers.

use wholestep::exact::ArithmeticError;
use wholestep::{Enclosure, Exact, Width};

fn number((numerator, denominator): (i128, i128)) -> Exact {
    Exact::new(numerator, denominator).unwrap()
}

fn between(low: (i128, i128), high: (i128, i128)) -> Enclosure<Exact> {
    Enclosure::new(number(low), number(high)).unwrap()
}

#[test]
fn enclosure_contains_its_bounds_and_what_lies_between_them() {
    let third_to_half = between((1, 3), (1, 2));
    for (value, inside) in [
        ((1, 3), true),
        ((2, 5), true),
        ((1, 2), true),
        ((333, 1000), false),
        ((501, 1000), false),
        ((-2, 5), false),
    ] {
        assert_eq!(third_to_half.contains(number(value)), inside, "{value:?}");
    }
    let exact = Enclosure::exact(number((1, 3)));
    assert!(exact.contains(number((1, 3))) && !exact.contains(number((1, 2))));
}

#[test]
fn enclosure_is_exact_if_its_bounds_meet() {
    assert!(between((2, 6), (1, 3)).is_exact() && !between((1, 3), (1, 2)).is_exact());
    assert_eq!(Enclosure::new(number((1, 2)), number((1, 3))), Err(ArithmeticError::CrossedBounds));
}

#[test]
fn enclosure_keeps_its_bounds_in_order_through_a_falling_map() {
    let falling = between((1, 3), (1, 2)).map(|value| Ok::<_, ArithmeticError>(-value)).unwrap();
    assert_eq!((falling.low(), falling.high()), (number((-1, 2)), number((-1, 3))));
    let rising = between((1, 3), (1, 2)).map(|value| value.checked_add(Exact::ONE)).unwrap();
    assert_eq!((rising.low(), rising.high()), (number((4, 3)), number((3, 2))));
}

#[test]
fn arithmetic_on_enclosures_takes_the_outermost_bounds() {
    let (a, b) = (between((-1, 2), (1, 3)), between((2, 1), (3, 1)));
    for (result, low, high) in [
        (a.checked_add(b), (3, 2), (10, 3)),
        (a.checked_sub(b), (-7, 2), (-5, 3)),
        (b.checked_sub(a), (5, 3), (7, 2)),
        (a.checked_mul(b), (-3, 2), (1, 1)),
        (a.checked_mul(a), (-1, 6), (1, 4)),
        (a.checked_div(b), (-1, 4), (1, 6)),
    ] {
        assert_eq!(result, Ok(between(low, high)));
    }
    assert_eq!(b.checked_div(a), Err(ArithmeticError::DivisionByZero));
    assert_eq!(b.checked_div(between((0, 1), (1, 1))), Err(ArithmeticError::DivisionByZero));
}

#[test]
fn width_is_a_power_of_ten_and_gets_finer_by_three_decimals() {
    assert_eq!(Width::decimals(0).unwrap().as_exact(), Exact::ONE);
    assert_eq!(Width::COARSE.as_exact(), number((1, 1_000_000)));
    assert_eq!(Width::FINEST.as_exact(), number((1, 1_000_000_000_000_000_000)));
    assert_eq!(Width::decimals(19), Err(ArithmeticError::WidthDecimals(19)));
    for (decimals, finer) in [(0, Some(3)), (14, Some(17)), (16, Some(18)), (17, Some(18)), (18, None)] {
        let width = Width::decimals(decimals).unwrap();
        assert_eq!(width.finer().map(Width::as_decimals), finer, "{decimals}");
        assert_eq!(width.as_decimals(), decimals);
    }
}
