"""The acceptance matrix of the Python package: what is shipped × what takes it × random targets.

Every axis file, job file and third-party kind, every public function and method that takes one, targets
within the limits, every side of arrival, zeros at odd places and units unlike the axis's own: nothing is
refused, Python and the command say the same, and every step is the one that its rule asks for. The Rust
matrix (``tests/tests/acceptance``) recomputes more, and compares the library with the command too.

It grows by itself: files are found by walking ``examples``, and a public callable that no row calls fails
unless it is excused below. ``ACCEPTANCE_MOVES`` sets how many moves each axis file makes, ``ACCEPTANCE_SEED``
where chance begins.
"""

import csv
import importlib
import json
import math
import os
import subprocess
import sys
import tomllib
from array import array
from collections.abc import Callable, Iterator
from dataclasses import astuple, dataclass, fields, replace
from fractions import Fraction
from functools import cache
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory
from types import FrameType
from typing import Any, Literal, TypeAlias

import pytest
from machine import REPOSITORY

import wholestep
from wholestep import Angle, Axis, Enclosure, Length, Placement, Plan, WholestepError, _native, errors

EXAMPLES = REPOSITORY / "examples"
MOVES = int(os.environ.get("ACCEPTANCE_MOVES", "300"))
SEED = int(os.environ.get("ACCEPTANCE_SEED", "1"))

Measure: TypeAlias = Length | Angle
Rounding: TypeAlias = Literal["nearest", "below", "above"]
Approach: TypeAlias = Literal["either", "from_below", "from_above"]
ROUNDINGS: tuple[Rounding, ...] = ("nearest", "below", "above")
ARRIVALS: dict[Approach, str] = {"either": "unknown", "from_below": "from-below", "from_above": "from-above"}

# What is shipped.


def shipped(key: str) -> list[Path]:
    """Files of the examples that have a key at their root; one that is neither axis nor job is in no row."""
    files = []
    for path in sorted(EXAMPLES.rglob("*.toml")):
        if path.name in ("Cargo.toml", "pyproject.toml"):
            continue
        keys = tomllib.loads(path.read_text(encoding="utf-8"))
        assert "kind" in keys or "axis" in keys, f"{path} is in no row"
        if key in keys:
            files.append(path)
    assert files
    return files


def known(path: Path) -> bool:
    """Whether Python knows the file's kind."""
    try:
        Axis.load(path)
    except errors.UnknownKindError:
        return False
    return True


def third_party() -> Any:
    """The kind that a Python package in the examples adds."""
    sys.path.insert(0, str(EXAMPLES / "python_mechanism"))
    toggle = importlib.import_module("wholestep_toggle").Toggle
    if not known(EXAMPLES / "python_mechanism" / "press_table.toml"):
        wholestep.register("toggle", toggle)
    return toggle


@dataclass(frozen=True)
class Shipped:
    """An axis file."""

    path: Path
    axis: Axis

    @property
    def unit(self) -> str:
        return self.axis.unit

    @property
    def turns(self) -> bool:
        return isinstance(self.axis.low, Angle)


TOGGLE = third_party()
AXES = [path for path in shipped("kind") if known(path)]
# Kinds that Rust crates offer are in the Rust matrix.
assert all(path in AXES or path.with_name("Cargo.toml").is_file() for path in shipped("kind"))
JOBS = shipped("axis")


@cache
def load(path: Path) -> Shipped:
    """The same axis for every row."""
    return Shipped(path, Axis.load(path))


# Dimensions as people write them.

UNITS = {"mm": "1", "cm": "10", "m": "1000", "µm": "1/1000", "in": "127/5", "ft": "1524/5", "yd": "4572/5"}
TURNS = {"deg": "1", "arcmin": "1/60", "arcsec": "1/3600", "turn": "360"}
PARTS = (1, 2, 4, 8, 16, 32, 64, 3, 6, 7, 12, 10, 100, 1000, 10000)
ODD_PARTS = (3, 6, 7, 12)


def base(value: Measure) -> Fraction:
    """In millimetres or degrees."""
    return value.value_in("mm" if isinstance(value, Length) else "deg")


