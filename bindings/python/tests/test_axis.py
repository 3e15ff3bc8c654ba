"""Axes: files, placing, limits, bulk, pickling."""

import copy
import errno
import pickle
import tomllib
from array import array
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

import pytest
from machine import AXES, DRIVE, VECTORS, lift

import wholestep
from wholestep import Length, Linear, errors

FILES = ("axis_errors.toml", "fitted_errors.toml")
ERRORS = [tomllib.loads((VECTORS / name).read_text(encoding="utf-8")) for name in FILES]
REFUSED = [(errors["good"], case) for errors in ERRORS for case in errors["case"]]
DRIVES = tomllib.loads((VECTORS / "drives.toml").read_text(encoding="utf-8"))["drive"]


@pytest.mark.parametrize(("good", "case"), REFUSED, ids=[case["name"] for _, case in REFUSED])
def test_shared_vectors_of_refused_files(good: str, case: dict[str, str]) -> None:
    text = case["text"] if "text" in case else good.replace(case["old"], case["new"], 1)
    with pytest.raises(wholestep.WholestepError) as caught:
        wholestep.Axis.from_toml(text)
    error = caught.value
    assert (error.kind, str(error)) == (case["kind"], case["message"])
    assert error.line == int(case["line"])
    assert error.key == case.get("key")


@pytest.mark.parametrize("drive", DRIVES, ids=lambda drive: " ".join(drive["mechanism"].split()) or drive["kind"])
def test_shared_vectors_of_drives(drive: dict[str, str]) -> None:
    if "travel" not in drive:
        pytest.skip("with π in it: no exact travel is given")
    turns = drive["kind"] == "rotary"
    unit, low, high = ("deg", "0 deg", "1 deg") if turns else ("mm", "0 mm", "9 mm")
    text = f"""
    version = 1
    name = "Drive"
    kind = "{drive["kind"]}"
    [motor]
    {drive["motor"]}
    [mechanism]
    {drive["mechanism"]}
    [limits]
    low = "{low}"
    high = "{high}"
    [motion]
    speed = "1 {unit}/s"
    acceleration = "1 {unit}/s²"
    [pulse]
    timer_hz = 1000000
    direction_setup = "5 us"
    pulse_high = "2 us"
    pulse_low = "2 us"
    """
    axis = wholestep.Axis.from_toml(text)
    travel = axis.at_step(1).position
    if travel.is_exact:
        assert travel.low.value_in(unit) == Fraction(drive["travel"])


def test_every_example_axis_is_read() -> None:
    files = sorted(AXES.glob("*.toml"))
    assert len(files) >= 4
    for file in files:
        axis = wholestep.Axis.load(file)
        assert axis.name and axis.kind and axis.description and axis.timer_hz
        again = pickle.loads(pickle.dumps(axis))
        assert again.place(again.low, "above") == axis.place(axis.low, "above")


def test_what_looks_wrong_in_a_file_is_told() -> None:
    text = (AXES / "router_lift.toml").read_text(encoding="utf-8")
    assert wholestep.Axis.from_toml(text).cautions == []
    hasty = text.replace('contact_settle = "10 ms"', 'contact_settle = "1 ms"')
    (caution,) = wholestep.Axis.from_toml(hasty).cautions
    assert caution.startswith("line 43: `switches.contact_settle`: 1 ms is shorter")


def test_a_missing_file_is_an_os_error_that_names_it() -> None:
    with pytest.raises(OSError, match="no_such") as caught:
        wholestep.Axis.load("no_such_axis.toml")
    assert isinstance(caught.value, errors.FileError)


def test_a_file_that_is_refused_is_also_the_error_that_python_has_for_it(tmp_path: Path) -> None:
    cases: list[tuple[Callable[[], object], type[OSError], int, Path]] = [
        (lambda: wholestep.Axis.load(tmp_path / "none.toml"), FileNotFoundError, errno.ENOENT, tmp_path / "none.toml"),
        (lambda: wholestep.CutList.load(tmp_path / "none.toml"), FileNotFoundError, errno.ENOENT, tmp_path / "none.toml"),
        (lambda: wholestep.rehearse(tmp_path), IsADirectoryError, errno.EISDIR, tmp_path),
        (lambda: wholestep.Axis.load(tmp_path), IsADirectoryError, errno.EISDIR, tmp_path),
    ]
    for refused, kind, number, path in cases:
        with pytest.raises(kind) as caught:
            refused()
        for error in (caught.value, copy.copy(caught.value), pickle.loads(pickle.dumps(caught.value))):
            assert isinstance(error, errors.FileError) and isinstance(error, kind)
            assert (error.errno, error.filename, error.file) == (number, str(path), str(path))
            assert str(error).startswith(f"{path}: file ") and str(error) == str(caught.value)
    forbidden = errors.of_file(errno.EACCES, "a.toml", "a.toml: file cannot be read")
    assert isinstance(forbidden, PermissionError) and str(forbidden) == "a.toml: file cannot be read"


def test_a_target_is_rounded_once_by_the_rule_asked_for() -> None:
    axis = lift()
    for target, steps in [("1/3 mm", (133, 133, 134)), ("1/800 mm", (0, 0, 1)), ("3/800 mm", (2, 1, 2))]:
        placed = [axis.place(target, rule) for rule in ("nearest", "below", "above")]
        assert tuple(each.step for each in placed) == steps
        for each in placed:
            assert each.is_decided and each.position.is_exact
            assert each.remainder.low.value_in("mm") == Fraction(each.step, 400) - Fraction(target.split()[0])


