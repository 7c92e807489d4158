"""The fuzzing itself: faults that are planted are found, made small, and told."""

from __future__ import annotations

import itertools
import random
import sys
from collections import Counter
from typing import Any

import pytest

from . import fuzz, guided
from .fuzz import TooSlow, run
from .readers import Reader, readers


def planted(read: Any) -> Reader:
    return Reader("planted", (b"25-31 m", b"50-75 %"), "text", read)


def breaks(data: bytes) -> None:
    if b"%" in data and b"5" in data:
        raise ZeroDivisionError


def speaks(data: bytes) -> None:
    raise ValueError(data.decode("latin-1"))


def hangs(data: bytes) -> None:
    while b"%" in data:
        pass


def test_an_exception_is_found_and_its_input_made_small() -> None:
    with pytest.raises(ZeroDivisionError) as raised:
        run(planted(breaks), 2000, 1)
    assert any(note.startswith(("planted b'5%'\n", "planted b'%5'\n")) for note in raised.value.__notes__)


def test_a_message_that_a_terminal_obeys_is_found() -> None:
    with pytest.raises(AssertionError):
        run(planted(speaks), 2000, 1)


def test_a_hang_is_found(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(fuzz, "LONGEST_S", 0.02)
    with pytest.raises(TooSlow):
        run(planted(hangs), 2000, 1)


def test_memory_that_one_input_takes_is_found(monkeypatch: pytest.MonkeyPatch) -> None:
    sizes = itertools.count(0, fuzz.MOST_GROWN_KB)
    monkeypatch.setattr(fuzz, "_memory_kb", lambda: next(sizes))
    with pytest.raises(AssertionError, match="memory grew by"):
        run(planted(len), 200, 1)


@pytest.mark.parametrize("name", [name for name in readers() if name not in ("answers", "step")])
def test_inputs_differ_and_some_of_them_read(name: str) -> None:
    """Input that is all refused at the door would try nothing behind it."""
    reader, chance = readers()[name], random.Random(1)
    found = [reader.made(chance) for _ in range(300)]
    assert len(set(found)) > 150
    told = Counter(fuzz.feed(reader, reader.of(data)) for data in found[:100])
    assert told[True] > 0


def test_without_its_library_the_guided_search_says_how_to_get_it(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setitem(sys.modules, "atheris", None)
    monkeypatch.setattr(sys, "argv", ["guided", "plan", "1"])
    with pytest.raises(SystemExit) as left:
        guided.main()
    assert left.value.code == 2
    assert "pip install" in capsys.readouterr().err
