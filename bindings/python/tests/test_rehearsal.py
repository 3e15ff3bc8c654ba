"""Rehearsals from Python, the same as the command's; and what ends them."""

import json
import pickle
import shutil
import subprocess
import sys
import threading
import tomllib
from pathlib import Path
from typing import Any

import pytest
from interrupted import seconds_to_end
from machine import AXES, REPOSITORY, VECTORS

import wholestep
from wholestep import Fault, errors, events, rehearse

JOBS = REPOSITORY / "examples" / "jobs"
LAP = JOBS / "lap_joint.toml"
TRAY = JOBS / "tool_tray.toml"
AT_REST = "cutter or blade at rest; the maker's manual and your local rules come first"
REFUSED = tomllib.loads((VECTORS / "job_errors.toml").read_text(encoding="utf-8"))


def command(job: Path, seed: int, faults: list[str]) -> tuple[int, dict[str, Any]]:
    script = Path(sys.executable).with_name("wholestep")
    given = [part for fault in faults for part in ("--fault", fault)]
    line = [str(script), "--json", "rehearse", str(job), "--seed", str(seed), *given]
    done = subprocess.run(line, capture_output=True, text=True, check=False)
    return done.returncode, json.loads(done.stdout)


@pytest.mark.parametrize(
    ("job", "seed", "faults"),
    [
        (LAP, 1, []),
        (LAP, 7, ["stall@64 s+100 ms", "stall@500 s"]),
        (LAP, 1, ["drive_fault@62 s"]),
        (LAP, 1, ["power_cut@5 s+200 ms"]),
        (TRAY, 3, []),
        (TRAY, 1, ["bounce_storm_high@50 s+2 s"]),
    ],
)
def test_the_command_gives_the_same_numbers(job: Path, seed: int, faults: list[str]) -> None:
    compare(job, seed, faults)


DATUM = """
[switches]
low = "normally_closed"
[datum]
end = "low"
switch_at = "-1/2 deg"
fast = "2 deg/s"
slow = "0.2 deg/s"
clearance = "0.5 deg"
within = "60 deg"
"""


def test_an_axis_that_turns_is_rehearsed_at_a_speed_of_its_own(tmp_path: Path) -> None:
    tilt = (AXES / "blade_tilt.toml").read_text(encoding="utf-8")
    (tmp_path / "tilt.toml").write_text(tilt + DATUM, encoding="utf-8")
    job = tmp_path / "job.toml"
    job.write_text(
        'version = 1\nname = "Bevel"\naxis = "tilt.toml"\n[[move]]\nname = "bevel"\nto = "22.5 deg"\n'
        '[[move]]\nname = "slowly"\nto = "30 deg"\nspeed = "1/2 deg/s"\n',
        encoding="utf-8",
    )
    done = compare(job, 2, [])
    assert done.sound
    assert [(one.speed, one.caution) for one in done.moves[1:]] == [
        (None, AT_REST),
        ("0.5 deg/s", AT_REST),
    ]
    assert isinstance(done.moves[1].remainder and done.moves[1].remainder.low, wholestep.Angle)
    # 7.5 deg; on steps that are unequal the speed is that of the coarsest, so that none goes faster.
    assert 15 < done.moves[2].seconds < 18


def test_a_move_into_the_work_says_its_conditions(tmp_path: Path) -> None:
    shutil.copy(AXES / "router_lift.toml", tmp_path)
    job = tmp_path / "job.toml"
    job.write_text(
        'version = 1\nname = "Mortise"\naxis = "router_lift.toml"\n[[move]]\nname = "below"\nto = "-1 mm"\n'
        '[[move]]\nname = "first pass"\nto = "2 mm"\nspeed = "1 mm/s"\nplunge = true\npass_depth = "3 mm"\n'
        'work = "clamped"\nend_cutting = true\n',
        encoding="utf-8",
    )
    done = compare(job, 1, [])
    assert done.moves[2].caution.startswith("into the work by at most 3 mm, to the nearest step; only a cutter that cuts at its end; ")


def compare(job: Path, seed: int, faults: list[str]) -> wholestep.Rehearsed:
    status, report = command(job, seed, faults)
    done = rehearse(job, seed=seed, faults=faults)
    assert (status, report["sound"]) == (0 if done.sound else 1, done.sound)
    plain = ("job", "axis", "seed", "seconds", "steps", "torque_margin", "torque_margin_at", "lost_steps", "slips")
    for name in (*plain, "end_stop_hits"):
        assert getattr(done, name) == report[name], name
    for name in ("not_reached", "by_hand", "assumed", "faults_that_never_came"):
        assert list(getattr(done, name)) == report[name], name
    assert (done.fault and done.fault.name) == report["fault"]
    assert len(done.moves) == len(report["moves"]) > 0
    for one, other in zip(done.moves, report["moves"], strict=True):
        for name in ("what", "step", "speed", "caution", "seconds", "steps", "off_by", "stopped"):
            assert getattr(one, name) == other[name], name
        assert (one.remainder is None) == (other["remainder"] is None)
        if one.remainder is not None:
            assert one.remainder == wholestep.Enclosure(other["remainder"]["low"], other["remainder"]["high"])
    for name in ("lowest", "highest", "room_below", "room_above"):
        value, near = getattr(done, name), report["approach"]
        assert (value is None) == (near is None)
        if near is not None:
            assert value == wholestep.Enclosure(near[name]["low"], near[name]["high"])
    assert pickle.loads(pickle.dumps(done)) == done
    names = {name: getattr(wholestep, name) for name in wholestep.__all__}
    names.update({name: getattr(events, name) for name in vars(events) if name[0].isupper()})
    assert eval(repr(done), names) == done
    return done


