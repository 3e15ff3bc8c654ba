"""Calls spread over the workers of an executor."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import Executor, Future, ProcessPoolExecutor, as_completed
from typing import TypeVar

from .errors import WholestepError

Result = TypeVar("Result")


class WorkerDied(RuntimeError):
    """A worker of an executor ended without an answer."""


def spread(
    call: Callable[..., Result], arguments: Iterable[tuple[object, ...]], executor: Executor | None
) -> Iterator[Result]:
    """Yield what ``call`` returns for each of ``arguments``, as they come; what is left at an early end is cancelled.

    Without an executor, a pool of processes is made for the time.
    """
    if executor is None:
        with ProcessPoolExecutor() as pool:
            yield from spread(call, arguments, pool)
        return
    futures: list[Future[Result]] = []
    try:
        futures += (executor.submit(call, *given) for given in arguments)
        for future in as_completed(futures):
            yield future.result()
    except WholestepError:
        raise
    except Exception as error:
        raise WorkerDied(f"a worker died: {error!r}") from error
    finally:
        for future in futures:
            future.cancel()
