"""Every public type: is it a value, and does it copy, pickle, compare, hash, show and refuse as one?

The rows are compared with the package's own names, so that a new class without a row fails.
"""

import copy
import inspect
import pickle
import tempfile
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from machine import AXES, BLADE, DRIVE, REPOSITORY, by_screw, by_sector, tilt

import wholestep
from wholestep import (
    Acceleration, Angle, Axis, Calibration, Carriage, Conformance, CutList, CutSheet, Detent, DriveTrain, Effort, Enclosure, Fault,
    GridFit, Inputs, Jerk, Length, Linear, Marks, Output, Part, Quadrature, Rehearsed, Repeatability, Speed, StepEdge,
    Spread, Stock, StopMove, Study, Thread,
    TiltedBlade, GroundTruth, TravelCheck, Twin, WholestepError, errors, events, rehearse,
)

type_of = type


def stop() -> Axis:
    return Axis.load(AXES / "stop_block.toml")


def screw_axis(**changes: str) -> Axis:
    words = {"low": "0 mm", "high": "600 mm", "speed": "40 mm/s", "acceleration": "200 mm/s²", **changes}
    return Axis(Linear.lead_screw_by_lead(DRIVE, "8 mm"), **words)  # type: ignore[arg-type]


def cut_list(**changes: Any) -> CutList:
    fields: dict[str, Any] = {
        "unit": "in",
        "kerf": "1/8 in",
        "parts": [Part("rail", "12 in", 2), Part("long", "90 ft")],
        "stock": [Stock("30 in")],
        "marks": [Marks("shelf", "10 in", count=2)],
    }
    return CutList(**{**fields, **changes})


def cuts(**changes: Any) -> CutSheet:
    return cut_list(**changes).cuts(stop())


def lap(seed: int = 1) -> Rehearsed:
    return rehearse(REPOSITORY / "examples" / "jobs" / "lap_joint.toml", seed=seed)


REHEARSED = lap()
LIFT = AXES / "plunge_lift.toml"
LAP_JOB = REPOSITORY / "examples" / "jobs" / "lap_joint.toml"
THREADS = ThreadPoolExecutor(1)
READINGS = Path(tempfile.mkdtemp()) / "readings.csv"
READINGS.write_text("asked,read,way\n0,0.1,up\n40,40.14,up\n40,40.2,down\n0,0.16,down\n0,0.1,up\n", encoding="utf-8")


def calibrated(resolution: str = "0.01 mm") -> Calibration:
    return Calibration.of(AXES / "router_lift.toml", READINGS, resolution=resolution)



def tried() -> Study:
    return Study(LAP_JOB, within="0.1 mm").run(3, executor=THREADS)


@dataclass(frozen=True)
class Row:
    """How one value is made (anew each time), another one, and a bad one with what its error quotes.

    ``named`` are the parts that a ``repr`` names which does not evaluate back. A class without a bad
    row is made by the library alone and checks nothing.
    """

    make: Callable[[], object]
    other: Callable[[], object]
    bad: Callable[[], object] | None = None
    quotes: str = ""
    named: tuple[str, ...] = ()


