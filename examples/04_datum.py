"""Finding the datum again and again, at a switch whose contact bounces, and how well that repeats.

CAUTION: on a machine a search starts a motor and runs it toward an end. Keep clear, hold the enable
input, and let go of it when anything is amiss. A switch that gives the datum is not a safety device; an
emergency stop is wired, after the makers' manuals and your local rules.
"""

import math
from fractions import Fraction
from pathlib import Path

import wholestep
from wholestep import Carriage, Inputs, Repeatability
from wholestep.events import DatumFound, Event, Faulted


class Switch:
    """The normally closed switch at the low end of a lift, pressed at and below a step, give or take one."""

    def __init__(self, at: int, pressed: bool) -> None:
        self.at = at
        self.pressed = pressed
        self.bounces: list[int] = []  # when its contact is going to bounce, the last first
        self.chance = 7

    def meet(self, step: int, now: int) -> None:
        """The lift has come to a step."""
        at = self.at + (40 if self.pressed else self.draw(3) - 1)
        if (step <= at) == self.pressed:
            return
        self.pressed = not self.pressed
        tick = now
        for _ in range(2 * self.draw(4)):
            tick += 1 + self.draw(500)
            self.bounces.insert(0, tick)

    def level(self, now: int) -> bool:
        """High while pressed, or while it bounces."""
        self.bounces = [tick for tick in self.bounces if tick > now]
        return self.pressed ^ (len(self.bounces) % 2 == 1)

    def draw(self, below: int) -> int:
        self.chance = (self.chance * 6_364_136_223_846_793_005 + 1) % 2**64
        return (self.chance >> 33) % below


class Lift:
    def __init__(self, carriage: Carriage) -> None:
        self.carriage = carriage
        self.switch = Switch(-44_800, pressed=False)
        self.step = -20_000  # where it really is, of which the carriage knows nothing
        self.now = 0
        self.levels_seen = 0

    def run(self) -> list[Event]:
        """Polls whenever the carriage asks for it and whenever the switch changes."""
        events: list[Event] = []
        seen = False
        while True:
            low_switch = self.switch.level(self.now)
            self.levels_seen += low_switch != seen
            seen = low_switch
            output = self.carriage.poll(self.now, Inputs(low_switch=low_switch, probe=True, enable=True))
            events += output.events
            if output.edge:
                self.step += 1 if output.edge.direction == "forward" else -1
                self.switch.meet(self.step, self.now)
            due = [tick for tick in (output.poll_again_at, *self.switch.bounces[-1:]) if tick is not None]
            if not due:
                return events
            self.now = min(due)


axis = wholestep.Axis.load(Path(__file__).parent / "axes" / "router_lift.toml")
lift = Lift(Carriage.commissioned(axis))
lift.run()

deviations: list[int] = []
deviation = 0
for search in range(1, 6):
    lift.carriage.find_datum()
    for event in lift.run():
        match event:
            case DatumFound(met_at, int(off_by)):
                deviation += off_by
                print(f"search {search}: the switch was met at step {met_at}, off by {off_by}")
            case DatumFound(met_at):
                print(f"search {search}: the switch was met at step {met_at}")
            case Faulted(fault):
                raise SystemExit(str(fault))
            case _:
                pass
    deviations.append(deviation)
    lift.carriage.go_to(-30_000)
    lift.run()
searches = Repeatability(deviations)
print(f"the contact changed {lift.levels_seen} times")
print(f"the machine stands {lift.step - lift.carriage.step} steps from where the carriage believes")
print(f"mean {searches.mean} steps, variance {searches.variance} steps²")
print(f"repeatability of the searches {Fraction(math.ceil(searches.repeatability[1] * 100), 100)} steps")

# A wire breaks: a normally closed switch then reads pressed, and the search does not go on for ever.
lift.switch = Switch(2**62, pressed=True)
lift.carriage.find_datum()
lift.run()
print(lift.carriage.fault)
