"""A desk on copies of the demo plan and a gear profile, and the screen as plain lines."""

from __future__ import annotations

import datetime as dt
import os
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from fieldplan.files.places import starters_folder
from fieldplan.tui.app import FieldplanApp
from fieldplan.tui.desk import Desk
from fieldplan.tui.launch import open_desk

GOLDEN = Path(__file__).parent / "golden"
NOON = dt.datetime(2027, 3, 14, 12, 0, tzinfo=dt.UTC)


@pytest.fixture(autouse=True)
def own_folders(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Every folder that the program writes to lies in the test's own."""
    monkeypatch.setenv("FIELDPLAN_STATE", str(tmp_path / "state.json"))
    monkeypatch.setenv("FIELDPLAN_PLANS", str(tmp_path / "plans"))
    monkeypatch.setenv("FIELDPLAN_PROFILES", str(tmp_path / "profiles"))
    monkeypatch.delenv("NO_COLOR", raising=False)
    for name in ("plans", "profiles"):
        (tmp_path / name).mkdir()
    shutil.copy(starters_folder("demo") / "lake-and-chapel.toml", tmp_path / "plans")
    shutil.copy(starters_folder("profiles") / "two-bodies.toml", tmp_path / "profiles")
    return tmp_path


@pytest.fixture
def plan_file(own_folders: Path) -> Path:
    return own_folders / "plans" / "lake-and-chapel.toml"


@pytest.fixture
def desk(plan_file: Path) -> Desk:
    """The demo plan at the heron, which has a subject, a range of distances and a wanted depth."""
    held = open_desk(str(plan_file))
    held.shot_at("heron at the reeds")
    return held


@pytest.fixture
def untouched(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Desk:
    """The demo plan at its first shot, for a person who has no folders and no gear profile of their own yet."""
    for name in ("STATE", "PROFILES", "PLANS"):
        monkeypatch.setenv(f"FIELDPLAN_{name}", str(tmp_path / "mine" / name.lower()))
    shutil.copy(starters_folder("demo") / "lake-and-chapel.toml", tmp_path / "lake.toml")
    return open_desk(str(tmp_path / "lake.toml"))


@pytest.fixture
def app(desk: Desk) -> Iterator[FieldplanApp]:
    yield FieldplanApp(desk, now=lambda: NOON)


def lines(app: FieldplanApp) -> list[str]:
    """What stands on the screen, row by row."""
    strips = app.screen._compositor.render_strips()
    return ["".join(segment.text for segment in strip).rstrip() for strip in strips]


def text(app: FieldplanApp) -> str:
    return "\n".join(lines(app))


def check_golden(name: str, shown: str) -> None:
    """Compare with the screen on file; FIELDPLAN_WRITE_GOLDEN=1 writes it anew, to be read in review."""
    path = GOLDEN / f"{name}.txt"
    if os.environ.get("FIELDPLAN_WRITE_GOLDEN"):
        path.parent.mkdir(exist_ok=True)
        path.write_text(shown + "\n", encoding="utf-8")
    assert path.read_text(encoding="utf-8") == shown + "\n"
