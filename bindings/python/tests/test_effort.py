"""Efforts from Python, the same as the command's, and what they refuse."""

import json
import subprocess
import sys
import tomllib
from dataclasses import fields, is_dataclass
from typing import Any

import pytest
from machine import AXES, DRIVE, VECTORS

from wholestep import Axis, Effort, Linear, WholestepError, effort, errors

LIFT = AXES / "plunge_lift.toml"
REFUSED = tomllib.loads((VECTORS / "effort_errors.toml").read_text(encoding="utf-8"))


def plain(value: Any) -> Any:
    """The value as JSON has it."""
    if is_dataclass(value):
        return {field.name: plain(getattr(value, field.name)) for field in fields(value)}
    return [plain(entry) for entry in value] if isinstance(value, tuple) else value


@pytest.mark.parametrize("margin", ["50%", "1/4", "0"])
@pytest.mark.parametrize("name", ["plunge_lift", "router_lift", "stop_block", "belt_stop", "saw_fence"])
def test_the_command_gives_the_same_numbers(name: str, margin: str) -> None:
    path = AXES / f"{name}.toml"
    command = [sys.executable, "-m", "wholestep", "--json", "effort", str(path), "--margin", margin]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    worked_out = Effort.of(path, margin=margin)
    assert plain(worked_out) == json.loads(done.stdout), done.stderr
    assert done.returncode == (0 if worked_out.lifts == "with_margin" else 1)
    assert Effort.of(Axis.load(path), margin=margin) == worked_out


def test_every_part_is_of_its_class() -> None:
    lift = Effort.of(LIFT)
    assert isinstance(lift.raising, effort.Spot) and isinstance(lift.raising.force, effort.Span)
    assert lift.motor is not None and isinstance(lift.motor.lag, effort.Lag)
    assert isinstance(lift.motor.times, effort.Span) and isinstance(lift.must_have, effort.MustHave)
    assert lift.load is not None and [type(spot) for spot in lift.load] == [effort.Spot, effort.Spot]
    assert all(isinstance(change, effort.Change) for change in lift.changes)
    assert all(isinstance(share, effort.Share) for share in lift.shares)
    assert all(isinstance(point, effort.SpeedPoint) for point in lift.curve)
    assert isinstance(lift.offered, effort.Offered) and isinstance(lift.unpowered, effort.Unpowered)


@pytest.mark.parametrize("case", REFUSED["case"], ids=lambda case: case["name"])
def test_every_fault_is_refused_with_its_line_its_key_and_its_words(case: dict[str, Any]) -> None:
    text = REFUSED["good"].replace(case["old"], case["new"], 1)
    if "and_old" in case:
        text = text.replace(case["and_old"], case["and_new"], 1)
    with pytest.raises(WholestepError) as caught:
        Effort.of(Axis.from_toml(text))
    error = caught.value
    assert str(error) == case["message"]
    assert (error.kind, error.line, error.key) == (case["kind"], case["line"], case["key"])


def test_an_axis_without_a_file_and_a_margin_that_is_none_are_refused() -> None:
    axis = Axis(Linear.lead_screw_by_lead(DRIVE, "8 mm"), low="0 mm", high="1 m", speed="9 mm/s", acceleration="9 mm/s²")
    with pytest.raises(errors.RefusedError, match="effort of an axis without a file: load it from an axis file"):
        Effort.of(axis)
    with pytest.raises(WholestepError, match="margin of torque “half”: write it like 50% or 1/2"):
        Effort.of(LIFT, margin="half")
