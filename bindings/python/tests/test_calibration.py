"""Calibrations from Python, the same as the command's, and what they refuse."""

import json
import shutil
import subprocess
import sys
import tomllib
from dataclasses import fields, is_dataclass
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from machine import AXES, DRIVE, VECTORS

from wholestep import Axis, Calibration, Length, Linear, WholestepError, calibration, errors

LIFT = AXES / "router_lift.toml"
REFUSED = tomllib.loads((VECTORS / "readings_errors.toml").read_text(encoding="utf-8"))
EIGHTH = (
    "asked,read,way\n12,12.70,up\n24,25.40,up\n36,38.10,up\n48,50.80,up\n36,38.22,down\n24,25.52,down\n12,12.82,down\n"
)


def readings(folder: Path, text: str) -> Path:
    file = folder / "readings.csv"
    file.write_text(text, encoding="utf-8")
    return file


def plain(value: Any) -> Any:
    """The value as JSON has it."""
    if is_dataclass(value):
        return {field.name: plain(getattr(value, field.name)) for field in fields(value)}
    if isinstance(value, Fraction):
        return str(value)
    return [plain(entry) for entry in value] if isinstance(value, tuple) else value


@pytest.mark.parametrize(
    "text",
    [EIGHTH, "asked,read\n50,50.15\n100,100.15\n200,200.15\n", "asked,read\n0,0\n10,10\n20,20.5\n30,30\n40,40\n"],
)
def test_the_command_gives_the_same_numbers(text: str, tmp_path: Path) -> None:
    file = readings(tmp_path, text)
    line = [sys.executable, "-m", "wholestep", "--json", "calibrate", str(LIFT), str(file), "--resolution", "0.01mm"]
    done = subprocess.run([*line, "--within", "0.05mm"], capture_output=True, text=True, check=False)
    found = Calibration.of(LIFT, file, resolution="0.01 mm", within="0.05 mm")
    assert plain(found) == json.loads(done.stdout), done.stderr
    assert done.returncode == 1
    assert Calibration.of(Axis.load(LIFT), file, resolution="0.01 mm", within="0.05 mm") == found


def test_every_part_is_of_its_class(tmp_path: Path) -> None:
    found = Calibration.of(LIFT, readings(tmp_path, EIGHTH), resolution="0.01 mm")
    assert found.scale.exact == Fraction(127, 120) and found.scale.allowed == (Fraction(3809, 3600), Fraction(3811, 3600))
    assert found.play is not None and isinstance(found.play, calibration.Figure) and isinstance(found.zero, calibration.Figure)
    assert found.explanations == (calibration.Explanation("pitch", "3 mm", "3.175 mm"),)
    assert found.next[0] == calibration.Next("-35 mm", "up") and found.accuracy is None and found.outliers == ()
    stands_out = "asked,read\n0,0\n10,10\n20,20.5\n30,30\n40,40\n"
    [outlier] = Calibration.of(LIFT, readings(tmp_path, stands_out), resolution="0.01 mm").outliers
    assert isinstance(outlier, calibration.Outlier) and (outlier.line, outlier.read) == (4, 20.5)
    twice = "asked,read\n0,0\n0,0.01\n10,10\n10,10.02\n"
    repeated = Calibration.of(LIFT, readings(tmp_path, twice), resolution="0.01 mm").accuracy
    assert isinstance(repeated, calibration.Accuracy) and repeated.positions == 2 and repeated.reversal is None


def test_what_was_measured_is_written_and_the_old_noted(tmp_path: Path) -> None:
    file = tmp_path / "lift.toml"
    shutil.copy(LIFT, file)
    before = file.read_text(encoding="utf-8")
    found = Calibration.of(file, readings(tmp_path, EIGHTH), resolution="0.01 mm", write=True)
    after = file.read_text(encoding="utf-8")
    assert [(edit.key, edit.new) for edit in found.edits] == [("mechanism.pitch", "3.175 mm"), ("motion.backlash", "0.27 mm")]
    assert len(after.splitlines()) == len(before.splitlines()) and 'pitch = "3.175 mm"' in after and '; was "3"' in after
    assert Axis.load(file, Length).backlash == Length("0.27 mm")
    with pytest.raises(TypeError, match="give the path of the axis file"):
        Calibration.of(Axis.load(file), readings(tmp_path, EIGHTH), resolution="0.01 mm", write=True)
    # Nothing is written where nothing is wrong.
    true = readings(tmp_path, "asked,read,way\n0,0,up\n50,50,up\n50,50,down\n0,0,down\n")
    assert Calibration.of(file, true, resolution="0.01 mm", write=True).edits == ()
    assert file.read_text(encoding="utf-8") == after


@pytest.mark.parametrize("case", REFUSED["case"], ids=lambda case: case["begins"])
def test_shared_vectors_of_refused_readings(case: dict[str, str], tmp_path: Path) -> None:
    with pytest.raises(WholestepError) as caught:
        file = readings(tmp_path, case["csv"])
        Calibration.of(LIFT, file, resolution=case["resolution"], within=case.get("within"))
    assert caught.value.kind == case["kind"]
    assert str(caught.value).split("readings.csv: ")[-1].startswith(case["begins"])


def test_an_axis_without_a_file_and_a_missing_file_are_refused(tmp_path: Path) -> None:
    bare = Axis(Linear.lead_screw_by_pitch(DRIVE, "3 mm", 1), low="0 mm", high="50 mm", speed="5 mm/s", acceleration="20 mm/s²")
    with pytest.raises(errors.RefusedError, match="calibration of an axis without a file"):
        Calibration.of(bare, readings(tmp_path, EIGHTH), resolution="0.01 mm")
    with pytest.raises(errors.FileError):
        Calibration.of(LIFT, tmp_path / "nowhere.csv", resolution="0.01 mm")