def written(chance: Random, low: Fraction, high: Fraction, turns: bool, parts: tuple[int, ...] = PARTS) -> str:
    """A dimension from ``low`` to ``high`` as people write it, in any unit."""
    units = TURNS if turns else UNITS
    while True:
        unit, denominator = chance.choice(list(units)), chance.choice(parts)
        part = Fraction(units[unit]) / denominator
        least, most = math.ceil(low / part), math.floor(high / part)
        if least <= most:
            return f"{number(chance.randint(least, most), denominator)} {unit}"


def number(count: int, parts: int) -> str:
    sign = "-" if count < 0 else ""
    whole, rest = divmod(abs(count), parts)
    if not rest:
        return f"{sign}{whole}"
    if parts % 10 == 0:
        return f"{sign}{whole}.{rest:0{len(str(parts)) - 1}}"
    return f"{sign}{whole}-{rest}/{parts}" if whole else f"{sign}{rest}/{parts}"


def limits(axis: Axis) -> tuple[Fraction, Fraction]:
    """On the axis's scale."""
    return base(axis.low) - base(axis.zero), base(axis.high) - base(axis.zero)


def target(chance: Random, axis: Axis) -> str | Measure:
    """Within the limits: mostly as people write it, sometimes a limit, a step or the middle of two."""
    low, high = limits(axis)
    turns = isinstance(axis.low, Angle)
    value: Measure | None = None
    match chance.randrange(16):
        case 0:
            value = axis.low - axis.zero  # type: ignore[operator]
        case 1:
            value = axis.high - axis.zero  # type: ignore[operator]
        case 2:
            value = axis.at_step(allowed(chance, axis)).target
        case 3:
            step = allowed(chance, axis)
            value = (axis.at_step(step).target + axis.at_step(step + 1).target) / 2  # type: ignore[operator]
    if value is not None and low <= base(value) <= high:
        return value
    return written(chance, low, high, turns)


def allowed(chance: Random, axis: Axis) -> int:
    return chance.randint(*sorted((axis.lowest_step, axis.highest_step)))


def measure(value: str | Measure, axis: Axis) -> Measure:
    if isinstance(value, str):
        return Angle(value) if isinstance(axis.low, Angle) else Length(value)
    return value


def zeroed(chance: Random, axis: Axis) -> Axis:
    """The axis from its datum, from a zero at thirds, or after a touch-off."""
    low, high = limits(axis)
    turns = isinstance(axis.low, Angle)
    match chance.randrange(3):
        case 0:
            zero = measure(written(chance, low, high, turns, ODD_PARTS), axis)
            measured = axis.with_zero(zero)
            assert measured.zero == zero
            return measured
        case 1:
            step = allowed(chance, axis)
            gauge = chance.choice(("1/3 deg", "0°20'") if turns else ("1/4 in", "6.35 mm", "1/3 in"))
            measured = axis.with_step_at(step, gauge)
            # Where the gauge's own height is: at the step of contact.
            off = base(measured.at_step(step).position.low) - base(measure(gauge, axis))
            assert abs(off) <= Fraction(2, 10**12)
            return measured
        case _:
            return axis


# What is right.


def bounds(enclosure: Enclosure) -> tuple[Fraction, Fraction]:
    return base(enclosure.low), base(enclosure.high)


def may_be_refused(axis: Axis, wanted: Fraction, rounding: Rounding) -> bool:
    """Whether no allowed step may stand on the side of the target to which it is rounded."""
    if rounding == "below":
        return bounds(axis.at_step(axis.lowest_step).position)[1] > wanted
    if rounding == "above":
        return bounds(axis.at_step(axis.highest_step).position)[0] < wanted
    return False


