"""A job rehearsed on many machines, spread over any executor."""

from __future__ import annotations

import os
from collections.abc import Callable
from concurrent.futures import Executor
from dataclasses import dataclass
from os import PathLike
from pathlib import Path

from . import _native
from ._spread import WorkerDied, spread


@dataclass(frozen=True, slots=True)
class Trial:
    """How a job came out on one machine of a study.

    ``number`` is the machine's, counted from 0. ``datum_error`` is by how much the carriage truly
    stood above where it believed to, once it had found the datum, in mm or degrees; ``None`` if it
    did not find it. ``errors`` are by how much the carriage, or since a touch-off the tip of the
    cutter, truly stood above where each stop sent it, for those that were come to; without a
    touch-off, after the test cut. ``stalls`` counts how often the motor fell out of step.
    ``torque_margin`` is the part of its torque to spare at the worst moment. ``stopped`` says why the
    job did not come about, and is ``None`` if it did.
    """

    number: int
    datum_error: float | None
    errors: tuple[float, ...]
    stalls: int
    torque_margin: float | None
    stopped: str | None


@dataclass(frozen=True, slots=True)
class Spread:
    """How values lie, in mm or degrees: the lowest, the mean, the highest, and the standard deviation."""

    lowest: float
    mean: float
    highest: float
    deviation: float


@dataclass(frozen=True, kw_only=True, slots=True)
class Summary:
    """What the trials of a study come to.

    ``fitting`` counts the ``machines`` on which every stop was within the tolerance, and
    ``fitting_part`` bounds their part, 95 times of a hundred for a chance like this one. ``stalled``
    and ``stopped`` count those whose motor fell out of step, and those that something stopped;
    ``reasons`` are what stopped them, each with how many, the most frequent first.
    ``datum`` is how the carriage stood off once it had found the datum, ``stops`` how at each stop;
    ``None`` for fewer than two machines. ``torque_margin`` is the least torque to spare on any.
    ``sentence`` says it in words.
    """

    machines: int
    fitting: int
    fitting_part: tuple[float, float]
    stalled: int
    stopped: int
    reasons: tuple[tuple[str, int], ...]
    datum: Spread | None
    stops: tuple[Spread | None, ...]
    torque_margin: float | None
    sentence: str


