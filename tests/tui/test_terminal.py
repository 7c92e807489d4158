"""The program on a terminal of its own: what it sends when it starts, is told to end, and starts again."""

from __future__ import annotations

import json
import os
import re
import signal
import time
from pathlib import Path

import pytest

from ..terminal import READY, Terminal

COLOUR = re.compile(rb"\x1b\[[0-9;]*\b(?:3[0-8]|4[0-8]|9[0-7]|10[0-7])\b[0-9;]*m")  # SGR of ECMA-48 and ITU-T T.416


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP])
def test_a_signal_to_end_restores_the_terminal(plan_file: Path, number: signal.Signals) -> None:
    """xterm's control sequences: 1049 is the alternate screen, 25 the cursor; h sets, l resets."""
    terminal = Terminal(plan_file)
    assert terminal.read(READY)
    os.kill(terminal.pid, number)
    assert terminal.ended() == 0
    assert terminal.seen.rfind(b"\x1b[?1049l") > terminal.seen.rfind(b"\x1b[?1049h") >= 0
    assert terminal.seen.rfind(b"\x1b[?25h") > terminal.seen.rfind(b"\x1b[?25l")


def test_no_colour_is_sent_where_none_is_wanted(plan_file: Path) -> None:
    terminal = Terminal(plan_file, NO_COLOR="1")
    assert terminal.read(READY)
    terminal.type(b"jtq")
    assert terminal.ended() == 0
    assert not COLOUR.search(terminal.seen)
    assert re.search(rb"\x1b\[[0-9;]*7[0-9;]*m", terminal.seen), "what is picked is reversed"


def test_it_opens_again_where_it_was(plan_file: Path, own_folders: Path) -> None:
    terminal = Terminal(plan_file)
    assert terminal.read(READY)
    terminal.type(b"]]tq")
    assert terminal.ended() == 0
    state = json.loads((own_folders / "state.json").read_text())
    assert (state["shot"], state["theme"], state["page"]) == ("mallards coming over", "night", "shot")
    again = Terminal(plan_file)
    assert again.read(b"[mallards coming over]")
    again.type(b"q")
    assert again.ended() == 0
    # Night from the first frame on: every colour sent has its green and blue parts at 0.
    sent = re.findall(rb"[34]8;2;(\d+);(\d+);(\d+)", again.seen)
    assert sent and all(green == blue == b"0" for _, green, blue in sent)


def test_killed_at_any_moment_every_kept_edit_is_on_disk(plan_file: Path) -> None:
    terminal = Terminal(plan_file)
    assert terminal.read(READY)
    terminal.type(b"\x1b[C\x1b[C\r\x15" + b"44 m\r")
    end = time.monotonic() + 5
    while 'distance = "44 m"' not in plan_file.read_text() and time.monotonic() < end:
        time.sleep(0.02)
    os.kill(terminal.pid, signal.SIGKILL)
    assert terminal.ended() == -signal.SIGKILL
    assert 'distance = "44 m"' in plan_file.read_text()
