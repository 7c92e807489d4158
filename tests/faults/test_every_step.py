"""A save broken at each of its steps in turn: by a full disk, by a kill, by a power cut. The file stays whole."""

from __future__ import annotations

import errno
import os
from pathlib import Path

import pytest

from fieldplan.files.document import open_plan
from fieldplan.files.problems import FileProblem
from fieldplan.files.reading import load_plan
from fieldplan.files.saving import save_text

from .conftest import PLAN
from .steps import CHANGING, LIMIT, broken_at, killed_at

NEW = PLAN.replace("Lake (invented)", "Other (invented)")


def strangers(folder: Path) -> list[str]:
    return [name for name in os.listdir(folder) if name not in ("lake.toml", "lake.toml~")]


@pytest.mark.parametrize("code", [errno.ENOSPC, errno.EDQUOT, errno.EIO, errno.EROFS])
def test_an_error_of_the_disk_at_each_step(lake: Path, code: int) -> None:
    def fail() -> None:
        raise OSError(code, os.strerror(code))

    failed = 0
    for nth in range(1, LIMIT):
        lake.write_text(PLAN)
        lake.with_name("lake.toml~").unlink(missing_ok=True)
        with broken_at(nth, fail, CHANGING) as made:
            try:
                save_text(lake, NEW)
                there = NEW
            except FileProblem as problem:
                failed += 1
                there = PLAN
                assert "lake.toml" in str(problem)
        assert lake.read_text() == there
        assert strangers(lake.parent) == []
        if len(made) < nth:
            break
    assert failed >= 3, "opening, writing and renaming can fail"
    assert len(made) < nth, "every step was reached"


def test_a_write_that_stops_half_way(lake: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """POSIX.1-2017, write: on a full disk some of the bytes may have been written."""
    real = os.fdopen

    class Short:
        def __init__(self, file: object) -> None:
            self.file = file

        def __enter__(self) -> Short:
            return self

        def __exit__(self, *_: object) -> None:
            self.file.close()  # type: ignore[attr-defined]

        def write(self, data: bytes) -> None:
            self.file.write(data[: len(data) // 2])  # type: ignore[attr-defined]
            raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(os, "fdopen", lambda *words, **keys: Short(real(*words, **keys)))
    with pytest.raises(FileProblem, match="the disk is full; the file is as it was"):
        save_text(lake, NEW)
    assert lake.read_text() == PLAN
    assert strangers(lake.parent) == []


def test_killed_at_each_step(lake: Path) -> None:
    """The old file or the new one, whole, whichever step was the last; what is left over goes with the next save."""
    reached: set[str] = set()
    for nth in range(1, LIMIT):
        lake.write_text(PLAN)
        whole = killed_at(nth, lambda: save_text(lake, NEW))
        text = lake.read_text()
        assert text in (PLAN, NEW)
        reached.add(text)
        if whole:
            break
    assert whole, "every step was reached"
    assert reached == {PLAN, NEW}
    save_text(lake, PLAN)
    assert strangers(lake.parent) == []


def test_a_power_cut_finds_the_bytes_on_the_disk_before_the_name(lake: Path) -> None:
    """What was not synced when the power goes may be lost; so the file is synced before it is renamed, and the folder
    after (POSIX.1-2017, fsync; rename alone orders nothing)."""
    with broken_at(0, lambda: None) as made:
        save_text(lake, NEW)
    rename = len(made) - 1 - made[::-1].index("replace")
    assert "fsync" in made[:rename]
    assert made.index("fdopen") < made.index("fsync") < rename
    assert "fsync" in made[rename:]


def test_a_kill_just_before_the_renaming_leaves_the_old_file_as_it_was(lake: Path) -> None:
    other = lake.with_name("other.toml")
    other.write_text(PLAN)
    with broken_at(0, lambda: None) as made:
        save_text(other, NEW, keep_previous=False)
    other.unlink()
    before = lake.stat()
    killed_at(made.index("replace") + 1, lambda: save_text(lake, NEW, keep_previous=False))
    assert lake.read_text() == PLAN
    assert lake.stat().st_ino == before.st_ino
    left = strangers(lake.parent)
    assert any((lake.parent / name).read_text() == NEW for name in left), "the new text was whole, beside it"
    document = open_plan(lake)
    assert document.value.title == "Lake (invented)"
    document.set(("title",), "On we go")
    document.save()
    assert strangers(lake.parent) == []
    assert load_plan(lake).value.title == "On we go"
