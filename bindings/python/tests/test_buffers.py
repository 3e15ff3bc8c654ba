"""Targets from buffers, whatever made them; long work leaves other threads and Ctrl-C their turn."""

import ctypes
import multiprocessing
import struct
import threading
import time
from array import array
from collections.abc import Callable
from typing import Any

import pytest
from interrupted import seconds_to_end
from machine import AXES, DRIVE, lift

from wholestep import Axis, CutList, DriveTrain, Linear, Part, Stock, WholestepError, check_conformance

numpy: Any = pytest.importorskip("numpy")
NUMBERS = [0, 1, 2, 100]
STEPS = [400 * number for number in NUMBERS]


def memory(kind: Any) -> Any:
    return (kind * len(NUMBERS))(*NUMBERS)


BUFFERS: dict[str, Any] = {
    **{f"numpy {kind}": numpy.array(NUMBERS, dtype=kind) for kind in (
        "<i8", ">i8", "=i8", "<i4", ">i4", "<i2", ">i2", "i1", "<u8", ">u8", "<u4", ">u4", "u1",
    )},
    "numpy strided": numpy.array([[number, -1] for number in NUMBERS], dtype=">i4")[:, 0],
    "numpy reversed": numpy.array(NUMBERS[::-1], dtype=">i8")[::-1],
    **{f"array {kind}": array(kind, NUMBERS) for kind in "bhilqBHILQ"},
    **{f"ctypes {kind.__name__}": memory(kind) for kind in (
        ctypes.c_int64, ctypes.c_int32, ctypes.c_uint64, ctypes.c_int8, ctypes.c_int32.__ctype_be__,
        ctypes.c_int64.__ctype_be__, ctypes.c_int64.__ctype_le__,
    )},
    "multiprocessing": multiprocessing.Array("q", NUMBERS, lock=False),
    "multiprocessing, locked": multiprocessing.Array("i", NUMBERS).get_obj(),
    "bytes cast": memoryview(struct.pack("=4q", *NUMBERS)).cast("q"),
    "none": array("q"),
}


@pytest.mark.parametrize("name", BUFFERS)
def test_every_buffer_of_whole_numbers_is_read_as_what_it_holds(name: str) -> None:
    placed = lift().place_many(BUFFERS[name], unit="mm")
    assert placed.tolist() == ([] if name == "none" else STEPS)
    assert (placed.format, placed.readonly) == ("q", True)


@pytest.mark.parametrize("kind", ["<i8", ">i8", "<i4", ">i4", "<i2", ">i2", "i1"])
def test_numbers_below_zero_keep_their_sign(kind: str) -> None:
    counts = numpy.array([-3, -128, 127], dtype=kind)
    assert lift(low="-200 mm").place_many(counts, unit="mm").tolist() == [-1200, -51200, 50800]


def test_a_buffer_larger_than_a_block_is_read_to_its_end() -> None:
    counts = numpy.arange(200_001, dtype=">i4") % 600
    steps = lift().place_many(counts, unit="mm")
    assert numpy.array_equal(numpy.asarray(steps), counts.astype("i8") * 400)


@pytest.mark.parametrize(("given", "words"), [
    (numpy.array(3), "0 dimensions"),
    (numpy.zeros((2, 3), dtype="i8"), "2 dimensions"),
    (numpy.zeros(3), 'of the format "d"'),
    (numpy.zeros(3, dtype=">f4"), "not whole numbers"),
    (numpy.zeros(3, dtype=bool), 'of the format "?"'),
    (numpy.zeros(3, dtype=[("a", "i4"), ("b", "i4")]), "not whole numbers"),
    (numpy.zeros(3, dtype="c8"), "not whole numbers"),
    ([1, 2], "not in a buffer"),
    ("12 mm", "not in a buffer"),
    (b"12 mm", "bytes do not say"),
    (multiprocessing.Array("q", 3), "not in a buffer"),
    (None, "not in a buffer"),
])
def test_what_is_no_buffer_of_whole_numbers_is_refused(given: Any, words: str) -> None:
    with pytest.raises(WholestepError) as caught:
        lift().place_many(given, unit="mm")
    assert words in str(caught.value) and 'such as array("q", [1, 2])' in str(caught.value)


