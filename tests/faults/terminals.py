"""The program in a real tmux, in every terminal that it may meet; the screens can be looked at.

    python -m tests.faults.terminals                    each case, one line
    python -m tests.faults.terminals --show storm dumb  these, with what stands on the screen
    python -m tests.faults.terminals --within screen    each case again inside of GNU screen, which runs in the tmux

Checked: it runs, it answers keys, it ends, it leaves the terminal as it was; where characters are plain, all are.
"""

from __future__ import annotations

import argparse
import contextlib
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

from ..terminal import ROOT
from .screens import furnish

MARK = "the-shell-again"
LIMIT_S = 15.0


class Tmux:
    """One tmux server of its own, with a shell in it that runs the program."""

    def __init__(
        self, folder: Path, size: tuple[int, int], env: dict[str, str], tail: str = "", within: str = ""
    ) -> None:
        self.socket = f"fieldplan-terminals-{os.getpid()}"
        self.within = f"SCREENDIR={folder}/sockets {within}" if within else ""
        plan = furnish(folder)
        places = {"FIELDPLAN_STATE": str(folder / "state.json"), "FIELDPLAN_PLANS": str(folder / "plans"),
                  "FIELDPLAN_PROFILES": str(folder / "profiles"), "PYTHONPATH": str(ROOT)}  # fmt: skip
        unset = " ".join(f"-u {name}" for name in ("NO_COLOR", "COLUMNS", "LINES", "LC_ALL", "COLORTERM"))
        given = " ".join(f"{key}={value}" for key, value in (places | env).items())
        self.width = size[0]
        run = f"cd {ROOT} && env {unset} {given} {sys.executable} -m fieldplan {plan} {tail}"
        self.run("new-session", "-d", "-x", str(size[0]), "-y", str(size[1]), "-s", "one", "bash --norc --noprofile")
        if within:
            (folder / "sockets").mkdir(mode=0o700)
            (folder / "screenrc").write_text("altscreen on\nstartup_message off\n")
            utf = "" if env.get("LC_CTYPE") == "C" else "-U "
            self.line(f"{self.within} {utf}-c {folder}/screenrc -S one bash --norc --noprofile")
            time.sleep(1.0)
        self.line(f"PS1='{MARK}$ '; clear; {run}; echo ended with $?")

    def line(self, text: str) -> None:
        """A line for the shell."""
        self.run("send-keys", "-t", "one", text, "Enter")

    def run(self, *words: str) -> str:
        """One word of tmux."""
        done = subprocess.run(["tmux", "-L", self.socket, *words], capture_output=True, text=True, check=False)
        return done.stdout

    def press(self, *keys: str) -> None:
        """Keys by tmux's names."""
        self.run("send-keys", "-t", "one", *keys)

    def screen(self) -> str:
        """What stands on the screen."""
        return self.run("capture-pane", "-p", "-t", "one")

    def wait(self, *there: str, gone: str = "") -> str:
        """The screen, once it holds all of the texts; AssertionError where they never come."""
        end = time.monotonic() + LIMIT_S
        while time.monotonic() < end:
            found = self.screen()
            if all(text in found for text in there) and not (gone and gone in found):
                return found
            time.sleep(0.03)
        raise AssertionError(f"never came: {there}\n{found}")

    def program(self) -> int:
        """The process id of the program."""
        shell = self.run("display-message", "-p", "-t", "one", "#{pane_pid}").strip()
        done = subprocess.run(["ps", "-o", "pid=,args=", "--ppid", shell], capture_output=True, text=True, check=False)
        return int(next(line.split()[0] for line in done.stdout.splitlines() if "fieldplan" in line))

    def close(self) -> None:
        """Away with it."""
        if self.within:
            subprocess.run(["sh", "-c", f"{self.within} -S one -X quit"], capture_output=True, check=False)
        self.run("kill-server")


class Case(NamedTuple):
    """One terminal, and what is done in it."""

    name: str
    size: tuple[int, int] = (80, 24)
    env: dict[str, str] = {}  # noqa: RUF012 (never changed)
    act: Callable[[Tmux], str] | None = None
    tail: str = ""
    first: str = "heron"


def walk(tmux: Tmux) -> str:
    """Through all the pages, an edit and back."""
    for key, there in (("1", "1 Gear"), ("3", "3 Light"), ("4", "4 Moon"), ("5", "5 Card"), ("2", "2 Shot")):
        tmux.press(key)
        if tmux.width >= 60:  # the names of all the pages take 58 cells
            tmux.wait(f"[{there}")
        time.sleep(0.2)
    tmux.press("t")
    time.sleep(0.2)
    tmux.press("?")
    time.sleep(0.2)
    tmux.press("Escape")
    time.sleep(1.0 if tmux.within else 0.3)  # screen holds an escape back, for it may begin a key
    return tmux.screen()


def plain(tmux: Tmux) -> str:
    """As walk; every page in ASCII."""
    for key in "1345":
        tmux.press(key)
        time.sleep(0.4)
        shown = tmux.screen()
        odd = sorted({char for char in shown if not char.isascii()})
        assert not odd, f"page {key} holds {odd}"
    tmux.press("2")
    time.sleep(0.3)
    shown = tmux.screen()
    odd = sorted({char for char in shown if not char.isascii()})
    assert not odd, f"page 2 holds {odd}"
    return shown


