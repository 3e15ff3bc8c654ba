"""No whole number fails in the words of a conversion: every argument, as the stubs tell of them."""

import ast
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from machine import AXES, BLADE, DRIVE, REPOSITORY, by_sector, lift, tilt

import wholestep
from wholestep import (
    Acceleration, Angle, Axis, Carriage, Conformance, Detent, DriveTrain, GridFit, Inputs, Jerk, Length, Linear,
    Output, Quadrature, Repeatability, Speed, StepEdge, GroundTruth, Twin, WholestepError, _native, check_conformance,
)

STUB = Path(wholestep.__file__).with_name("_native.pyi")
LIFT = Axis.load(AXES / "router_lift.toml")
SCREW = Linear.lead_screw_by_lead(DRIVE, "8 mm")
PLAN = lift().plan("0 mm", "1 mm", timer_hz=1_000_000)
CARRIAGE = Carriage.commissioned(LIFT)
TWIN = Twin.commissioned(LIFT)
LAP = REPOSITORY / "examples" / "jobs" / "lap_joint.toml"

ARGUMENTS: dict[str, Callable[[Any], object]] = {
    "Length.fraction_in.denominator": lambda n: Length("1 in").fraction_in("in", n),
    "Length.decimal_in.places": lambda n: Length("1 in").decimal_in("in", n),
    "Angle.fraction_in.denominator": lambda n: Angle("1 deg").fraction_in("deg", n),
    "Angle.decimal_in.places": lambda n: Angle("1 deg").decimal_in("deg", n),
    "Speed.decimal_in.places": lambda n: Speed("1 mm/s").decimal_in("mm/s", n),
    "Acceleration.decimal_in.places": lambda n: Acceleration("1 mm/s²").decimal_in("mm/s²", n),
    "Jerk.decimal_in.places": lambda n: Jerk("1 mm/s³").decimal_in("mm/s³", n),
    "DriveTrain.__new__.step_mode": lambda n: DriveTrain("1.8 deg", n),
    "DriveTrain.__new__.pairs": lambda n: DriveTrain("1.8 deg", "1/16", (n, 20)),
    "DriveTrain.geared.driver": lambda n: DRIVE.geared(n, 20),
    "DriveTrain.geared.driven": lambda n: DRIVE.geared(20, n),
    "Linear.lead_screw_by_pitch.starts": lambda n: Linear.lead_screw_by_pitch(DRIVE, "2 mm", n),
    "Linear.lead_screw_by_threads_per_inch.starts": lambda n: Linear.lead_screw_by_threads_per_inch(DRIVE, 8, n),
    "Linear.belt.pulley_teeth": lambda n: Linear.belt(DRIVE, "3 mm", n),
    "Linear.rack_by_tooth_pitch.pinion_teeth": lambda n: Linear.rack_by_tooth_pitch(DRIVE, "3 mm", n),
    "Linear.rack_by_module.pinion_teeth": lambda n: Linear.rack_by_module(DRIVE, "1 mm", n),
    "Linear.position_at.step": lambda n: SCREW.position_at(n, 1),
    "SwingArm.by_sector.worm_starts": lambda n: by_sector(worm_starts=n),
    "SwingArm.by_sector.sector_teeth": lambda n: by_sector(sector_teeth=n),
    "SwingArm.position_at.step": lambda n: by_sector().position_at(n, 1),
    "ScrewTilt.position_at.step": lambda n: tilt().position_at(n, 1),
    "DepthOfCut.position_at.step": lambda n: BLADE.at_tilt(by_sector(), "1 deg").position_at(n, 1),
    "GridFit.__new__.every": lambda n: GridFit(n, "1 mm"),
    "Conformance.__new__.steps": lambda n: Conformance(n, 1, 1),
    "Conformance.__new__.placements": lambda n: Conformance(1, n, 1),
    "Conformance.__new__.open": lambda n: Conformance(1, 1, n),
    "check_conformance.samples": lambda n: check_conformance(SCREW, samples=n),
    "check_conformance.seed": lambda n: check_conformance(SCREW, seed=n),
    "Axis.at_step.step": lambda n: lift().at_step(n),
    "Axis.plan.timer_hz": lambda n: lift().plan("0 mm", "1 mm", timer_hz=n),
    "Plan.edges.first": lambda n: PLAN.edges(n),
    "Plan.edges.count": lambda n: PLAN.edges(0, n),
    "Plan.edges_in_chunks.size": lambda n: PLAN.edges_in_chunks(n),
    "Detent.steps.detents": lambda n: Detent(1).steps(n),
    "Inputs.__new__.dial": lambda n: Inputs(dial=n),
    "Inputs.replace.dial": lambda n: Inputs().replace(dial=n),
    "Inputs.__replace__.dial": lambda n: Inputs().__replace__(dial=n),
    "Quadrature.__new__.count": lambda n: Quadrature(False, False, n),
    "Quadrature.__new__.missed": lambda n: Quadrature(False, False, 0, n),
    "StepEdge.__new__.due": lambda n: StepEdge(n, "forward"),
    "Output.__new__.poll_again_at": lambda n: Output(None, False, False, [], n),
    "Repeatability.__new__.deviations": lambda n: Repeatability([0, n]),
    "Carriage.poll.now": lambda n: CARRIAGE.poll(n, Inputs()),
    "Carriage.go_to.target": lambda n: CARRIAGE.go_to(n),
    "Carriage.go_to_at.target": lambda n: CARRIAGE.go_to_at(n, "1 mm/s"),
    "Carriage.go_by.steps": lambda n: CARRIAGE.go_by(n),
    "Carriage.touch_off.contact_step": lambda n: CARRIAGE.touch_off("stop", n),
    "Carriage.confirm_position.stands_on": lambda n: CARRIAGE.confirm_position(n),
    "Axis.with_step_at.step": lambda n: LIFT.with_step_at(n, "12.7 mm"),
    "GroundTruth.__new__.tick": lambda n: GroundTruth(n, 0.0, 0.0, False, 0, 0, None),
    "GroundTruth.__new__.slips": lambda n: GroundTruth(0, 0.0, 0.0, False, n, 0, None),
    "GroundTruth.__new__.end_stop_hits": lambda n: GroundTruth(0, 0.0, 0.0, False, 0, n, None),
    "Twin.__new__.seed": lambda n: Twin(LIFT, seed=n),
    "Twin.commissioned.seed": lambda n: Twin.commissioned(LIFT, seed=n),
    "Twin.press.at": lambda n: TWIN.press("enable", at=n),
    "Twin.rocker.at": lambda n: TWIN.rocker("low", at=n),
    "Twin.dial.counts": lambda n: TWIN.dial(n),
    "Twin.dial.at": lambda n: TWIN.dial(4, at=n),
    "Twin.plate.at": lambda n: TWIN.plate(at=n),
    "Twin.cutter.at": lambda n: TWIN.cutter("1 mm", at=n),
    "Twin.turn_screw.at": lambda n: TWIN.turn_screw(1.0, at=n),
    "Twin.inject.at": lambda n: TWIN.inject("stall", at=n),
    "Twin.inject.until": lambda n: TWIN.inject("stall", until=n),
    "Twin.run_until.tick": lambda n: TWIN.run_until(n),
    "Twin.run_until_still.most": lambda n: TWIN.run_until_still(n),
    "run_rehearsal.seed": lambda n: _native.run_rehearsal(LAP, n, [], None),
    "look_at_study.seed": lambda n: _native.look_at_study(LAP, "1 mm", n),
    "machines_left.machines": lambda n: _native.machines_left(n, set()),
    "run_trials.seed": lambda n: _native.run_trials(LAP, "1 mm", n, 0, 1),
    "run_trials.first": lambda n: _native.run_trials(LAP, "1 mm", 1, n, 1),
    "run_trials.count": lambda n: _native.run_trials(LAP, "1 mm", 1, 0, n),
    "sum_up.seed": lambda n: _native.sum_up(LAP, "1 mm", n, []),
}


