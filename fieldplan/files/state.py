"""Where a person was: last plan, page, shot, theme, and texts half typed. Losing it is a nuisance, never an error."""

from __future__ import annotations

import contextlib
import json
import os
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from fieldplan.files.problems import FileProblem, expanded
from fieldplan.files.reading import read_bytes
from fieldplan.files.saving import save_text
from fieldplan.model.schema import KeyPath

_MOST_AHEAD_S = 604_800.0  # a week
_MOST_FILES = 50  # files whose drafts are remembered; the oldest go first


@dataclass(frozen=True)
class FileDrafts:
    """Texts that did not read yet, by key path, and the digest of the file that they were typed for."""

    digest: str
    texts: Mapping[KeyPath, str]


@dataclass(frozen=True)
class State:
    """What to return to; "" and None mean nothing is known."""

    plan: str = ""
    page: str = ""
    shot: str = ""
    theme: str = ""
    clock_ahead_s: float = 0.0  # how far this computer's clock is ahead of the true time
    drafts: Mapping[str, FileDrafts] = field(default_factory=dict)

    def with_drafts(self, path: Path, digest: str, texts: Mapping[KeyPath, str]) -> State:
        """The state with the half-typed texts of one file, or without any of it when there are none."""
        key = os.path.realpath(path)
        others = {name: held for name, held in self.drafts.items() if name != key}
        if texts:
            others[key] = FileDrafts(digest, dict(texts))
        return replace(self, drafts=dict(list(others.items())[-_MOST_FILES:]))

    def drafts_for(self, path: Path, digest: str) -> dict[KeyPath, str]:
        """The half-typed texts of a file, if it is still the one that they were typed for."""
        held = self.drafts.get(os.path.realpath(path))
        return dict(held.texts) if held is not None and held.digest == digest else {}


def state_file() -> Path:
    """Where the state lies: FIELDPLAN_STATE, else the platform's folder for it."""
    chosen = os.environ.get("FIELDPLAN_STATE")
    if chosen:
        return expanded(chosen)
    from platformdirs import user_state_path

    return user_state_path("fieldplan", appauthor=False) / "state.json"


def load_state(path: Path | None = None) -> State:
    """The state on disk; an empty one where there is none, or what is there makes no sense."""
    try:
        data = json.loads(read_bytes(path or state_file()))
    except (FileProblem, ValueError, RecursionError):
        return State()
    if not isinstance(data, dict):
        return State()
    held = data.get("drafts")
    drafts = {name: _file_drafts(row) for name, row in held.items()} if isinstance(held, dict) else {}
    return State(
        plan=_path(data, "plan"),
        page=_text(data, "page"),
        shot=_text(data, "shot"),
        theme=_text(data, "theme"),
        clock_ahead_s=_seconds(data, "clock_ahead_s"),
        drafts={name: row for name, row in drafts.items() if row.texts},
    )


def save_state(state: State, path: Path | None = None) -> None:
    """Write the state. Raises FileProblem, which a caller may ignore."""
    target = path or state_file()
    drafts = {
        name: {"digest": held.digest, "texts": [[list(key), text] for key, text in held.texts.items()]}
        for name, held in state.drafts.items()
    }
    data = {"plan": state.plan, "page": state.page, "shot": state.shot, "theme": state.theme,
            "clock_ahead_s": state.clock_ahead_s, "drafts": drafts}  # fmt: skip
    with contextlib.suppress(OSError):  # saving says what is wrong with the folder
        target.parent.mkdir(parents=True, exist_ok=True)
    save_text(target, json.dumps(data, indent=1) + "\n", keep_previous=False)


def _text(data: Mapping[str, Any], key: str) -> str:
    found = data.get(key)
    return found if isinstance(found, str) else ""


def _path(data: Mapping[str, Any], key: str) -> str:
    """A text that the system takes as a path; "" for another."""
    found = _text(data, key)
    try:
        return "" if b"\0" in os.fsencode(found) else found
    except UnicodeEncodeError:
        return ""


def _seconds(data: Mapping[str, Any], key: str) -> float:
    found = data.get(key)
    known = isinstance(found, (int, float)) and not isinstance(found, bool) and abs(found) <= _MOST_AHEAD_S
    return float(found) if known and found is not None else 0.0


def _file_drafts(found: Any) -> FileDrafts:
    if not isinstance(found, dict):
        return FileDrafts("", {})
    return FileDrafts(_text(found, "digest"), draft_texts(found.get("texts")))


def draft_texts(rows: Any) -> dict[KeyPath, str]:
    """Texts by key path from rows of [[keys], text]; whatever else stands there is left out."""
    return {tuple(row[0]): row[1] for row in rows if _is_draft(row)} if isinstance(rows, list) else {}


def _is_draft(row: Any) -> bool:
    return (
        isinstance(row, list)
        and len(row) == 2
        and isinstance(row[0], list)
        and bool(row[0])
        and all(isinstance(key, str) or (isinstance(key, int) and not isinstance(key, bool)) for key in row[0])
        and isinstance(row[1], str)
    )
