"""Folders and files that are not what they were when the plan was opened; a document keeps its edits through all."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from fieldplan.files.catalogue import load_catalogue
from fieldplan.files.document import open_plan
from fieldplan.files.places import list_plans
from fieldplan.files.problems import ChangedOnDisk, FileProblem
from fieldplan.files.reading import load_plan
from fieldplan.files.savedplaces import saved_places
from fieldplan.files.state import State, load_state
from fieldplan.tui.launch import open_desk

from .conftest import PLAN
from .steps import as_anybody

DISTANCE = ("shot", 0, "distance")


def vanish(path: Path) -> None:
    shutil.rmtree(path.parent)


def become_folder(path: Path) -> None:
    path.unlink()
    path.mkdir()


def become_pipe(path: Path) -> None:
    path.unlink()
    os.mkfifo(path)


def parent_becomes_file(path: Path) -> None:
    shutil.rmtree(path.parent)
    path.parent.write_text("x")


@pytest.mark.parametrize(
    ("spoil", "words"),
    [
        (vanish, "is gone from the disk"),
        (become_folder, "is a folder; name a file in it"),
        (become_pipe, "is not an ordinary file"),
        (parent_becomes_file, "is gone from the disk"),
    ],
)
def test_what_was_a_file_is_one_no_longer(lake: Path, spoil: Callable[[Path], None], words: str) -> None:
    document = open_plan(lake)
    document.set(DISTANCE, "33 m")
    spoil(lake)
    assert document.changed_on_disk()
    for over in (False, True):
        with pytest.raises(FileProblem) as raised:
            document.save(over=over)
        assert words in str(raised.value) or over
        assert document.unsaved
    assert document.value.shots[0].distance.typed == "33 m"


def test_a_folder_that_came_back_takes_the_edit(lake: Path) -> None:
    desk = open_desk(str(lake))
    desk.edit(desk.plan, lambda plan: plan.set(DISTANCE, "33 m"))
    vanish(lake)
    desk.flush()
    assert desk.conflict is desk.plan and "is gone from the disk" in desk.notices[0]
    lake.parent.mkdir()
    desk.save_over()
    assert load_plan(lake).value.shots[0].distance.typed == "33 m"


def test_a_link_to_itself_is_not_written_through_unasked(lake: Path) -> None:
    document = open_plan(lake)
    document.set(DISTANCE, "33 m")
    lake.unlink()
    lake.symlink_to(lake.name)
    with pytest.raises(FileProblem):
        document.save()
    assert lake.is_symlink() and document.unsaved
    document.save(over=True)
    assert not lake.is_symlink()
    assert load_plan(lake).value.shots[0].distance.typed == "33 m"


def test_a_link_put_in_the_place_of_the_file_is_seen(lake: Path, tmp_path: Path) -> None:
    """The file that the link leads to belongs to somebody else, and is not what was read."""
    document = open_plan(lake)
    document.set(DISTANCE, "33 m")
    other = tmp_path / "other.toml"
    other.write_text(PLAN.replace("Lake", "Somebody else's"))
    lake.unlink()
    lake.symlink_to(other)
    with pytest.raises(ChangedOnDisk):
        document.save()
    assert "Somebody else's" in other.read_text()


@pytest.fixture
def public() -> Iterator[Path]:
    """A folder that a process without special rights may enter."""
    folder = Path(tempfile.mkdtemp())
    folder.chmod(0o777)
    yield folder
    folder.chmod(0o777)
    shutil.rmtree(folder)


@pytest.mark.parametrize(
    ("folder_mode", "file_mode"), [(0o555, 0o666), (0o777, 0o444), (0o000, 0o666), (0o777, 0o000), (0o755, 0o644)]
)
def test_no_permission(public: Path, folder_mode: int, file_mode: int) -> None:
    """Told in plain words where the system refuses; the file is as it was, and nothing is left beside it."""
    home = public / "plans"
    home.mkdir()
    path, told = home / "lake.toml", public / "told"
    path.write_text(PLAN)
    told.touch()
    told.chmod(0o666)
    if os.getuid() != 0 and folder_mode == 0o755:
        folder_mode, file_mode = 0o555, 0o444  # one's own folder is never refused; as root it is another person's
    document = open_plan(path)
    document.set(DISTANCE, "33 m")
    path.chmod(file_mode)
    home.chmod(folder_mode)

    def work() -> None:
        try:
            document.save()
        except FileProblem as problem:
            told.write_text(str(problem))

    assert as_anybody(public, work) == 0
    home.chmod(0o777)
    assert path.read_text() == PLAN
    assert os.listdir(home) == ["lake.toml"]
    said = told.read_text()
    assert any(word in said for word in ("may not be read or written by you", "is marked read-only")), said


def test_a_state_folder_that_cannot_be_written_stops_nothing(
    lake: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "blocked").write_text("a file")
    monkeypatch.setenv("FIELDPLAN_STATE", str(tmp_path / "blocked" / "state.json"))
    from fieldplan.tui.keeping import Keeper

    desk = open_desk(str(lake))
    keeper = Keeper(desk)
    desk.edit(desk.plan, lambda plan: plan.set(DISTANCE, "33 m"))
    keeper.keep(None)
    desk.flush()
    keeper.close()
    assert load_plan(lake).value.shots[0].distance.typed == "33 m"


@pytest.mark.parametrize("plan", ["x" * 5000, "a\0b", "\udcff", "/dev/zero", "~no-such-person/x.toml"])
def test_a_last_plan_that_cannot_be_looked_at_is_passed_over(lake: Path, plan: str) -> None:
    assert open_desk(None, state=State(plan)).plan.path == lake


@pytest.mark.parametrize("plan", ["a\\u0000b", "\\ud800"])
def test_a_state_file_names_no_path_that_cannot_be(tmp_path: Path, plan: str) -> None:
    (tmp_path / "state.json").write_text(f'{{"plan": "{plan}", "page": "light"}}')
    assert load_state(tmp_path / "state.json") == State(page="light")


def test_a_folder_that_may_be_listed_but_not_looked_into_holds_no_plans(public: Path) -> None:
    """POSIX: to look at a file of a folder its search bit is wanted, to list it its read bit alone."""
    folder = public / "plans"
    folder.mkdir()
    (folder / "hidden.toml").write_text(PLAN)
    folder.chmod(0o744)
    told = public / "told"
    told.touch()
    told.chmod(0o666)
    load_catalogue(None)  # what it imports is imported with this process's rights

    def work() -> None:
        told.write_text(" ".join(place.name for place in list_plans(folder)))
        with pytest.raises(FileProblem, match="may not be read or written by you"):
            saved_places(folder)
        with pytest.raises(FileProblem, match="may not be read or written by you"):
            load_catalogue(folder)

    assert as_anybody(public, work) == 0
    assert "lake-and-chapel" in told.read_text() and "hidden" not in told.read_text()
