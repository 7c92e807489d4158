"""Kills a program that saves, with kill -9 at random instants, and counts what was lost.

    python -m tests.faults.kills 1000                 saves of a plan of 200 shots
    python -m tests.faults.kills 20 --screen          the program itself on a pseudo-terminal, with a field open

A save that the writer has reported must be on the disk; a file must be whole; of the program itself every edit kept
and the text of the open field must be there when it is started again.
"""

from __future__ import annotations

import argparse
import os
import random
import signal
import sys
import tempfile
import time
from pathlib import Path
from typing import NamedTuple

from fieldplan.files.document import open_plan
from fieldplan.files.reading import load_plan
from fieldplan.files.saving import save_text

SHOTS = 200
LONGEST_S = 0.08  # from the fork to the kill; a save takes a few milliseconds


class Toll(NamedTuple):
    """How many kills; how many files were half written or gone; how many reported saves were lost; how many of the
    kills fell after a first save; different numbers found."""

    kills: int
    broken: int
    lost: int
    late: int
    seen: int


def plan_text(number: int) -> str:
    """A plan whose every shot bears the number."""
    shots = "".join(f'\n[[shot]]\nname = "{n}"\nnote = "{number}"\n' for n in range(SHOTS))
    return f'fieldplan_plan = 1\ntitle = "{number}"\n{shots}'


def number_in(path: Path) -> int:
    """The number of a plan that is whole; -1 for one that is not."""
    try:
        plan = load_plan(path).value
    except Exception:  # whatever is wrong with it, it is not whole
        return -1
    whole = len(plan.shots) == SHOTS and {shot.note for shot in plan.shots} == {plan.title}
    return int(plan.title) if whole else -1


def kill_saves(folder: Path, count: int, seed: int = 20270314) -> Toll:
    """Kill a writer so many times."""
    path, chance = folder / "lake.toml", random.Random(seed)
    save_text(path, plan_text(0))
    number = broken = lost = late = 0
    seen: set[int] = set()
    for _ in range(count):
        ours, theirs = os.pipe()
        pid = os.fork()
        if pid == 0:
            _write_on(path, number, theirs)
        os.close(theirs)
        time.sleep(chance.uniform(0.0, LONGEST_S))
        os.kill(pid, signal.SIGKILL)
        os.waitpid(pid, 0)
        told = b""
        while data := os.read(ours, 65536):
            told += data
        os.close(ours)
        reported = [int(line) for line in told.split(b"\n")[:-1]]
        late += bool(reported)
        number = number_in(path)
        broken += number < 0
        previous = path.with_name("lake.toml~")
        broken += previous.exists() and number_in(previous) < 0
        lost += number >= 0 and bool(reported) and number < reported[-1]
        seen.add(number)
    return Toll(count, broken, lost, late, len(seen))


def _write_on(path: Path, number: int, told: int) -> None:
    """The child: save number after number and report each."""
    try:
        while True:
            number += 1
            save_text(path, plan_text(number))
            os.write(told, b"%d\n" % number)
    finally:
        os._exit(1)


def kill_screens(folder: Path, count: int, seed: int = 20270314) -> tuple[int, int]:
    """(edits lost, open texts lost) of so many runs of the program, each killed while a field is open."""
    from .screens import typed_and_killed

    chance = random.Random(seed)
    lost = gone = 0
    for _ in range(count):
        kept, text = typed_and_killed(folder, chance)
        lost += not kept
        gone += not text
    return lost, gone


def main() -> int:
    """Kill and tell; 1 when anything was lost."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("count", nargs="?", type=int, default=1000)
    parser.add_argument("--screen", action="store_true", help="the program itself, with a field open")
    parser.add_argument("--seed", type=int, default=20270314)
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as name:
        if options.screen:
            lost, gone = kill_screens(Path(name), options.count, options.seed)
            print(f"{options.count} kills with a field open: {lost} kept edits lost, {gone} open texts lost")
            return 1 if lost or gone else 0
        toll = kill_saves(Path(name), options.count, options.seed)
        open_plan(Path(name) / "lake.toml")
    print(f"{toll.kills} kills, {toll.late} after a first save, {toll.seen} different contents found: "
          f"{toll.broken} files broken, {toll.lost} reported saves lost")  # fmt: skip
    return 1 if toll.broken or toll.lost else 0


if __name__ == "__main__":
    sys.exit(main())
