"""Every folder that the program writes to lies in the test's own; an invented plan in it."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from fieldplan.files.places import starters_folder

PLAN = """fieldplan_plan = 1
title = "Lake (invented)"
profile = "two-bodies"

[[shot]]
name = "heron"
subject = "grey heron"
distance = "25-31 m"

[[shot]]
name = "duck"
subject = "mallard"
distance = "40 m"
"""


@pytest.fixture(autouse=True)
def own_folders(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A person's folders, with a gear profile of their own."""
    monkeypatch.setenv("FIELDPLAN_PLANS", str(tmp_path / "plans"))
    monkeypatch.setenv("FIELDPLAN_PROFILES", str(tmp_path / "profiles"))
    monkeypatch.setenv("FIELDPLAN_STATE", str(tmp_path / "state" / "state.json"))
    monkeypatch.delenv("NO_COLOR", raising=False)
    for name in ("plans", "profiles"):
        (tmp_path / name).mkdir()
    shutil.copy(starters_folder("profiles") / "two-bodies.toml", tmp_path / "profiles")
    return tmp_path


@pytest.fixture
def lake(own_folders: Path) -> Path:
    path = own_folders / "plans" / "lake.toml"
    path.write_text(PLAN)
    return path
