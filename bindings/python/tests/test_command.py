"""The wheel carries the same command as the Rust workspace."""

import subprocess
import sys
from importlib.metadata import version
from pathlib import Path

import pytest

import wholestep

SCRIPT = Path(sys.executable).with_name("wholestep")


@pytest.mark.parametrize(
    "command", [[str(SCRIPT)], [sys.executable, "-m", "wholestep"]], ids=["script", "module"]
)
def test_version_is_printed(command: list[str]) -> None:
    done = subprocess.run([*command, "--version"], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stdout, done.stderr) == (0, f"wholestep {wholestep.__version__}\n", "")


def test_what_is_not_understood_is_refused_with_status_2() -> None:
    done = subprocess.run([SCRIPT, "no-such-thing"], capture_output=True, text=True, check=False)
    assert done.returncode == 2
    assert done.stdout == ""
    assert done.stderr != ""


def test_one_version_everywhere() -> None:
    assert wholestep.__version__ == version("wholestep")
