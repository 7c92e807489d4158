"""Saves: whole or not at all, never over another program's work, the former text kept."""

from __future__ import annotations

import errno
import os
import random
import signal
import subprocess
import sys
import threading
import time
from pathlib import Path

import pytest

from fieldplan.files import saving
from fieldplan.files.problems import ChangedOnDisk, FileProblem
from fieldplan.files.reading import digest_of, load_plan
from fieldplan.files.saving import NEW_FILE, save_made, save_text

WRITER = """
import sys
from pathlib import Path
from fieldplan.files.saving import save_text
path, count = Path(sys.argv[1]), 0
print("ready", flush=True)
while True:
    count += 1
    shots = "".join(f'[[shot]]\\nname = "{i}"\\nnote = "{count}"\\n' for i in range(400))
    save_text(path, f'fieldplan_plan = 1\\ntitle = "{count}"\\n' + shots)
"""


def names(folder: Path) -> list[str]:
    return sorted(os.listdir(folder))


def writer(path: Path) -> subprocess.Popen[str]:
    process = subprocess.Popen([sys.executable, "-c", WRITER, str(path)], stdout=subprocess.PIPE, text=True)
    assert process.stdout is not None
    assert process.stdout.readline() == "ready\n"
    return process


def test_a_writer_killed_at_any_instant_leaves_the_old_file_or_the_new_one_whole(tmp_path: Path) -> None:
    path = tmp_path / "lake.toml"
    chance = random.Random(20270314)
    reached: set[str] = set()
    until = time.monotonic() + 7.5
    kills = 0
    while kills < 40 and time.monotonic() < until:
        process = writer(path)
        time.sleep(chance.uniform(0.0, 0.03))
        process.send_signal(signal.SIGKILL)
        process.wait()
        assert process.stdout is not None
        process.stdout.close()
        kills += 1
        if path.exists():
            plan = load_plan(path).value
            assert {shot.note for shot in plan.shots} == {plan.title}
            assert len(plan.shots) == 400
            reached.add(plan.title)
        previous = path.with_name("lake.toml~")
        if previous.exists():
            assert len(load_plan(previous).value.shots) == 400
    assert kills >= 15
    assert len(reached) > 3
    save_text(path, "x = 1\n")
    assert names(tmp_path) == ["lake.toml", "lake.toml~"]


@pytest.mark.parametrize("call", ["fsync", "replace", "link"])
@pytest.mark.parametrize("nth", [1, 2])
def test_an_error_at_any_call_of_the_system_leaves_the_old_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, call: str, nth: int
) -> None:
    path = tmp_path / "lake.toml"
    path.write_text("old\n")
    real, calls = getattr(os, call), []

    def failing(*args: object, **keys: object) -> object:
        calls.append(args)
        if len(calls) == nth:
            raise OSError(errno.ENOSPC, "No space left on device")
        return real(*args, **keys)

    monkeypatch.setattr(os, call, failing)
    try:
        save_text(path, "new\n")
    except FileProblem as problem:
        assert "the disk is full; the file is as it was. Make room and save again" in str(problem)
        assert path.read_text() == "old\n"
    else:
        assert path.read_text() == "new\n"
    assert [name for name in names(tmp_path) if name not in ("lake.toml", "lake.toml~")] == []


def test_the_former_text_is_kept_once_and_the_mode_too(tmp_path: Path) -> None:
    path = tmp_path / "lake.toml"
    path.write_text("one\n")
    path.chmod(0o640)
    for text in ("two\n", "three\n", "three\n", "four\n"):
        save_text(path, text)
    assert path.read_text() == "four\n"
    assert path.with_name("lake.toml~").read_text() == "three\n"
    assert path.stat().st_mode & 0o777 == 0o640
    assert names(tmp_path) == ["lake.toml", "lake.toml~"]


def test_a_former_text_that_is_a_link_to_the_same_file_leaves_nothing_behind(tmp_path: Path) -> None:
    path = tmp_path / "lake.toml"
    path.write_text("one\n")
    os.link(path, tmp_path / "lake.toml~")  # as after a kill between the two renamings
    save_text(path, "two\n")
    assert path.with_name("lake.toml~").read_text() == "one\n"
    assert names(tmp_path) == ["lake.toml", "lake.toml~"]


