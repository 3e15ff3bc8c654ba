"""A dial and a held rocker lead a carriage by hand.

The dial's two contacts bounce, its detents are worth an exact size, and the motion stops when the hand
does. The rocker runs the carriage while it is held.

CAUTION: on a machine this moves a cutter by hand. Unplug the tool before you reach near it. A hand moves
the carriage without the enable input being held and before the datum is found, so nothing but the
switches keeps it from an end; they are not safety devices.
"""

from pathlib import Path
from typing import Literal

import wholestep
from wholestep import Carriage, Detent, Inputs, Quadrature
from wholestep.events import AtSwitch, DetentsDropped


class Lift:
    def __init__(self, carriage: Carriage) -> None:
        self.carriage = carriage
        self.contacts = Quadrature(False, False)
        self.rocker: Literal["low", "high"] | None = None
        self.low_switch = False
        self.now = 0
        self.detents_dropped = 0

    def wait(self, ticks: int) -> None:
        """Lets time pass, polling whenever the carriage asks for it."""
        until = self.now + ticks
        inputs = Inputs(low_switch=self.low_switch, probe=True, dial=self.contacts.count, rocker=self.rocker)
        while True:
            output = self.carriage.poll(self.now, inputs)
            for event in output.events:
                match event:
                    case DetentsDropped(detents):
                        self.detents_dropped += detents
                    case AtSwitch(end):
                        print(f"  the {end} switch stops it")
                    case _:
                        pass
            if output.poll_again_at is None or output.poll_again_at > until:
                break
            self.now = output.poll_again_at
        self.now = until

    def turn(self, detents: int, ticks_between: int) -> None:
        """Turns the dial by detents of four changes, every first contact bouncing once."""
        for _ in range(detents):
            for a, b in ((1, 0), (0, 0), (1, 0), (1, 1), (0, 1), (0, 0)):
                self.contacts = self.contacts.read(bool(a), bool(b))
                self.wait(ticks_between // 6)

    def report(self, what: str) -> None:
        print(f"{what}: step {self.carriage.step}")


axis = wholestep.Axis.load(Path(__file__).parent / "axes" / "router_lift.toml")
lift = Lift(Carriage.commissioned(axis))
lift.wait(20_000)

# A thousandth of an inch is 27 7/75 of these steps. A hundred detents are rounded once.
lift.carriage.jog(Detent.of(axis, "0.001 in"))
lift.wait(200_000)
lift.turn(100, 60_000)
lift.wait(500_000)
lift.report("a hundred detents of 0.001 in")

# Coarse, and faster than the lift may go: what the dial is ahead is bounded.
lift.carriage.jog(Detent.of(axis, "0.25 mm"))
lift.turn(40, 12_000)
lift.wait(1_000_000)
lift.report("forty detents of 0.25 mm, turned too fast")
print(f"  {lift.detents_dropped} of them dropped")

# The rocker must be seen at rest first; then it runs the lift for as long as it is held.
lift.carriage.jog()
lift.wait(1_000)
lift.rocker = "low"
lift.wait(1_000_000)
lift.report("the rocker held for a second")
lift.rocker = None
lift.wait(500_000)
lift.report("and let go")

# Held again until the switch at the low end stops it.
lift.rocker = "low"
lift.wait(300_000)
lift.low_switch = True
lift.wait(500_000)
lift.report("at the switch")