VALUES: dict[str, Row] = {
    "Calibration": Row(
        lambda: calibrated(), lambda: calibrated("0.02 mm"), lambda: calibrated("-1 mm"), "-1 mm",
    ),
    "Acceleration": Row(
        lambda: Acceleration("4 in/s²"), lambda: Acceleration("4 deg/s²"), lambda: Acceleration("4 in/s"), "4 in/s",
    ),
    "Jerk": Row(lambda: Jerk("1 m/s³"), lambda: Jerk("2 m/s³"), lambda: Jerk("1 m/s²"), "1 m/s²"),
    "Speed": Row(lambda: Speed("300 mm/min"), lambda: Speed("300 deg/min"), lambda: Speed("5 mm"), "5 mm"),
    "Angle": Row(lambda: Angle("34°25'"), lambda: Angle("1 deg"), lambda: Angle("5 mm"), "5 mm"),
    "Axis": Row(
        lambda: stop().with_zero("1/3 in"), stop,
        lambda: screw_axis(low="7"), "“7”", named=("Stop block", "0.75 in"),
    ),
    "Conformance": Row(
        lambda: Conformance(3, 20, 0), lambda: Conformance(3, 20, 1), lambda: Conformance(-1, 0, 0), "-1",
    ),
    "Cut": Row(lambda: cuts().cuts[0], lambda: cuts().cuts[1]),
    "CutList": Row(cut_list, lambda: cut_list(unit="mm"), lambda: cuts(unit="furlong"), "furlong"),
    "CutSheet": Row(cuts, lambda: cuts(kerf="1/4 in")),
    "Detent": Row(
        lambda: Detent(Fraction(2032, 75)), lambda: Detent(3), lambda: Detent(Fraction(1, 2**100)), "1/12676506",
    ),
    "DriveTrain": Row(
        lambda: DRIVE.geared(20, 60), lambda: DRIVE, lambda: DriveTrain("1.8 deg", 2**40), "1099511627776",
    ),
    "Effort": Row(
        lambda: Effort.of(LIFT), lambda: Effort.of(LIFT, margin="1/3"), lambda: Effort.of(LIFT, margin="95%"), "19/20",
    ),
    "Enclosure": Row(
        lambda: Enclosure("1 mm", "1/7 in"), lambda: Enclosure("1 deg", "2 deg"),
        lambda: Enclosure("12 mil", "1 mm"), "12 mil",
    ),
    "Fault": Row(
        lambda: Fault("never_found", "low"), lambda: Fault("drive"), lambda: Fault("hunger"), "hunger",
    ),
    "GridFit": Row(
        lambda: screw_axis().grid_fit("1/64 in"), lambda: GridFit(4, "1 deg"), lambda: GridFit(0, "1 mm"), "0",
    ),
    "Inputs": Row(
        lambda: Inputs(probe=True, dial=7, rocker="low"), Inputs, lambda: Inputs(dial=-1), "-1",
    ),
    "Leg": Row(
        lambda: stop().plan("1 in", "2 in").legs[-1], lambda: stop().plan("1 in", "3 in").legs[-1],
        named=("steps", "tick"),
    ),
    "Length": Row(lambda: Length("1/3 in"), lambda: Length("1 mm"), lambda: Length("12 mil"), "12 mil"),
    "Linear": Row(
        lambda: Linear.rack_by_module(DRIVE, "1 mm", 20), lambda: Linear.rotary(DRIVE),
        lambda: Linear.belt(DRIVE, "3 mm", -1), "-1",
    ),
    "MarkedPiece": Row(lambda: cuts().marks[0], lambda: cuts(marks=[Marks("a", "9 in", count=1)]).marks[0]),
    "Marks": Row(
        lambda: Marks("shelf", "10 in", count=2), lambda: Marks("shelf", "10 in", count=3),
        lambda: cuts(marks=[Marks("shelf", "10 in", count=-3)]), "-3",
    ),
    "Output": Row(
        lambda: Output(StepEdge(5, "forward"), True, True, [events.Stopped(4, "arrived")], 9),
        lambda: Carriage.commissioned(stop()).poll(0, Inputs()),
        lambda: Output(None, False, False, [], -1), "-1",
    ),
    "Part": Row(
        lambda: Part("rail", Length("12 in"), 2), lambda: Part("rail", "12 in", 3),
        lambda: cuts(parts=[Part("rail", "12 in", -1)]), "-1",
    ),
    "Placement": Row(
        lambda: stop().place("2-1/3 in"), lambda: stop().place("3 in"),
        lambda: stop().place("37 in"), "37 in", named=("2-1/3 in", "46933"),
    ),
    "Plan": Row(
        lambda: stop().plan("1 in", "2 in"), lambda: stop().plan("2 in", "3 in"),
        lambda: stop().plan("1 in", "37 in"), "37 in", named=("steps", "ticks", "Hz"),
    ),
    "Quadrature": Row(
        lambda: Quadrature(False, False).read(True, False).read(True, True).read(False, False),
        lambda: Quadrature(False, False), lambda: Quadrature(False, False, -1), "-1",
    ),
    "Rehearsed": Row(lambda: lap(), lambda: REHEARSED.__class__(**{**fields_of(REHEARSED), "seed": 2})),
    "RehearsedMove": Row(lambda: lap().moves[3], lambda: REHEARSED.moves[0]),
    "Repeatability": Row(
        lambda: Repeatability([0, 1, -1]), lambda: Repeatability([0, 1]),
        lambda: Repeatability([2**80]), "1208925819614629174706176",
    ),
    "DepthOfCut": Row(
        lambda: BLADE.at_tilt(by_sector(), "1 deg"), lambda: BLADE.at_tilt(by_sector(), "2 deg"),
        lambda: BLADE.at_tilt(by_sector(), "81 deg"), "81 deg",
    ),
    "ScrewTilt": Row(tilt, lambda: tilt(lead="5 mm"), lambda: tilt(lead="-4 mm"), "-4 mm"),
    "SwingArm": Row(by_screw, by_sector, lambda: by_screw(arm="11 m"), "11000 mm"),
    "TiltedBlade": Row(
        lambda: BLADE, lambda: TiltedBlade("250 mm", "250 mm", "2.8 mm", "20 mm", "1.4 mm"),
        lambda: TiltedBlade("250 mm", "250 mm", "-1 mm", "20 mm", "1.4 mm"), "-1 mm",
    ),
    "Setting": Row(lambda: cuts().cuts[0].setting, lambda: cuts().marks[0].marks[0]),
    "StepEdge": Row(
        lambda: StepEdge(5, "forward"), lambda: StepEdge(5, "backward"),
        lambda: StepEdge(5, "sideways"), "sideways",  # type: ignore[arg-type]
    ),
    "Spread": Row(lambda: Spread(-1.0, 0.5, 2.0, 0.25), lambda: Spread(-1.0, 0.5, 2.0, 0.5)),
    "Summary": Row(lambda: tried().summary(), lambda: Study(LAP_JOB, within="0.2 mm").summary()),
    "Stock": Row(
        lambda: Stock("96 in"), lambda: Stock("96 in", 2),
        lambda: cuts(stock=[Stock("96 in", 2**70)]), "1180591620717411303424",
    ),
    "StockPiece": Row(lambda: cuts().stock[0], lambda: cuts(kerf="1/4 in").stock[0]),
    "StopMove": Row(lambda: StopMove(-5, 7, Fraction(1, 2)), lambda: StopMove(5, 7, Fraction(1, 2))),
    "Thread": Row(
        lambda: Thread("Tr8x8(P2)LH"), lambda: Thread("Tr8x8(P2)"), lambda: Thread("M8 UNC"), "M8 UNC",
    ),
    "Totals": Row(lambda: cuts().totals, lambda: cuts(kerf="1/4 in").totals),
    "GroundTruth": Row(
        lambda: Twin.commissioned(stop(), seed=1).ground_truth, lambda: GroundTruth(1, 0.25, 0.0, True, 0, 0, None),
        lambda: GroundTruth(-1, 0.0, 0.0, False, 0, 0, None), "-1",
    ),
    "Unplaced": Row(
        lambda: cuts().unplaced[0], lambda: cuts(parts=[Part("a", "90 ft")]).unplaced[0],
    ),
    "Trial": Row(lambda: tried().trials[0], lambda: tried().trials[1]),
    "TravelCheck": Row(
        lambda: stop().check_travel(20, 40), lambda: stop().check_travel(20, 41),
        lambda: stop().check_travel(1, -1), "-1",
    ),
}