def test_where_the_disk_has_no_hard_links_the_former_text_is_copied(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refused(*_: object, **__: object) -> None:
        raise OSError(errno.EPERM, "Operation not permitted")

    monkeypatch.setattr(os, "link", refused)
    path = tmp_path / "lake.toml"
    path.write_text("one\n")
    save_text(path, "two\n")
    assert path.with_name("lake.toml~").read_text() == "one\n"
    assert path.read_text() == "two\n"


def test_a_new_file_follows_the_umask(tmp_path: Path) -> None:
    old = os.umask(0o027)
    try:
        save_text(tmp_path / "lake.toml", "one\n")
    finally:
        os.umask(old)
    assert (tmp_path / "lake.toml").stat().st_mode & 0o777 == 0o640


def test_a_link_stays_a_link(tmp_path: Path) -> None:
    home, cloud = tmp_path / "home", tmp_path / "cloud"
    home.mkdir()
    cloud.mkdir()
    (cloud / "real.toml").write_text("one\n")
    (home / "lake.toml").symlink_to(cloud / "real.toml")
    save_text(home / "lake.toml", "two\n")
    assert (home / "lake.toml").is_symlink()
    assert (cloud / "real.toml").read_text() == "two\n"
    assert names(home) == ["lake.toml"]


def test_another_programs_work_is_not_overwritten(tmp_path: Path) -> None:
    path = tmp_path / "lake.toml"
    digest = save_text(path, "one\n", NEW_FILE)
    path.write_text("theirs\n")
    with pytest.raises(ChangedOnDisk, match="was changed by another program since it was read; nothing was written"):
        save_text(path, "ours\n", digest)
    assert path.read_text() == "theirs\n"
    with pytest.raises(ChangedOnDisk, match="is there already; take another name"):
        save_text(path, "ours\n", NEW_FILE)
    path.unlink()
    with pytest.raises(ChangedOnDisk, match="is gone from the disk since it was read"):
        save_text(path, "ours\n", digest)
    assert names(tmp_path) == []


def test_same_length_and_same_time_do_not_hide_a_change(tmp_path: Path) -> None:
    path = tmp_path / "lake.toml"
    digest = save_text(path, "12 m\n")
    state = path.stat()
    path.write_text("13 m\n")
    os.utime(path, ns=(state.st_atime_ns, state.st_mtime_ns))
    with pytest.raises(ChangedOnDisk):
        save_text(path, "14 m\n", digest)


def test_two_writers_take_turns_and_none_overwrites_the_other_unseen(tmp_path: Path) -> None:
    path = tmp_path / "lake.toml"
    save_text(path, "0\n")

    def count_up() -> None:
        for _ in range(25):
            while True:
                held = path.read_text()
                try:
                    save_text(path, f"{int(held) + 1}\n", digest_of(held.encode()))
                    break
                except ChangedOnDisk:
                    continue

    threads = [threading.Thread(target=count_up) for _ in range(3)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert path.read_text() == "75\n"
    assert names(tmp_path) == ["lake.toml", "lake.toml~"]


def test_two_programs_writing_at_once_leave_a_whole_file(tmp_path: Path) -> None:
    path = tmp_path / "lake.toml"
    first, second = writer(path), writer(path)
    time.sleep(0.4)
    for process in (first, second):
        process.kill()
        process.wait()
        assert process.stdout is not None
        process.stdout.close()
    plan = load_plan(path).value
    assert {shot.note for shot in plan.shots} == {plan.title}


def test_a_writer_that_holds_the_lock_for_too_long_is_named(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(saving, "_LOCK_PATIENCE_S", 0.05)
    path = tmp_path / "lake.toml"
    with saving._locked(path) as alone:
        assert alone
        with pytest.raises(FileProblem, match="is being written by another program; try again in a moment"):
            save_text(path, "x\n")
    save_text(path, "x\n")
    assert names(tmp_path) == ["lake.toml"]


def test_what_killed_writers_left_is_swept_and_nothing_else(tmp_path: Path) -> None:
    path, other = tmp_path / "lake.toml", tmp_path / "chapel.toml"
    left, theirs = saving._temporary(path), saving._temporary(other)
    for file in (left, theirs, tmp_path / ".lake.toml.swp"):
        file.write_text("half")
    save_text(path, "x\n")
    assert names(tmp_path) == sorted([".lake.toml.swp", theirs.name, "lake.toml"])


def test_places_that_cannot_be_written(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x")
    (tmp_path / "folder").mkdir()
    for path, words in (
        (tmp_path / "file" / "lake.toml", "a part of its path is a file, not a folder"),
        (tmp_path / "none" / "lake.toml", "is not there"),
        (tmp_path / "folder", "is a folder; name a file in it"),
        (Path("/proc/lake.toml"), "lake.toml: "),
    ):
        with pytest.raises(FileProblem) as raised:
            save_text(path, "x\n")
        assert words in str(raised.value)
    assert names(tmp_path) == ["file", "folder"]


@pytest.mark.parametrize(
    ("code", "words"),
    [
        (errno.EROFS, "lies on a disk that is read-only; take another place"),
        (errno.EACCES, "may not be read or written by you; change its permissions"),
        (errno.EDQUOT, "your share of the disk is used up; the file is as it was"),
        (errno.EMFILE, "could not be read or written: too many open files"),
    ],
)
def test_what_the_system_refuses_is_said_in_plain_words(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, code: int, words: str
) -> None:
    def refused(*_: object, **__: object) -> int:
        raise OSError(code, "no")

    path = tmp_path / "lake.toml"
    path.write_text("old\n")
    monkeypatch.setattr(os, "open", refused)
    with pytest.raises(FileProblem) as raised:
        save_text(path, "new\n")
    monkeypatch.undo()
    assert words in str(raised.value)
    assert path.read_text() == "old\n"


def test_a_file_marked_read_only_stays_as_it_is(tmp_path: Path) -> None:
    path = tmp_path / "lake.toml"
    path.write_text("old\n")
    path.chmod(0o444)
    with pytest.raises(FileProblem, match="is marked read-only; allow writing, or save it under another name"):
        save_text(path, "new\n")
    assert path.read_text() == "old\n"


def test_a_long_name_can_be_saved(tmp_path: Path) -> None:
    path = tmp_path / ("é" * 120 + ".toml")
    save_text(path, "one\n")
    save_text(path, "two\n")
    assert path.read_text() == "two\n"


def test_what_is_made_replaces_what_is_there_and_a_pipe_takes_it(tmp_path: Path) -> None:
    path, pipe = tmp_path / "card.pdf", tmp_path / "pipe"
    save_made(path, b"one")
    save_made(path, "two")
    assert path.read_bytes() == b"two"
    os.mkfifo(pipe)
    got: list[bytes] = []
    reader = threading.Thread(target=lambda: got.append(pipe.read_bytes()))
    reader.start()
    save_made(pipe, "card")
    reader.join(5)
    assert got == [b"card"]
    assert names(tmp_path) == ["card.pdf", "pipe"]
