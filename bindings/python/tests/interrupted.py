"""Ctrl-C in the midst of long work."""

import gc
import os
import signal
import threading
import time
from collections.abc import Callable

import pytest


def seconds_to_end(work: Callable[[], object], after: float) -> float:
    """Sends Ctrl-C so many seconds after ``work`` began, and returns how long it then took to end."""
    sent = 0.0

    def interrupt() -> None:
        nonlocal sent
        sent = time.monotonic()
        os.kill(os.getpid(), signal.SIGINT)

    # A shell has its background programs ignore Ctrl-C; here it is wanted wherever the tests run.
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    timer = threading.Timer(after, interrupt)
    # Hypothesis is told of every garbage collection, and Ctrl-C in its callback would be swallowed.
    gc.disable()
    timer.start()
    try:
        with pytest.raises(KeyboardInterrupt):
            work()
    finally:
        gc.enable()
    late = time.monotonic() - sent
    timer.join()
    signal.signal(signal.SIGINT, before)
    assert sent > 0
    return late
