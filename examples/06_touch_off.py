"""Touching off, and two heights that belong together, kept through a change of cutter.

A small workshop cuts lap joints in boards of 18.3 mm on the router table: one half is cut to 9 mm and the
other to 9.3 mm, so both heights must hang on one zero. Then the cutter is changed, and one touch-off makes
both heights right again. The machine is a twin, so where the tip really is can be looked at.

CAUTION: the lift creeps toward the gauge block by itself. Touch off with the router unplugged and the
cutter at rest, and take block and clip away before it is plugged in again. Change cutters unplugged, as the
maker's manual says. Enable input, soft limits and switches are not safety devices.
"""

from pathlib import Path

from wholestep import Axis, Length, Twin
from wholestep.events import Touched


def touch_off(twin: Twin) -> int:
    """Lays the block in place, touches off, takes it away, and returns the step of first contact."""
    twin.plate()
    twin.carriage.touch_off()
    twin.run_until_still(120_000_000)
    twin.plate(False)
    for _, event in reversed(twin.events):
        if isinstance(event, Touched):
            return event.step
    raise SystemExit(f"no contact: {twin.carriage.fault}")


def recall(twin: Twin, lift: Axis, height: str, cutter: Length) -> None:
    """Goes to a height above the zero and says where the cutter's tip really is."""
    placed = lift.place(height)
    twin.carriage.go_to(placed)
    twin.run_until_still(120_000_000)
    tip = twin.ground_truth.carriage_position * 1e3 + float(cutter.value_in("mm"))
    print(f"  {height}: step {placed.step}, the tip at {tip:.2f} mm")


axis = Axis.load(Path(__file__).parent / "axes" / "router_lift.toml")
twin = Twin.commissioned(axis, seed=6)
twin.press("enable")
twin.run_until_still(1_000_000)
twin.carriage.find_datum()
twin.run_until_still(120_000_000)
print(f"datum found: {str(twin.carriage.is_proven).lower()}")

# The block is 12.7 mm thick and lies on the table, so the tip touches it at 12.7 mm.
twin.plate(False, height="12.7 mm")
for cutter in (Length("0.4 mm"), Length("-3.1 mm")):
    twin.carriage.go_to(axis.place("0 mm"))
    twin.run_until_still(120_000_000)
    twin.cutter(cutter)
    contact = touch_off(twin)
    lift = axis.with_step_at(contact, "12.7 mm")
    print(f"touched at step {contact}; zero at {lift.zero}")
    recall(twin, lift, "9 mm", cutter)
    recall(twin, lift, "9.3 mm", cutter)
print(f"{twin.lost_steps} steps lost")
