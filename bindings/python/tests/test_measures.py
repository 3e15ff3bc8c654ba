"""Lengths and angles: the shared vectors, and what Python adds to them."""

import copy
import pickle
import tomllib
from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction
from types import SimpleNamespace
from typing import Literal

import pytest
from hypothesis import given, strategies
from machine import VECTORS, lift

import wholestep
from wholestep import Angle, Enclosure, Length, errors

CASES = tomllib.loads((VECTORS / "measures.toml").read_text(encoding="utf-8"))["case"]
MEASURES: dict[str, tuple[type[Length] | type[Angle], str]] = {"length": (Length, "mm"), "angle": (Angle, "deg")}
MEASURE_CASES = [case for case in CASES if case["measure"] in MEASURES]


@pytest.mark.parametrize("case", MEASURE_CASES, ids=lambda case: repr(case["text"]))
def test_shared_vectors(case: dict[str, str]) -> None:
    measure, base = MEASURES[case["measure"]]
    if "error" not in case:
        numerator, denominator = map(int, case["value"])
        assert measure(case["text"], case.get("unit")).value_in(base) == Fraction(numerator, denominator)
        return
    with pytest.raises(wholestep.WholestepError) as caught:
        measure(case["text"], case.get("unit"))
    assert caught.value.kind == case["error"]
    assert type(caught.value) is errors.BY_KIND[case["error"]]
    if "message" in case:
        assert str(caught.value) == case["message"]
    if "offset" in case:
        assert caught.value.offset == int(case["offset"])


def test_the_vectors_are_all_there() -> None:
    assert len(MEASURE_CASES) > 200


rationals = strategies.fractions(min_value=-9_000_000, max_value=9_000_000, max_denominator=2**50)


@given(rationals, strategies.sampled_from([(Length, "mm"), (Angle, "deg")]))
def test_repr_pickle_and_copy_give_the_same_value_again(
    value: Fraction, kind: tuple[type[Length] | type[Angle], str]
) -> None:
    measure, unit = kind
    made = measure(value / 10, unit)
    again = [
        eval(repr(made), {"Length": Length, "Angle": Angle}),
        pickle.loads(pickle.dumps(made)),
        copy.deepcopy(made),
        measure(made.to_text(unit)),
    ]
    assert all(other == made and hash(other) == hash(made) for other in again)
    assert made.value_in(unit) == value / 10


@given(rationals)
def test_equal_lengths_hash_alike_whatever_their_unit(value: Fraction) -> None:
    inches = value / 300
    length = Length(inches, "in")
    assert length == Length(inches * Fraction(127, 5), "mm")
    assert hash(length) == hash(Length(inches / 12, "ft"))


@given(rationals, rationals)
def test_arithmetic_is_that_of_fractions(a: Fraction, b: Fraction) -> None:
    a, b = a.limit_denominator(10**6) / 2, b.limit_denominator(10**6) / 2
    one, other = Length(a, "mm"), Length(b, "mm")
    assert (one + other).value_in("mm") == a + b
    assert (one - other).value_in("mm") == a - b
    assert (one < other, one == other, one >= other) == (a < b, a == b, a >= b)
    if b:
        assert one / other == a / b


def test_numbers_that_are_exact_are_taken() -> None:
    eighth = Length("1/8 in")
    assert eighth == Length(Fraction(1, 8), "in") == Length(Decimal("0.125"), "in") == 1 * Length("1/8", "in")
    assert eighth * 8 == 8 * eighth == Length(1, "in")
    assert eighth / Fraction(1, 2) == eighth * Decimal(2)


def test_a_float_is_refused_with_the_exact_spelling() -> None:
    cases: list[tuple[Callable[[], object], str]] = [
        (lambda: Length(0.125, "in"), 'write it exactly: "0.125 in"'),  # type: ignore[arg-type]
        (lambda: Length("1 in") * 0.5, 'write it exactly: Fraction("0.5")'),  # type: ignore[operator]
        (lambda: lift(unit="mm").place(12.5), 'write it exactly: "12.5 mm"'),  # type: ignore[arg-type]
        (lambda: Length(float("nan"), "mm"), "give a finite number, exactly"),  # type: ignore[arg-type]
    ]
    for refused, spelling in cases:
        with pytest.raises(errors.InexactNumberError, match="binary float") as caught:
            refused()
        assert str(caught.value).endswith(spelling)
        assert isinstance(caught.value, ValueError) and isinstance(caught.value, TypeError)


def test_what_does_not_belong_together_is_refused() -> None:
    with pytest.raises(TypeError):
        Length("1 in") + Angle("1 deg")  # type: ignore[operator]
    with pytest.raises(TypeError):
        Length("1 in") + 1  # type: ignore[operator]
    with pytest.raises(TypeError):
        assert Length("1 in") < Angle("1 deg")  # type: ignore[operator]
    with pytest.raises(TypeError):
        Length(True, "mm")
    with pytest.raises(errors.MissingUnitError):
        Length(5)
    with pytest.raises(errors.UnitError):
        lift().place(Angle("1 deg"))
    assert Length("0 mm") != Angle("0 deg")
    assert hash(Length("0 mm")) != hash(Angle("0 deg"))