def storm(tmux: Tmux) -> str:
    """Sixty sizes in a few seconds, keys in between."""
    for number in range(60):
        width, height = 40 + (number * 37) % 261, 12 + (number * 23) % 89
        tmux.run("resize-window", "-t", "one", "-x", str(width), "-y", str(height))
        tmux.press("12345jk?"[number % 8])
    tmux.press("Escape")
    tmux.run("resize-window", "-t", "one", "-x", "80", "-y", "24")
    time.sleep(1.0)
    tmux.press("2")
    return tmux.wait("[2 Shot]")


def suspended(tmux: Tmux) -> str:
    """Stopped by Ctrl+Z and brought back by fg."""
    tmux.press("C-z")
    tmux.wait(MARK)
    tmux.press("fg", "Enter")
    tmux.wait("[2 Shot]")
    tmux.press("5")
    return tmux.wait("[5 Card]")


def detached(tmux: Tmux) -> str:
    """The window is closed under it: the program ends, and the edit made just before is on the disk."""
    pid = tmux.program()
    tmux.press("Right", "Right", "Up")
    time.sleep(0.5)
    tmux.run("kill-session", "-t", "one")
    end = time.monotonic() + 5.0
    while time.monotonic() < end:
        try:
            os.kill(pid, 0)
        except ProcessLookupError:
            return "gone"
        time.sleep(0.05)
    with contextlib.suppress(ProcessLookupError):
        os.kill(pid, 9)
    raise AssertionError("it went on without a terminal")


def reattached(tmux: Tmux) -> str:
    """Left by Ctrl+A D, and taken up again in a window of another size."""
    tmux.press("5")
    tmux.wait("[5 Card]")
    tmux.press("C-a", "d")
    tmux.wait("detached", gone="[5 Card]")
    tmux.run("resize-window", "-t", "one", "-x", "100", "-y", "30")
    tmux.line(f"clear; {tmux.within} -r one")
    tmux.wait("[5 Card]")
    tmux.press("2")
    return tmux.wait("[2 Shot]", "heron")


def no_screen(tmux: Tmux) -> str:
    """Without a terminal on stdin or stdout there is no screen: the card is printed."""
    return tmux.wait("ended with 0")


CASES = (
    Case("tiny", (40, 12)),
    Case("narrow", (60, 18)),
    Case("usual", (80, 24)),
    Case("wide", (140, 40)),
    Case("vast", (300, 100)),
    Case("storm", act=storm),
    Case("nocolour", env={"NO_COLOR": "1"}),
    Case("sixteen", env={"TERM": "xterm-16color"}),
    Case("latin", env={"LANG": "C", "LC_CTYPE": "C"}, act=plain),
    Case("linux", env={"TERM": "linux", "LANG": "C.UTF-8"}),
    Case("dumb", env={"TERM": "dumb"}),
    Case("unknown", env={"TERM": "no-such-terminal"}),
    Case("screen", env={"TERM": "screen"}),
    Case("suspended", act=suspended),
    Case("hangup", act=detached),
    Case("nostdin", act=no_screen, tail="< /dev/null", first=""),
    Case("closed", act=no_screen, tail="<&-", first=""),
)


WITHIN = (
    *(case for case in CASES if "TERM" not in case.env and case.name != "hangup"),  # screen outlives its window
    Case("reattached", act=reattached),
)


def try_out(case: Case, within: str = "") -> str:
    """The last screen of a case. Raises AssertionError where something is not as it should be.

    within: the command of GNU screen, which names the terminal itself.
    """
    with tempfile.TemporaryDirectory() as name:
        usual = {"LANG": "C.UTF-8"} if within else {"TERM": "tmux-256color", "LANG": "C.UTF-8"}
        tmux = Tmux(Path(name), case.size, usual | case.env, case.tail, within)
        try:
            if case.first:
                tmux.wait(case.first, "Shot]" if case.size[0] >= 60 else case.first)
            shown = (case.act or walk)(tmux)
            assert "Traceback" not in shown
            if case.name == "suspended":
                tmux.press("q")
                tmux.wait(f"{MARK}$", gone="[5 Card]")
            elif case.name not in ("hangup", "nostdin", "closed"):
                tmux.press("q")
                assert "heron" not in tmux.wait("ended with 0", MARK).split("ended with")[0].split(MARK)[-1]
            return shown
        finally:
            tmux.close()


def main() -> int:
    """Try and tell; 1 when a case failed."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("names", nargs="*")
    parser.add_argument("--show", action="store_true")
    parser.add_argument("--within", metavar="COMMAND", default="", help="of GNU screen, where it is not on the PATH")
    options = parser.parse_args()
    failed = 0
    for case in WITHIN if options.within else CASES:
        if options.names and case.name not in options.names:
            continue
        try:
            shown = try_out(case, options.within)
            print(f"{case.name:10} fine", flush=True)
        except AssertionError as wrong:
            failed += 1
            shown = str(wrong)
            print(f"{case.name:10} FAILED {shown.splitlines()[0]}", flush=True)
        if options.show:
            print(shown)
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
