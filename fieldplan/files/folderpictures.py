"""Reads all pictures of a folder, one after the other: with progress, a way to stop, and the broken ones named."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import NamedTuple

from fieldplan.files.exif import Unreadable, cleaned, read_picture
from fieldplan.files.problems import plain_problem, system_problem
from fieldplan.planner.seen import Seen

MOST_FILES = 1_000_000
_EVERY = 20  # files between two tellings of progress


class Gathered(NamedTuple):
    """What a folder held: pictures; (name, why) of those that cannot be read; how many say nothing of the exposure, how
    many files are no pictures; whether it was stopped before the end, and of how many files it was."""

    pictures: tuple[Seen, ...]
    broken: tuple[tuple[str, str], ...]
    silent: int
    others: int
    stopped: bool
    files: int


def files_under(folder: Path, stop: Callable[[], bool] = lambda: False) -> Iterator[os.DirEntry[str]]:
    """Every file under a folder by name, its own before those of folders in it. Links to folders are not followed."""
    waiting = [str(folder)]
    while waiting and not stop():
        try:
            with os.scandir(waiting.pop()) as found:
                entries = sorted(found, key=lambda entry: entry.name)
        except OSError:
            continue
        inner = []
        for entry in entries:
            try:
                if entry.is_dir(follow_symlinks=False):
                    inner.append(entry.path)
                elif entry.is_file():
                    yield entry
            except OSError:
                continue
        waiting += reversed(inner)


def gather(
    folder: Path,
    progress: Callable[[int, int], object] = lambda done, of: None,
    stop: Callable[[], bool] = lambda: False,
) -> Gathered:
    """All pictures under a folder, or the one file. Raises FileProblem where there is no such folder.

    progress: called now and then with (files read, files in all); stop: asked before each file.
    """
    try:
        names = [str(folder)] if folder.is_file() else None
        if names is None:
            with os.scandir(folder):
                pass
    except OSError as error:
        raise system_problem(folder, error) from None
    except ValueError:
        raise plain_problem(folder, "has a name that cannot be; write another") from None
    names = names or [entry.path for entry, _ in zip(files_under(folder, stop), range(MOST_FILES), strict=False)]
    pictures: list[Seen] = []
    broken: list[tuple[str, str]] = []
    silent = others = 0
    words: dict[str, str] = {}
    for done, name in enumerate(names):
        if done % _EVERY == 0:
            progress(done, len(names))
        if stop():
            return Gathered(tuple(pictures), tuple(broken), silent, others, True, len(names))
        path = Path(name)
        called = path.name if path == folder else os.path.relpath(name, folder)
        try:
            seen = read_picture(path)
        except Unreadable as why:
            broken.append((cleaned(called) or "?", str(why)))
            continue
        if seen is None:
            others += 1
        elif not seen.says_anything:
            silent += 1
        else:
            pictures.append(seen._replace(body=_once(words, seen.body), lens=_once(words, seen.lens)))
    progress(len(names), len(names))
    return Gathered(tuple(pictures), tuple(broken), silent, others, stop(), len(names))


def _once(words: dict[str, str], text: str | None) -> str | None:
    """The same text as one object, however many files hold it."""
    return None if text is None else words.setdefault(text, text)
