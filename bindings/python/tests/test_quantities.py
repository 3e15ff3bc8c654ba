"""Units are neither lost nor invented: quantities of pint, and the advice for a bare float."""

import subprocess
import sys
from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pint
import pytest
from machine import AXES, lift

from wholestep import Angle, Axis, CutList, Detent, Length, WholestepError, errors

UNITS: Any = pint.UnitRegistry()


def quantity(number: object, unit: str) -> Any:
    return UNITS.Quantity(number, unit)


@pytest.mark.parametrize(("number", "unit", "text"), [
    (18, "inch", "18 in"),
    (Fraction(1, 3), "inch", "1/3 in"),
    (Decimal("0.1"), "millimeter", "0.1 mm"),
    (Fraction(2**53 + 1, 2**30), "micrometer", f"{2**53 + 1}/{2**30} µm"),
    (7, "foot", "7 ft"),
    (250, "thou", "250 thou"),
])
def test_a_quantity_is_read_exactly_with_its_unit(number: Any, unit: str, text: str) -> None:
    given = quantity(number, unit)
    assert Length(given) == Length(text)
    # A unit beside it is for numbers without one, as for texts.
    assert Length(given, "mm") == Length(text, "mm") == Length(text)
    if Length(text) < Length("600 mm"):
        assert lift().place(given) == lift().place(text) == lift().place_many([given])[0]


def test_a_quantity_is_an_angle_too() -> None:
    assert Angle(quantity(45, "degree")) == Angle("45 deg")
    assert Angle(quantity(Fraction(1, 8), "turn")) == Angle("45 deg")


@pytest.mark.parametrize(("refused", "words"), [
    (lambda: Length(quantity(3, "second")), "second"),
    (lambda: Length(quantity(3, "inch / second")), "inch / second"),
    (lambda: Length(quantity(3, "degree")), "degree"),
    (lambda: Length(quantity(3, "")), "dimensionless"),
    (lambda: Length(quantity(0.5, "inch")), 'write it exactly: "0.5 in"'),
    (lambda: Length(quantity([1, 2], "inch")), "1"),
    (lambda: Length("1 mm") * quantity(2, "inch"), "give a number without a unit"),
    (lambda: Length("1 mm") / quantity(2, "inch"), "give a number without a unit"),
    (lambda: Axis.load(AXES / "stop_block.toml").check_travel(quantity(2, "inch"), 2), "without a unit"),
    (lambda: Detent(quantity(2, "inch")), "without a unit"),
])
def test_a_quantity_that_is_none_of_ours_is_refused(refused: Callable[[], object], words: str) -> None:
    with pytest.raises(WholestepError) as caught:
        refused()
    assert words in str(caught.value)


def test_pint_is_never_imported() -> None:
    script = "import sys, wholestep; wholestep.Length(3, 'in'); sys.exit('pint' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", script], check=False).returncode == 0


STOP = Axis.load(AXES / "stop_block.toml")
FLOAT: Any = 1.5
UNDECLARED = "write it exactly: as text with its unit"


@pytest.mark.parametrize(("refused", "advice"), [
    (lambda: STOP.place(FLOAT), 'write it exactly: "1.5 in"'),
    (lambda: STOP.place_many([FLOAT]), 'write it exactly: "1.5 in"'),
    (lambda: STOP.plan(FLOAT, "2 in"), 'write it exactly: "1.5 in"'),
    (lambda: STOP.place_by(STOP.place("1 in"), FLOAT), 'write it exactly: "1.5 in"'),
    (lambda: STOP.with_zero(FLOAT), 'write it exactly: "1.5 in"'),
    (lambda: STOP.grid_fit(FLOAT), 'write it exactly: "1.5 in"'),
    (lambda: Detent.of(STOP, FLOAT), 'write it exactly: "1.5 in"'),
    (lambda: lift(unit="in").place(FLOAT), 'write it exactly: "1.5 in"'),
    # Nobody declared a unit here.
    (lambda: lift().place(FLOAT), UNDECLARED),
    (lambda: Length(FLOAT), UNDECLARED),
    (lambda: Length(FLOAT, "ft"), 'write it exactly: "1.5 ft"'),
    (lambda: Angle(FLOAT), UNDECLARED),
    (lambda: lift(low=FLOAT), UNDECLARED),
    (lambda: Length("1 in") * FLOAT, 'write it exactly: Fraction("1.5")'),
])
def test_the_advice_for_a_float_names_only_a_declared_unit(refused: Callable[[], object], advice: str) -> None:
    with pytest.raises(errors.InexactNumberError) as caught:
        refused()
    assert str(caught.value).endswith(advice)


@pytest.mark.parametrize("given", [None, True, b"1 in", ["1 in"], object(), 3j])
def test_what_is_no_measure_is_quoted(given: Any) -> None:
    for refused in (lambda: Length(given), lambda: Length(given, "in"), lambda: STOP.place(given)):
        with pytest.raises(errors.ArgumentTypeError) as caught:
            refused()
        assert repr(given)[:20] in str(caught.value) and "give text with its unit" in str(caught.value)
        assert isinstance(caught.value, TypeError)
    assert CutList(unit="in", kerf="1/8 in").kerf == "1/8 in"