def check_placed(axis: Axis, asked: Measure, rounding: Rounding, placed: Placement) -> None:
    wanted, step = base(asked), placed.step
    assert placed.target == asked
    low, high = bounds(placed.position)
    assert (low, high) == bounds(axis.at_step(step).position)
    remainder = bounds(placed.remainder)
    assert remainder[0] <= high - wanted and low - wanted <= remainder[1]
    assert remainder[1] - remainder[0] <= high - low + Fraction(1, 10**17)
    first, last = sorted((axis.lowest_step, axis.highest_step))
    assert first <= step <= last
    for beside in (step - 1, step + 1):
        if not first <= beside <= last:
            continue
        above = (beside > step) == axis.is_rising
        there = bounds(axis.at_step(beside).position)
        exact = there[0] == there[1]
        if rounding == "nearest":
            off, other = max(abs(low - wanted), abs(high - wanted)), min(abs(there[0] - wanted), abs(there[1] - wanted))
            if placed.is_decided:
                assert off <= other
            if low == high and exact and off == other:
                assert step % 2 == 0
        elif placed.is_decided and rounding == "below":
            assert high <= wanted
            assert not above or there[0] > wanted or (there[0] == wanted and not exact)
        elif placed.is_decided:
            assert low >= wanted
            assert above or there[1] < wanted or (there[1] == wanted and not exact)


def may_lack_room(axis: Axis, to: int, arrived: Approach, start: int) -> bool:
    """Whether the play may have to be taken up, and the turn for it lies past a soft limit."""
    if axis.approach == "either" or not base(axis.backlash):
        return False
    behind = axis.lowest_step if axis.approach == "from_below" else axis.highest_step
    low, high = bounds(axis.at_step(to).position)
    there = bounds(axis.at_step(behind).position)
    toward = (axis.approach == "from_below") == axis.is_rising
    onward = (to >= start) == toward
    known_side = onward and arrived == axis.approach
    return not known_side and min(abs(low - there[1]), abs(high - there[0])) < base(axis.backlash)


def check_planned(axis: Axis, plan: Plan) -> None:
    assert plan.steps == plan.to.step - plan.start.step == sum(leg.steps for leg in plan.legs)
    assert plan.edge_count == sum(abs(leg.steps) for leg in plan.legs)
    assert len(plan.legs) <= (1 if axis.approach == "either" else 2)
    assert plan.duration == Fraction(plan.ticks, plan.timer_hz)
    if not plan.edge_count:
        assert plan.ticks == 0
        return
    last = list(plan.edges(max(0, plan.edge_count - 8)))
    assert last == sorted(last) and last[-1] <= plan.ticks
    assert plan.steps_at(0) == 0 and plan.steps_at(plan.ticks) == plan.steps
    assert plan.steps_per_tick_at(plan.ticks) >= 0 or plan.legs[-1].steps < 0
    if plan.edge_count < 20_000:
        edges = list(plan.edges())
        assert len(edges) == plan.edge_count and edges[-len(last) :] == last
        assert [tick for chunk in plan.edges_in_chunks(4_096) for tick in chunk] == edges


# The rows: each takes a file, chance and a number of moves.

Row: TypeAlias = Callable[["Shipped", Random, int], None]
ROWS: list[Row] = []


def row(function: Row) -> Row:
    ROWS.append(function)
    return function


@row
def compares_a_measured_travel(file: Shipped, chance: Random, moves: int) -> None:
    for _ in range(min(moves, 20)):
        ratio = Fraction(chance.randrange(1, 64), chance.randrange(1, 64))
        check = file.axis.check_travel(10, 10 * ratio)
        assert (check.ratio, check.agrees) == (ratio, abs(ratio - 1) <= Fraction(1, 50))
        assert not (check.agrees and check.explanations)
        assert all(says != fits for _, says, fits in check.explanations)


@row
def places(file: Shipped, chance: Random, moves: int) -> None:
    for _ in range(moves):
        axis, rounding = zeroed(chance, file.axis), chance.choice(ROUNDINGS)
        asked = target(chance, axis)
        wanted = measure(asked, axis)
        try:
            placed = axis.place(asked, rounding)
        except errors.BeyondLimitError:
            assert may_be_refused(axis, base(wanted), rounding)
            continue
        check_placed(axis, wanted, rounding, placed)
        assert axis.place_many([asked, wanted], rounding) == [placed, placed]
        if placed.is_decided:
            assert axis.place(wanted, rounding, strict=True) == placed
        else:
            with pytest.raises(errors.UndecidedError):
                axis.place(wanted, rounding, strict=True)


