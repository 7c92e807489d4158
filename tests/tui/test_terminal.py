"""The program on a terminal of its own: what it sends when it starts, is told to end, and starts again."""

from __future__ import annotations

import json
import os
import pty
import re
import select
import signal
import struct
import sys
import time
from fcntl import ioctl
from pathlib import Path
from termios import TIOCSWINSZ

import pytest

RUN = "import sys; from fieldplan.tui.launch import run; sys.exit(run(sys.argv[1]))"
COLOUR = re.compile(rb"\x1b\[[0-9;]*\b(?:3[0-8]|4[0-8]|9[0-7]|10[0-7])\b[0-9;]*m")  # SGR of ECMA-48 and ITU-T T.416


class Terminal:
    """A child on a pseudo-terminal of 80 x 24 cells."""

    def __init__(self, plan: Path, **extra: str) -> None:
        env = {k: v for k, v in os.environ.items() if k not in ("COLUMNS", "LINES", "NO_COLOR")}
        env |= {"TERM": "xterm-256color", "COLORTERM": "truecolor", "LANG": "C.UTF-8", **extra}
        env["PYTHONPATH"] = str(Path(__file__).parents[2])
        self.pid, self.fd = pty.fork()
        if self.pid == 0:
            ioctl(0, TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
            os.execvpe(sys.executable, [sys.executable, "-c", RUN, str(plan)], env)
        self.seen = b""

    def read(self, until: bytes = b"", limit_s: float = 10.0) -> bytes:
        """What came until the bytes are there, or the child ended."""
        end = time.monotonic() + limit_s
        while time.monotonic() < end and not (until and until in self.seen):
            if select.select([self.fd], [], [], 0.1)[0]:
                try:
                    data = os.read(self.fd, 65536)
                except OSError:  # EIO: the child closed its side
                    break
                if not data:
                    break
                self.seen += data
        assert until in self.seen
        return self.seen

    def ended(self) -> int:
        """The exit status, when it has ended."""
        self.read()
        _, status = os.waitpid(self.pid, 0)
        os.close(self.fd)
        return os.waitstatus_to_exitcode(status)


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP])
def test_a_signal_to_end_restores_the_terminal(plan_file: Path, number: signal.Signals) -> None:
    """xterm's control sequences: 1049 is the alternate screen, 25 the cursor; h sets, l resets."""
    terminal = Terminal(plan_file)
    terminal.read(b"body + lens")
    os.kill(terminal.pid, number)
    assert terminal.ended() == 0
    assert terminal.seen.rfind(b"\x1b[?1049l") > terminal.seen.rfind(b"\x1b[?1049h") >= 0
    assert terminal.seen.rfind(b"\x1b[?25h") > terminal.seen.rfind(b"\x1b[?25l")


def test_no_colour_is_sent_where_none_is_wanted(plan_file: Path) -> None:
    terminal = Terminal(plan_file, NO_COLOR="1")
    terminal.read(b"body + lens")
    os.write(terminal.fd, b"jtq")
    assert terminal.ended() == 0
    assert not COLOUR.search(terminal.seen)
    assert re.search(rb"\x1b\[[0-9;]*7[0-9;]*m", terminal.seen), "what is picked is reversed"


def test_it_opens_again_where_it_was(plan_file: Path, own_folders: Path) -> None:
    terminal = Terminal(plan_file)
    terminal.read(b"body + lens")
    os.write(terminal.fd, b"]]tq")
    assert terminal.ended() == 0
    state = json.loads((own_folders / "state.json").read_text())
    assert (state["shot"], state["theme"], state["page"]) == ("mallards coming over", "night", "shot")
    again = Terminal(plan_file)
    again.read(b"[mallards coming over]")
    os.write(again.fd, b"q")
    assert again.ended() == 0
    # Night from the first frame on: every colour sent has its green and blue parts at 0.
    sent = re.findall(rb"[34]8;2;(\d+);(\d+);(\d+)", again.seen)
    assert sent and all(green == blue == b"0" for _, green, blue in sent)


def test_killed_at_any_moment_every_kept_edit_is_on_disk(plan_file: Path) -> None:
    terminal = Terminal(plan_file)
    terminal.read(b"body + lens")
    os.write(terminal.fd, b"\x1b[C\x1b[C\r\x15" + b"44 m\r")
    end = time.monotonic() + 5
    while 'distance = "44 m"' not in plan_file.read_text() and time.monotonic() < end:
        time.sleep(0.02)
    os.kill(terminal.pid, signal.SIGKILL)
    assert terminal.ended() == -signal.SIGKILL
    assert 'distance = "44 m"' in plan_file.read_text()