def in_the_stubs() -> set[str]:
    """Every argument that takes a whole number, as ``Class.method.argument``."""
    found = set()

    def look(function: ast.FunctionDef, owner: str) -> None:
        taken = function.args
        for argument in [*taken.posonlyargs, *taken.args, *taken.kwonlyargs, *filter(None, [taken.vararg])]:
            told = ast.unparse(argument.annotation) if argument.annotation else ""
            started_by_sum = function.name == "__radd__"
            assert started_by_sum or "int" not in told.split(" | "), f"{owner}{function.name}: say SupportsIndex"
            if "SupportsIndex" in told:
                found.add(f"{owner}{function.name}.{argument.arg}")

    for node in ast.parse(STUB.read_text(encoding="utf-8")).body:
        if isinstance(node, ast.FunctionDef):
            look(node, "")
        elif isinstance(node, ast.ClassDef):
            for member in node.body:
                if isinstance(member, ast.FunctionDef):
                    look(member, f"{node.name}.")
    return found


def test_every_whole_number_of_the_stubs_has_a_row() -> None:
    assert in_the_stubs() == set(ARGUMENTS)


@pytest.mark.parametrize("argument", ARGUMENTS)
def test_what_does_not_fit_is_quoted_with_what_is_allowed(argument: str) -> None:
    for given in (2**200, -(2**200), 10**5000):
        with pytest.raises(WholestepError) as caught:
            ARGUMENTS[argument](given)
        quoted = "16610 bits" if given == 10**5000 else str(given)[:20]
        assert quoted in str(caught.value) and " is allowed" in str(caught.value)
        assert caught.value.kind == "out_of_range"


@pytest.mark.parametrize("argument", ARGUMENTS)
def test_what_is_no_whole_number_is_quoted(argument: str) -> None:
    for given in (True, 1.5, "x", 3j):
        with pytest.raises(WholestepError) as caught:
            ARGUMENTS[argument](given)
        assert str(given) in str(caught.value)


def test_numbers_of_numpy_are_whole_numbers() -> None:
    numpy = pytest.importorskip("numpy")
    assert Length("1 in").decimal_in("in", numpy.int8(2)) == "1.00 in"
    assert lift().at_step(numpy.uint64(400)).position.low == Length("1 mm")
    assert Length(numpy.int32(3), "in") == Length("3 in") == Length("1 in") * numpy.int64(3)
    for given in (numpy.float32(0.5), numpy.float64(0.5)):
        with pytest.raises(wholestep.errors.InexactNumberError, match=r'write it exactly: "0.5 in"'):
            Length(given, "in")
    with pytest.raises(WholestepError):
        lift().at_step(numpy.bool_(True))
