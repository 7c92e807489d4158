"""A program on a pseudo-terminal of its own, to be typed at, resized, told to end, and killed."""

from __future__ import annotations

import contextlib
import fcntl
import os
import pty
import select
import signal
import struct
import sys
import termios
import time
from pathlib import Path

RUN = "import sys; from fieldplan.tui.launch import run; sys.exit(run(sys.argv[1]))"
ROOT = Path(__file__).parents[1]
READY = b"body + lens"
_NOT_TAKEN_OVER = ("COLUMNS", "LINES", "NO_COLOR", "TMUX", "LC_ALL")


class Terminal:
    """A child on a pseudo-terminal of so many columns and rows. run: the Python of it. extra: of its environment."""

    def __init__(self, plan: Path, size: tuple[int, int] = (80, 24), run: str = RUN, **extra: str):
        env = {k: v for k, v in os.environ.items() if k not in _NOT_TAKEN_OVER}
        env |= {"TERM": "xterm-256color", "COLORTERM": "truecolor", "LANG": "C.UTF-8", "PYTHONPATH": str(ROOT), **extra}
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
