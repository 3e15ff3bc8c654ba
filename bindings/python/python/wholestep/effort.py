"""Will it lift, will it stay, and how fast: the effort of an axis, worked out by the native half.

Efforts are estimates of physics: the figures of the axis file go in as ranges and come out as ranges, in
floating point. Torques are at the motor, in N·m; forces in N; inertia in kg·m²; positions, speeds and
accelerations in the axis's unit.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from math import inf
from os import PathLike
from typing import Any, Literal

from ._native import Axis, work_out_effort

__all__ = [
    "Change",
    "Comparison",
    "Effort",
    "Lag",
    "MotorEffort",
    "MustHave",
    "Offered",
    "Share",
    "Span",
    "SpeedPoint",
    "Spot",
    "Unpowered",
]


@dataclass(frozen=True, slots=True)
class Span:
    """A figure between two bounds."""

    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Spot:
    """What a place along the travel asks for.

    ``position`` is ``None`` if it is so all along. ``force`` is what the nut or belt pushes with; of a load, what
    weight and springs press toward the low end. ``torque`` is without acceleration, negative if the load turns
    the motor.
    """

    position: float | None
    force: Span | None
    torque: Span


@dataclass(frozen=True, slots=True)
class Share:
    """What asks for torque at the hardest place, and for how much; negative if it helps."""

    of: str
    torque: float


@dataclass(frozen=True, slots=True)
class Unpowered:
    """What the carriage does without power.

    ``holding`` is ``"stays"`` only if it would stay with half of the least friction: near the threshold nothing is
    promised. ``toward`` is the end to which it would go, ``arrives_at`` how fast it may come there at most.
    ``friction_that_holds`` is that of the thread above which it holds.
    """

    holding: Literal["stays", "not_certain", "moves", "not_known"]
    toward: Literal["low", "high"] | None
    arrives_at: float | None
    friction_that_holds: float | None


@dataclass(frozen=True, slots=True)
class Lag:
    """How far the rotor lags behind its field at rest, and what a microstep is worth.

    ``microsteps`` and ``travel`` are the lag after raising, ``turning_round`` what it makes of a turn from raising to
    lowering. ``microstep_torque`` is that of the first microstep, in hundredths of the holding torque, and
    ``swallowed`` how many pass before the load gives way.
    """

    microsteps: Span
    travel: Span
    turning_round: Span
    microstep_torque: float
    swallowed: Span


@dataclass(frozen=True, slots=True)
class MotorEffort:
    """What the motor makes of the load: how many times what it needs it has, and what rates it keeps."""

    holding: Span
    times_at_rest: Span
    times: Span | None
    greatest_speed: Span | None
    greatest_acceleration: Span | None
    lag: Lag | None


@dataclass(frozen=True, slots=True)
class MustHave:
    """The torque that a motor must have for the file's rates with the margin, without its own rotor."""

    holding: Span
    at_speed: Span
    turns_a_minute: float


@dataclass(frozen=True, slots=True)
class Change:
    """A change of the machine, and what it would bring.

    ``torque`` is what turning would then need at the hardest place, ``part`` by which part its upper bound changes:
    -0.3 for 30 % less. ``caution`` says what to beware of.
    """

    what: str
    torque: Span
    part: float
    times: Span | None
    greatest_speed: Span | None
    caution: str | None


@dataclass(frozen=True, slots=True)
class Offered:
    """Rates for the axis file that keep the margin and cross the travel soonest."""

    speed: float
    acceleration: float


@dataclass(frozen=True, slots=True)
class Comparison:
    """Something measured, beside what the figures of the file make of it."""

    what: str
    measured: Span
    by_figures: Span
    agrees: bool


@dataclass(frozen=True, slots=True)
class SpeedPoint:
    """The torque that the motor has at a speed."""

    speed: float
    turns_a_minute: float
    available: Span


@dataclass(frozen=True, kw_only=True, slots=True)
class Effort:
    """The effort of an axis.

    ``verdict`` says it in words. ``lifts`` is ``"with_margin"`` if the motor has the margin that was asked for at the
    file's rates, whatever of each range is true. ``raising`` and ``lowering`` are where that is hardest, ``load``
    where weight and springs press least and most, ``flank_change`` between which positions the load goes over
    to the other flank of the nut. ``shares`` say what dominates, ``changes`` what would change it, what helps most
    first; ``must_have`` is what another motor must have. ``contradictions`` are between the file's own words,
    ``assumed`` is what it does not tell, ``not_known`` what no figure tells. ``curve`` and ``needed`` are for a plot.

    CAUTION: prop the load before a nut, a belt or a spring comes off: it can drop or fly up.

    >>> lift = wholestep.Effort.of("examples/axes/plunge_lift.toml")
    >>> lift.verdict.split(". ")[0]
    'Lifts, 2.0 times what it needs at the top'
    >>> round(lift.raising.torque.low, 3), round(lift.raising.torque.high, 3)
    (0.139, 0.215)
    >>> lift.unpowered.holding, lift.changes[1].what, round(lift.changes[1].part, 2)
    ('not_certain', 'one spring out', -0.3)
    """

    axis: str
    unit: str
    upright: bool
    margin: float
    speed: float
    acceleration: float
    travel: Span
    verdict: str
    lifts: Literal["with_margin", "barely", "not_certain", "no", "not_known"]
    raising: Spot
    lowering: Spot | None
    load: tuple[Spot, Spot] | None
    flank_change: Span | None
    shares: tuple[Share, ...]
    unpowered: Unpowered
    inertia: Span
    motor: MotorEffort | None
    must_have: MustHave
    changes: tuple[Change, ...]
    offered: Offered | None
    compared: tuple[Comparison, ...]
    contradictions: tuple[str, ...]
    assumed: tuple[str, ...]
    not_known: tuple[str, ...]
    curve: tuple[SpeedPoint, ...]
    needed: Span

    @classmethod
    def of(cls, axis: Axis | str | PathLike[str], *, margin: str = "50%") -> Effort:
        """Work out the effort of an axis that was loaded from a file, or of the file at a path.

        ``margin`` is the part of the motor's torque that is to be to spare: ``"50%"``, or ``"1/2"``.
        """
        loaded = axis if isinstance(axis, Axis) else Axis.load(axis)
        made: Effort = _made(cls, json.loads(work_out_effort(loaded, margin)))
        return made


_PARTS: dict[str, type] = {
    "raising": Spot,
    "lowering": Spot,
    "load": Spot,
    "shares": Share,
    "unpowered": Unpowered,
    "motor": MotorEffort,
    "lag": Lag,
    "must_have": MustHave,
    "changes": Change,
    "offered": Offered,
    "compared": Comparison,
    "curve": SpeedPoint,
}
"""What a part of an answer is made into; any other with two bounds is a span."""


def _made(kind: type, told: dict[str, Any]) -> Any:
    return kind(**{name: _value(name, value) for name, value in told.items()})


def _value(name: str, value: Any) -> Any:
    if isinstance(value, list):
        return tuple(_value(name, entry) for entry in value)
    if not isinstance(value, dict):
        return value
    if value.keys() == {"low", "high"}:
        # JSON has no word for what has no bound.
        return Span(*(inf if bound is None else bound for bound in (value["low"], value["high"])))
    return _made(_PARTS[name], value)
