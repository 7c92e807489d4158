"""The card page writes beside the plan; where it cannot, it says why and the screen lives on."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from fieldplan.files.places import starters_folder
from fieldplan.tui.launch import open_desk
from fieldplan.tui.pages.card import CardPage


def test_a_card_is_written_beside_its_plan(plan_file: Path) -> None:
    page = CardPage(open_desk(str(plan_file)))
    page.do_html()
    assert (plan_file.parent / "lake-and-chapel.card.html").is_file() and "written" in page.message


@pytest.mark.parametrize(
    ("folder", "told"), [("~nobody-here", 'no user "nobody-here"'), ("file/plans", "a part of its path is a file")]
)
def test_a_folder_that_cannot_be_is_told(
    own_folders: Path, monkeypatch: pytest.MonkeyPatch, folder: str, told: str
) -> None:
    shutil.rmtree(own_folders / "plans")
    (own_folders / "file").write_text("")
    desk = open_desk(str(starters_folder("demo") / "lake-and-chapel.toml"))
    monkeypatch.chdir(own_folders)
    monkeypatch.setenv("FIELDPLAN_PLANS", folder)
    page = CardPage(desk)
    page.do_html()
    assert told in page.message
