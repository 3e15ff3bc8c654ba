"""Arithmetic as typed code writes it: mypy and pyright know what each line gives, and refuse what must not pass.

``cargo xtask test stubs`` runs both over it; an ignored line that is no error is one.
"""

from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, assert_type

from wholestep import Angle, Axis, Enclosure, Length, Placement, Plan, Speed

AXES = Path(__file__).parents[3] / "examples" / "axes"


def arithmetic() -> None:
    stop = Axis.load(AXES / "stop_block.toml", Length)
    table = Axis.load(AXES / "tilting_table.toml", Angle)
    panel = Length("23/32 in")
    assert_type(3 * panel + Length(Fraction(1, 8), "in"), Length)
    assert_type(panel / Length("1/8 in"), Fraction)
    assert_type(panel // Length("1/8 in"), int)
    assert_type(divmod(panel, Length("1/8 in")), tuple[int, Length])
    assert_type(sum([panel, panel], Length.ZERO), Length)
    assert_type(stop.place("12 in"), Placement[Length])
    assert_type(stop.place(panel + stop.low).position.low, Length)
    assert_type(stop.place("12 in").remainder + panel, Enclosure[Length])
    assert_type(stop.plan("2 in", "12 in"), Plan[Length])
    assert_type([placed.target for placed in stop.place_many(["2 in", panel * 8])], list[Length])
    assert_type(table.place("22.5 deg").target, Angle)
    assert_type(table.with_zero("1 deg").high - Angle("1 deg"), Angle)
    assert_type(stop.speed / 2, Speed)
    assert_type(Axis.load(AXES / "stop_block.toml").low, Length | Angle)
    for placed in (stop.place("2 in"), stop.at_step(stop.lowest_step)):
        print((placed.position.middle - stop.low).to_text("in"))


def generic(axis: Axis, widest: Axis[Length]) -> Length | Angle:
    return axis.low if axis.is_rising else widest.high


if TYPE_CHECKING:
    Length("1 in") + Angle("1 deg")  # type: ignore[operator]
    Length("1 in") * Length("1 in")  # type: ignore[operator]
    Length(0.125, "in")  # type: ignore[arg-type]
    Speed("1 in/s") < Length("1 in")  # type: ignore[operator]
    length: Length = Axis.load("tilt.toml", Angle).low  # type: ignore[assignment]
    measure = Axis.load("stop.toml", Speed)  # type: ignore[type-var]

if __name__ == "__main__":
    arithmetic()
