"""Studies and folders of cut lists: the same whatever the executor, and nothing lost at an early end."""

import copy
import multiprocessing
import pickle
import shutil
from concurrent.futures import Executor, Future, ProcessPoolExecutor, ThreadPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from pathlib import Path
from typing import Any

import pytest
from interrupted import seconds_to_end
from machine import AXES, REPOSITORY

from wholestep import CutList, Study, Summary, Trial, WorkerDied, cut_folder, errors

JOBS = REPOSITORY / "examples" / "jobs"
RAILS = JOBS / "grooved_rails.toml"


def study(**changes: Any) -> Study:
    return Study(**{"job": RAILS, "within": "0.01 mm", "seed": 3, **changes})


def test_results_are_the_same_whatever_the_executor() -> None:
    alone = study().run(40)
    assert len(alone) == 40 and [trial.number for trial in alone.trials] == list(range(40))
    assert {type(trial) for trial in alone.trials} == {Trial}
    spawn = multiprocessing.get_context("spawn")
    for executor in (ThreadPoolExecutor(1), ThreadPoolExecutor(3), ProcessPoolExecutor(2, mp_context=spawn)):
        with executor:
            spread = study().run(7, executor=executor).run(40, executor=executor)
        assert spread == alone and spread.summary() == alone.summary() and str(spread) == str(alone)
    other = study(seed=4).run(40)
    assert other != alone and other.trials != alone.trials
    assert study(within="1 mm").run(40) != alone


def test_a_summary_is_that_of_its_trials() -> None:
    rails = study()
    assert rails.drawn == ("machine.screw_friction", "machine.switch_scatter", "machine.travel_error")
    assert rails.stops == ("groove", "tongue, one face", "tongue, other face", "cutter away")
    assert (rails.job, rails.within, rails.seed) == (RAILS, "0.01 mm", 3)
    assert rails.summary().machines == 0 and str(rails) == "no machine has been tried yet"
    rails.run(60)
    told = rails.summary()
    assert isinstance(told, Summary) and told.machines == 60
    fits = [
        trial.stopped is None and len(trial.errors) == 4 and all(abs(error) <= 0.01 for error in trial.errors)
        for trial in rails.trials
    ]
    assert told.fitting == sum(fits) and 0 < told.fitting < 60
    assert told.fitting_part[0] < told.fitting / 60 < told.fitting_part[1]
    assert told.stopped == sum(trial.stopped is not None for trial in rails.trials)
    assert told.stalled == sum(trial.stalls > 0 for trial in rails.trials)
    assert told.torque_margin == min(trial.torque_margin or 1.0 for trial in rails.trials)
    for number, stop in enumerate(told.stops):
        errors_there = [trial.errors[number] for trial in rails.trials if len(trial.errors) > number]
        assert stop is not None
        assert (stop.lowest, stop.highest) == (min(errors_there), max(errors_there))
        assert stop.mean == pytest.approx(sum(errors_there) / len(errors_there))
    assert told.sentence == str(rails) and told.sentence.startswith(f"{told.fitting} of 60 machines hold every stop")


def test_what_was_done_is_kept_when_progress_ends_it() -> None:
    class Enough(Exception):
        pass

    seen: list[tuple[int, int]] = []

    def tell(done: int, machines: int) -> None:
        seen.append((done, machines))
        if done >= 10:
            raise Enough

    rails = study()
    with ThreadPoolExecutor(2) as threads:
        with pytest.raises(Enough):
            rails.run(50, executor=threads, progress=tell)
        kept = len(rails)
        assert 10 <= kept < 50
        rails.run(50, executor=threads, progress=lambda done, machines: seen.append((done, machines)))
    assert seen[-1] == (50, 50) and [done for done, _ in seen] == sorted(done for done, _ in seen)
    assert rails == study().run(50)


def test_ctrl_c_ends_it_and_keeps_what_was_done() -> None:
    rails = study()
    assert seconds_to_end(lambda: rails.run(1_000_000), 1.5) < 20
    assert 0 < len(rails) < 1_000_000
    assert rails.run(len(rails)).summary().machines == len(rails)


def test_a_worker_that_dies_is_named_and_what_was_done_is_kept() -> None:
    pool = ProcessPoolExecutor(2)

    def kill(done: int, _: int) -> None:
        for worker in pool._processes.values():
            worker.kill()

    rails = study()
    with pool, pytest.raises(WorkerDied, match=r"a worker died after \d+ of 400 machines, which are kept") as died:
        rails.run(400, executor=pool, progress=kill)
    assert isinstance(died.value.__cause__, BrokenProcessPool)
    kept = len(rails)
    assert 0 < kept < 400 and f"after {kept} of 400" in str(died.value) and "run(400)" in str(died.value)
    assert rails.run(kept + 8) == study().run(kept + 8)


