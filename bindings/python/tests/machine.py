"""A machine of our own that the tests work on."""

from pathlib import Path

import wholestep

REPOSITORY = Path(__file__).resolve().parents[3]
AXES = REPOSITORY / "examples" / "axes"
VECTORS = REPOSITORY / "tests" / "vectors"

DRIVE = wholestep.DriveTrain("1.8 deg", "1/16")


def lift(**changes: str) -> wholestep.Axis:
    """A router lift on a screw of 1/400 mm a step."""
    screw = wholestep.Linear.lead_screw_by_pitch(DRIVE, "2 mm", 4)
    words = {"low": "0 mm", "high": "600 mm", "speed": "40 mm/s", "acceleration": "200 mm/s²", **changes}
    return wholestep.Axis(screw, **words)  # type: ignore[arg-type]
