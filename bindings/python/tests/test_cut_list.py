"""Cut lists from Python, the same as the command's."""

import copy
import dataclasses
import json
import pickle
import shutil
import subprocess
import sys
import tomllib
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest
from machine import AXES, REPOSITORY, VECTORS

import wholestep
from wholestep import CutList, Marks, Part, Stock, errors

JOBS = REPOSITORY / "examples" / "jobs"
REFUSED = tomllib.loads((VECTORS / "cut_list_errors.toml").read_text(encoding="utf-8"))


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
    wanted = dataclasses.replace(CutList.load(JOBS / "tool_tray.toml"), axis=None)
    names = {name: getattr(wholestep, name) for name in wholestep.__all__}
    assert eval(repr(wanted), names) == wanted == pickle.loads(pickle.dumps(wanted))
    assert hash(wanted) == hash(dataclasses.replace(CutList.load(JOBS / "tool_tray.toml"), axis=None))
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


@pytest.mark.parametrize("case", REFUSED["case"], ids=lambda case: case["name"])
def test_shared_vectors_of_refused_cut_lists(case: dict[str, str], tmp_path: Path) -> None:
    shutil.copy(AXES / "stop_block.toml", tmp_path / "stop.toml")
    shutil.copy(AXES / "tilting_table.toml", tmp_path / "table.toml")
    (tmp_path / "parts.csv").write_text("name,length\nrail,12\n", encoding="utf-8")
    job = tmp_path / "job.toml"
    job.write_text(REFUSED["good"], encoding="utf-8")
    assert len(CutList.load(job).parts) == 2
    job.write_text(REFUSED["good"].replace(case["old"], case["new"], 1), encoding="utf-8")
    with pytest.raises(wholestep.WholestepError) as caught:
        CutList.load(job)
    error = caught.value
    assert (error.kind, str(error)) == (case["kind"], f"{job}: {case['message']}")
    assert (error.line, error.key) == (int(case["line"]), case["key"])


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


def with_cut_list() -> list[Path]:
    return sorted(job for job in JOBS.glob("*.toml") if "[cut_list]" in job.read_text(encoding="utf-8"))


def command(*arguments: str | Path) -> str:
    script = Path(sys.executable).with_name("wholestep")
    return subprocess.run([script, *arguments], capture_output=True, text=True, check=True).stdout


@pytest.mark.parametrize("job", with_cut_list(), ids=lambda job: job.stem)
def test_a_sheet_prints_what_the_command_prints(job: Path) -> None:
    sheet = CutList.load(job).cuts()
    assert f"{sheet}\n" == command("cuts", job)
    assert sheet.to_json() == command("cuts", job, "--json")
    assert sheet.to_dict() == json.loads(sheet.to_json())
    for twin in (pickle.loads(pickle.dumps(sheet)), copy.deepcopy(sheet)):
        assert (str(twin), twin.to_json(), twin._repr_html_()) == (str(sheet), sheet.to_json(), sheet._repr_html_())


def test_a_loaded_list_keeps_its_axis_and_another_may_be_given() -> None:
    wanted = CutList.load(JOBS / "tool_tray.toml")
    assert wanted.axis == wholestep.Axis.load(AXES / "stop_block.toml")
    assert wanted.cuts() == wanted.cuts(wanted.axis)
    belt = wholestep.Axis.load(AXES / "belt_stop.toml")
    assert wanted.cuts(belt) == dataclasses.replace(wanted, axis=belt).cuts() != wanted.cuts()
    with pytest.raises(TypeError, match="cut list without an axis: give it to cuts"):
        dataclasses.replace(wanted, axis=None).cuts()


