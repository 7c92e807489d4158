"""Counts the calls of the system that a piece of work makes, and breaks it at any one of them."""

from __future__ import annotations

import contextlib
import os
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any
from unittest import mock

# What a save asks of the system; stat and listdir only look.
CALLS = ("open", "fdopen", "fsync", "replace", "link", "chown", "listdir", "stat", "close", "unlink")
CHANGING = ("open", "fdopen", "fsync", "replace", "link")
LIMIT = 200


@contextlib.contextmanager
def broken_at(nth: int, broken: Callable[[], Any], calls: tuple[str, ...] = CALLS) -> Iterator[list[str]]:
    """While inside, the nth call does ``broken`` in place of its work; yields the names of the calls made."""
    made: list[str] = []

    def wrapped(name: str, real: Callable[..., Any]) -> Callable[..., Any]:
        def call(*args: Any, **keys: Any) -> Any:
            made.append(name)
            if len(made) == nth:
                broken()
            return real(*args, **keys)

        return call

    with contextlib.ExitStack() as stack:
        for name in calls:
            stack.enter_context(mock.patch.object(os, name, wrapped(name, getattr(os, name))))
        yield made


def killed_at(nth: int, work: Callable[[], Any]) -> bool:
    """Do the work in a process of its own that is gone at its nth call; True when it came to its end before."""
    pid = os.fork()
    if pid == 0:
        try:
            with broken_at(nth, lambda: os.kill(os.getpid(), 9)):
                work()
            os._exit(0)
        except BaseException:  # must not run on as a second test run
            os._exit(3)
    _, status = os.waitpid(pid, 0)
    assert os.waitstatus_to_exitcode(status) in (0, -9)
    return os.waitstatus_to_exitcode(status) == 0


def as_anybody(folder: Path, work: Callable[[], None]) -> int:
    """Do the work in a process without special rights, where this one has them; 0 when it did not raise."""
    pid = os.fork()
    if pid == 0:
        try:
            if os.getuid() == 0:
                os.setgid(65534)
                os.setuid(65534)
            work()
            os._exit(0)
        except BaseException:
            os._exit(1)
    return os.waitstatus_to_exitcode(os.waitpid(pid, 0)[1])
