"""Calls spread over the workers of an executor."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import FIRST_COMPLETED, Executor, Future, ProcessPoolExecutor, wait
from itertools import islice
from typing import TypeVar

from .errors import WholestepError

Result = TypeVar("Result")

IN_FLIGHT = 256
"""Calls that an executor holds at most; a cluster of more workers than that is not kept busy."""


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
    waiting = iter(arguments)
    sent: set[Future[Result]] = set()
    try:
        while True:
            # Few enough that an early end cancels quickly, and enough that no worker waits.
            sent.update(executor.submit(call, *given) for given in islice(waiting, IN_FLIGHT - len(sent)))
            if not sent:
                return
            done, sent = wait(sent, return_when=FIRST_COMPLETED)
            for future in done:
                yield future.result()
    except WholestepError:
        raise
    except Exception as error:
        raise WorkerDied(f"a worker died: {error!r}") from error
    finally:
        for future in sent:
            future.cancel()
