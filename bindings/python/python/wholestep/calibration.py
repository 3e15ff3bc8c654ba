"""Is it true: an axis held against what a gauge read, worked out by the native half.

Figures are in the axis's unit. What is fitted is exact; an uncertainty is one standard uncertainty, and twice it
holds 95 times of a hundred.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from fractions import Fraction
from os import PathLike, fspath
from typing import Any, Literal

from ._native import Axis, hold_against

__all__ = ["Accuracy", "Calibration", "Edit", "Explanation", "Figure", "Next", "Outlier", "Scale"]


@dataclass(frozen=True, slots=True)
class Scale:
    """How far the axis goes for each unit that it is asked to: 1 if it is true.

    ``exact`` is what fits best. ``allowed`` are the lowest and the highest scale that the readings allow with the
    gauge's resolution, and ``None`` if they allow none.
    """

    value: float
    exact: Fraction
    uncertainty: float
    allowed: tuple[Fraction, Fraction] | None
    is_wrong: bool


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure with its standard uncertainty; wrong if it is further from 0 than twice that."""

    value: float
    uncertainty: float
    is_wrong: bool


@dataclass(frozen=True, slots=True)
class Explanation:
    """A figure of the axis file, and another that the machine may have instead."""

    key: str
    says: str
    fits: str


@dataclass(frozen=True, slots=True)
class Outlier:
    """A reading without which all others fit: its line in the file, what was read, and by how much that is off."""

    line: int
    read: float
    off: float


@dataclass(frozen=True, slots=True)
class Accuracy:
    """How well positions repeat, by the formulas of ISO 230-2, if each was read more than once from a way."""

    repeatability: float
    reversal: float | None
    repeatability_both: float | None
    accuracy: float
    positions: int


@dataclass(frozen=True, slots=True)
class Next:
    """A reading to take: where to send the axis, and from which way."""

    asked: str
    way: Literal["up", "down"]


@dataclass(frozen=True, slots=True)
class Edit:
    """A figure of the axis file, and what would take its place."""

    key: str
    old: str
    new: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Calibration:
    """What readings of a gauge tell of an axis.

    ``verdict`` says it in words. ``scale`` is how far the axis goes for each unit that it is asked to, ``zero`` what is
    read beyond that at 0, ``play`` what is read further where it came down, ``None`` if it was read from one way alone.
    ``explanations`` are the figures of the file that would explain the scale, ``outliers`` readings that stand out.
    ``over_the_travel`` is by how much a move over the whole travel may be off as calibrated; ``more_readings`` would
    bring that within what was asked for, ``next`` is a round of them. ``edits`` are what would be written in the file,
    ``advice`` what cannot be.

    >>> from pathlib import Path
    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder:
    ...     readings = Path(folder) / "readings.csv"
    ...     _ = readings.write_text("asked,read\\n50,50.05\\n100,100.10\\n200,200.20\\n")
    ...     lift = wholestep.Calibration.of("examples/axes/router_lift.toml", readings, resolution="0.01 mm")
    >>> lift.scale.exact, lift.zero.is_wrong
    (Fraction(1001, 1000), False)
    >>> lift.edits
    (Edit(key='mechanism.pitch', old='3 mm', new='3.003 mm'),)
    """

    axis: str
    unit: str
    readings: int
    verdict: str
    scale: Scale
    zero: Figure
    play: Figure | None
    reading_uncertainty: float
    explanations: tuple[Explanation, ...]
    outliers: tuple[Outlier, ...]
    accuracy: Accuracy | None
    over_the_travel: float
    more_readings: int
    next: tuple[Next, ...]
    edits: tuple[Edit, ...]
    advice: tuple[str, ...]

    @classmethod
    def of(
        cls,
        axis: Axis | str | PathLike[str],
        readings: str | PathLike[str],
        *,
        resolution: str,
        within: str | None = None,
        write: bool = False,
    ) -> Calibration:
        """Hold an axis that was loaded from a file, or the file at a path, against the readings in a CSV file.

        Its columns are ``asked``, ``read`` and ``way``, ``up`` or ``down``. ``resolution`` is the smallest difference
        that the gauge shows, such as ``"0.01 mm"``; ``within`` what a move over the whole travel may be off, and the
        resolution if left out. With ``write``, what was measured is written into the file at the path, its comments
        kept and the old figures noted. Raises a ``WholestepError`` for readings that tell nothing, with their line and
        column, and a ``TypeError`` to write without a path.
        """
        if isinstance(axis, Axis):
            if write:
                raise TypeError("give the path of the axis file to write into it")
            loaded, path = axis, None
        else:
            loaded, path = Axis.load(axis), fspath(axis) if write else None
        return _made(json.loads(hold_against(loaded, readings, resolution, within, path)))


def _made(told: dict[str, Any]) -> Calibration:
    scale = told["scale"]
    allowed = scale["allowed"] and tuple(map(Fraction, scale["allowed"]))
    parts = {
        "scale": Scale(**{**scale, "exact": Fraction(scale["exact"]), "allowed": allowed}),
        "zero": Figure(**told["zero"]),
        "play": told["play"] and Figure(**told["play"]),
        "explanations": tuple(Explanation(**one) for one in told["explanations"]),
        "outliers": tuple(Outlier(**one) for one in told["outliers"]),
        "accuracy": told["accuracy"] and Accuracy(**told["accuracy"]),
        "next": tuple(Next(**one) for one in told["next"]),
        "edits": tuple(Edit(**one) for one in told["edits"]),
        "advice": tuple(told["advice"]),
    }
    return Calibration(**{**told, **parts})
