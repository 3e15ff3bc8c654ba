"""The border: panics, threads, Ctrl-C, and one text of errors with the command."""

import pickle
import subprocess
import sys
import threading
import time
from array import array
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from interrupted import seconds_to_end
from machine import AXES, lift

import wholestep
from wholestep import _native, errors


def test_a_panic_is_an_ordinary_exception() -> None:
    with pytest.raises(Exception, match="a panic made on purpose") as caught:
        _native._defect()
    assert isinstance(caught.value, errors.DefectError)


def test_every_kind_of_error_pickles_with_its_fields() -> None:
    with pytest.raises(errors.BeyondLimitError) as caught:
        lift().place("601 mm")
    again = pickle.loads(pickle.dumps(caught.value))
    assert (type(again), str(again), again.excess, again.kind) == (
        errors.BeyondLimitError, str(caught.value), caught.value.excess, "beyond_limit",
    )
    for kind, error in errors.BY_KIND.items():
        assert issubclass(error, wholestep.WholestepError) and error.kind == kind
        assert str(pickle.loads(pickle.dumps(error("text")))) == "text"


@pytest.mark.parametrize("target", ["37 in", "12", "12 mil", "1/0 in", "1.5.2 in", "5 deg"])
def test_the_command_says_the_same(target: str) -> None:
    stop = AXES / "stop_block.toml"
    script = Path(sys.executable).with_name("wholestep")
    done = subprocess.run([script, "place", str(stop), target], capture_output=True, text=True, check=False)
    with pytest.raises(wholestep.WholestepError) as caught:
        wholestep.Axis.load(stop).place(target)
    assert done.returncode == 2
    assert done.stderr == f"wholestep: {caught.value}\n"


def test_the_command_says_the_same_of_a_file(tmp_path: Path) -> None:
    good = (AXES / "router_lift.toml").read_text(encoding="utf-8")
    bad = tmp_path / "bad.toml"
    bad.write_text(good.replace("speed", "sped", 1), encoding="utf-8")
    script = Path(sys.executable).with_name("wholestep")
    done = subprocess.run([script, "describe", str(bad)], capture_output=True, text=True, check=False)
    with pytest.raises(errors.FileKeyError) as caught:
        wholestep.Axis.load(bad)
    assert done.stderr == f"wholestep: {caught.value}\n"
    assert caught.value.file == str(bad)


def test_many_threads_share_an_axis_and_a_plan() -> None:
    axis = lift()
    plan = axis.plan("0 mm", "600 mm", timer_hz=1_000_000)
    expected = plan.edges()

    def work(seed: int) -> None:
        for turn in range(20):
            millimetres = (seed * 37 + turn * 11) % 600
            assert axis.place(f"{millimetres} mm").step == millimetres * 400
            assert plan.edges() == expected
            assert hash(axis.place("1/3 mm")) == hash(axis.place("1/3 mm"))
            assert axis.with_zero("1 mm").place("1 mm").step == 800

    with ThreadPoolExecutor(8) as pool:
        list(pool.map(work, range(16)))


def test_other_threads_run_while_edges_are_made() -> None:
    plan = lift(high="9000 m", speed="4 m/s", acceleration="9 m/s²").plan("0 mm", "20 m", timer_hz=10_000_000)
    assert plan.edge_count == 8_000_000
    ticks = 0
    done = threading.Event()

    def count() -> None:
        nonlocal ticks
        while not done.is_set():
            ticks += 1
            time.sleep(0)

    counting = threading.Thread(target=count)
    counting.start()
    before = ticks
    plan.edges()
    assert ticks > before
    done.set()
    counting.join()


def test_ctrl_c_stops_edges() -> None:
    plan = lift(high="9000 m", speed="4 m/s", acceleration="9 m/s²").plan("0 mm", "400 m", timer_hz=10_000_000)
    assert plan.edge_count == 160_000_000
    seconds_to_end(plan.edges, after=0.2)


def test_ctrl_c_stops_placing() -> None:
    counts = array("q", [1]) * 40_000_000
    seconds_to_end(lambda: lift().place_many(counts, denominator=64, unit="in"), after=0.2)


def test_the_last_of_billions_of_edges_is_reached_at_once() -> None:
    plan = lift(high="9000 m", speed="4 m/s", acceleration="9 m/s²").plan("0 mm", "9000 m", timer_hz=1_000_000_000)
    assert plan.edge_count == 3_600_000_000
    [last] = plan.edges(plan.edge_count - 1)
    assert plan.ticks - 10**9 < last < plan.ticks
