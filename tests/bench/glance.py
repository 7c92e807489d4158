"""From the start on the day to the three figures for a new distance: keys and milliseconds, in a real tmux.

    python tests/bench/glance.py                       80x24, 23 m
    python tests/bench/glance.py --size 60x18 --distance 17 --times 5

By hand, not part of the tests: it starts the program in a tmux of its own on a plan for today, waits for the first
screen, presses g, Enter, the digits and Enter, and waits until the figures for the new distance stand and the field is
closed. It says how many keys that took besides the digits, and how long from the first key to the last figure, and
from the start of the program.
"""

from __future__ import annotations

import argparse
import datetime as dt
import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from zoneinfo import ZoneInfo

ROOT = Path(__file__).parents[2]
ZONE = "Europe/Berlin"
LIMIT_S = 15.0
PLAN = """fieldplan_plan = 1
title = "a heron today"
date = {date}
profile = "two-bodies"

[site]
name = "reed hide"
position = "53.43, 12.75"
time_zone = "{zone}"

[[shot]]
name = "the last shot of yesterday"
subject = "mallard"
distance = "40 m"

[[shot]]
name = "heron at the reeds"
time = {time}
subject = "grey heron"
activity = "wading"
distance = "25-31 m"
fill = "50-75 %"
depth_of_field = "0.3 m"
light = "EV 11.5"
support = "tripod"
"""


class Tmux:
    """One tmux server of its own."""

    def __init__(self, size: str, command: str) -> None:
        self.socket = f"fieldplan-glance-{os.getpid()}-{time.monotonic_ns()}"  # the last one may still be going
        width, _, height = size.partition("x")
        self._run("new-session", "-d", "-x", width, "-y", height, "-s", "one", command)

    def _run(self, *words: str) -> str:
        done = subprocess.run(["tmux", "-L", self.socket, *words], capture_output=True, text=True, check=True)
        return done.stdout

    def press(self, key: str) -> None:
        """One key."""
        self._run("send-keys", "-t", "one", key)

    def wait(self, *there: str, gone: str = "") -> str:
        """The screen, once it holds all of the texts and not the one that is to go."""
        end = time.monotonic() + LIMIT_S
        while time.monotonic() < end:
            screen = self._run("capture-pane", "-p", "-t", "one")
            if all(text in screen for text in there) and not (gone and gone in screen):
                return screen
            time.sleep(0.003)
        raise SystemExit(f"never came: {there}\n{screen}")

    def end(self) -> None:
        """Away with it."""
        subprocess.run(["tmux", "-L", self.socket, "kill-server"], capture_output=True, check=False)


def once(folder: Path, size: str, digits: str) -> tuple[int, float, float, str]:
    """Keys besides the digits, milliseconds from the first key, and from the start, and the last screen."""
    now = dt.datetime.now(ZoneInfo(ZONE))
    soon = min(now + dt.timedelta(minutes=10), now.replace(hour=23, minute=59))
    plan = folder / "heron.toml"
    plan.write_text(PLAN.format(date=now.date(), time=f"{soon:%H:%M}:00", zone=ZONE), encoding="utf-8")
    shutil.copy(ROOT / "profiles" / "two-bodies.toml", folder)
    places = " ".join(f"FIELDPLAN_{name}={folder}" for name in ("PLANS", "PROFILES"))
    state = folder / "state.json"
    state.unlink(missing_ok=True)
    started = time.monotonic()
    tmux = Tmux(size, f"cd {ROOT} && {places} FIELDPLAN_STATE={state} {sys.executable} -m fieldplan {plan}")
    try:
        tmux.wait("heron at the reeds", "[2 Shot]", "Enter edit")
        first = time.monotonic()
        tmux.press("g")
        tmux.press("Enter")
        for digit in digits:
            tmux.press(digit)
        tmux.press("Enter")
        screen = tmux.wait(f"at {digits} m", gone="Esc as it was")
        last = time.monotonic()
        while f'distance = "{digits} m"' not in plan.read_text(encoding="utf-8"):  # saved after it is drawn
            assert time.monotonic() < last + LIMIT_S
        return 3, (last - first) * 1000.0, (last - started) * 1000.0, screen
    finally:
        tmux.end()


def main() -> int:
    """Measure and tell."""
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asked.add_argument("--size", default="80x24")
    asked.add_argument("--distance", default="23")
    asked.add_argument("--times", type=int, default=3)
    options = asked.parse_args()
    with tempfile.TemporaryDirectory() as name:
        runs = [once(Path(name), options.size, options.distance) for _ in range(options.times)]
    print(runs[-1][3])
    print(f"keys besides the digits: {runs[0][0]}")
    for what, at in (("from the first key to the figures", 1), ("from the start of the program", 2)):
        times = [run[at] for run in runs]
        print(f"{what}: {statistics.median(times):.0f} ms (worst {max(times):.0f} ms of {len(times)})")
    return 0


if __name__ == "__main__":
    sys.exit(main())
