"""Kills at random instants, a few; ``python -m tests.faults.kills 1000`` does as many as one likes."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from fieldplan.files.journal import journals_folder

from .kills import kill_saves
from .screens import READY, Screen, typed_and_killed


def test_twenty_kills_lose_nothing(tmp_path: Path) -> None:
    toll = kill_saves(tmp_path, 20)
    assert (toll.broken, toll.lost) == (0, 0)
    assert toll.late >= 5
    assert toll.seen >= 5


def test_the_program_killed_with_a_field_open_brings_back_both(tmp_path: Path) -> None:
    assert typed_and_killed(tmp_path, random.Random(1)) == (True, True)


def test_an_error_of_the_program_itself_ends_it_in_order_and_loses_nothing(lake: Path, own_folders: Path) -> None:
    """xterm's control sequences: 1049l leaves the alternate screen."""
    broken = (
        "import sys\nfrom fieldplan.tui.pages.shot import ShotPage\n"
        "def fall(self): raise RuntimeError('a fault put in on purpose at 53.4296, 12.7711')\n"
        "ShotPage.do_next_shot = fall\nShotPage.do_step_up = fall\n"
        "from fieldplan.cli import start\nsys.exit(start())"
    )
    screen = Screen(own_folders, lake, run=broken)
    assert screen.read(READY)
    screen.type(b"\x1b[C\x1b[C\r\x15" + b"77 qq\r")
    assert screen.read(b"77 qq")
    screen.type(b"\x07\x1b[A")
    assert screen.ended() == 1
    assert screen.seen.rfind(b"\x1b[?1049l") > screen.seen.rfind(b"\x1b[?1049h") >= 0
    assert b"comes back when the plan is opened again" in screen.seen
    log = (own_folders / "state" / "fieldplan.log").read_text()
    assert "RuntimeError: a fault put in on purpose at ##.####, ##.####" in log
    assert "fieldplan/tui/app.py:" in log and str(own_folders) not in log
    again = Screen(own_folders, lake)
    assert again.read(b"77 qq")
    again.type(b"q")
    assert again.ended() == 0


@pytest.mark.parametrize("stop", [b"q", b"\x03", b"\x11"])
def test_an_end_in_good_order_leaves_no_journal(lake: Path, own_folders: Path, stop: bytes) -> None:
    screen = Screen(own_folders, lake)
    assert screen.read(READY)
    screen.type(b"\x1b[C\x1b[C\x1b[A" + stop)
    assert screen.ended() == 0
    folder = journals_folder()
    assert not folder.exists() or list(folder.iterdir()) == []
