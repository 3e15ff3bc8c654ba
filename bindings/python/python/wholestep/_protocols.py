"""What an object must have to be a mechanism."""

from fractions import Fraction
from typing import Protocol, runtime_checkable

from ._native import Angle, Enclosure, Length


@runtime_checkable
class Mechanism(Protocol):
    """What turns a whole motor step into a position of the carriage: any object with these two.

    The position must be strictly monotone over the span: always rising, or always falling, as the
    step number rises, and always the same for the same step.

    >>> import wholestep
    >>> class Slide:
    ...     "A carriage that moves a fortieth of a millimetre a step."
    ...     def span(self) -> tuple[int, int]:
    ...         return 0, 40_000
    ...     def position_at(self, step: int, width: "Fraction") -> wholestep.Length:
    ...         return wholestep.Length(step, "mm") / 40
    >>> axis = wholestep.Axis(Slide(), low="0 mm", high="500 mm", speed="40 mm/s", acceleration="200 mm/s²")
    >>> axis.place("12.31 mm").step
    492

    An optional third method, ``step_sizes(first, last)``, may return the finest and the coarsest
    travel of one step between two steps, as proven bounds; without it a few hundred are sampled.
    """

    def span(self) -> tuple[int, int]:
        """The first and the last step at which it can stand, at most ±2^40."""

    def position_at(
        self, step: int, width: Fraction, /
    ) -> Length | tuple[Length, Length] | Angle | tuple[Angle, Angle] | Enclosure:
        """Where the carriage stands at a step of the span, in base units (millimetres, degrees).

        The position itself if it is exact; otherwise a lower and an upper bound no further apart
        than ``width``.
        """
