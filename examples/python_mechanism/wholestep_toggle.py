"""A toggle of two equal arms: a screw spreads their feet, and the joint above comes down.

The feet stand x apart and the arms are L long, so the joint stands √(L² − (x/2)²) high, by the theorem
of Pythagoras.
"""

from dataclasses import dataclass
from fractions import Fraction
from math import isqrt

from wholestep import DriveTrain, Length


@dataclass(frozen=True)
class Toggle:
    """The height of the joint, from step 0 with the feet ``closed`` apart."""

    drive: DriveTrain
    lead: Length
    arm: Length
    closed: Length

    def span(self) -> tuple[int, int]:
        return 0, int((2 * self.arm - self.closed) / (self.lead * self.drive.turns_per_step))

    def position_at(self, step: int, width: Fraction) -> tuple[Length, Length]:
        apart = self.closed + step * self.drive.turns_per_step * self.lead
        square = self.arm.value_in("mm") ** 2 - (apart.value_in("mm") / 2) ** 2
        low = isqrt(int(square * 4 / width**2))
        return Length(low * width / 2, "mm"), Length((low + 1) * width / 2, "mm")