EVENTS: dict[str, Row] = {
    name: Row(lambda made=made: made, lambda: events.Contact(-1))  # type: ignore[misc]
    for name, made in {
        "AtLimit": events.AtLimit("low"),
        "AtSwitch": events.AtSwitch("high"),
        "Cleared": events.Cleared(),
        "Contact": events.Contact(7),
        "DatumFound": events.DatumFound(7, None),
        "DetentsDropped": events.DetentsDropped(3),
        "DialJumped": events.DialJumped(),
        "Event": events.Event(),
        "EventsLost": events.EventsLost(),
        "FalseContact": events.FalseContact("probe"),
        "Faulted": events.Faulted(Fault("drive")),
        "LoadCanFall": events.LoadCanFall(),
        "OtherInput": events.OtherInput("dial"),
        "PolledLate": events.PolledLate(12),
        "Ready": events.Ready(),
        "Seen": events.Seen("enable"),
        "Stopped": events.Stopped(400, "arrived"),
        "Touched": events.Touched(5, -1),
        "Unproven": events.Unproven("halted"),
    }.items()
}

LIVE: dict[str, Callable[[], object]] = {
    "Carriage": lambda: Carriage.commissioned(stop()),
    "Twin": lambda: Twin.commissioned(stop(), seed=1),
}
"""What lives is no value: it is equal only to itself, and is neither copied nor pickled."""