class Told(HTMLParser):
    """The cells of the tables, the paragraphs, and that every element is closed in order."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.told: list[str] = []
        self.feed(html)
        assert not self.open

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.open.append(tag)
        if tag in ("td", "th", "p"):
            self.told.append("")

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if self.open:
            self.told[-1] += data


def test_a_notebook_shows_the_same_words_as_the_print() -> None:
    name = "<b>rail</b> & \"stile\""
    wanted = CutList(unit="in", kerf="1/8", parts=(Part(name, "10", 2),), stock=(Stock("96"),), name="A & B")
    sheet = wanted.cuts(wholestep.Axis.load(AXES / "stop_block.toml"))
    html = sheet._repr_html_()
    assert html is not None
    told = Told(html).told
    assert told[0] == "A & B, on Stop block" == str(sheet).splitlines()[0]
    assert told.count(name) == 2
    assert " ".join(" ".join(told).split()) == " ".join(str(sheet).split())


def test_a_sheet_put_together_by_hand_does_not_tell_of_another() -> None:
    sheet = CutList.load(JOBS / "tool_tray.toml").cuts()
    shorter = dataclasses.replace(sheet, cuts=sheet.cuts[:1])
    assert str(shorter) == repr(shorter)
    assert shorter._repr_html_() is None
    with pytest.raises(ValueError, match="put together by hand"):
        shorter.to_json()


def test_parts_come_from_a_csv_as_in_a_job(tmp_path: Path) -> None:
    job = CutList.load(JOBS / "bench_slats.toml")
    bare = dataclasses.replace(job, parts=())
    assert bare.with_parts_from(JOBS / "bench_slats.csv").cuts().cuts == job.cuts().cuts
    file = tmp_path / "parts.csv"
    file.write_text("name,length (mm),quantity\nrung,320.5,4\n", encoding="utf-8")
    [first, rung] = CutList(unit="in", kerf="1/8", parts=(Part("rail", "10"),)).with_parts_from(file).parts
    assert first.name == "rail"
    assert (rung.name, rung.length, rung.quantity) == ("rung", wholestep.Length("320.5 mm"), 4)


@pytest.mark.parametrize(
    ("text", "raised", "message"),
    [
        ("", errors.FileKeyError, "line 1: `name`: missing column"),
        ("name,length,colour\n", errors.FileKeyError, "line 1: unknown column “colour”"),
        ("name,length,length\n", errors.FileKeyError, "line 1: `length`: column given twice"),
        ("name,length\nrail,12 furlong\n", errors.UnitError, "line 2: `length`"),
        ("name,length\nrail,NaN\n", errors.NotationError, "line 2: `length`"),
        ("name,length\nrail,\n", errors.NotationError, "line 2: `length`"),
        ("name,length\nrail,30 deg\n", errors.UnitError, "line 2: `length`"),
        ("name,length\nrail,1e17 mm\n", errors.OutOfRangeError, "line 2: `length`"),
        ("name,length\n\n\nrail,-3\n", errors.OutOfRangeError, "line 4: `length`"),
        ("name,length,quantity\nrail,3,99999999999\n", errors.NotationError, "line 2: `quantity`"),
        ("name,length,left\nrail,30,45 deg\n", errors.JobError, "line 2: part “rail”: width of the stock"),
        ("name,length\nrail,3,4\n", errors.WholestepError, "line 2: "),
    ],
)
def test_a_wrong_csv_is_refused_with_line_and_column(
    text: str, raised: type[Exception], message: str, tmp_path: Path
) -> None:
    file = tmp_path / "parts.csv"
    file.write_text(text, encoding="utf-8")
    with pytest.raises(raised) as refused:
        CutList(unit="mm", kerf="3", stock=(Stock("900"),)).with_parts_from(file)
    assert f"parts.csv: {message}" in str(refused.value)


def test_a_csv_that_is_not_there_is_an_os_error(tmp_path: Path) -> None:
    with pytest.raises(FileNotFoundError) as refused:
        CutList(unit="mm", kerf="3").with_parts_from(tmp_path / "none.csv")
    assert refused.value.filename == str(tmp_path / "none.csv")
