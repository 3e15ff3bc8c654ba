"""One study on threads, on processes and on a local cluster: equal results, and how much sooner.

Run by `cargo xtask full studies`; `distributed` is there only then.
"""

import sys
import time
from collections.abc import Iterator
from concurrent.futures import Executor, ProcessPoolExecutor
from contextlib import contextmanager
from pathlib import Path

from distributed import Client, LocalCluster
from wholestep import Study

JOB = Path(__file__).parents[2] / "examples" / "jobs" / "grooved_rails.toml"


@contextmanager
def cluster(workers: int) -> Iterator[Executor]:
    with LocalCluster(n_workers=workers, threads_per_worker=1, dashboard_address=None) as local, Client(local) as client:
        yield client.get_executor()


def timed(machines: int, executor: Executor) -> tuple[Study, float]:
    study = Study(JOB, within="0.01 mm", seed=11)
    began = time.monotonic()
    study.run(machines, executor=executor)
    return study, time.monotonic() - began


def main(machines: int) -> None:
    with ProcessPoolExecutor(1) as one:
        alone, slowest = timed(machines, one)
    print(f"{machines} machines, a rehearsal and a test cut each")
    print(f"one process          {slowest:7.1f} s")
    for name, workers in (("four processes", ProcessPoolExecutor(4)), ("a cluster of four", cluster(4))):
        with workers as executor:
            spread, seconds = timed(machines, executor)
        if spread != alone or spread.summary() != alone.summary():
            sys.exit(f"{name}: other results")
        print(f"{name:20} {seconds:7.1f} s, {slowest / seconds:.2f} times as fast, the same results")
    print(alone)


if __name__ == "__main__":
    main(int(sys.argv[1]))