@row
def rounds(file: Shipped, chance: Random, moves: int) -> None:
    """To a whole multiple of a part of a unit, as a rule has marks."""
    for _ in range(moves):
        asked = measure(target(chance, file.axis), file.axis)
        part = measure(written(chance, Fraction(1, 100), Fraction(3), file.turns), file.axis)
        times = base(asked) / base(part)
        counts = {"nearest": round(times), "below": math.floor(times), "above": math.ceil(times)}
        for rounding in ROUNDINGS:
            assert asked.rounded_to(part, rounding) == counts[rounding] * part  # type: ignore[arg-type]
        assert divmod(asked, part) == (counts["below"], asked - counts["below"] * part)  # type: ignore[operator]


@row
def tells_its_rates(file: Shipped, chance: Random, moves: int) -> None:
    jerk = file.axis.jerk or wholestep.Jerk(1, "rev/s³" if file.turns else "yd/s³")
    for rate, second in ((file.axis.speed, "s"), (file.axis.acceleration, "s²"), (jerk, "s³")):
        unit = f"{chance.choice(('arcmin', 'deg') if file.turns else ('in', 'cm'))}/{second}"
        assert type(rate)(rate.to_text(unit)) == type(rate)(rate.value_in(unit), unit) == rate
        assert rate.decimal_in(unit, 18).lstrip("≈ ").endswith(unit)


@row
def places_numbers(file: Shipped, chance: Random, moves: int) -> None:
    """Whole numbers of a part of a unit, as a program has them."""
    unit, part = ("arcmin", Fraction(1, 60)) if file.turns else ("in", Fraction(127, 5))
    low, high = limits(file.axis)
    counts = [chance.randint(math.ceil(low / part * 64), math.floor(high / part * 64)) for _ in range(moves)]
    steps = file.axis.place_many(array("q", counts), unit=unit, denominator=64)
    assert list(steps) == [file.axis.place(f"{count}/64 {unit}").step for count in counts]


@row
def goes_on(file: Shipped, chance: Random, moves: int) -> None:
    for _ in range(moves):
        axis, rounding = zeroed(chance, file.axis), chance.choice(ROUNDINGS)
        step = allowed(chance, axis)
        at = axis.at_step(step)
        assert at.step == step
        low, high = limits(axis)
        if low <= base(at.target) <= high:
            assert axis.place(at.target).step == step
        distance = measure(written(chance, low - base(at.target), high - base(at.target), file.turns), axis)
        there = at.target + distance  # type: ignore[operator]
        try:
            placed = axis.place_by(at, distance, rounding)
        except errors.BeyondLimitError:
            assert may_be_refused(axis, base(there), rounding)
            continue
        check_placed(axis, there, rounding, placed)


@row
def plans(file: Shipped, chance: Random, moves: int) -> None:
    for _ in range(moves):
        axis, arrived = zeroed(chance, file.axis), chance.choice(list(ARRIVALS))
        start, to = axis.place(target(chance, axis)), axis.place(target(chance, axis))
        speed = None if chance.randrange(4) else slower(chance, axis)
        try:
            plan = axis.plan(start, to, arrived=arrived, speed=speed)
        except errors.BeyondLimitError:
            assert may_lack_room(axis, to.step, arrived, start.step)
            continue
        assert (plan.start, plan.to, plan.timer_hz) == (start, to, axis.timer_hz)
        check_planned(axis, plan)


def slower(chance: Random, axis: Axis) -> str:
    """A part of the axis's speed, in a unit unlike its own."""
    unit = "arcmin/s" if isinstance(axis.low, Angle) else "in/s"
    return (axis.speed * Fraction(chance.randint(1, 15), 16)).to_text(unit)


