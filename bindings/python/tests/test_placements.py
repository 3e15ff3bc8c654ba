"""A placement knows its machine; and no move within the limits is refused, whatever the mechanism."""

import pickle
import random
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

import pytest
from machine import AXES, lift

import wholestep
from wholestep import Angle, Axis, Carriage, Detent, Inputs, Length, Placement, Twin, errors

# Whole units, decimals, 64ths of an inch, thirds, and the finest decimals that a measure can have.
PARTS = [100, 1_000, 320, 30, 10**12, 10**18]
FILES = sorted(AXES.glob("*.toml"))
LIFT = Axis.load(AXES / "router_lift.toml")
TABLE = Axis.load(AXES / "tilting_table.toml")
STOP = Axis.load(AXES / "stop_block.toml")


def measure(axis: Axis, value: Fraction) -> Length | Angle:
    return Angle(value, "deg") if isinstance(axis.low, Angle) else Length(value, "mm")


def base(value: Length | Angle) -> Fraction:
    return value.value_in("deg" if isinstance(value, Angle) else "mm")


def from_every_zero(axis: Axis) -> list[Axis]:
    contact = (axis.lowest_step + axis.highest_step) // 2
    zeros = [Fraction(127, 15), Fraction(5 * (2**61 - 1) + 1, 2**61 - 1)]
    touched = [axis.with_step_at(contact, measure(axis, Fraction(127 * 23, 320)))]
    return [axis, *(axis.with_zero(measure(axis, zero)) for zero in zeros), *touched]


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_no_move_within_the_limits_is_refused(file: Path) -> None:
    dice = random.Random(7)
    for axis in from_every_zero(Axis.load(file)):
        # Room for the approach beyond either end.
        room = base(axis.backlash) + Fraction(1, 10)
        low, high = base(axis.low) - base(axis.zero) + room, base(axis.high) - base(axis.zero) - room
        for _ in range(500):
            start, to = (
                measure(axis, Fraction(round(dice.uniform(float(low), float(high)) * parts), parts))
                for parts in (dice.choice(PARTS), dice.choice(PARTS))
            )
            arrived = dice.choice(["either", "from_below", "from_above"])
            plan = axis.plan(start, to, arrived=arrived)  # type: ignore[arg-type]
            there = axis.at_step(plan.start.step)
            assert axis.place_by(there, measure(axis, Fraction(0))).step == there.step
            assert axis.plan(there, to).steps == plan.steps


def alone() -> Carriage:
    carriage, now = Carriage.commissioned(LIFT), 0

    def run(held: Inputs) -> None:
        nonlocal now
        while (again := carriage.poll(now, held).poll_again_at) is not None:
            now = again

    held = Inputs(probe=True, enable=True)
    run(held)
    carriage.jog(Detent.of(LIFT, "0.1 mm"))
    run(held)
    # Two detents up take up the play of 0.15 mm.
    run(held.replace(dial=8))
    carriage.confirm_position(LIFT.place("0 mm"))
    return carriage


def on_twin() -> Carriage:
    twin = Twin.commissioned(LIFT, seed=1)
    twin.run_until(10**6)
    return twin.carriage


REQUESTS: list[tuple[str, Callable[[Carriage, Placement], None]]] = [
    ("go_to", lambda carriage, placement: carriage.go_to(placement)),
    ("confirm_position", lambda carriage, placement: carriage.confirm_position(placement)),
    ("touch_off", lambda carriage, placement: carriage.touch_off("stop", placement)),
]


@pytest.mark.parametrize("other", [TABLE.place("10 deg"), STOP.place("1 in")], ids=["table", "stop"])
@pytest.mark.parametrize(("_", "request_"), REQUESTS, ids=[name for name, _ in REQUESTS])
@pytest.mark.parametrize("make", [alone, on_twin])
def test_a_carriage_refuses_a_placement_of_another_machine(
    make: Callable[[], Carriage], _: str, request_: Callable[[Carriage, Placement], None], other: Placement
) -> None:
    carriage = make()
    before = carriage.step, carriage.state, carriage.is_proven
    with pytest.raises(errors.OtherAxisError) as raised:
        request_(carriage, other)
    assert raised.value.refusal == "other_axis"
    assert "“Router lift”" in str(raised.value)
    assert ("“Tilting table”" in str(raised.value)) != ("“Stop block”" in str(raised.value))
    assert (carriage.step, carriage.state, carriage.is_proven) == before


def test_a_plan_and_a_distance_refuse_a_placement_of_another_machine() -> None:
    here = LIFT.place("1 mm")
    for other in (TABLE.place("10 deg"), STOP.place("2 in"), lift().place("2 mm")):
        for work in (
            lambda other=other: LIFT.plan(other, here),
            lambda other=other: LIFT.plan(here, other),
            lambda other=other: LIFT.place_by(other, "1 mm"),
        ):
            with pytest.raises(errors.OtherAxisError, match="only “Router lift” is allowed"):
                work()


def test_the_same_machine_is_the_same_whatever_its_limits_rates_and_zero() -> None:
    text = (AXES / "router_lift.toml").read_text(encoding="utf-8")
    changed = Axis.from_toml(text.replace('high = "60"', 'high = "50"').replace("Router lift", "Lift"))
    again = pickle.loads(pickle.dumps(LIFT))
    carriage = alone()
    for axis in (changed, again, LIFT.with_zero("1/3 in"), LIFT.with_step_at(100, "12.7 mm")):
        placed = axis.place("1 mm")
        assert LIFT.plan(placed, "2 mm").start == placed
        carriage.go_to(placed)
        copy = pickle.loads(pickle.dumps(placed))
        assert copy == placed and hash(copy) == hash(placed)
    assert changed.place("1 mm") == LIFT.place("1 mm")
    assert hash(changed.place("1 mm")) == hash(LIFT.place("1 mm"))


def test_placements_of_two_machines_differ_even_on_the_same_step() -> None:
    other = Axis(
        wholestep.Linear.lead_screw_by_lead(wholestep.DriveTrain("1.8 deg", "1/16"), "8 mm"),
        low="0 mm", high="500 mm", speed="40 mm/s", acceleration="200 mm/s²",
    )  # fmt: skip
    moved = lift(step_zero_at="1/400 mm")
    assert other.place("5 mm") == lift().place("5 mm"), "a lead of 8 mm, by pitch and starts or at once"
    assert moved.at_step(0).target == lift().at_step(1).target
    assert moved.place("5 mm") != lift().place("5 mm")
    with pytest.raises(errors.OtherAxisError):
        lift().place_by(moved.place("5 mm"), "1 mm")


def test_a_position_taken_from_a_step_can_be_added_to() -> None:
    arm = Axis.load(AXES / "blade_height.toml")
    for step in range(30_000, 30_200):
        there = arm.at_step(step)
        assert there.target.value_in("mm").denominator <= 10**12
        zero = arm.with_step_at(step, "1/3 in")
        assert zero.at_step(step).position.low.value_in("mm") - Fraction(127, 15) < Fraction(1, 10**12)
        assert arm.place_by(there, "1/3 in").target == Length(
            there.target.value_in("mm") + Fraction(127, 15), "mm"
        )