def test_limits_are_refused_with_the_excess_and_the_unit() -> None:
    with pytest.raises(errors.BeyondLimitError) as caught:
        lift(unit="in").place("601 mm")
    assert caught.value.excess == Length("1 mm")
    assert caught.value.given == Length("601 mm")
    assert "in" in str(caught.value)


def test_words_that_are_not_known_are_refused() -> None:
    for refused in (
        lambda: lift().place("1 mm", "up"),  # type: ignore[arg-type]
        lambda: lift(direction="left"),
        lambda: lift(approach="behind"),
    ):
        with pytest.raises(errors.NotationError, match="write it like"):
            refused()


def test_distances_add_up_without_drift() -> None:
    axis = lift()
    placed = axis.place("0 mm")
    for _ in range(3_000):
        placed = axis.place_by(placed, "1/7 mm")
    assert placed.target == Length(Fraction(3_000, 7), "mm")
    assert placed == axis.place(Length(Fraction(3_000, 7), "mm"))


def test_a_temporary_zero_leaves_the_limits_alone() -> None:
    axis = lift().with_zero("100 mm")
    assert axis.place("1 mm").step == 40_400
    assert axis.zero == Length("100 mm") and axis.low == Length("0 mm")
    with pytest.raises(errors.BeyondLimitError):
        axis.place("501 mm")
    again = pickle.loads(pickle.dumps(axis))
    assert again.place("1 mm") == axis.place("1 mm")


def test_placements_pickle_and_hash() -> None:
    axis = lift()
    for placed in (axis.place("1/3 mm", "above"), axis.at_step(7)):
        again = pickle.loads(pickle.dumps(placed))
        assert again == placed and hash(again) == hash(placed)


def test_drives_and_mechanisms_are_written_as_they_are_made() -> None:
    names = {"DriveTrain": wholestep.DriveTrain, "Linear": Linear, "Fraction": Fraction}
    geared = DRIVE.geared(20, 60).geared(1, 7)
    for made in (
        DRIVE,
        geared,
        Linear.lead_screw_by_pitch(geared, "1/16 in", 2),
        Linear.lead_screw_by_lead(DRIVE, "8 mm"),
        Linear.lead_screw_by_threads_per_inch(DRIVE, Fraction(27, 2)),
        Linear.lead_screw_by_thread(DRIVE, "Tr8x8(P2)LH"),
        Linear.belt(DRIVE, "3 mm", 20),
        Linear.rack_by_tooth_pitch(DRIVE, "5 mm", 20),
        Linear.rack_by_module(DRIVE, "1 mm", 20),
        Linear.drum(DRIVE, "50 mm", "1/3 mm"),
        Linear.measured(DRIVE, "7 mm"),
        Linear.rotary(geared),
    ):
        for again in (eval(repr(made), names), pickle.loads(pickle.dumps(made))):
            assert again == made and hash(again) == hash(made) and repr(again) == repr(made)


def test_bulk_gives_the_steps_of_the_single_placements() -> None:
    axis = lift()
    counts = array("q", range(0, 23 * 64, 7))
    for rule in ("nearest", "below", "above"):
        bulk = axis.place_many(counts, rule, denominator=64, unit="in")
        assert bulk.format == "q" and bulk.readonly
        single = axis.place_many((Length(Fraction(count, 64), "in") for count in counts), rule)
        assert bulk.tolist() == [placed.step for placed in single]


def test_bulk_names_the_target_that_it_refuses() -> None:
    counts = array("q", [0] * 70_000 + [601])
    with pytest.raises(errors.BeyondLimitError) as caught:
        lift().place_many(counts, unit="mm")
    assert caught.value.__notes__ == ["target 70000 of place_many, counted from 0"]
    with pytest.raises(errors.BeyondLimitError) as caught:
        lift().place_many(["1 mm", "601 mm"])
    assert caught.value.__notes__ == ["target 1 of place_many, counted from 0"]


def test_bulk_does_not_wrap() -> None:
    counts = array("q", [2**63 - 1, -(2**63)])
    for count, fraction in [(counts[:1], Fraction(1, 2**62 + 1)), (counts[1:], Fraction(2**62 + 1, 2**70))]:
        with pytest.raises(wholestep.WholestepError):
            lift().place_many(count, denominator=fraction, unit="in")
    tiny = array("q", [2**40])
    assert lift().place_many(tiny, denominator=2**40 * 3, unit="mm").tolist() == [133]


def test_bulk_takes_no_floats() -> None:
    with pytest.raises(errors.ArgumentTypeError, match="not whole numbers"):
        lift().place_many(array("d", [1.0]), unit="mm")


def test_numpy_views_bulk_without_copying() -> None:
    numpy = pytest.importorskip("numpy")
    counts = numpy.arange(1_500, dtype=numpy.int64)
    steps = lift().place_many(counts[::2], denominator=64, unit="in")
    viewed = numpy.asarray(steps)
    assert viewed.dtype == numpy.int64 and numpy.shares_memory(viewed, numpy.asarray(steps))
    assert viewed[-1] == lift().place(Length(Fraction(1_498, 64), "in")).step


def test_holding_says_which_marks_land_exactly() -> None:
    fit = lift().grid_fit("1/64 in")
    assert fit is not None
    assert (fit.every, fit.worst) == (4, Length(Fraction(1, 800), "mm"))
    module = wholestep.Axis(
        Linear.rack_by_module(DRIVE, "1 mm", 20),
        low="0 mm", high="300 mm", speed="10 mm/s", acceleration="50 mm/s²",
    )
    assert module.grid_fit("1 mm") is None