@row
def tells_what_it_holds(file: Shipped, chance: Random, moves: int) -> None:
    grid = chance.choice(("1 deg", "1/7 deg") if file.turns else ("1/64 in", "0.1 mm", "1/3 in"))
    held = file.axis.grid_fit(grid)
    at = [file.axis.at_step(file.axis.lowest_step + step).position for step in (0, 1)]
    if held is None:
        return
    travel = abs(base(at[1].low) - base(at[0].low))
    ratio = base(measure(grid, file.axis)) / travel
    assert held.every == ratio.denominator
    assert base(held.worst) == Fraction(held.every // 2, held.every) * travel
    assert wholestep.Detent.of(file.axis, grid).size == ratio


@row
def lives(file: Shipped, chance: Random, moves: int) -> None:
    """A carriage is made for every axis, and a twin for every one that moves along a line."""
    assert wholestep.Carriage(file.axis).commissioning_task is not None
    assert wholestep.Carriage.commissioned(file.axis).commissioning_task is None
    if file.turns:
        return
    try:
        twin = wholestep.Twin.commissioned(file.axis, seed=1)
    except errors.FileKeyError as error:
        assert "axis without a way to find its datum" in str(error)
        return
    assert wholestep.Twin(file.axis, seed=1).carriage.commissioning_task is not None
    twin.press("enable")
    assert twin.run_until_still(10**9)
    twin.carriage.find_datum()
    assert twin.run_until_still(10**12) and twin.carriage.is_proven
    for _ in range(min(moves, 3)):
        low, high = limits(file.axis)
        room = base(file.axis.backlash) + 1
        to = file.axis.place(written(chance, low + room, high - room, False))
        if chance.randrange(2):
            twin.carriage.go_to(to)
        else:
            twin.carriage.go_to_at(to, file.axis.speed * Fraction(chance.randint(1, 15), 16))
        assert twin.run_until_still(10**12)
        assert (twin.carriage.step, twin.lost_steps) == (to.step, 0)


@row
def agrees_with_the_command(file: Shipped, chance: Random, moves: int) -> None:
    for _ in range(math.ceil(moves / 30)):
        describes(file)
        places_by_command(file, chance)
        for _ in range(3):
            times_by_command(file, chance)


def describes(file: Shipped) -> None:
    told = command("describe", str(file.path))
    axis, unit = file.axis, file.unit
    assert (told["low"], told["high"]) == (axis.low.to_text(unit), axis.high.to_text(unit))
    assert (told["lowest_step"], told["highest_step"]) == (axis.lowest_step, axis.highest_step)
    assert (told["name"], told["approach"]) == (axis.name, axis.approach)


def places_by_command(file: Shipped, chance: Random) -> None:
    axis = file.axis
    zero = written(chance, *limits(axis), file.turns, ODD_PARTS)
    axis = axis.with_zero(zero)
    targets = [target(chance, axis) for _ in range(10)]
    texts = [one if isinstance(one, str) else one.to_text(file.unit) for one in targets]
    rows = command("place", str(file.path), *texts, "--zero", zero)
    for asked, told in zip(targets, rows, strict=True):
        placed = axis.place(asked)
        assert (told["step"], told["is_decided"]) == (placed.step, placed.is_decided)
        assert told["target"] == placed.target.to_text(file.unit)
        for name, enclosure in (("position", placed.position), ("remainder", placed.remainder)):
            assert told[name]["low"] == enclosure.low.to_text(file.unit)
            assert told[name]["high"] == enclosure.high.to_text(file.unit)


def times_by_command(file: Shipped, chance: Random) -> None:
    axis, arrived = file.axis, chance.choice(list(ARRIVALS))
    start, to = (measure(target(chance, axis), axis) for _ in range(2))
    speed = slower(chance, axis)
    texts = (start.to_text(file.unit), to.to_text(file.unit))
    try:
        plan = axis.plan(start, to, arrived=arrived, speed=speed)
    except errors.BeyondLimitError:
        assert may_lack_room(axis, axis.place(to).step, arrived, axis.place(start).step)
        return
    told = command("time", str(file.path), *texts, "--arrived", ARRIVALS[arrived], "--speed", speed, "--edges", "2")
    assert (told["steps"], told["ticks"], told["timer_hz"]) == (plan.steps, plan.ticks, plan.timer_hz)
    legs = [(leg.steps, leg.start, leg.end - leg.start) for leg in plan.legs]
    assert [(leg["steps"], leg["starts_at_tick"], leg["ticks"]) for leg in told["legs"]] == legs
    if plan.edge_count:
        assert told["first_edges"][:1] == list(plan.edges(count=1))


# The command, in this process: it writes to the process's own output.

_CAPTURE: list[pytest.CaptureFixture[str]] = []


@pytest.fixture(autouse=True)
def _kinds_are_known() -> None:
    """Every test forgets what was registered before it."""
    third_party()


@pytest.fixture(autouse=True)
def _captured(capfd: pytest.CaptureFixture[str]) -> Iterator[None]:
    _CAPTURE.append(capfd)
    yield
    _CAPTURE.pop()


def command(*arguments: str, well: int = 0) -> Any:
    _CAPTURE[-1].readouterr()
    status = _native.command(["wholestep", *arguments, "--json"])
    output, complaint = _CAPTURE[-1].readouterr()
    assert status == well, f"{arguments}: {complaint}"
    return json.loads(output)


def chance_of(*names: object) -> Random:
    return Random(f"{SEED} {names}")


@pytest.mark.parametrize("path", AXES, ids=lambda path: path.stem)
@pytest.mark.parametrize("part", ROWS, ids=lambda part: part.__name__)
def test_axis_files(part: Row, path: Path) -> None:
    # A mechanism written in Python takes ten times as long.
    moves = MOVES // 4 if "python_mechanism" in path.parts else MOVES
    part(load(path), chance_of(part.__name__, path.name), moves)


@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.stem)
def test_job_files(path: Path) -> None:
    jobs(path)


