"""What a docstring says is raised, is raised: one call for each class that one names."""

import builtins
import inspect
import re
from collections.abc import Callable
from functools import reduce
from typing import Any

import pytest
from machine import AXES, BLADE, DRIVE, by_sector, lift, tilt

import wholestep
from wholestep import Axis, Carriage, DriveTrain, Enclosure, Inputs, Length, Linear, Speed, Twin

LIFT = Axis.load(AXES / "router_lift.toml")
STOP = Axis.load(AXES / "stop_block.toml")
TABLE = Axis.load(AXES / "tilting_table.toml")
SCREW = Linear.lead_screw_by_lead(DRIVE, "8 mm")
PLAN = LIFT.plan("1 mm", "2 mm")


def live() -> Carriage:
    """A carriage whose inputs have settled and whose position is unproven."""
    carriage = Carriage.commissioned(LIFT)
    for now in (0, 10_000, 20_000):
        carriage.poll(now, Inputs(probe=True, enable=True))
    return carriage


ROWS: dict[str, list[Callable[[], Any]]] = {
    "Length NotationError MissingUnitError UnitError InexactNumberError OutOfRangeError": [
        lambda: Length("x"), lambda: Length("1"), lambda: Length("1 deg"), lambda: Length(0.5, "mm"),  # type: ignore[arg-type]
        lambda: Length("99000 m"),
    ],
    "Angle NotationError MissingUnitError UnitError InexactNumberError OutOfRangeError": [
        lambda: wholestep.Angle("x"), lambda: wholestep.Angle("1"), lambda: wholestep.Angle("1 mm"),
        lambda: wholestep.Angle(0.5, "deg"),  # type: ignore[arg-type]
        lambda: wholestep.Angle("1e9 deg"),
    ],
    "Speed NotationError UnitError MissingUnitError InexactNumberError OutOfRangeError": [
        lambda: Speed("x"), lambda: Speed("1 mm"), lambda: Speed(1), lambda: Speed(0.5, "mm/s"),  # type: ignore[arg-type]
        lambda: Speed("-1 mm/s"),
    ],
    "Speed.value_in UnitError": [lambda: Speed("1 mm/s").value_in("deg/s")],
    "Speed.to_text UnitError": [lambda: Speed("1 mm/s").to_text("deg/s")],
    "Speed.decimal_in UnitError OutOfRangeError": [
        lambda: Speed("1 mm/s").decimal_in("deg/s", 1), lambda: Speed("1 mm/s").decimal_in("mm/s", 19),
    ],
    "Axis.load UnitError": [lambda: Axis.load(AXES / "stop_block.toml", wholestep.Angle)],
    "Axis.from_toml UnitError": [
        lambda: Axis.from_toml((AXES / "stop_block.toml").read_text(encoding="utf-8"), wholestep.Angle)
    ],
    "Axis.place NotationError UnitError BeyondLimitError": [
        lambda: LIFT.place("x"), lambda: LIFT.place("1 deg"), lambda: LIFT.place("9 m"),
    ],
    "Axis.place_many ArgumentTypeError": [lambda: LIFT.place_many(b"12", unit="mm")],
    "Axis.place_by OtherAxisError": [lambda: LIFT.place_by(STOP.place("2 in"), "1 in")],
    "Axis.at_step OutOfRangeError": [lambda: TABLE.at_step(2**40)],
    "Axis.with_zero NotationError UnitError": [lambda: LIFT.with_zero("x"), lambda: LIFT.with_zero("1 deg")],
    "Axis.with_step_at OutOfRangeError UnitError": [
        lambda: TABLE.with_step_at(2**40, "1 deg"), lambda: LIFT.with_step_at(0, "1 deg"),
    ],
    "Axis.grid_fit UnitError OutOfRangeError": [lambda: LIFT.grid_fit("1 deg"), lambda: LIFT.grid_fit("0 mm")],
    "Axis.check_travel ZeroDenominatorError": [lambda: LIFT.check_travel(0, 1)],
    "Axis.plan PlanError OtherAxisError": [
        lambda: lift().plan("0 mm", "1 mm"), lambda: LIFT.plan(STOP.place("2 in"), "1 mm"),
    ],
    "Plan.edges OutOfRangeError": [lambda: PLAN.edges(PLAN.edge_count + 1)],
    "Plan.edges_in_chunks OutOfRangeError": [lambda: PLAN.edges_in_chunks(0)],
    "Plan.steps_at PlanError InexactNumberError": [lambda: PLAN.steps_at(-1), lambda: PLAN.steps_at(0.5)],  # type: ignore[arg-type]
    "Plan.steps_per_tick_at PlanError": [lambda: PLAN.steps_per_tick_at(-1)],
    "Linear.lead_screw_by_lead OutOfRangeError": [lambda: Linear.lead_screw_by_lead(DRIVE, "0 mm")],
    "Linear.belt OutOfRangeError": [lambda: Linear.belt(DRIVE, "0 mm", 20)],
    "Linear.position_at OutOfRangeError": [lambda: SCREW.position_at(2**41, 1)],
    "SwingArm.position_at OutOfRangeError": [lambda: by_sector().position_at(2**40, 1)],
    "ScrewTilt.position_at OutOfRangeError": [lambda: tilt().position_at(2**40, 1)],
    "TiltedBlade.kerf_at_table OutOfRangeError": [lambda: BLADE.kerf_at_table("89 deg")],
    "TiltedBlade.fence_correction OutOfRangeError": [lambda: BLADE.fence_correction("89 deg", "1 mm")],
    "DriveTrain.geared OutOfRangeError": [lambda: DriveTrain("1.8 deg", 8).geared(0, 1)],
    "Carriage.go_to BeyondLimitError OtherAxisError RefusedError": [
        lambda: live().go_to("9 m"), lambda: live().go_to(STOP.place("2 in")), lambda: live().go_to("1 mm"),
    ],
    "Carriage.go_to_at PlanError UnitError RefusedError": [
        lambda: live().go_to_at("1 mm", "9 m/s"),
        lambda: live().go_to_at("1 mm", "1 deg/s"), lambda: live().go_to_at("1 mm", "1 mm/s"),
    ],
    "Carriage.go_by RefusedError": [lambda: live().go_by(1)],
    "Carriage.travel_to_end RefusedError": [lambda: live().travel_to_end("low")],
    "Carriage.nudge RefusedError": [lambda: live().nudge()],
    "Carriage.confirm_direction RefusedError": [lambda: live().confirm_direction(True)],
    "Carriage.measure_travel RefusedError": [lambda: live().measure_travel()],
    "Carriage.report_travel RefusedError": [lambda: live().report_travel(True)],
    "Carriage.find_datum RefusedError": [lambda: Carriage(LIFT).find_datum()],
    "Twin.inject FileKeyError": [lambda: Twin.commissioned(LIFT).inject("gremlin")],
    "register RefusedError ArgumentTypeError": [
        lambda: wholestep.register("lead_screw", Length),  # type: ignore[arg-type]
        lambda: wholestep.register("thing_of_the_table", 5),  # type: ignore[arg-type]
    ],
}


@pytest.mark.parametrize("row", ROWS)
def test_what_is_raised_is_what_the_docstring_names(row: str) -> None:
    path, *names = row.split()
    said = inspect.getdoc(reduce(getattr, path.split("."), wholestep)) or ""
    raises = re.search(r"Raises (.*?)(?:\n\n|\Z)", said, re.DOTALL)
    assert raises, f"{path} names nothing"
    for name, call in zip(names, ROWS[row], strict=True):
        assert name in raises[1], f"{path} does not name {name}"
        with pytest.raises(getattr(wholestep.errors, name)):
            call()


def test_every_class_that_a_docstring_names_is_there() -> None:
    for _, member in inspect.getmembers(wholestep):
        for owner in [member, *(vars(member).values() if inspect.isclass(member) else ())]:
            for raises in re.findall(r"Raises (.*?)(?:\n\n|\Z)", inspect.getdoc(owner) or "", re.DOTALL):
                for name in re.findall(r"\b[A-Z]\w+Error\b", raises):
                    assert hasattr(wholestep.errors, name) or hasattr(builtins, name), name


def test_an_enclosure_of_two_measures_is_refused() -> None:
    with pytest.raises(wholestep.errors.UnitError):
        Enclosure("1 mm", "1 deg")
