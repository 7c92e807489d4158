"""A document and its file: comments, starters, changes from outside, saves that fail."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

import pytest

from fieldplan.files.document import Document, new_document, open_plan, open_profile
from fieldplan.files.places import starters_folder
from fieldplan.files.problems import ChangedOnDisk, FileProblem
from fieldplan.files.reading import load_plan
from fieldplan.model.plan import Plan

from .invented import LAKE


def test_comments_are_spoken_of_and_the_former_text_is_kept_once(tmp_path: Path) -> None:
    path = tmp_path / "lake.toml"
    path.write_text("# by hand\n" + LAKE)
    document = open_plan(path)
    assert document.save().notices == ()
    document.set(("title",), "One")
    saved = document.save()
    assert saved.notices == (
        "Comments are not kept when lake.toml is rewritten; its former text is in lake.toml.before-fieldplan",
    )
    document.set(("title",), "Two")
    assert document.save().notices == ()
    beside = tmp_path / "lake.toml.before-fieldplan"
    assert beside.read_text() == "# by hand\n" + LAKE
    assert load_plan(path).value.title == "Two"
    path.write_text("# again\n" + LAKE)
    other = open_plan(path)
    other.set(("title",), "Three")
    assert "lake.toml.before-fieldplan.2" in other.save().notices[0]
    assert beside.read_text() == "# by hand\n" + LAKE


@pytest.mark.parametrize(("sort", "stem"), [("demo", "lake-and-chapel"), ("profiles", "two-bodies")])
def test_a_starter_is_copied_before_the_first_edit_is_saved(own_folders: Path, sort: str, stem: str) -> None:
    starter = starters_folder(sort) / f"{stem}.toml"
    before, listed = starter.read_bytes(), os.listdir(starter.parent)
    document: Document[Any] = open_plan(starter) if sort == "demo" else open_profile(starter)
    assert document.save().path == starter
    document.set(("units",), "imperial")
    saved = document.save()
    home = own_folders / ("plans" if sort == "demo" else "profiles")
    assert saved.path == document.path == home / f"{stem}.toml"
    assert f"{stem}.toml stays as it is; your copy is {saved.path}" in saved.notices[0]
    assert starter.read_bytes() == before
    assert os.listdir(starter.parent) == listed
    document.set(("units",), "metric")
    assert document.save().notices == ()
    assert 'units = "metric"' in saved.path.read_text()


def test_a_second_copy_of_a_starter_takes_another_name(own_folders: Path) -> None:
    for name in ("lake-and-chapel", "lake-and-chapel-2"):
        document = open_plan(starters_folder("demo") / "lake-and-chapel.toml")
        document.set(("title",), name)
        assert document.save().path == own_folders / "plans" / f"{name}.toml"


def test_a_change_by_another_program_is_noticed_and_nothing_lost(lake: Document[Plan]) -> None:
    lake.set(("title",), "Ours")
    assert not lake.changed_on_disk()
    lake.path.write_text(LAKE.replace("Lake (invented)", "Theirs"))
    assert lake.changed_on_disk()
    with pytest.raises(ChangedOnDisk, match="was changed by another program"):
        lake.save()
    assert load_plan(lake.path).value.title == "Theirs"
    lake.save(over=True)
    assert load_plan(lake.path).value.title == "Ours"
    assert load_plan(lake.path.with_name("lake.toml~")).value.title == "Theirs"
    assert not lake.changed_on_disk()


def test_what_is_on_disk_can_be_taken_and_undone(lake: Document[Plan]) -> None:
    lake.set(("title",), "Ours")
    lake.path.write_text(LAKE.replace("Lake (invented)", "Theirs"))
    assert lake.reload().title == "Theirs"
    assert not lake.unsaved
    assert lake.undo().title == "Ours"
    assert lake.unsaved
    lake.path.write_text("not toml")
    with pytest.raises(FileProblem, match="is not TOML"):
        lake.reload()
    assert lake.value.title == "Ours"


def test_a_file_that_went_away(lake: Document[Plan]) -> None:
    lake.set(("title",), "Ours")
    lake.path.unlink()
    assert lake.changed_on_disk()
    with pytest.raises(ChangedOnDisk, match="is gone from the disk"):
        lake.save()
    lake.save(over=True)
    assert load_plan(lake.path).value.title == "Ours"


def test_a_new_document_makes_its_folder_and_takes_no_other_files_place(tmp_path: Path) -> None:
    path = tmp_path / "new" / "trip.toml"
    document = new_document(path, Plan(title="Trip"))
    other = new_document(path, Plan(title="Other"))
    assert document.unsaved
    document.save()
    assert load_plan(path).value.title == "Trip"
    assert other.changed_on_disk()
    with pytest.raises(ChangedOnDisk, match="is there already; take another name"):
        other.save()
    (tmp_path / "file").write_text("x")
    with pytest.raises(FileProblem, match="a part of its path is a file, not a folder"):
        new_document(tmp_path / "file" / "deep" / "trip.toml", Plan(title="Trip"))


def test_a_save_that_fails_leaves_the_document_unsaved(lake: Document[Plan], monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: object, **__: object) -> None:
        raise OSError(28, "No space left on device")

    lake.set(("title",), "Ours")
    monkeypatch.setattr(os, "replace", full)
    with pytest.raises(FileProblem, match="the disk is full; the file is as it was"):
        lake.save()
    assert lake.unsaved
    assert lake.path.read_text() == LAKE
    monkeypatch.undo()
    lake.save()
    assert not lake.unsaved