def jobs(path: Path) -> None:
    keys = tomllib.loads(path.read_text(encoding="utf-8"))
    done = wholestep.rehearse(path)
    assert done.sound and (done.lost_steps, done.slips, done.end_stop_hits, done.not_reached) == (0, 0, 0, ())
    told = command("rehearse", str(path))
    assert [(one.step, one.steps) for one in done.moves] == [(one["step"], one["steps"]) for one in told["moves"]]
    if "cut_list" not in keys:
        return
    axis = Axis.load(path.parent / keys["axis"])
    wanted = wholestep.CutList.load(path)
    assert replace(wanted) == wanted
    assert through_csv(wanted) == wanted
    cuts, told = wanted.cuts(axis), command("cuts", str(path))
    assert cuts == wanted.cuts()
    assert cuts.to_dict() == json.loads(cuts.to_json()) == told
    assert len(cuts.cuts) == len(told["cuts"]) > 0
    for cut, other in zip(cuts.cuts, told["cuts"], strict=True):
        assert (cut.part, cut.stock, cut.remaining) == (other["part"], other["stock"], Length(other["remaining"]))
        assert cut.setting.stop == Enclosure(other["stop"]["low"], other["stop"]["high"])
        placement = other["placement"]
        assert cut.setting.step == (placement and placement["step"])
        if cut.setting.step is not None and cut.setting.stop.is_exact:
            check_placed(axis, cut.setting.stop.low, wanted.rounding, axis.place(cut.setting.stop.low, wanted.rounding))
            assert axis.place(cut.setting.stop.low, wanted.rounding).step == cut.setting.step
    for piece in cuts.stock:
        assert piece.length == piece.trim + piece.parts + piece.kerf + piece.offcut


def through_csv(wanted: wholestep.CutList) -> wholestep.CutList:
    """The list with its parts written to a CSV file and read back."""
    with TemporaryDirectory() as folder:
        file = Path(folder) / "parts.csv"
        with file.open("w", encoding="utf-8", newline="") as opened:
            table = csv.writer(opened)
            table.writerow([field.name for field in fields(wholestep.Part)])
            table.writerows(astuple(part) for part in wanted.parts)
        return replace(wanted, parts=()).with_parts_from(file)


def test_a_third_partys_kind_keeps_its_promises() -> None:
    conforms(samples=20)


def conforms(samples: int) -> None:
    toggle = TOGGLE(wholestep.DriveTrain("1.8 deg", "1/8"), Length("4 mm"), Length("100 mm"), Length("40 mm"))
    assert wholestep.check_conformance(toggle, samples=samples).placements > 4 * samples


@pytest.mark.parametrize("path", AXES, ids=lambda path: path.stem)
def test_a_process_of_its_own_says_the_same(path: Path) -> None:
    if "python_mechanism" in path.parts:
        pytest.skip("its kind is registered in this process alone; the stage third-party installs it")
    text = load(path).axis.low.to_text(load(path).unit)
    script = Path(sys.executable).with_name("wholestep")
    done = subprocess.run([script, "place", path, text, "--json"], capture_output=True, text=True, check=True)
    assert json.loads(done.stdout) == command("place", str(path), text)


# Nothing public is left out.

