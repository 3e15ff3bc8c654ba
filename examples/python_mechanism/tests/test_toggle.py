"""The toggle against triangles of whole sides and against every step of its span."""

import random
import subprocess
import sys
from fractions import Fraction
from math import sqrt
from pathlib import Path

import pytest

from wholestep import Axis, Length, errors

FILE = Path(__file__).parents[1] / "press_table.toml"
TABLE = Axis.load(FILE)


@pytest.mark.parametrize(("half", "height"), [(60, 80), (28, 96), (80, 60), (96, 28)])
def test_pythagorean_triples(half: int, height: int) -> None:
    # 4 mm a turn of 1,600 steps: 400 steps a millimetre, from feet 40 mm apart.
    step = (2 * half - 40) * 400
    assert Length(height, "mm") in TABLE.at_step(step).position
    if 30 <= height:
        placed = TABLE.place(f"{height} mm")
        assert placed.step == step


def test_every_rule_agrees_with_a_look_at_every_step() -> None:
    heights = [sqrt(100**2 - (20 + step / 800) ** 2) for step in range(64_001)]
    for target in range(31, 97, 3):
        near = min(range(64_001), key=lambda step: abs(heights[step] - target))
        placed = [TABLE.place(f"{target} mm", rule) for rule in ("below", "nearest", "above")]
        assert placed[1].step == near and placed[1].is_decided
        # It falls: the step below by measure is the later one.
        assert placed[2].step <= near <= placed[0].step <= placed[2].step + 1


def test_bounds_hold_a_finer_look() -> None:
    toggle = TABLE.at_step(12_345).position
    assert toggle.high.value_in("mm") - toggle.low.value_in("mm") <= Fraction(1, 10**18)


def test_a_move_is_planned() -> None:
    plan = TABLE.plan("50 mm", "40 mm")
    assert plan.steps == TABLE.place("40 mm").step - TABLE.place("50 mm").step
    assert len(plan.legs) == 2, "down past the target, and up to it"


def test_a_wrong_key_is_refused_with_its_line() -> None:
    text = FILE.read_text(encoding="utf-8").replace("arm = ", "arms = ")
    with pytest.raises(errors.FileKeyError, match="write `arm`") as caught:
        Axis.from_toml(text)
    assert caught.value.line == 17


def test_the_walkthrough_for_developers_is_this_package() -> None:
    package = Path(__file__).parents[1]
    page = package.joinpath("../../DEVELOPERS.md").read_text(encoding="utf-8")
    for name, language in [
        ("pyproject.toml", "toml"), ("wholestep_toggle.py", "python"), ("tests/test_promises.py", "python"),
    ]:
        text = package.joinpath(name).read_text(encoding="utf-8")
        assert f"`toggle/{name}`:\n\n```{language}\n{text}```" in page, name


def test_the_command_of_the_python_package_knows_the_kind() -> None:
    command = [sys.executable, "-m", "wholestep", "place", str(FILE), "80 mm"]
    told = subprocess.run(command, capture_output=True, text=True, check=True)
    assert "32000" in told.stdout


def test_no_move_within_the_limits_is_refused() -> None:
    dice = random.Random(7)
    third, gauge = "1/3 in", "23/64 in"
    contact = TABLE.place("60 mm").step
    for axis in (TABLE, TABLE.with_zero(third), TABLE.with_step_at(contact, gauge)):
        zero = axis.zero.value_in("mm")
        for _ in range(100):
            # Between 31 and 96 mm: the backlash fits beyond either.
            start, to = (
                Length(31 + Fraction(dice.randrange(65 * 64), 64) - zero, "mm") for _ in range(2)
            )
            arrived = dice.choice(["either", "from_below", "from_above"])
            plan = axis.plan(start, to, arrived=arrived)  # type: ignore[arg-type]
            there = axis.at_step(plan.start.step)
            assert axis.place_by(there, "0 mm").step == there.step
