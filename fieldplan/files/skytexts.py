"""What was typed on the Moon & sun page, kept by plan beside the state. Losing it is a nuisance, never an error."""

from __future__ import annotations

import contextlib
import json
import os
from pathlib import Path
from typing import Any

from fieldplan.files.problems import FileProblem
from fieldplan.files.reading import read_bytes
from fieldplan.files.saving import save_text
from fieldplan.files.state import state_file

_MOST_PLANS = 50  # the oldest go first
_MOST_TEXT = 200
Kept = dict[str, str | float]


def sky_file() -> Path:
    """Where it lies: beside the state, under its name."""
    state = state_file()
    return state.with_name(f"{state.stem}-sky.json")


def load_sky_texts(plan: Path) -> Kept:
    """What was kept for a plan: texts and numbers by name; nothing where there is none or it makes no sense."""
    held = _all().get(os.path.realpath(plan))
    if not isinstance(held, dict):
        return {}
    return {key: value for key, value in held.items() if isinstance(key, str) and _sound(value)}


def save_sky_texts(plan: Path, kept: Kept) -> None:
    """Keep it for a plan; what cannot be written is no reason to complain."""
    key = os.path.realpath(plan)
    others = {name: held for name, held in _all().items() if name != key}
    if kept:
        others[key] = kept
    target = sky_file()
    with contextlib.suppress(OSError, FileProblem):
        target.parent.mkdir(parents=True, exist_ok=True)
        text = json.dumps(dict(list(others.items())[-_MOST_PLANS:]), indent=1, ensure_ascii=False) + "\n"
        save_text(target, text, keep_previous=False)


def _all() -> dict[str, Any]:
    try:
        data = json.loads(read_bytes(sky_file()))
    except (FileProblem, ValueError, RecursionError):
        return {}
    return data if isinstance(data, dict) else {}


def _sound(value: object) -> bool:
    if isinstance(value, str):
        return len(value) <= _MOST_TEXT
    return isinstance(value, float | int) and not isinstance(value, bool) and abs(value) < 1e12
