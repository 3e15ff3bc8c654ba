"""A controller's loop: a timer, three output pins, and a carriage that goes where it is sent.

The timer here is a number and the pins are a list, so that the loop runs anywhere and prints the same.

CAUTION: on a machine this starts a motor beside a cutter. Try a controller with the motor off its screw
and the tool unplugged. The enable input, the soft limits and the switches are not safety devices; an
emergency stop is wired, after the makers' manuals and your local rules.
"""

from pathlib import Path

import wholestep
from wholestep import Carriage, Detent, Inputs
from wholestep.events import Stopped

PULSE = 3  # ticks for which the step pin stays high: 2.5 µs, rounded up


class Pins:
    """The output pins, and every change of their levels."""

    def __init__(self) -> None:
        self.levels = {"step": False, "direction": False, "enable": False}
        self.changes: list[tuple[int, str, bool]] = []

    def set(self, tick: int, pin: str, level: bool) -> None:
        if self.levels[pin] != level:
            self.levels[pin] = level
            self.changes.append((tick, pin, level))

    def digest(self) -> int:
        """FNV-1a over the changes written one a line."""
        digest = 0xCBF29CE484222325
        for tick, pin, level in self.changes:
            for byte in f"{tick} {pin} {int(level)}\n".encode():
                digest = (digest ^ byte) * 0x100000001B3 % 2**64
        return digest


class Controller:
    def __init__(self, carriage: Carriage) -> None:
        self.carriage = carriage
        self.pins = Pins()
        self.now = 0
        # Switches are normally closed, so released reads low; the probe is normally open and reads high.
        self.inputs = Inputs(probe=True, enable=True)

    def run(self) -> None:
        """Polls whenever the carriage asks for it, until it waits for an input or a request."""
        while True:
            output = self.carriage.poll(self.now, self.inputs)
            self.pins.set(self.now, "enable", output.drive)
            self.pins.set(self.now, "direction", output.direction)
            if output.edge:
                self.pins.set(self.now, "step", True)
                self.pins.set(self.now + PULSE, "step", False)
            for event in output.events:
                if isinstance(event, Stopped):
                    print(f"tick {self.now}: stands on step {event.step}")
            if output.poll_again_at is None:
                return
            self.now = output.poll_again_at


lift = wholestep.Axis.load(Path(__file__).parent / "axes" / "router_lift.toml")
controller = Controller(Carriage.commissioned(lift))
controller.run()

target = lift.place("12.7 mm")
try:
    controller.carriage.go_to(target)
except wholestep.WholestepError as refusal:
    print(refusal)

# A person raises the cutter to a gauge block with the dial, and states the height.
controller.carriage.jog(Detent.of(lift, "0.05 mm"))
controller.run()
# Four detents up, of four counts each, take up the play of 0.15 mm; the drive has settled by then.
controller.inputs = Inputs(probe=True, enable=True, dial=16)
controller.run()
controller.carriage.confirm_position(lift.place("10 mm"))
controller.carriage.go_to(target)
controller.run()
print(f"{target.position.low}: {target.remainder.low} off")

pulses = sum(1 for _, pin, level in controller.pins.changes if pin == "step" and level)
print(f"{pulses} pulses in {len(controller.pins.changes)} changes of a pin")
print(f"digest {controller.pins.digest():016x}")
