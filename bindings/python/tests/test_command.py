"""The wheel carries the same command as the Rust workspace."""

import os
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


def test_commissioning_is_asked_for_at_a_terminal() -> None:
    """The whole first power-up, by a person who presses Enter and measures half of what the file says."""
    pty = pytest.importorskip("pty")
    lift = Path(__file__).parents[3] / "examples" / "axes" / "router_lift.toml"
    person, terminal = pty.openpty()
    with subprocess.Popen(
        [str(SCRIPT), "commission", str(lift)],
        stdin=terminal,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    ) as started:
        os.close(terminal)
        # Six inputs, the leads parked, the nudge and its way, the travel; measured wrongly, and then as it is.
        os.write(person, b"\n" * 6 + b"\n\n" + b"sideways\nhigh\n" + b"\n5 mm\n" + b"yes\n\n\n" + b"\n")
        told, asked = started.communicate(timeout=60)
        os.close(person)
    assert started.returncode == 0, asked
    assert "emergency stop" in asked and "The simulated machine shows 10 mm." in asked
    assert "write it like high, low or none" in asked
    assert "step_mode" in asked and "1/16 fits" in asked
    assert "WRONG: 10 mm by the file, 5 mm measured" in told
    assert "Commissioned, and the datum is found." in told.splitlines()