MACHINE = "a request at the machine or an act of its person; test_carriage and test_twin make them"
EXCUSED: dict[str, str] = {
    **dict.fromkeys(
        (
            *("Carriage." + name for name in ("poll", "go_by", "hold", "travel_to_end", "jog", "touch_off", "brake", "release")),
            *("Carriage." + name for name in ("confirm_position", "mark_unproven", "brake_and_release", "clear_fault")),
            *("Carriage." + name for name in ("nudge", "confirm_direction", "measure_travel", "report_travel")),
            *("Twin." + name for name in ("rocker", "dial", "plate", "cutter", "turn_screw", "inject", "run_until")),
            *("Detent.steps", "Inputs.replace", "Quadrature.read", "Repeatability.from_both_sides"),
        ),
        MACHINE,
    ),
    **dict.fromkeys(
        (
            *("Linear.lead_screw_by_" + name for name in ("pitch", "lead", "threads_per_inch", "thread")),
            *("Linear." + name for name in ("belt", "rack_by_tooth_pitch", "rack_by_module", "drum", "measured")),
            *("Linear.rotary", "Linear.span", "Linear.position_at", "DriveTrain.geared", "Mechanism.span"),
            *("Mechanism.position_at", "Axis.from_toml", "register", "SwingArm.by_screw", "SwingArm.by_sector"),
            *(f"{kind}.{asked}" for kind in ("SwingArm", "ScrewTilt", "DepthOfCut") for asked in ("span", "position_at")),
            *("TiltedBlade." + name for name in ("depth_of_cut", "fence_correction", "kerf_at_table", "at_tilt")),
        ),
        "makes a mechanism or is asked of one; files make them here, and test_mechanism, test_curved and test_axis by hand",
    ),
    **dict.fromkeys(
        ("Study.run", "Study.summary", "cut_folder"), "runs a job many times, or many jobs; test_study does it on shipped ones"
    ),
    "Calibration.of": "needs readings of a gauge; test_calibration gives them, and the matrix of the command on every file",
    "Effort.of": "needs figures of the machine, which few axis files have; test_effort gives them",
    **dict.fromkeys(
        tuple(f"{name}.{way}" for name in ("Length", "Angle") for way in ("fraction_in", "decimal_in", "to_pint")),
        "takes no axis; test_measures reads the shared vectors",
    ),
}


def public() -> set[str]:
    """Functions, and methods of classes, of the package's public names."""
    names: set[str] = set()
    for name in wholestep.__all__:
        value = getattr(wholestep, name)
        if isinstance(value, type):
            if issubclass(value, BaseException):
                continue
            names.update(f"{name}.{part}" for part in vars(value) if is_method(value, part))
        elif callable(value):
            names.add(name)
    return names


def is_method(owner: type, name: str) -> bool:
    return not name.startswith("_") and callable(getattr(owner, name)) and not isinstance(getattr(owner, name), type)


def test_every_public_callable_is_in_a_row_or_excused() -> None:
    called: set[str] = set()

    def note(frame: FrameType, event: str, function: Any) -> None:
        if event == "c_call":
            called.add(function.__qualname__)
        elif event == "call":
            called.add(frame.f_code.co_qualname)

    sys.setprofile(note)
    try:
        for part in ROWS:
            for name in ("router_lift.toml", "tilting_table.toml"):
                part(load(EXAMPLES / "axes" / name), chance_of("calls"), 12)
        jobs(EXAMPLES / "jobs" / "tool_tray.toml")
        conforms(samples=2)
    finally:
        sys.setprofile(None)
    left = public() - called - set(EXCUSED)
    assert not left, f"no row calls {sorted(left)}"
    idle = (set(EXCUSED) - public()) | (set(EXCUSED) & called - {"register"})
    assert not idle, f"excused for nothing: {sorted(idle)}"


def test_what_lies_outside_is_refused() -> None:
    """The rows would not notice an axis that takes anything; this does."""
    for path in AXES:
        axis = load(path).axis
        for beyond in (axis.low - one(axis), axis.high + one(axis)):  # type: ignore[operator]
            with pytest.raises(WholestepError) as refused:
                axis.place(beyond)
            assert refused.value.kind == "beyond_limit"


def one(axis: Axis) -> Measure:
    return Angle("1 arcsec") if isinstance(axis.low, Angle) else Length("1 µm")