GROWS = {"Study"}
"""Holds what was done so far: equal by that, copied with it, and not hashed; test_study shows it."""

NO_INSTANCES = {"Mechanism"}
"""A protocol."""

ROWS = {**VALUES, **EVENTS}
NAMESPACE = {**vars(wholestep), **vars(wholestep.effort), **vars(wholestep.calibration), **vars(events), "Fraction": Fraction}


def fields_of(value: object) -> dict[str, Any]:
    return {name: getattr(value, name) for name in value.__dataclass_fields__}  # type: ignore[attr-defined]


def public_classes(module: object) -> set[str]:
    names = getattr(module, "__all__", [name for name in vars(module) if not name.startswith("_")])
    found = {name: getattr(module, name) for name in names}
    return {
        name for name, one in found.items() if inspect.isclass(one) and one.__module__.startswith("wholestep")
    }


def test_every_public_class_has_a_row() -> None:
    assert public_classes(wholestep) == {*VALUES, *LIVE, *GROWS, *NO_INSTANCES, "WholestepError", "WorkerDied"}
    assert public_classes(events) == {*EVENTS}
    for name, row in ROWS.items():
        assert type_of(row.make()).__name__ == name


@pytest.mark.parametrize("name", ROWS)
def test_a_value_copies_pickles_compares_and_hashes(name: str) -> None:
    row = ROWS[name]
    value, other = row.make(), row.other()
    again = {
        "made anew": row.make(),
        "copy": copy.copy(value),
        "deepcopy": copy.deepcopy(value),
        **{f"pickle {n}": pickle.loads(pickle.dumps(value, n)) for n in range(2, pickle.HIGHEST_PROTOCOL + 1)},
    }
    for how, one in again.items():
        assert type_of(one) is type_of(value), how
        assert one == value and not one != value, how
        assert hash(one) == hash(value), how
        assert repr(one) == repr(value), how
    assert len({value, other, *again.values()}) == 2
    assert value != other and value != "something else" and value is not None
    assert pickle.HIGHEST_PROTOCOL >= 5


@pytest.mark.parametrize("name", ROWS)
def test_a_value_shows_itself(name: str) -> None:
    row = ROWS[name]
    value = row.make()
    if row.named:
        assert all(part in repr(value) for part in (name, *row.named)), repr(value)
    else:
        assert eval(repr(value), dict(NAMESPACE)) == value


