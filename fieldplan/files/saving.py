"""Saves text so that a reader, or a power cut at any instant, finds the old file whole or the new file whole."""

from __future__ import annotations

import contextlib
import errno
import os
import secrets
import shutil
import time
from collections.abc import Iterator
from pathlib import Path

from fieldplan.files.problems import ChangedOnDisk, expanded, plain_problem, system_problem
from fieldplan.files.reading import digest_of, read_bytes
from fieldplan.model.problems import Problem

_TEMPORARY = ".fieldplan-tmp"
_LOCK = ".fieldplan-lock"
_LOCK_PATIENCE_S = 5.0
_STALE_S = 3600.0  # a temporary file this old has no writer any more, lock or not
NEW_FILE = ""  # in place of a digest: the file must not be there yet
_NO_LOCKS = {errno.ENOLCK, errno.ENOTSUP, errno.EOPNOTSUPP, errno.ENOSYS}


def save_text(path: Path, text: str, expect_digest: str | None = None, *, keep_previous: bool = True) -> str:
    """Put text in the place of a file and return its digest.

    expect_digest: of the content that this text replaces, NEW_FILE when there must be none, None to replace whatever
    is there. A link is followed; the file keeps its mode; its former content stays as NAME~ (keep_previous). Raises
    ChangedOnDisk when the file is not what was expected, FileProblem when it cannot be written; it stays as it was.
    """
    data = text.encode("utf-8")
    try:
        target = _real(path)
        with _locked(target) as alone:
            _sweep(target, alone)
            present = present_bytes(target)
            expect(path, present, expect_digest)
            if present is not None and not target.stat().st_mode & 0o222:
                raise plain_problem(path, "is marked read-only; allow writing, or save it under another name")
            if present != data:
                _replace(target, data, present is not None, keep_previous)
    except OSError as error:
        raise system_problem(path, error) from None
    return digest_of(data)


def _real(path: Path) -> Path:
    """Where a path leads. Raises FileProblem."""
    try:
        return Path(os.path.realpath(path))
    except ValueError:
        raise plain_problem(path, "has a name that cannot be; write another") from None


def present_bytes(path: Path) -> bytes | None:
    """What a file holds now; None where there is none. Raises FileProblem."""
    try:
        return read_bytes(path) if path.exists() else None
    except OSError as error:
        raise system_problem(path, error) from None


def expect(path: Path, present: bytes | None, digest: str | None) -> None:
    """Raises ChangedOnDisk unless what is present (None: no file) has the digest; see ``save_text``."""
    found = NEW_FILE if present is None else digest_of(present)
    if digest in (None, found):
        return
    if present is None:
        what = "is gone from the disk since it was read; save it again to write it anew, or under another name"
    elif digest == NEW_FILE:
        what = "is there already; take another name"
    else:
        what = (
            "was changed by another program since it was read; nothing was written. Read it again, keep yours as a "
            "copy, or save over it"
        )
    raise ChangedOnDisk(path, [Problem("", "", what)])


def _replace(target: Path, data: bytes, there: bool, keep_previous: bool) -> None:
    temporary = _temporary(target)
    try:
        _write(temporary, data)
        if there:
            _keep_mode(target, temporary)
            if keep_previous:
                _keep_previous(target)
        os.replace(temporary, target)
    except BaseException:
        with contextlib.suppress(OSError):
            temporary.unlink()
        raise
    _sync_folder(target.parent)


def _write(path: Path, data: bytes) -> None:
    descriptor = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), 0o666)
    with os.fdopen(descriptor, "wb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())


def _keep_mode(target: Path, temporary: Path) -> None:
    state = target.stat()
    if hasattr(os, "chown"):
        with contextlib.suppress(OSError):
            os.chown(temporary, state.st_uid, state.st_gid)
    with contextlib.suppress(OSError):
        temporary.chmod(state.st_mode & 0o7777)


def _keep_previous(target: Path) -> None:
    """The content about to be replaced, as NAME~: by a hard link, or a copy where the disk has none."""
    beside = _temporary(target)
    try:
        try:
            os.link(target, beside)
        except OSError:
            shutil.copy2(target, beside)
        os.replace(beside, target.with_name(target.name + "~"))
    finally:
        # Renaming one link of a file over another link of it does nothing and leaves the first.
        with contextlib.suppress(OSError):
            beside.unlink()


def _sync_folder(folder: Path) -> None:
    """Makes the renaming itself durable, where folders can be opened."""
    with contextlib.suppress(OSError):
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)


def _stem(target: Path) -> str:
    """How the names of a file's own temporary files begin: short enough for any disk, different for each file."""
    return f".{target.name[:24]}-{digest_of(os.fsencode(target.name))[:8]}."


def _temporary(target: Path) -> Path:
    return target.with_name(f"{_stem(target)}{secrets.token_hex(6)}{_TEMPORARY}")


def _sweep(target: Path, alone: bool) -> None:
    """Removes what killed writers left of this file. alone: the lock says that no other writer is at work."""
    for name in os.listdir(target.parent):
        if name.startswith(_stem(target)) and name.endswith(_TEMPORARY):
            left = target.with_name(name)
            with contextlib.suppress(OSError):
                if alone or time.time() - left.stat().st_mtime > _STALE_S:
                    left.unlink()


@contextlib.contextmanager
def _locked(target: Path) -> Iterator[bool]:
    """Holds the file's lock, so that two writers take turns; yields False where the system has no locks."""
    try:
        import fcntl
    except ImportError:
        yield False
        return
    lock = target.with_name(f"{_stem(target)}{_LOCK}")
    patience = time.monotonic() + _LOCK_PATIENCE_S
    while True:
        descriptor = os.open(lock, os.O_RDWR | os.O_CREAT | getattr(os, "O_NOFOLLOW", 0), 0o666)
        try:
            fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError as error:
            os.close(descriptor)
            if error.errno in _NO_LOCKS:
                yield False
                return
            if time.monotonic() > patience:
                raise plain_problem(target, "is being written by another program; try again in a moment") from None
            time.sleep(0.005)
            continue
        if _is_same(descriptor, lock):
            break
        os.close(descriptor)  # its last holder removed it between our opening and locking it
    try:
        yield True
    finally:
        with contextlib.suppress(OSError):
            lock.unlink()
        os.close(descriptor)


def _is_same(descriptor: int, path: Path) -> bool:
    try:
        return os.path.samestat(os.fstat(descriptor), path.stat())
    except FileNotFoundError:
        return False


def save_made(path: Path | str, made: str | bytes) -> None:
    """Put something printed or exported (a card) in a file, replacing what is there. Raises FileProblem.

    Nothing made is TOML: a plan or profile named by mistake is not replaced.
    """
    path = expanded(path)
    target = _real(path)
    if ".toml" in (target.suffix.lower(), path.suffix.lower()):
        raise plain_problem(path, "would be taken for a plan or profile; write to a file such as card.txt")
    data = made if isinstance(made, bytes) else made.encode("utf-8")
    try:
        if target.exists() and not target.is_file() and not target.is_dir():
            target.write_bytes(data)  # a pipe or a device takes what it is given; there is nothing to replace
            return
        _replace(target, data, target.exists(), keep_previous=False)
    except OSError as error:
        raise system_problem(path, error) from None
