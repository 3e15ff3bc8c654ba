"""Lengths and angles: the shared vectors, and what Python adds to them."""

import copy
import pickle
import tomllib
from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given, strategies
from machine import VECTORS, lift

import wholestep
from wholestep import Angle, Length, errors

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
