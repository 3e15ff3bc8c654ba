"""What typed code is told at run time: the measure that was asked for, and subscripts for annotations."""

from pathlib import Path

import pytest
from machine import AXES

import typed
from wholestep import Angle, Axis, Enclosure, GridFit, Length, Placement, Plan, Speed, errors


def test_the_typed_script_runs(capsys: pytest.CaptureFixture[str]) -> None:
    typed.arithmetic()
    assert capsys.readouterr().out == "1.25 in\n0 in\n"


@pytest.mark.parametrize("load", [
    Axis.load,
    lambda file, *measure: Axis.from_toml(file.read_text(encoding="utf-8"), *measure),
])
@pytest.mark.parametrize(("file", "measure", "other"), [
    ("stop_block.toml", Length, Angle), ("tilting_table.toml", Angle, Length),
])
def test_an_axis_of_the_other_measure_is_refused(load, file: str, measure: type, other: type) -> None:  # type: ignore[no-untyped-def]
    path = AXES / file
    assert load(path, measure) == load(path) == Axis.load(path)
    with pytest.raises(errors.UnitError, match=f"axis of the other measure .*; ask for {measure.__name__}"):
        load(path, other)
    with pytest.raises(TypeError, match="give Length or Angle"):
        load(path, Speed)
    with pytest.raises(TypeError, match="give Length or Angle"):
        load(path, "Length")


@pytest.mark.parametrize("generic", [Axis, Enclosure, GridFit, Placement, Plan])
def test_a_class_takes_its_measure_in_brackets(generic: type) -> None:
    assert repr(generic[Length]) == f"wholestep.{generic.__name__}[wholestep.Length]"  # type: ignore[index]
