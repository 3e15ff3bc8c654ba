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


# A saw: the blade's height by a screw or a worm, its tilt by a screw.
SAW_DRIVE = wholestep.DriveTrain("1.8 deg", "1/8")
ARM = {"arm": "150 mm", "pivot_depth": "135 mm", "blade_diameter": "250 mm"}


def by_screw(**changes: object) -> wholestep.SwingArm:
    dimensions: dict[str, object] = {
        **ARM,
        "nut_along": "90 mm",
        "nut_across": "12.5 mm",
        "anchor_ahead": "120 mm",
        "anchor_above": "-160 mm",
        "screw_length": "150 mm",
        "lead": "4 mm",
        "raised_by": "lengthening",
        **changes,
    }
    return wholestep.SwingArm.by_screw(SAW_DRIVE, **dimensions)  # type: ignore[arg-type]


def by_sector(**changes: object) -> wholestep.SwingArm:
    dimensions: dict[str, object] = {**ARM, "worm_starts": 1, "sector_teeth": 120, "arm_angle": "0 deg", **changes}
    return wholestep.SwingArm.by_sector(SAW_DRIVE, **dimensions)  # type: ignore[arg-type]


def tilt(**changes: object) -> wholestep.ScrewTilt:
    dimensions: dict[str, object] = {
        "nut_distance": "180 mm",
        "anchor_distance": "240 mm",
        "screw_length": "200 mm",
        "lead": "4 mm",
        "tilted_by": "lengthening",
        "low_stop": "-1 deg",
        "high_stop": "46 deg",
        **changes,
    }
    return wholestep.ScrewTilt(SAW_DRIVE, **dimensions)  # type: ignore[arg-type]


BLADE = wholestep.TiltedBlade("250 mm", "248 mm", "2.8 mm", "20 mm", "1.4 mm")
