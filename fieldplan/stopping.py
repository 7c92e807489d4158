"""Ctrl+C while a command works: it only asks for an end, so that what was found until then is told."""

from __future__ import annotations

import signal
from collections.abc import Callable, Iterator
from contextlib import contextmanager

STOPPED = 130  # the exit status of a program ended by Ctrl+C, by common practice


@contextmanager
def stoppable() -> Iterator[Callable[[], bool]]:
    """Yields what says whether Ctrl+C was pressed; never, outside the main thread, which alone hears of it."""
    asked: list[bool] = []

    def ask(*_: object) -> None:
        asked.append(True)

    try:
        former = signal.signal(signal.SIGINT, ask)
    except ValueError:  # not the main thread
        yield lambda: False
        return
    try:
        yield lambda: bool(asked)
    finally:
        signal.signal(signal.SIGINT, former)
