"""Jobs rehearsed on a simulated machine: plain data, worked out by the native half."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from os import PathLike

from . import _native
from ._native import Enclosure, Fault
from .events import Event


def rehearse(
    job: str | PathLike[str],
    *,
    seed: int = 1,
    faults: Iterable[str] = (),
    progress: Callable[[str, float], object] | None = None,
) -> Rehearsed:
    """Run a job file on a simulated machine before a cutter spins.

    It finds the datum, touches off where the job does, and makes every move, as ``wholestep
    rehearse`` does and with the same numbers. ``seed`` decides what chance brings; ``faults`` are
    written as for ``--fault``, such as ``stall@4 s`` or ``drive_fault@3 s+500 ms``. ``progress`` is
    told now and then what is being done, and which part of the job is done, 0 to 1; what it raises
    ends the rehearsal and comes out unchanged. Other Python threads run meanwhile, and Ctrl-C ends
    it.

    CAUTION: a rehearsal shows that the numbers of a job are sound on a machine like this one. It
    proves nothing about guards, wiring or workholding, and it knows of no cutter: the first real run
    goes with the cutter at rest, hands clear, and the emergency stop in reach, as the makers'
    manuals say.

    >>> import wholestep
    >>> lap = wholestep.rehearse("examples/jobs/lap_joint.toml")
    >>> lap.sound, lap.moves[3].what, lap.moves[3].step, lap.moves[3].remainder.low
    (True, 'rebate of the sides', 11081, Length('-0.0001625 mm'))
    >>> lap.room_below.low
    Length('0.000625 mm')
    >>> stopped = wholestep.rehearse("examples/jobs/lap_joint.toml", faults=["drive_fault@62 s"])
    >>> stopped.sound, stopped.fault, stopped.not_reached[0]
    (False, Fault('drive'), "rebate of the second box's sides")
    """
    if isinstance(faults, str):
        raise TypeError(f"faults are a list of texts, such as [{faults!r}]")
    return _native.run_rehearsal(job, seed, list(faults), progress)


@dataclass(frozen=True, slots=True)
class RehearsedMove:
    """One thing that a job asks for, and what came of it.

    ``step`` is where it ends, ``None`` for the datum; ``remainder`` is where that step stands less
    where the job sent it. ``speed`` is the move's own, exactly as text, and ``None`` if it has none;
    ``caution`` says what a person must see to: the cutter or blade at rest, or, if the job says that
    the move goes into the work, the conditions of that. ``seconds`` and ``steps``, both ways, are what it took. ``off_by`` says by
    how many steps the carriage then believed wrongly, believed minus true. ``stands_off`` is by how
    much it truly stood above where it was sent, in mm or degrees, since a touch-off the tip of the
    cutter. ``stopped`` says why it did not come about, and is ``None`` if it did.
    """

    what: str
    step: int | None
    remainder: Enclosure | None
    speed: str | None
    caution: str
    seconds: float
    steps: int
    off_by: int
    stands_off: float
    stopped: str | None


@dataclass(frozen=True, kw_only=True, slots=True)
class Rehearsed:
    """A job rehearsed: its moves, and what they asked of the machine.

    ``sound`` is true where the whole job came about as written: nothing stopped it, the carriage
    stood where it believed to after every move, and it ran into no end stop. ``fault`` is the first
    that the carriage named. ``lowest`` and ``highest`` are how far the carriage believed to come once
    its position was proven, and ``room_below`` and ``room_above`` what was left to the soft limits.
    ``torque_margin`` is the part of the motor's torque to spare at the worst moment, negative where
    it was not enough, and ``torque_margin_at`` the second of that moment. ``lost_steps`` counts what
    was sent and not made over all; a datum or a touch-off after it makes it harmless. ``events``
    stand with their seconds; ``assumed`` is what the axis file does not tell of the machine, and
    ``torque_is_assumed`` whether the torque to spare was worked out from any of that.
    """

    job: str
    axis: str
    seed: int
    sound: bool
    fault: Fault | None
    moves: tuple[RehearsedMove, ...]
    not_reached: tuple[str, ...]
    by_hand: tuple[str, ...]
    seconds: float
    steps: int
    lowest: Enclosure | None
    highest: Enclosure | None
    room_below: Enclosure | None
    room_above: Enclosure | None
    torque_margin: float | None
    torque_margin_at: float | None
    lost_steps: int
    slips: int
    end_stop_hits: int
    events: tuple[tuple[float, Event], ...]
    faults_that_never_came: tuple[str, ...]
    assumed: tuple[str, ...]
    torque_is_assumed: bool
