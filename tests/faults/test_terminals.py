"""Terminals of every sort, on a pseudo-terminal; ``python -m tests.faults.terminals`` does the same in a real tmux."""

from __future__ import annotations

import os
import re
import signal
import time
from pathlib import Path

import pytest

from fieldplan.pictures.cells import text_cells, to_ascii_cells
from fieldplan.tui.terminal import level_of_terminal

from .screens import READY, Screen

SEQUENCE = re.compile(rb"\x1b(?:\[[0-?]*[ -/]*[@-~]|\][^\x07\x1b]*(?:\x07|\x1b\\)|[PX^_][^\x1b]*\x1b\\|[ -/]*[0-~])")


@pytest.mark.parametrize("size", [(40, 12), (300, 100)])
def test_the_smallest_and_the_largest(lake: Path, own_folders: Path, size: tuple[int, int]) -> None:
    screen = Screen(own_folders, lake, size)
    assert screen.read(b"heron")
    screen.type(b"1345?")
    time.sleep(0.5)
    screen.type(b"\x072q")
    assert screen.ended() == 0


def test_a_storm_of_sizes(lake: Path, own_folders: Path) -> None:
    screen = Screen(own_folders, lake)
    assert screen.read(READY)
    for number in range(80):
        screen.resize(1 + (number * 37) % 300, 1 + (number * 23) % 100)
        screen.read(limit_s=0.01)
        screen.type(b"12345jk"[number % 7 : number % 7 + 1])
    screen.resize(80, 24)
    screen.seen = b""
    screen.type(b"5")
    assert screen.read(b"[5 Card]")
    screen.type(b"q")
    assert screen.ended() == 0


@pytest.mark.parametrize(
    "env",
    [{"LANG": "C"}, {"LANG": "POSIX"}, {"LC_ALL": "C", "LANG": ""}, {"LANG": "en_US.ISO-8859-1", "PYTHONUTF8": "1"}],
)
def test_without_utf_8_every_character_sent_is_plain(lake: Path, own_folders: Path, env: dict[str, str]) -> None:
    screen = Screen(own_folders, lake, **env)
    assert screen.read(READY)
    for key in (b"p", b"p", b"1", b"3", b"4", b"5", b"2", b"?"):
        screen.type(key)
        screen.read(limit_s=0.3)
    screen.type(b"\x07q")
    assert screen.ended() == 0
    shown = SEQUENCE.sub(b"", screen.seen)
    assert not {byte for byte in shown if byte > 126}


def test_plain_characters_take_the_same_cells() -> None:
    for text in ("a…b", "45°", "←→ field", "写真 x", "e\u0301toile", "≤ 3", "\u2588\u2591"):
        plain = to_ascii_cells(text)
        assert plain.isascii() and plain.isprintable()
        assert len(plain) == text_cells(text)


def test_what_python_put_into_the_locale_is_not_taken_for_the_persons_word() -> None:
    """PEP 538: in the C locale Python sets LC_CTYPE to C.UTF-8 by itself."""
    assert level_of_terminal({"LANG": "C", "LC_CTYPE": "C.UTF-8"}) == "ascii"
    assert level_of_terminal({"LANG": "de_DE.UTF-8", "LC_CTYPE": "C.UTF-8"}) == "block"
    assert level_of_terminal({"LC_ALL": "C.UTF-8", "LANG": "C"}) == "block"


@pytest.mark.parametrize("term", ["dumb", "linux", "screen", "vt100", "no-such-terminal", ""])
def test_terminals_by_name(lake: Path, own_folders: Path, term: str) -> None:
    screen = Screen(own_folders, lake, TERM=term, COLORTERM="")
    assert screen.read(READY)
    screen.type(b"5")
    assert screen.read(b"[5 Card]")
    screen.type(b"q")
    assert screen.ended() == 0


def test_stopped_and_continued(lake: Path, own_folders: Path) -> None:
    screen = Screen(own_folders, lake)
    assert screen.read(READY)
    os.kill(screen.pid, signal.SIGSTOP)
    time.sleep(0.2)
    os.kill(screen.pid, signal.SIGCONT)
    screen.type(b"5")
    assert screen.read(b"[5 Card]")
    screen.type(b"q")
    assert screen.ended() == 0


def test_the_terminal_goes_away(lake: Path, own_folders: Path) -> None:
    """POSIX.1-2017, 11.1.10: when the terminal is gone, SIGHUP goes to the processes on it. What was kept is saved."""
    screen = Screen(own_folders, lake)
    assert screen.read(READY)
    screen.type(b"\x1b[C\x1b[C\r\x1545 m\r")
    assert screen.read(b"45 m")
    os.close(screen.fd)
    end = time.monotonic() + 10.0
    pid = 0
    while not pid and time.monotonic() < end:
        pid, _ = os.waitpid(screen.pid, os.WNOHANG)
        time.sleep(0.05)
    if not pid:
        os.kill(screen.pid, signal.SIGKILL)
        os.waitpid(screen.pid, 0)
    assert pid, "it went on without a terminal"
    assert 'distance = "45 m"' in lake.read_text()


@pytest.mark.parametrize("words", ["< /dev/null", "<&-", "> /dev/null", ">&-"])
def test_without_a_terminal_on_either_side_the_card_is_printed(lake: Path, own_folders: Path, words: str) -> None:
    run = (
        "import subprocess, sys\n"
        f"sys.exit(subprocess.run([sys.executable + ' -m fieldplan ' + sys.argv[1] + ' {words}; echo status $?'], "
        "shell=True).returncode)"
    )
    screen = Screen(own_folders, lake, run=run)
    screen.read(b"status", 15.0)
    assert (b"status 2" if words == ">&-" else b"status 0") in screen.seen
    assert b"Traceback" not in screen.seen and b"fault" not in screen.seen
    screen.ended()


def test_a_printed_card_in_a_plain_locale(lake: Path, own_folders: Path) -> None:
    """Names have letters that the terminal has not; they are shown as "?", and nothing stops."""
    lake.write_text(lake.read_text().replace("Lake (invented)", "\u00c9tang \u5199 (invented)"))
    screen = Screen(own_folders, lake, run="import sys; from fieldplan.cli import start; sys.argv[1:1] = ['card']; "
                    "sys.exit(start())", LC_ALL="C", PYTHONUTF8="0", PYTHONCOERCECLOCALE="0")  # fmt: skip
    screen.read(b"(invented)")
    assert screen.ended() == 0
    assert b"?tang ?" in screen.seen
