"""What is wrong with a file, one line for each problem: file, field, what was found, what would do."""

from __future__ import annotations

import errno
import os
from collections.abc import Sequence
from pathlib import Path

from fieldplan.model.problems import Problem
from fieldplan.notation.numbers import obeyed_by_none, shown

_SAYS = {
    errno.ENOENT: "is not there; look at the spelling, or at what the folder holds",
    errno.ENOTDIR: "is not there: a part of its path is a file, not a folder",
    errno.EISDIR: "is a folder; name a file in it",
    errno.EACCES: "may not be read or written by you; change its permissions, or take another place",
    errno.EPERM: "may not be read or written by you; change its permissions, or take another place",
    errno.EROFS: "lies on a disk that is read-only; take another place",
    errno.ENOSPC: "could not be written: the disk is full; the file is as it was. Make room and save again",
    errno.EDQUOT: "could not be written: your share of the disk is used up; the file is as it was",
    errno.EFBIG: "could not be written: the disk takes no file of that size; the file is as it was",
    errno.ENAMETOOLONG: "has too long a name; write a shorter one",
    errno.ELOOP: "is a link that leads back to itself; mend the link",
    errno.EIO: "could not be read or written: the disk reports an error",
    errno.EINVAL: "has a name that cannot be; write another",
}


_MOST_TOLD = 40  # lines of one message; who mends these sees the rest


class FileProblem(Exception):
    """A file cannot be used as it is; ``problems`` holds each reason, its text the first of them."""

    def __init__(self, path: Path, problems: Sequence[Problem]) -> None:
        super().__init__(path, tuple(problems))
        self.path = path
        self.problems = tuple(problems)

    def __str__(self) -> str:
        name = visible(self.path.name or str(self.path))
        lines = [f"{name}: {problem}" for problem in self.problems[:_MOST_TOLD]]
        more = len(self.problems) - len(lines)
        return "\n".join([*lines, f"{name}: and {more} more of them"] if more > 0 else lines)


class ChangedOnDisk(FileProblem):
    """Another program changed the file since it was read; nothing was written."""


def expanded(path: Path | str) -> Path:
    """A path with ~ as the home folder; as it stands where there is no such home."""
    try:
        return Path(path).expanduser()
    except (RuntimeError, ValueError):
        return Path(path)


def no_home(path: Path) -> str:
    """What is wrong with a path that still begins with ~ when it is expanded and is not there; "" for any other."""
    first = path.parts[0] if path.parts else ""
    try:
        if not first.startswith("~") or os.path.lexists(first):
            return ""
    except ValueError:  # a name that cannot be
        return ""
    if first == "~":
        return "your home folder is not known, so ~ leads nowhere; write the whole path"
    return f"there is no user {shown(first[1:])} here, so {visible(first)} is no folder; write the whole path"


def plain_problem(path: Path, message: str, where: str = "") -> FileProblem:
    """A problem of the whole file, or of a place in it."""
    return FileProblem(path, [Problem(where, "", message)])


def system_problem(path: Path, error: OSError) -> FileProblem:
    """What the system said, in plain words and with what would help."""
    place = visible(str(path.parent))
    code = error.errno or 0
    nobody = no_home(path) if code == errno.ENOENT else ""
    if nobody:
        return plain_problem(path, nobody)
    message = (
        _SAYS.get(code) or f"could not be read or written: {os.strerror(code).lower() if code else 'unknown error'}"
    )
    return plain_problem(path, f"{message} (folder {place})")


def file_there(path: Path) -> bool:
    """True where a file is, False where there is none. Raises FileProblem where the system does not let one look."""
    try:
        return path.is_file()
    except OSError as error:
        raise system_problem(path, error) from None


def visible(text: str) -> str:
    """Text with nothing in it that a terminal would obey, and no quotes around it."""
    printable = obeyed_by_none(text)
    return printable if len(printable) <= 200 else shown(printable)
