"""Cut lists from Python, the same as the command's."""

import json
import pickle
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from machine import AXES, REPOSITORY

import wholestep
from wholestep import CutList, Marks, Part, Stock, errors

JOBS = REPOSITORY / "examples" / "jobs"


@pytest.mark.parametrize(
    ("job", "axis"),
    [("tool_tray", "stop_block"), ("bench_slats", "stop_block"), ("drawer_boxes", "belt_stop")],
)
def test_the_command_gives_the_same_cuts(job: str, axis: str) -> None:
    script = Path(sys.executable).with_name("wholestep")
    file = JOBS / f"{job}.toml"
    done = subprocess.run([script, "--json", "cuts", str(file)], capture_output=True, text=True, check=False)
    if done.returncode:
        done = subprocess.run([script, "cuts", str(file), "--json"], capture_output=True, text=True, check=True)
    expected = json.loads(done.stdout)
    cuts = CutList.load(file).cuts(wholestep.Axis.load(AXES / f"{axis}.toml"))
    assert len(cuts.cuts) == len(expected["cuts"]) > 0
    for cut, other in zip(cuts.cuts, expected["cuts"], strict=True):
        assert (cut.number, cut.stock, cut.part) == (other["number"], other["stock"], other["part"])
        assert cut.setting.step == (other["placement"] and other["placement"]["step"])
        assert cut.setting.by_hand == other["by_hand"]
        assert (cut.stop_move and cut.stop_move.ticks) == (other["stop_move"] and other["stop_move"]["ticks"])
        assert cut.remaining == wholestep.Length(other["remaining"])
        assert list(cut.warnings) == other["warnings"]
        assert (cut.turn, cut.saw_left_first, cut.stop_touches) == (
            other["turn"],
            other["saw_left_first"],
            other["stop_touches"],
        )
    for piece, other in zip(cuts.stock, expected["stock"], strict=True):
        assert piece.trim + piece.parts + piece.kerf + piece.offcut == piece.length
        assert piece.offcut == wholestep.Length(other["offcut"])
    assert cuts.totals.stock_pieces == expected["totals"]["stock_pieces"]
    assert len(cuts.marks) == len(expected["marks"])
    assert pickle.loads(pickle.dumps(cuts)) == cuts


def test_a_loaded_list_is_plain_data() -> None:
    wanted = CutList.load(JOBS / "tool_tray.toml")
    names = {name: getattr(wholestep, name) for name in wholestep.__all__}
    assert eval(repr(wanted), names) == wanted == pickle.loads(pickle.dumps(wanted))
    assert hash(wanted) == hash(CutList.load(JOBS / "tool_tray.toml"))
    assert {part.name for part in wanted.parts} == {"long side", "short side", "divider"}


def test_a_part_past_the_stop_is_set_by_hand() -> None:
    stop = wholestep.Axis.load(AXES / "stop_block.toml")
    wanted = CutList(unit="in", kerf="1/8 in", parts=(Part("rail", "50 in"),), stock=(Stock("96 in"),))
    [cut] = wanted.cuts(stop).cuts
    assert cut.setting.step is None and cut.setting.by_hand and "36 in" in cut.setting.by_hand


def test_marks_are_laid_out() -> None:
    stop = wholestep.Axis.load(AXES / "stop_block.toml")
    marks = Marks("pins", "30 in", count=2)
    [piece] = CutList(unit="in", kerf="1/8 in", marks=(marks,)).cuts(stop).marks
    assert [mark.stop.low.value_in("in") for mark in piece.marks] == [10, 20]


def test_what_is_wrong_is_refused() -> None:
    stop = wholestep.Axis.load(AXES / "stop_block.toml")
    with pytest.raises(errors.JobError, match="cut list without parts"):
        CutList(unit="in", kerf="1/8 in").cuts(stop)
    with pytest.raises(errors.InexactNumberError):
        CutList(unit="in", kerf=0.125, parts=(Part("a", "1 in"),)).cuts(stop)  # type: ignore[arg-type]
    with pytest.raises(TypeError, match="measures lengths"):
        CutList(unit="in", kerf="1/8 in", parts=(Part("a", "1 in"),)).cuts(
            wholestep.Axis.load(AXES / "tilting_table.toml")
        )
    with pytest.raises(errors.FileError):
        CutList.load("no_such_job.toml")


