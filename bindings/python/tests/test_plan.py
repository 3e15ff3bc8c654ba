"""Plans: edges, position and speed at any tick, approach, pickling."""

import pickle
import tracemalloc
from fractions import Fraction
from typing import Any

import pytest
from machine import AXES, lift

import wholestep
from wholestep import errors


def test_every_edge_is_where_the_ideal_position_passes_a_half_step() -> None:
    plan = lift().plan("10 mm", "8.25 mm", timer_hz=1_000_000)
    assert plan.steps == -700 and plan.edge_count == 700
    edges = plan.edges()
    assert (edges.format, edges.readonly, edges.nbytes) == ("Q", True, 8 * 700)
    half = Fraction(1, 2)
    for k, tick in enumerate(edges, start=1):
        # The time at which the position passes k - 1/2, rounded half up, is this tick.
        assert -plan.steps_at(tick - half) <= k - half
        assert -plan.steps_at(tick + half) > k - half


def test_a_plan_can_be_entered_at_any_edge() -> None:
    plan = lift().plan("0 mm", "100 mm", timer_hz=1_000_000)
    edges = plan.edges().tolist()
    for first in (0, 1, 776, 39_999, 40_000):
        assert plan.edges(first).tolist() == edges[first:]
        for count in (0, 1, 20, 40_000):
            assert plan.edges(first, count).tolist() == edges[first : first + count]
    beyond: tuple[tuple[int, int | None], ...] = ((-1, None), (40_001, None), (0, -1), (2**70, 1))
    for first, most in beyond:
        with pytest.raises(errors.OutOfRangeError, match="edge"):
            plan.edges(first, most)


@pytest.mark.parametrize("size", [1, 7, 500, 10**6])
def test_chunks_hold_every_edge_once(size: int) -> None:
    numpy = pytest.importorskip("numpy")
    plan = lift().plan("0 mm", "1 mm", timer_hz=1_000_000)
    chunks = list(plan.edges_in_chunks(size))
    assert [tick for chunk in chunks for tick in chunk] == list(plan.edges())
    assert {len(chunk) for chunk in chunks[:-1]} <= {size}
    viewed = numpy.asarray(chunks[0])
    assert viewed.dtype == numpy.uint64 and not viewed.flags.owndata
    assert list(lift().plan("1 mm", "1 mm", timer_hz=1_000_000).edges_in_chunks(size)) == []


def test_of_a_long_plan_one_chunk_at_a_time_is_in_memory() -> None:
    plan = lift().plan("0 mm", "500 mm", timer_hz=1_000_000)
    tracemalloc.start()
    edges = sum(len(chunk) for chunk in plan.edges_in_chunks(1000))
    _, most = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert edges == plan.edge_count == 200_000
    # Two of them, while one takes the place of the other, and what Python itself needs; all are 1,600,000 bytes.
    assert most < 8 * edges // 10


@pytest.mark.parametrize(("size", "error"), [
    (0, errors.OutOfRangeError),
    (2**80, errors.OutOfRangeError),
    (float("nan"), errors.ArgumentTypeError),
    ("", errors.ArgumentTypeError),
])
def test_a_size_that_no_chunk_has_is_refused(size: Any, error: type[errors.WholestepError]) -> None:
    with pytest.raises(error):
        lift().plan("0 mm", "1 mm", timer_hz=1_000_000).edges_in_chunks(size)


def test_the_ends_are_exact() -> None:
    plan = lift().plan("0 mm", "300 mm", timer_hz=1_000_000)
    assert plan.duration == Fraction(plan.ticks, 1_000_000)
    assert plan.steps_at(0) == 0
    assert plan.steps_at(plan.ticks) == plan.steps
    assert plan.steps_per_tick_at(0) == plan.steps_per_tick_at(plan.ticks) == 0
    [leg] = plan.legs
    # 40 mm/s are 16,000 steps a second.
    assert leg.peak_speed <= Fraction(16_000, 1_000_000)
    assert leg.peak_speed == plan.steps_per_tick_at(plan.ticks // 2)
    with pytest.raises(errors.PlanError, match="tick of a move"):
        plan.steps_at(plan.ticks + 1)
    with pytest.raises(errors.InexactNumberError):
        plan.steps_at(0.5)  # type: ignore[arg-type]


def test_jerk_is_limited_where_it_is_given() -> None:
    [leg] = lift(jerk="1000 mm/s³").plan("0 mm", "300 mm", timer_hz=1_000_000).legs
    assert leg.peak_jerk is not None
    assert leg.peak_jerk * 10**18 <= 400_000
    [leg] = lift().plan("0 mm", "300 mm", timer_hz=1_000_000).legs
    assert leg.peak_jerk is None


def test_the_approach_is_a_leg_of_its_own() -> None:
    axis = lift(approach="from_below", backlash="0.1 mm")
    plan = axis.plan("300 mm", "100 mm", timer_hz=1_000_000, arrived="from_below", direction_setup="5 us")
    assert [leg.direction for leg in plan.legs] == ["backward", "forward"]
    assert [leg.steps for leg in plan.legs] == [-80_040, 40]
    # The last pulse ends before the direction changes.
    assert plan.legs[1].start - plan.legs[0].end == 6
    assert len(plan.edges()) == plan.edge_count == 80_080


def test_a_file_brings_its_timer_and_pulses() -> None:
    axis = wholestep.Axis.load(AXES / "stop_block.toml")
    plan = axis.plan("6 in", "12 in")
    assert plan.timer_hz == axis.timer_hz
    assert axis.plan("6 in", "12 in", timer_hz=2_000_000).timer_hz == 2_000_000
    slower = axis.plan("6 in", "12 in", speed="1/4 in/s")
    assert slower.duration > plan.duration
    with pytest.raises(errors.PlanError, match="give timer_hz"):
        lift().plan("0 mm", "1 mm")
    with pytest.raises(errors.PlanError, match="pulses"):
        axis.plan("6 in", "12 in", pulse_high="1 ms")


def test_plans_pickle() -> None:
    plan = lift().plan("0 mm", "12.34 mm", timer_hz=1_000_000, speed="3 mm/s")
    again = pickle.loads(pickle.dumps(plan))
    assert again == plan and again.edges() == plan.edges()


def test_numpy_views_edges_without_copying() -> None:
    numpy = pytest.importorskip("numpy")
    edges = lift().plan("0 mm", "600 mm", timer_hz=1_000_000).edges()
    viewed = numpy.asarray(edges)
    assert viewed.dtype == numpy.uint64 and not viewed.flags.owndata and not viewed.flags.writeable
    assert numpy.shares_memory(viewed, numpy.asarray(edges))
    assert (viewed[1:] > viewed[:-1]).all()


def test_a_placement_of_another_measure_is_refused() -> None:
    table = wholestep.Axis.load(AXES / "tilting_table.toml")
    with pytest.raises(errors.OtherAxisError, match="Tilting table"):
        lift().plan(table.place("10 deg"), "1 mm", timer_hz=1_000_000)


@pytest.mark.parametrize(("speed", "words"), [
    ("100 mm/s", "speed for one move 100 mm/s: at most 40 mm/s is allowed"),
    ("0 in/s", "speed for one move 0 mm/s: give a speed above 0"),
])
def test_a_speed_that_a_move_cannot_have_is_quoted(speed: str, words: str) -> None:
    with pytest.raises(errors.PlanError) as refused:
        lift().plan("1 mm", "2 mm", timer_hz=1_000_000, speed=speed)
    assert str(refused.value) == words