def test_what_does_not_fit_raises() -> None:
    with pytest.raises(OverflowError):
        Length("1 mm") * 10**40
    with pytest.raises(errors.OutOfRangeError):
        Length.MAX + Length("1 mm")
    with pytest.raises(errors.ExactOverflowError):
        Length("1 mm") * Fraction(1, 2**127)
    with pytest.raises(ZeroDivisionError):
        Length("1 mm") / 0
    with pytest.raises(ZeroDivisionError):
        Length("1 mm") / Length.ZERO


def test_a_measure_is_frozen() -> None:
    length = Length("1 mm")
    with pytest.raises(AttributeError):
        length.other = 1  # type: ignore[attr-defined]


def test_measures_are_counted_divided_and_summed() -> None:
    board, part = Length("96 in"), Length("12-1/8 in")
    assert board // part == 7 and board % part == Length("11-1/8 in")
    assert divmod(-board, part) == (-8, Length("1 in"))
    assert sum([part, part]) == sum([part], Length("12-1/8 in")) == 2 * part
    assert sum([Angle("30 deg")] * 3) == Angle("1/4 turn")
    for wrong in (1, 0.0, "0", None):
        with pytest.raises(TypeError):
            wrong + part  # type: ignore[operator]
    with pytest.raises(ZeroDivisionError):
        board // Length.ZERO
    with pytest.raises(TypeError):
        board // Angle("1 deg")  # type: ignore[operator]


@pytest.mark.parametrize(
    ("value", "step", "rounding", "rounded"),
    [
        ("18.25 mm", "1/64 in", "nearest", "23/32 in"),
        ("18.25 mm", "1 mm", "below", "18 mm"),
        ("18.25 mm", "1 mm", "above", "19 mm"),
        ("2.5 mm", "1 mm", "nearest", "2 mm"),
        ("-2.5 mm", "1 mm", "below", "-3 mm"),
        ("2.5 mm", "-1 mm", "nearest", "2 mm"),
    ],
)
def test_a_length_is_rounded_to_a_step(
    value: str, step: str, rounding: Literal["nearest", "below", "above"], rounded: str
) -> None:
    assert Length(value).rounded_to(step, rounding) == Length(rounded)


def test_rounding_refuses_what_is_no_step() -> None:
    for wrong, error in [("0 mm", ZeroDivisionError), ("1 deg", ValueError), (0.5, TypeError), ("", ValueError)]:
        with pytest.raises(error):
            Length("1 mm").rounded_to(wrong)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("specification", "text"),
    [
        ("", "18.25 mm"),
        ("in", "365/508 in"),
        (" cm ", "1.825 cm"),
        (".3 in", "≈ 0.719 in"),
        (".3in", "≈ 0.719 in"),
        (".2", "18.25 mm"),
        ("1/64 in", "≈ 23/32 in - 0.000246 in"),
        ("1/4", "18-1/4 mm"),
    ],
)
def test_a_length_is_formatted(specification: str, text: str) -> None:
    assert format(Length("18.25 mm"), specification) == text


def test_a_format_that_nobody_knows_is_refused() -> None:
    for wrong in (".in", "1/ in", "1/0 in", "8.3f", ">10", "deg", ".99 in", "1/99999999999 in"):
        with pytest.raises(ValueError, match="format|unit|denominator|decimals|places"):
            format(Length("1 mm"), wrong)


def test_a_length_becomes_a_quantity_of_a_registry_and_comes_back() -> None:
    class Registry:
        """As much of a unit registry as is asked for."""

        def Quantity(self, magnitude: Fraction, units: str) -> SimpleNamespace:
            return SimpleNamespace(magnitude=magnitude, units=units)

    quantity = Length("1 in").to_pint(Registry(), "in")
    assert (quantity.magnitude, quantity.units) == (1, "in")
    assert Length("1 in").to_pint(Registry()).magnitude == Fraction(254, 10)


def test_enclosures_calculate() -> None:
    bounds = Enclosure("1 mm", "1.5 mm")
    assert (bounds.middle, bounds.width) == (Length("1.25 mm"), Length("0.5 mm"))
    assert bounds + bounds == Enclosure("2 mm", "3 mm") == "1 mm" + bounds + Length("0 mm") + bounds - "1 mm"
    assert Length("2 mm") - bounds == Enclosure("0.5 mm", "1 mm")
    assert -2 * bounds == bounds * -2 == Enclosure("-3 mm", "-2 mm")
    for wrong in (1, 0.5, "1 deg", Enclosure("1 deg", "2 deg"), None):
        with pytest.raises((TypeError, ValueError)):
            bounds + wrong  # type: ignore[operator]
    for wrong in (0.5, "2", bounds, None):
        with pytest.raises((TypeError, ValueError)):
            bounds * wrong  # type: ignore[operator]