def test_a_fault_is_named_and_stops_the_rest() -> None:
    done = rehearse(LAP, faults=["broken_wire_low@2 s"])
    assert not done.sound and done.fault == Fault("never_released", "low")
    assert [one.what for one in done.moves] == ["the datum"] and "touch-off" in done.not_reached
    assert done.moves[0].stopped is not None and "broken wire" in done.moves[0].stopped
    assert any(event == events.Faulted(Fault("never_released", "low")) for _, event in done.events)
    assert done.lowest is None and done.room_above is None


def test_lost_steps_are_not_sound_although_no_fault_is_named() -> None:
    done = rehearse(LAP, faults=["stall@64 s"])
    assert not done.sound and done.fault is None and not done.not_reached
    assert done.moves[-1].off_by == done.lost_steps != 0 and done.slips > 0
    assert done.torque_margin is not None and done.torque_margin < 0


@pytest.mark.parametrize(
    ("faults", "error", "words"),
    [
        (["stall"], errors.NotationError, "without a time"),
        (["gremlin@4 s"], errors.FileKeyError, "broken_wire_low"),
        (["stall@4"], errors.MissingUnitError, "give a time in s"),
        (["stall@-4 s"], errors.OutOfRangeError, "-4 s"),
        (["stall@4 s+0 s"], errors.OutOfRangeError, "at least a tick"),
        ("stall@4 s", TypeError, "list of texts"),
        ([4], TypeError, "str"),
    ],
)
def test_a_fault_written_wrongly(faults: Any, error: type[Exception], words: str) -> None:
    with pytest.raises(error, match=words):
        rehearse(LAP, faults=faults)


def test_what_cannot_be_rehearsed_is_refused() -> None:
    with pytest.raises(errors.FileError, match="nowhere.toml"):
        rehearse("nowhere.toml")
    with pytest.raises(errors.JobError, match="no probe"):
        rehearse(TRAY, faults=["stuck_closed_probe@4 s"])
    for seed in (-1, 2**64):
        with pytest.raises(errors.OutOfRangeError, match=f"seed {seed}: 0 to 18446744073709551615 is allowed"):
            rehearse(LAP, seed=seed)


@pytest.mark.parametrize("case", REFUSED["case"], ids=lambda case: case["name"])
def test_shared_vectors_of_refused_jobs(case: dict[str, str], tmp_path: Path) -> None:
    shutil.copy(AXES / "router_lift.toml", tmp_path / "lift.toml")
    job = tmp_path / "job.toml"
    job.write_text(REFUSED["good"].replace(case["old"], case["new"], 1), encoding="utf-8")
    with pytest.raises(wholestep.WholestepError) as caught:
        rehearse(job)
    error = caught.value
    assert (error.kind, str(error)) == (case["kind"], f"{job}: {case['message']}")
    assert (error.line, error.key) == (int(case["line"]), case["key"])


def test_progress_is_told_in_order_to_the_end() -> None:
    told: list[tuple[str, float]] = []
    done = rehearse(LAP, progress=lambda what, part: told.append((what, part)))
    assert told[0] == ("the datum", 0.0) and told[-1] == ("cutter away", 1.0)
    assert [part for _, part in told] == sorted(part for _, part in told)
    assert {what for what, _ in told} == {one.what for one in done.moves}


def test_what_progress_raises_comes_out_unchanged() -> None:
    class Enough(Exception):
        pass

    def tell(what: str, part: float) -> None:
        if what == "touch-off":
            raise Enough(part)

    with pytest.raises(Enough):
        rehearse(LAP, progress=tell)
    with pytest.raises(TypeError):
        rehearse(LAP, progress=lambda: None)  # type: ignore[misc,arg-type]


def long_job(folder: Path) -> Path:
    """The lift goes up and down for some minutes."""
    shutil.copy(AXES / "router_lift.toml", folder / "lift.toml")
    moves = "".join(
        f'[[move]]\nname = "up {number}"\nto = "55 mm"\n[[move]]\nname = "down {number}"\nto = "-35 mm"\n'
        for number in range(6)
    )
    job = folder / "job.toml"
    job.write_text(f'version = 1\nname = "Long"\naxis = "lift.toml"\n{moves}', encoding="utf-8")
    return job


def test_ctrl_c_ends_it_soon(tmp_path: Path) -> None:
    job = long_job(tmp_path)
    assert seconds_to_end(lambda: [rehearse(job) for _ in range(1000)], after=0.2) < 0.3


def test_other_threads_run_meanwhile(tmp_path: Path) -> None:
    job = long_job(tmp_path)
    over = threading.Event()
    done: list[wholestep.Rehearsed] = []

    def run() -> None:
        done.append(rehearse(job))
        over.set()

    thread = threading.Thread(target=run)
    thread.start()
    counted = 0
    while not over.is_set():
        counted += 1
    thread.join()
    # Held back by the GIL it would have counted next to nothing.
    assert done[0].sound and counted > 1_000


@pytest.mark.parametrize(
    "fault",
    [Fault("drive"), Fault("never_found", "high"), Fault("chatter", None, "low_switch"), Fault("plan")],
)
def test_a_fault_is_made_again_from_its_text_and_by_pickle(fault: Fault) -> None:
    assert eval(repr(fault), {"Fault": Fault}) == fault == pickle.loads(pickle.dumps(fault))
    assert hash(fault) == hash(pickle.loads(pickle.dumps(fault)))


@pytest.mark.parametrize(
    "given",
    [("gremlin",), ("never_found",), ("drive", "low"), ("chatter", "low"), ("never_found", "left"), ("chatter",)],
)
def test_a_fault_that_does_not_exist(given: tuple[Any, ...]) -> None:
    with pytest.raises(errors.NotationError):
        Fault(*given)
