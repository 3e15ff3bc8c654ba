"""What happened to a carriage, told once: one class for each kind of event.

>>> from wholestep.events import Stopped
>>> match Stopped(400, "arrived"):
...     case Stopped(step, "arrived"):
...         print("stands on step", step)
stands on step 400
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from ._native import Fault

@dataclass(frozen=True, slots=True)
class Event:
    """Something that happened."""


@dataclass(frozen=True, slots=True)
class Ready(Event):
    """The contacts have settled for the first time; requests are heard."""


@dataclass(frozen=True, slots=True)
class Stopped(Event):
    """The carriage came to rest on this step."""

    step: int
    why: Literal["arrived", "braked", "enable_released", "fault"]


@dataclass(frozen=True, slots=True)
class Faulted(Event):
    """A fault was latched."""

    fault: Fault


@dataclass(frozen=True, slots=True)
class Cleared(Event):
    """The fault was cleared."""


@dataclass(frozen=True, slots=True)
class Unproven(Event):
    """The position became unproven."""

    why: Literal["released", "halted", "contradicted", "searching", "marked_unproven"]


@dataclass(frozen=True, slots=True)
class LoadCanFall(Event):
    """The drive was released and the screw does not hold itself: the load can fall."""


@dataclass(frozen=True, slots=True)
class DatumFound(Event):
    """The datum was found, its switch met at the step ``met_at``, in the numbers that hold from now on.

    ``off_by`` says by how many steps it had come to be wrong, believed minus found, whether it was
    still held to be proven or a fault had put it in doubt; it is ``None`` if it has not been proven
    since the drive was switched on.
    """

    met_at: int
    off_by: int | None


@dataclass(frozen=True, slots=True)
class Touched(Event):
    """The probe was touched first at this step, in the numbers that hold from now on."""

    step: int
    off_by: int | None


@dataclass(frozen=True, slots=True)
class Contact(Event):
    """The probe was touched at this step and the hand may go on."""

    step: int


@dataclass(frozen=True, slots=True)
class FalseContact(Event):
    """A contact changed and changed back before it settled."""

    input: Literal["low_switch", "high_switch", "probe", "enable", "dial", "rocker"]


@dataclass(frozen=True, slots=True)
class AtSwitch(Event):
    """The switch at this end stopped a motion of the hand."""

    end: Literal["low", "high"]


@dataclass(frozen=True, slots=True)
class AtLimit(Event):
    """The last allowed step at this end stopped a motion of the hand."""

    end: Literal["low", "high"]


@dataclass(frozen=True, slots=True)
class DetentsDropped(Event):
    """The dial was ahead by more than its bound, or the hand stopped: so many detents were dropped."""

    detents: int


@dataclass(frozen=True, slots=True)
class DialJumped(Event):
    """The dial's counter jumped; its counts since the last poll were ignored."""


@dataclass(frozen=True, slots=True)
class Seen(Event):
    """Commissioning saw this input change both ways."""

    input: Literal["low_switch", "high_switch", "probe", "enable", "dial", "rocker"]


@dataclass(frozen=True, slots=True)
class OtherInput(Event):
    """Commissioning asked for another input than the one that changed."""

    input: Literal["low_switch", "high_switch", "probe", "enable", "dial", "rocker"]


@dataclass(frozen=True, slots=True)
class PolledLate(Event):
    """An edge of a fast motion was given out so many ticks late, more than half the time a step took.

    The motor ran unevenly and may have lost steps. Told once a motion; see to it that polls come in
    time.
    """

    by: int


@dataclass(frozen=True, slots=True)
class EventsLost(Event):
    """Events were lost because polls came too seldom."""