class Study:
    """A job rehearsed on many machines, each drawn from what its axis file leaves open.

    Every figure that the axis file gives as a range is drawn evenly from it, ``travel_error`` and
    ``switch_scatter`` of ``[machine]`` among them; ``drawn`` names their keys. Without any, the machines
    differ only in where their switches are met. A job without a touch-off gets its zero as at the
    bench, by one test cut at the first stop, which corrects the zero alone, neither scale nor play.

    The same job, ``seed`` and number give the same trial, in whatever order, on whatever executor and
    however many workers.

    CAUTION: a study shows how the numbers of a job hold on machines like this one. It proves nothing
    about guards, wiring or workholding, and it knows of no cutter.

    >>> import wholestep
    >>> from concurrent.futures import ThreadPoolExecutor
    >>> lap = wholestep.Study("examples/jobs/lap_joint.toml", within="0.1 mm", seed=7)
    >>> with ThreadPoolExecutor(2) as threads:
    ...     lap.run(20, executor=threads).summary().fitting
    20
    >>> all(abs(error) < 0.01 for error in lap.trials[3].errors)
    True
    >>> print(lap)
    20 of 20 machines hold every stop within 0.1 mm: 83 to 100 of a hundred; the datum comes back within ±0.0101 mm; no motor stalls
    """

    def __init__(self, job: str | PathLike[str], *, within: str, seed: int = 1) -> None:
        """Make the study of a job file: each stop fits if it is at most ``within`` off, such as ``0.1 mm``.

        Raises a ``WholestepError`` for a job that cannot be read, for one whose every stop is set by
        hand, and for a tolerance that is no length, or angle on an axis that turns, above 0.
        """
        self._job = Path(os.path.abspath(job))
        self._within = within
        self._seed = seed
        self._stops, self._drawn = map(tuple, _native.look_at_study(self._job, within, seed))
        self._trials: dict[int, Trial] = {}

    @property
    def job(self) -> Path:
        """The job file."""
        return self._job

    @property
    def within(self) -> str:
        """What a stop may be off, as it was given."""
        return self._within

    @property
    def seed(self) -> int:
        """What the machines and their chance are drawn from."""
        return self._seed

    @property
    def stops(self) -> tuple[str, ...]:
        """What each stop is for, in order."""
        return self._stops

    @property
    def drawn(self) -> tuple[str, ...]:
        """The keys of the axis file whose figures are ranges."""
        return self._drawn

    @property
    def trials(self) -> tuple[Trial, ...]:
        """What came of each machine so far, by number."""
        return tuple(self._trials[number] for number in sorted(self._trials))

    def run(
        self,
        machines: int = 1000,
        *,
        executor: Executor | None = None,
        progress: Callable[[int, int], object] | None = None,
    ) -> Study:
        """Rehearse the job on the first so many machines, but for those that were done before; return the study.

        ``executor`` is any of ``concurrent.futures``, or one that a distributed engine makes; the
        job's files must be where its workers can read them. Without one, a pool of as many processes
        as the computer has cores is made for the time; a script then starts it under ``if __name__ ==
        "__main__":``. ``progress`` is told now and then how many machines are done, and of how many.

        Whatever ends it early, Ctrl-C, what ``progress`` raises or a worker that dies, what was done is
        kept, and ``run`` again goes on from there. Raises ``WorkerDied`` if a worker ended without an
        answer, and a ``WholestepError`` for a machine that cannot be simulated.
        """
        left = _native.machines_left(machines, set(self._trials))
        calls = [(self._job, self._within, self._seed, first, count) for first, count in left]
        known = sum(number < machines for number in self._trials)
        try:
            for trials in spread(_trials, calls, executor):
                known += len(trials)
                self._trials.update((trial.number, trial) for trial in trials)
                if progress is not None:
                    progress(known, machines)
        except WorkerDied as died:
            raise WorkerDied(
                f"a worker died after {known} of {machines} machines, which are kept: run({machines}) goes on from "
                "there; take fewer workers if the memory ran out, and in a script begin under "
                'if __name__ == "__main__"'
            ) from died.__cause__
        return self

    def summary(self) -> Summary:
        """Return what the trials so far come to."""
        fields = [
            (one.number, one.datum_error, list(one.errors), one.stalls, one.torque_margin, one.stopped)
            for one in self.trials
        ]
        return _native.sum_up(self._job, self._within, self._seed, fields)

    def __len__(self) -> int:
        """How many machines are done."""
        return len(self._trials)

    def __eq__(self, other: object) -> bool:
        """Tell whether the other is the same study, with the same trials."""
        if not isinstance(other, Study):
            return NotImplemented
        return self._key() == other._key()

    __hash__ = None  # type: ignore[assignment]

    def __copy__(self) -> Study:
        """Copy the study with its trials, so that either goes on by itself."""
        other = Study(self._job, within=self._within, seed=self._seed)
        other._trials = dict(self._trials)
        return other

    def _key(self) -> tuple[Path, str, int, tuple[Trial, ...]]:
        return self._job, self._within, self._seed, self.trials

    def __str__(self) -> str:
        """Say what the trials so far come to, in one sentence."""
        return self.summary().sentence

    def __repr__(self) -> str:
        """Name the job, the tolerance, the seed, and how many machines are done."""
        return f"<Study of {self._job.name}, within {self._within}, seed {self._seed}: {len(self)} machines>"


def _trials(job: Path, within: str, seed: int, first: int, count: int) -> list[Trial]:
    """Rehearse a run of machines, in a worker."""
    return [
        Trial(number, datum, tuple(errors), stalls, margin, stopped)
        for number, datum, errors, stalls, margin, stopped in _native.run_trials(job, within, seed, first, count)
    ]