def test_an_executor_that_answers_with_an_error_is_named() -> None:
    class Broken(Executor):
        def submit(self, call: Any, /, *given: Any, **named: Any) -> Future[Any]:
            future: Future[Any] = Future()
            future.set_exception(OSError("no route to the worker"))
            return future

    with pytest.raises(WorkerDied, match="0 of 5 machines") as died:
        study().run(5, executor=Broken())
    assert isinstance(died.value.__cause__, OSError)


def test_a_job_that_goes_missing_is_an_error_of_its_own(tmp_path: Path) -> None:
    shutil.copy(AXES / "plunge_lift.toml", tmp_path / "lift.toml")
    job = RAILS.read_text(encoding="utf-8").replace("../axes/plunge_lift.toml", "lift.toml")
    (tmp_path / "job.toml").write_text(job, encoding="utf-8")
    gone = Study(tmp_path / "job.toml", within="1 mm")
    (tmp_path / "lift.toml").unlink()
    with ThreadPoolExecutor(1) as threads, pytest.raises(errors.FileError, match="axis file not found"):
        gone.run(2, executor=threads)
    assert len(gone) == 0


@pytest.mark.parametrize(
    ("changes", "error", "words"),
    [
        ({"within": "0 mm"}, errors.OutOfRangeError, "tolerance of a stop 0 mm: give one above 0, such as 0.1 mm"),
        ({"within": "-1 mm"}, errors.OutOfRangeError, "tolerance of a stop -1 mm"),
        ({"within": "0.1"}, errors.MissingUnitError, "length “0.1”"),
        ({"within": "1 deg"}, errors.UnitError, "length “1 deg”"),
        ({"within": "nan mm"}, errors.NotationError, "length “nan mm”"),
        ({"within": ""}, errors.NotationError, "length “”"),
        ({"within": 0.1}, TypeError, "float"),
        ({"seed": -1}, errors.OutOfRangeError, "seed -1"),
        ({"seed": 1.5}, TypeError, "seed"),
        ({"job": JOBS / "nothing.toml"}, errors.MissingFileError, "nothing.toml"),
        ({"job": AXES / "plunge_lift.toml"}, errors.WholestepError, "plunge_lift.toml"),
    ],
)
def test_bad_input_is_named(changes: dict[str, Any], error: type[Exception], words: str) -> None:
    with pytest.raises(error) as caught:
        study(**changes)
    assert words in str(caught.value)


@pytest.mark.parametrize("machines", [0, -1, 10_000_001, 2**70])
def test_a_number_of_machines_that_is_none_is_refused(machines: int) -> None:
    with pytest.raises(errors.OutOfRangeError, match=f"machines {machines}: 1 to 10000000 is allowed"):
        study().run(machines)


def test_a_study_is_copied_with_its_trials_and_not_hashed() -> None:
    with ThreadPoolExecutor(1) as threads:
        rails = study().run(5, executor=threads)
        for again in (pickle.loads(pickle.dumps(rails)), copy.deepcopy(rails), copy.copy(rails)):
            assert again == rails and again is not rails and again != "rails"
            assert again.run(9, executor=threads) == study().run(9, executor=threads)
    with pytest.raises(TypeError, match="unhashable"):
        hash(rails)
    assert repr(study()) == "<Study of grooved_rails.toml, within 0.01 mm, seed 3: 0 machines>"


def test_a_folder_gives_the_sheet_of_each_job_or_why_there_is_none(tmp_path: Path) -> None:
    told: list[tuple[int, int]] = []
    with ThreadPoolExecutor(2) as threads:
        sheets = cut_folder(JOBS, executor=threads, progress=lambda done, of: told.append((done, of)))
    assert [file.name for file in sheets] == sorted(file.name for file in JOBS.glob("*.toml"))
    assert told == [(done, len(sheets)) for done in range(1, len(sheets) + 1)]
    for file, sheet in sheets.items():
        if file.name in {"tool_tray.toml", "bench_slats.toml", "drawer_boxes.toml"}:
            assert sheet == CutList.load(file).cuts()
        else:
            assert isinstance(sheet, errors.WholestepError) and "job without a cut list" in str(sheet)
    (tmp_path / "broken.toml").write_text("version = ", encoding="utf-8")
    (tmp_path / "notes.txt").write_text("not a job", encoding="utf-8")
    [(file, broken)] = cut_folder(tmp_path).items()
    assert file.name == "broken.toml" and isinstance(broken, errors.WholestepError) and "broken.toml" in str(broken)
    assert cut_folder(str(tmp_path)).keys() == {tmp_path / "broken.toml"}
    with pytest.raises(OSError):
        cut_folder(tmp_path / "nowhere")


