"""What is not on disk yet, line by line beside the state, so that a crash of the program itself loses nothing.

Each window on a file holds a journal of its own, locked for as long as the program runs. One that nobody holds and
that is not empty is what a crash left; one that somebody else holds says that the file is open in a second window.
Every line is the whole of what is not on disk, so that the last whole line counts, whenever the program was killed.
"""

from __future__ import annotations

import contextlib
import json
import os
from collections.abc import Mapping
from pathlib import Path
from typing import Any, NamedTuple

from fieldplan.files.reading import digest_of
from fieldplan.files.state import draft_texts, state_file
from fieldplan.model.schema import KeyPath

_MOST_WINDOWS = 9
_LONGEST = 1024 * 1024  # bytes; a longer journal is written anew from its last line
_MOST_READ = 32 * _LONGEST


class Left(NamedTuple):
    """What was not on disk. digest: of the file that it was typed for.

    text: the whole document as TOML, "" where all edits were on disk. drafts: texts that were not kept yet: those that
    did not read, and that of an open field.
    """

    digest: str
    text: str
    drafts: Mapping[KeyPath, str]


def journals_folder() -> Path:
    """Where journals lie: "unsaved" beside the state."""
    return state_file().parent / "unsaved"


class Journal:
    """The journal of one window on one file.

    elsewhere: True when another window has the same file open. left: what a crash left, None for nothing. Where the
    system has no locks, or the folder cannot be written, nothing is kept, and nothing is said.
    """

    def __init__(self, document: Path, folder: Path | None = None) -> None:
        self.document = document
        self.elsewhere = False
        self.left: Left | None = None
        self._path: Path | None = None
        self._descriptor = -1
        self._last = ""
        real = os.path.realpath(document)
        stem = f"{os.path.basename(real)[:24]}-{digest_of(os.fsencode(real))[:16]}"
        with contextlib.suppress(OSError, ImportError):
            self._claim(folder or journals_folder(), stem)

    def keep(self, left: Left) -> None:
        """Put down what is not on disk now, in place of what was put down before."""
        if self._path is None:
            return
        line = "" if not left.text and not left.drafts else _line(left)
        if line == self._last:
            return
        with contextlib.suppress(OSError):  # a disk without room for this is spoken of when the document is saved
            if not line:
                os.ftruncate(self._descriptor, 0)
            elif os.fstat(self._descriptor).st_size + len(line) > _LONGEST:
                self._anew(line)
            else:
                os.write(self._descriptor, line.encode("utf-8"))
            self._last = line

    def close(self) -> None:
        """Let go of the journal; one that holds nothing goes away."""
        if self._path is None:
            return
        with contextlib.suppress(OSError):
            if os.fstat(self._descriptor).st_size == 0:
                self._path.unlink()
        with contextlib.suppress(OSError):
            os.close(self._descriptor)
        self._path = None

    def _claim(self, folder: Path, stem: str) -> None:
        """Take a journal that nobody holds: one that a crash left before an empty one."""
        folder.mkdir(parents=True, exist_ok=True, mode=0o700)
        free: tuple[Path, int] | None = None
        for number in range(1, _MOST_WINDOWS + 1):
            path = folder / f"{stem}.{number}.jsonl"
            if free is not None and not path.exists():
                continue
            descriptor = _locked(path)
            if descriptor is None:
                self.elsewhere = True
                continue
            found = _last_of(descriptor) if self.left is None else None
            if free is None or found is not None:
                if free is not None:
                    _drop(*free)
                free = (path, descriptor)
            else:
                os.close(descriptor)
            if found is not None:
                self.left, self._last = found, _line(found)
        if free is not None:
            self._path, self._descriptor = free

    def _anew(self, line: str) -> None:
        """The journal with this line alone: another file in its place, so that a kill leaves one or the other."""
        assert self._path is not None
        beside = self._path.with_suffix(".new")
        with contextlib.suppress(FileNotFoundError):
            beside.unlink()
        descriptor = _locked(beside)
        if descriptor is not None:
            os.write(descriptor, line.encode("utf-8"))
            os.replace(beside, self._path)
            os.close(self._descriptor)
            self._descriptor = descriptor


def _locked(path: Path) -> int | None:
    """The file, opened and held; None where another window holds it. Raises OSError, ImportError."""
    import fcntl

    flags = os.O_RDWR | os.O_CREAT | os.O_APPEND | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_CLOEXEC", 0)
    while True:
        descriptor = os.open(path, flags, 0o600)
        try:
            fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
            if os.path.samestat(os.fstat(descriptor), path.stat()):
                return descriptor
        except BlockingIOError:
            os.close(descriptor)
            return None
        except FileNotFoundError:
            pass
        except OSError:
            os.close(descriptor)
            raise
        os.close(descriptor)  # its last holder removed it between our opening and locking it


def _drop(path: Path, descriptor: int) -> None:
    with contextlib.suppress(OSError):
        path.unlink()
    os.close(descriptor)


def _line(left: Left) -> str:
    drafts = [[list(key), text] for key, text in left.drafts.items()]
    return "\n" + json.dumps({"digest": left.digest, "text": left.text, "drafts": drafts}) + "\n"


def _last_of(descriptor: int) -> Left | None:
    """The last line that is whole; None where there is none."""
    size = os.fstat(descriptor).st_size
    data = b"" if size > _MOST_READ else os.pread(descriptor, size, 0)
    for line in reversed(data.splitlines()):
        with contextlib.suppress(ValueError, RecursionError):
            found = _left(json.loads(line))
            if found is not None:
                return found
    return None


def _left(row: Any) -> Left | None:
    if not isinstance(row, dict) or not isinstance(row.get("digest"), str) or not isinstance(row.get("text"), str):
        return None
    drafts = draft_texts(row.get("drafts"))
    return Left(row["digest"], row["text"], drafts) if row["text"] or drafts else None
