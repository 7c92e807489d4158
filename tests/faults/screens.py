"""The program on a pseudo-terminal, to be typed at and killed."""

from __future__ import annotations

import contextlib
import fcntl
import os
import pty
import random
import select
import shutil
import signal
import struct
import sys
import termios
import time
from pathlib import Path

from fieldplan.files.places import starters_folder
from fieldplan.files.reading import load_plan

from .conftest import PLAN

RUN = "import sys; from fieldplan.tui.launch import run; sys.exit(run(sys.argv[1]))"
ROOT = Path(__file__).parents[2]
READY = b"body + lens"


class Screen:
    """A child on a pseudo-terminal, its folders under the one given. what: the Python that it runs."""

    def __init__(self, folder: Path, plan: Path, size: tuple[int, int] = (80, 24), run: str = RUN, **extra: str):
        env = {k: v for k, v in os.environ.items() if k not in ("COLUMNS", "LINES", "NO_COLOR", "TMUX", "LC_ALL")}
        env |= {"TERM": "xterm-256color", "COLORTERM": "truecolor", "LANG": "C.UTF-8", "PYTHONPATH": str(ROOT)}
        env |= {"FIELDPLAN_STATE": str(folder / "state" / "state.json"), "FIELDPLAN_PLANS": str(folder / "plans"),
                "FIELDPLAN_PROFILES": str(folder / "profiles")}  # fmt: skip
        env |= extra
        self.seen = b""
        self.pid, self.fd = pty.fork()
        if self.pid == 0:
            self._shape(0, size)
            os.execvpe(sys.executable, [sys.executable, "-c", run, str(plan)], env)

    def _shape(self, descriptor: int, size: tuple[int, int]) -> None:
        fcntl.ioctl(descriptor, termios.TIOCSWINSZ, struct.pack("HHHH", size[1], size[0], 0, 0))

    def resize(self, columns: int, rows: int) -> None:
        """The terminal becomes another size; the system tells the program."""
        self._shape(self.fd, (columns, rows))

    def type(self, keys: bytes) -> None:
        """Keys, as a terminal sends them."""
        os.write(self.fd, keys)

    def read(self, until: bytes = b"", limit_s: float = 15.0) -> bool:
        """Read until the bytes are there, or the child ended, or the time is over; True when they are there."""
        end = time.monotonic() + limit_s
        while time.monotonic() < end and not (until and until in self.seen):
            if select.select([self.fd], [], [], 0.05)[0]:
                try:
                    data = os.read(self.fd, 65536)
                except OSError:  # EIO: the child closed its side
                    break
                if not data:
                    break
                self.seen += data
        return bool(until) and until in self.seen

    def ended(self, limit_s: float = 10.0) -> int:
        """The exit status; the child is killed when it does not end."""
        self.read(limit_s=limit_s)
        end = time.monotonic() + limit_s  # the screen is given back a little before the process ends
        pid, status = os.waitpid(self.pid, os.WNOHANG)
        while not pid and time.monotonic() < end:
            time.sleep(0.02)
            pid, status = os.waitpid(self.pid, os.WNOHANG)
        if not pid:
            os.kill(self.pid, signal.SIGKILL)
            _, status = os.waitpid(self.pid, 0)
            status = 255 << 8
        with contextlib.suppress(OSError):
            os.close(self.fd)
        return os.waitstatus_to_exitcode(status)

    def kill(self) -> None:
        """kill -9."""
        os.kill(self.pid, signal.SIGKILL)
        self.ended()


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