@pytest.mark.parametrize("name", [name for name, row in ROWS.items() if row.bad])
def test_a_bad_value_is_refused_in_our_words(name: str) -> None:
    row = ROWS[name]
    assert row.bad is not None
    with pytest.raises(WholestepError) as caught:
        row.bad()
    assert row.quotes in str(caught.value)


MATCHED: dict[str, tuple[str, ...]] = {
    "Conformance": ("steps", "placements", "open"),
    "Enclosure": ("low", "high"),
    "GridFit": ("every", "worst"),
    "Inputs": ("low_switch", "high_switch", "probe", "enable", "drive_fault", "dial", "rocker"),
    "Output": ("edge", "direction", "drive", "events", "poll_again_at"),
    "Placement": ("step", "position", "remainder"),
    "Stopped": ("step", "why"),
    "StepEdge": ("due", "direction"),
}


@pytest.mark.parametrize("name", MATCHED)
def test_a_value_matches_by_position(name: str) -> None:
    value = ROWS[name].make()
    assert type_of(value).__match_args__ == MATCHED[name]  # type: ignore[attr-defined]
    assert all(hasattr(value, field) for field in MATCHED[name])


def test_placements_and_inputs_match_positionally() -> None:
    match stop().place("1 in"):
        case wholestep.Placement(step, Enclosure(low, high), _):
            assert step == 12800 and low == high == Length("1 in")
        case _:
            pytest.fail("no match")
    match Inputs(probe=True):
        case Inputs(False, False, probe):
            assert probe
        case _:
            pytest.fail("no match")


def test_inputs_are_replaced_field_by_field() -> None:
    held = Inputs(probe=True, enable=True, rocker="low")
    assert held.replace(rocker=None, dial=4) == Inputs(probe=True, enable=True, dial=4)
    assert held.replace() == held.__replace__() == held
    with pytest.raises(WholestepError, match="count of the dial -1: 0 to 4294967295 is allowed"):
        held.replace(dial=-1)
    with pytest.raises(TypeError, match="switch"):
        held.replace(switch=True)  # type: ignore[call-arg]


@pytest.mark.parametrize("name", LIVE)
def test_what_lives_is_equal_only_to_itself_and_not_copied(name: str) -> None:
    one, other = LIVE[name](), LIVE[name]()
    assert one == one and one != other and len({one, other}) == 2
    for copied in (copy.copy, copy.deepcopy, pickle.dumps):
        with pytest.raises(errors.ArgumentTypeError, match=f"copy of .*{name}.*what is live is not copied"):
            copied(one)


def test_the_carriage_of_a_twin_is_one() -> None:
    twin, other = Twin.commissioned(stop(), seed=1), Twin.commissioned(stop(), seed=1)
    assert twin.carriage == twin.carriage and hash(twin.carriage) == hash(twin.carriage)
    assert twin.carriage != other.carriage


def test_axes_are_equal_by_content() -> None:
    text = (AXES / "stop_block.toml").read_text(encoding="utf-8")
    axis = Axis.from_toml(text)
    assert axis == stop() == Axis.from_toml(text + "\n# the same axis\n")
    assert hash(axis) == hash(stop())
    assert axis != Axis.from_toml(text.replace('name = "', 'name = "Other '))
    assert axis != axis.with_zero("1 in") and axis.with_zero("1 in") == stop().with_zero("25.4 mm")
    assert screw_axis() == screw_axis(high="60 cm") and screw_axis() != screw_axis(high="601 mm")
    assert screw_axis() != axis


def test_errors_copy_and_pickle_with_all_they_say() -> None:
    for _, error in inspect.getmembers(errors, inspect.isclass):
        if not issubclass(error, WholestepError):
            continue
        raised = error("text")
        raised.subject, raised.line = "length", 7
        for again in (copy.copy(raised), copy.deepcopy(raised), pickle.loads(pickle.dumps(raised))):
            assert (type_of(again), str(again), again.subject, again.line) == (error, "text", "length", 7)