def test_lengths_without_a_unit_are_in_the_list_s_own() -> None:
    stop = wholestep.Axis.load(AXES / "stop_block.toml")
    bare = CutList(unit="in", kerf="1/8", shortest_to_hold=6, parts=(Part("rail", "10", 2),), stock=(Stock("96"),))
    full = CutList(unit="in", kerf="1/8 in", shortest_to_hold="6 in", parts=(Part("rail", "10 in", 2),), stock=(Stock("96 in"),))
    assert bare.cuts(stop) == full.cuts(stop)
    with pytest.raises(errors.InexactNumberError, match='"0.125 in"'):
        CutList(unit="in", kerf=0.125).cuts(stop)  # type: ignore[arg-type]


def test_errors_name_the_part() -> None:
    stop = wholestep.Axis.load(AXES / "stop_block.toml")

    def cut(*parts: Part) -> None:
        CutList(unit="in", kerf="1/8", parts=(Part("a", "10"), *parts), stock=(Stock("96"),)).cuts(stop)

    with pytest.raises(errors.OutOfRangeError, match=r"^part “b”: quantity -1: 1 to 2000 is allowed$"):
        cut(Part("b", "10", -1))
    with pytest.raises(errors.OutOfRangeError, match=r"^part “b”: length 0 in: give a length above 0$"):
        cut(Part("b", "0"))
    with pytest.raises(errors.NotationError, match=r"^part “b”: "):
        cut(Part("b", ""))
    with pytest.raises(errors.ArgumentTypeError, match=r"^part 2: entry of parts .*: give a wholestep.Part$"):
        cut(("b", "10", 2))  # type: ignore[arg-type]


WRONG: list[tuple[dict[str, Any], str]] = [
    ({"parts": (Stock("96"),)}, r"^part 1: entry of parts .*Stock.*: give a wholestep.Part$"),
    ({"parts": "rail"}, r"^part 1: entry of parts “'r'”: give a wholestep.Part$"),
    ({"parts": Part("rail", "10")}, r"^parts .*: give a list of wholestep.Part$"),
    ({"parts": None}, r"^parts “None”: give a list of wholestep.Part$"),
    ({"stock": ("96",)}, r"^stock 1: entry of stock “'96'”: give a wholestep.Stock$"),
    ({"marks": [("a", "10")]}, r"^marks 1: entry of marks .*: give a wholestep.Marks$"),
]


@pytest.mark.parametrize(("given", "words"), WRONG, ids=[str(given) for given, _ in WRONG])
def test_an_entry_of_another_class_is_refused_in_words(given: dict[str, Any], words: str) -> None:
    stop = wholestep.Axis.load(AXES / "stop_block.toml")
    fields: dict[str, Any] = {"parts": [Part("a", "10")], "stock": [Stock("96")], **given}
    with pytest.raises(errors.ArgumentTypeError, match=words):
        CutList(unit="in", kerf="1/8", **fields).cuts(stop)


def test_one_cut_makes_the_ends_of_two_parts() -> None:
    belt = wholestep.Linear.belt(wholestep.DriveTrain("1.8 deg", "1/16"), "3 mm", 20)
    stop = wholestep.Axis(belt, unit="mm", low="1", high="3000", speed="8", acceleration="36")
    slats = (Part("slat", "500", 3, left="45 deg", right="-45 deg"),)
    cuts = CutList(unit="mm", kerf="3", width="100", parts=slats, stock=(Stock("1400"),)).cuts(stop)
    assert (cuts.totals.stock_pieces, cuts.totals.proven, cuts.totals.moves_without_time) == (1, True, 0)
    assert [cut.saw_left_first for cut in cuts.cuts] == [True, False, False]
    assert {(cut.turn, cut.face, cut.stop_touches) for cut in cuts.cuts} == {("none", "up", "point_at_fence")}
