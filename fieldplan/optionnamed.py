"""Names the option whose text cannot be read, so that among several it is plain which is meant."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TypeVar

_Read = TypeVar("_Read")


@contextmanager
def named(option: str) -> Iterator[None]:
    """A ValueError from within is told with the option before it; a FileProblem has a name of its own."""
    try:
        yield
    except ValueError as wrong:
        raise ValueError(f"{option}: {wrong}") from None


def given(option: str, text: str | None, reader: Callable[[str], _Read]) -> _Read | None:
    """What an option says, None where it is left out. Raises ValueError that names it."""
    with named(option):
        return None if text is None else reader(text)
