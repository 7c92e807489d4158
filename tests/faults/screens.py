"""The program on a pseudo-terminal, to be typed at and killed."""

from __future__ import annotations

import random
import shutil
import time
from pathlib import Path

from fieldplan.files.places import starters_folder
from fieldplan.files.reading import load_plan

from ..terminal import READY, RUN, Terminal
from .conftest import PLAN


class Screen(Terminal):
    """The program with its folders under the one given."""

    def __init__(self, folder: Path, plan: Path, size: tuple[int, int] = (80, 24), run: str = RUN, **extra: str):
        folders = {"FIELDPLAN_STATE": str(folder / "state" / "state.json"), "FIELDPLAN_PLANS": str(folder / "plans"),
                   "FIELDPLAN_PROFILES": str(folder / "profiles")}  # fmt: skip
        super().__init__(plan, size, run, **{**folders, **extra})


def furnish(folder: Path) -> Path:
    """The folders of a person, with a profile and a plan; returns the plan."""
    for name in ("plans", "profiles"):
        (folder / name).mkdir(exist_ok=True)
    shutil.copy(starters_folder("profiles") / "two-bodies.toml", folder / "profiles")
    plan = folder / "plans" / "lake.toml"
    plan.write_text(PLAN)
    return plan


def typed_and_killed(folder: Path, chance: random.Random) -> tuple[bool, bool]:
    """One run: a distance is kept, another text is typed and left open, the program is killed a moment later.

    (whether the edit kept is on the disk, whether the open text is shown again at the next start)
    """
    shutil.rmtree(folder / "state", ignore_errors=True)
    plan = furnish(folder)
    metres, text = chance.randrange(100, 999), f"{chance.randrange(100, 999)} qq"
    screen = Screen(folder, plan)
    assert screen.read(READY)
    screen.type(b"\x1b[C\x1b[C\r\x15" + b"%d m\r" % metres)
    assert screen.read(b"%d m" % metres)
    screen.type(b"\r" + text.encode())
    assert screen.read(text.encode())
    # The text is put down after the frame that shows it: a kill in between may take the last key, as the terminal may.
    time.sleep(0.05 + chance.uniform(0.0, 0.2))
    screen.kill()
    kept = load_plan(plan).value.shots[0].distance
    again = Screen(folder, plan)
    shown = again.read(text.encode(), 8.0)
    again.type(b"q")
    again.ended()
    return kept is not None and kept.typed == f"{metres} m", shown
