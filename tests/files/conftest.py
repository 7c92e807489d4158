"""Every folder that the program writes to lies in the test's own; an invented plan to edit."""

from __future__ import annotations

from pathlib import Path

import pytest

from fieldplan.files.document import Document, open_plan
from fieldplan.model.plan import Plan

from .invented import LAKE


@pytest.fixture(autouse=True)
def own_folders(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A person's folders, which do not exist yet."""
    home = tmp_path_factory.mktemp("home")
    monkeypatch.setenv("FIELDPLAN_PLANS", str(home / "plans"))
    monkeypatch.setenv("FIELDPLAN_PROFILES", str(home / "profiles"))
    monkeypatch.setenv("FIELDPLAN_STATE", str(home / "state" / "state.json"))
    return home


@pytest.fixture
def lake(tmp_path: Path) -> Document[Plan]:
    path = tmp_path / "lake.toml"
    path.write_text(LAKE)
    return open_plan(path)
