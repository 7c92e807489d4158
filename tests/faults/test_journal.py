"""What a crash left: edits that could not be saved and texts that were not kept come back, or are at least told."""

from __future__ import annotations

import errno
import os
import subprocess
import sys
from pathlib import Path

import pytest

from fieldplan.files import journal as journals
from fieldplan.files.document import open_plan
from fieldplan.files.journal import Journal, Left
from fieldplan.files.places import starters_folder
from fieldplan.files.problems import ChangedOnDisk
from fieldplan.files.reading import load_plan
from fieldplan.tui.form import Form
from fieldplan.tui.keeping import Keeper
from fieldplan.tui.launch import open_desk
from fieldplan.tui.source import shot_source

from .conftest import PLAN

DISTANCE = ("shot", 0, "distance")


def crash(keeper: Keeper) -> None:
    """The locks go with the process; here by hand, and nothing else is done."""
    for journal in keeper._journals.values():
        os.close(journal._descriptor)


def no_room(*_: object, **__: object) -> None:
    raise OSError(errno.ENOSPC, "No space left on device")


def test_an_edit_that_found_no_room_comes_back_and_undo_takes_it_away(
    lake: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    desk = open_desk(str(lake))
    keeper = Keeper(desk)
    assert desk.edit(desk.plan, lambda plan: plan.set(DISTANCE, "33 m")) == ""
    with monkeypatch.context() as full:
        full.setattr(os, "replace", no_room)
        keeper.keep(None)
        desk.flush()
        keeper.keep(None)
    assert "the disk is full" in desk.notices[0]
    assert lake.read_text() == PLAN
    crash(keeper)
    again = open_desk(str(lake))
    held = Keeper(again)
    assert again.plan.value.shots[0].distance.typed == "33 m"
    assert "edits of lake.toml not saved before the program ended are back" in again.notices[0]
    again.flush()
    assert load_plan(lake).value.shots[0].distance.typed == "33 m"
    assert again.undo() and again.plan.value.shots[0].distance.typed == "25-31 m"
    again.flush()
    held.close()
    assert list(journals.journals_folder().iterdir()) == []


def test_the_text_of_an_open_field_comes_back(lake: Path) -> None:
    desk = open_desk(str(lake))
    keeper, form = Keeper(desk), Form(shot_source(desk))
    form.select_key("distance")
    form.open()
    form.type_key("4", "4")
    form.type_key("4", "4")
    keeper.keep(form)
    crash(keeper)
    again = open_desk(str(lake))
    Keeper(again)
    assert again.plan.drafts == {DISTANCE: "44"}
    assert again.notices == ['text typed before the program ended is back: "44"']
    back = Form(shot_source(again))
    back.select_key("distance")
    assert back.trouble() == "read now; Enter keeps it"
    back.open()
    back.type_key("enter", None)
    assert again.plan.value.shots[0].distance.typed == "44 m"


def test_a_text_that_was_kept_after_all_is_no_text_left(lake: Path) -> None:
    document = open_plan(lake)
    assert document.take_left(Left(document.digest, "", {DISTANCE: "25-31 m"})) == ()
    assert document.drafts == {}


def test_a_text_for_a_record_that_is_gone_is_told(lake: Path) -> None:
    document = open_plan(lake)
    told = document.take_left(Left(document.digest, "", {("shot", 7, "distance"): "61 m", ("no such",): "x"}))
    assert told == ('typed for a record of lake.toml that is gone: "61 m", "x"',)


def test_edits_left_meet_a_file_that_was_changed_since(lake: Path) -> None:
    """Both are there: the file as it is, the edits on the screen; the next save asks."""
    document = open_plan(lake)
    document.set(DISTANCE, "33 m")
    left = document.left()
    lake.write_text(PLAN.replace("40 m", "41 m"))
    again = open_plan(lake)
    again.take_left(left)
    assert again.value.shots[0].distance.typed == "33 m"
    with pytest.raises(ChangedOnDisk):
        again.save()
    assert load_plan(lake).value.shots[1].distance.typed == "41 m"
    assert [(one.where, one.mine, one.theirs) for one in again.differences()] == [
        ('shot "heron" distance', "33 m", "25-31 m"),
        ('shot "duck" distance', "40 m", "41 m"),
    ]


def test_edits_that_cannot_be_read_back_are_put_beside(lake: Path) -> None:
    document = open_plan(lake)
    told = document.take_left(Left(document.digest, "fieldplan_plan = 1\nno_such_key = 3\n", {}))
    assert told == ("edits of lake.toml not saved before the program ended cannot be read back; they are in "
                    "lake.toml.unsaved",)  # fmt: skip
    assert lake.with_name("lake.toml.unsaved").read_text() == "fieldplan_plan = 1\nno_such_key = 3\n"
    assert document.value == load_plan(lake).value


def test_a_document_saved_under_another_name_leaves_nothing_under_its_old_one(lake: Path) -> None:
    """A starter is copied at its first edit; what was put down just before belongs to the copy, and is on the disk."""
    demo = starters_folder("demo") / "lake-and-chapel.toml"
    desk = open_desk(str(demo))
    keeper = Keeper(desk)
    assert desk.edit(desk.plan, lambda plan: plan.set(DISTANCE, "333 m")) == ""
    keeper.keep(None)
    desk.flush()
    keeper.keep(None)
    assert desk.plan.path != demo
    crash(keeper)
    again = open_desk(str(demo))
    Keeper(again)
    assert again.notices == []
    assert again.plan.value == load_plan(demo).value


def test_the_last_whole_line_counts(tmp_path: Path) -> None:
    first = Journal(tmp_path / "a.toml", tmp_path / "j")
    first.keep(Left("d", "", {DISTANCE: "28"}))
    first.keep(Left("d", "", {DISTANCE: "28 m"}))
    path = next((tmp_path / "j").iterdir())
    os.close(first._descriptor)
    whole = path.read_bytes()
    for cut in range(1, len(whole) // 2 - 1):
        path.write_bytes(whole[:-cut])
        left = _read(tmp_path)
        assert left is not None and left.drafts[DISTANCE] in ("28", "28 m")
    path.write_bytes(whole + b"\n" + b'{"digest": 3')
    assert _read(tmp_path) == Left("d", "", {DISTANCE: "28 m"})


def _read(folder: Path) -> Left | None:
    journal = Journal(folder / "a.toml", folder / "j")
    os.close(journal._descriptor)
    return journal.left


@pytest.mark.parametrize(
    "text", ["", "\n", "{", "null", "3", "[" * 9000, '{"digest": 1}', '{"digest": "", "text": "", "drafts": 3}',
             '{"digest": "", "text": "", "drafts": [[[], "x"], [[true], "x"], [["a"], 3], 4]}', "\x00\xff" * 99]
)  # fmt: skip
def test_nonsense_in_a_journal_is_as_good_as_nothing(tmp_path: Path, text: str) -> None:
    Journal(tmp_path / "a.toml", tmp_path / "j").keep(Left("d", "", {DISTANCE: "28"}))
    path = next((tmp_path / "j").iterdir())
    path.unlink()
    path.write_text(text)
    assert _read(tmp_path) is None


def test_a_long_journal_is_written_anew(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(journals, "_LONGEST", 2000)
    journal = Journal(tmp_path / "a.toml", tmp_path / "j")
    for number in range(100):
        journal.keep(Left("d", "", {DISTANCE: f"{number} m"}))
    path = next((tmp_path / "j").iterdir())
    assert path.stat().st_size <= 2000
    assert Journal(tmp_path / "a.toml", tmp_path / "j").elsewhere, "the new file is held as the old one was"
    journal.keep(Left("d", "", {}))
    journal.close()
    assert not path.exists()


def test_two_crashes_at_once_both_come_back_one_after_the_other(tmp_path: Path) -> None:
    held = [Journal(tmp_path / "a.toml", tmp_path / "j") for _ in range(2)]
    for number, journal in enumerate(held):
        journal.keep(Left("d", "", {DISTANCE: f"{number} m"}))
    for journal in held:
        os.close(journal._descriptor)
    found = set()
    for _ in range(2):
        journal = Journal(tmp_path / "a.toml", tmp_path / "j")
        assert journal.left is not None
        found.add(journal.left.drafts[DISTANCE])
        journal.keep(Left("d", "", {}))
        journal.close()
    assert found == {"0 m", "1 m"}
    assert Journal(tmp_path / "a.toml", tmp_path / "j").left is None


def test_the_lock_is_let_go_by_a_kill(tmp_path: Path) -> None:
    script = (
        "import sys, time; from pathlib import Path; from fieldplan.files.journal import Journal, Left\n"
        "journal = Journal(Path(sys.argv[1]), Path(sys.argv[2]))\n"
        "journal.keep(Left('d', '', {('title',): 'typed'})); print('held', flush=True); time.sleep(60)"
    )
    words = [sys.executable, "-c", script, str(tmp_path / "a.toml"), str(tmp_path / "j")]
    with subprocess.Popen(words, stdout=subprocess.PIPE, text=True) as child:
        assert child.stdout is not None and child.stdout.readline() == "held\n"
        beside = Journal(tmp_path / "a.toml", tmp_path / "j")
        assert beside.elsewhere and beside.left is None
        beside.close()
        child.kill()
        child.wait()
    after = Journal(tmp_path / "a.toml", tmp_path / "j")
    assert not after.elsewhere and after.left == Left("d", "", {("title",): "typed"})


def test_where_journals_cannot_lie_the_program_goes_on(tmp_path: Path) -> None:
    (tmp_path / "j").write_text("a file")
    journal = Journal(tmp_path / "a.toml", tmp_path / "j")
    journal.keep(Left("d", "x", {}))
    journal.close()
    assert (journal.left, journal.elsewhere) == (None, False)
    assert (tmp_path / "j").read_text() == "a file"


def test_a_journal_is_for_its_owner_alone_and_a_link_is_not_followed(tmp_path: Path) -> None:
    journal = Journal(tmp_path / "a.toml", tmp_path / "j")
    journal.keep(Left("d", "", {DISTANCE: "28"}))
    path = next((tmp_path / "j").iterdir())
    assert path.stat().st_mode & 0o777 == 0o600
    journal.keep(Left("d", "", {}))
    journal.close()
    (tmp_path / "other").write_text("other")
    path.symlink_to(tmp_path / "other")
    Journal(tmp_path / "a.toml", tmp_path / "j").keep(Left("d", "", {DISTANCE: "28"}))
    assert (tmp_path / "other").read_text() == "other"