def test_a_number_past_63_bits_is_refused() -> None:
    with pytest.raises(WholestepError, match="at index 1: give numbers below"):
        lift().place_many(numpy.array([1, 2**63], dtype=">u8"), unit="mm", denominator=10**18)


@pytest.mark.parametrize("given", ["12 mm", b"12 mm", bytearray(b"12 mm"), 12, None])
def test_one_target_is_no_list_of_targets(given: Any) -> None:
    with pytest.raises(WholestepError) as caught:
        lift().place_many(given)
    assert repr(given) in str(caught.value) and "give a list of targets" in str(caught.value)


def test_the_first_target_that_is_wrong_is_named() -> None:
    good = ["1 mm"] * 2000
    for wrong, index in [("x", 0), ("601 mm", 1500), (1.5, 1024), ("601 mm", 1999)]:
        targets: list[Any] = good.copy()
        targets[index] = wrong
        with pytest.raises(WholestepError) as caught:
            lift().place_many([*targets, "y"])
        assert caught.value.__notes__ == [f"target {index} of place_many, counted from 0"]


TEXTS = [f"{number % 30 + 1} mm" for number in range(60_000)]
SCREW = Linear.lead_screw_by_lead(DRIVE, "8 mm")
LIFT = Axis.load(AXES / "router_lift.toml")


# 512 million edges.
LONG = Axis(
    Linear.lead_screw_by_lead(DriveTrain("1.8 deg", "1/256"), "1 mm"),
    low="0 m", high="10 m", speed="1 mm/s", acceleration="1 mm/s²",
).plan("0 m", "10 m", timer_hz=1_000_000)


def cuts() -> object:
    parts = [Part(f"p{number}", f"{101 + 37 * number % 500} mm", 3) for number in range(60)]
    stop = Axis.load(AXES / "stop_block.toml")
    return CutList(unit="mm", kerf="3 mm", parts=tuple(parts), stock=(Stock("900 mm"),)).cuts(stop)


@pytest.mark.parametrize("work", [
    pytest.param(lambda: lift().place_many(TEXTS), id="placing texts"),
    pytest.param(lambda: check_conformance(SCREW, samples=300), id="checking a mechanism"),
    pytest.param(cuts, id="a cut list"),
])
def test_other_threads_run_meanwhile(work: Callable[[], object]) -> None:
    turns = 0
    done = threading.Event()

    def count() -> None:
        nonlocal turns
        while not done.is_set():
            turns += 1
            time.sleep(0)

    counting = threading.Thread(target=count)
    counting.start()
    before = turns
    work()
    meanwhile = turns - before
    done.set()
    counting.join()
    assert meanwhile > 10


@pytest.mark.parametrize("work", [
    pytest.param(lambda: lift().place_many(TEXTS * 100), id="placing texts"),
    pytest.param(lambda: sum(map(len, LONG.edges_in_chunks())), id="chunks of edges"),
    pytest.param(lambda: lift().place_many(numpy.ones(40_000_000, dtype=">i4"), unit="mm"), id="a buffer"),
    pytest.param(lambda: check_conformance(SCREW, samples=100_000), id="checking a mechanism"),
])
def test_ctrl_c_ends_it(work: Callable[[], object]) -> None:
    assert seconds_to_end(work, after=0.3) < 2


def test_ctrl_c_loses_no_chunk() -> None:
    chunks = LONG.edges_in_chunks(2**20)
    taken: list[memoryview[int]] = []
    # `extend` keeps what it was given before it was interrupted.
    seconds_to_end(lambda: taken.extend(chunks), after=0.1)
    following = sum(map(len, taken))
    assert next(chunks)[:3].tolist() == LONG.edges(following, 3).tolist()
