"""How long a key takes until the whole answer to it is on the terminal, and how long the program takes to start.

    python tests/bench/latency.py                     60 and 720 body-and-lens answers, 80x24 and 140x40
    python tests/bench/latency.py --answers 60 --presses 200

The program runs on a pseudo-terminal as a person would run it, and this plays the terminal. It says that it knows
synchronised output (mode 2026, asked for by DECRQM), so that each frame ends with an exact mark: CSI ? 2026 l. A key is
answered when the frame has ended that holds the distance just typed; the answers to it stand in the same frame.
"stepped and saved": the selected distance stepped by an arrow key, which also goes to disk. "held": the arrow key held
down, thirty times a second, each time until the frame of that step.

Budget, of a machine with two cores: p50 10 ms and p95 20 ms with 60 answers, 35 and 50 ms with 720; start 350 ms.
"""

from __future__ import annotations

import argparse
import fcntl
import os
import pty
import re
import select
import shutil
import signal
import struct
import sys
import tempfile
import termios
import time
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).parents[2]
RUN = "import sys; from fieldplan.tui.launch import run; sys.exit(run(sys.argv[1]))"
FRAME_END = b"\x1b[?2026l"
ASKED = re.compile(rb"\x1b\[\?2026\$p")
SIZES = ((80, 24), (140, 40))
HELD_EVERY_S = 1.0 / 30.0  # common practice of keyboards: thirty repeats a second
BUDGET_MS = {60: (10.0, 20.0), 720: (35.0, 50.0)}


def profile_text(answers: int) -> str:
    """An invented profile of as many body-and-lens pairs as give so many answers, each held level and upright."""
    pairs = answers // 2
    bodies = max(n for n in (1, 2, 3, 5, 6, 10, 12, 15) if pairs % n == 0 and n * n <= pairs)
    lines = ['fieldplan_profile = 1\nname = "bench"\n']
    for n in range(bodies):
        sensor = f"{36 - n}x{(36 - n) * 2 / 3:.2f} mm"
        lines.append(f'[[body]]\nname = "body {n}"\nsensor = "{sensor}"\npixels = "6000x4000"\nmount = "A"\n')
    for n in range(pairs // bodies):
        lines.append(f'[[lens]]\nname = "zoom {n}"\nfocal = "{100 + n}-{400 + 5 * n} mm"\nf_number = "4.5-6.3"\n')
        lines.append('mount = "A"\nclosest_focus = "2 m"\nlargest_magnification = 0.2\n')
    return "\n".join(lines)


PLAN = """fieldplan_plan = 1
title = "bench"
date = 2027-03-14
profile = "bench"

[site]
name = "reed hide"
position = "53.43, 12.75"
time_zone = "Europe/Berlin"

[[shot]]
name = "heron"
time = 07:20:00
subject = "grey heron"
distance = "25 m"
fill = "50-75 %"
depth_of_field = "0.3 m"
light = "EV 11.5"
"""


class Terminal:
    """The program on a pseudo-terminal of its own; words: what Python runs in its place."""

    def __init__(self, folder: Path, columns: int, rows: int, words: tuple[str, ...] = ()) -> None:
        env = {k: v for k, v in os.environ.items() if k not in ("COLUMNS", "LINES", "NO_COLOR", "TMUX")}
        env |= {"TERM": "xterm-256color", "COLORTERM": "truecolor", "LANG": "C.UTF-8", "PYTHONPATH": str(ROOT)}
        env |= {"FIELDPLAN_STATE": str(folder / "state.json"), "FIELDPLAN_PLANS": str(folder),
                "FIELDPLAN_PROFILES": str(folder)}  # fmt: skip
        # An installed program has its bytecode; here it lies with the other temporary files.
        env.pop("PYTHONDONTWRITEBYTECODE", None)
        env["PYTHONPYCACHEPREFIX"] = str(folder / "bytecode")
        self.began = time.perf_counter()
        self.pid, self.fd = pty.fork()
        if self.pid == 0:
            fcntl.ioctl(0, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))
            words = words or ("-c", RUN, str(folder / "bench-plan.toml"))
            os.execvpe(sys.executable, [sys.executable, *words], env)

    def chunk(self, patience_s: float) -> tuple[float, bytes] | None:
        """The next bytes and when they came."""
        if not select.select([self.fd], [], [], patience_s)[0]:
            return None
        data = os.read(self.fd, 65536)
        came = time.perf_counter()
        if ASKED.search(data):
            os.write(self.fd, b"\x1b[?2026;2$y")
        return came, data

    def until(self, wanted: bytes, limit_s: float = 20.0) -> float:
        """When the bytes had come."""
        seen, end = b"", time.perf_counter() + limit_s
        while time.perf_counter() < end:
            got = self.chunk(0.25)
            if got is not None:
                seen += got[1]
                if wanted in seen:
                    return got[0]
        raise TimeoutError(f"{wanted!r} did not come")

    def settle(self, quiet_s: float = 0.2) -> None:
        """Read until nothing comes any more."""
        while self.chunk(quiet_s) is not None:
            pass

    def press(self, key: bytes, wanted: bytes) -> float:
        """Seconds from a key to the end of the frame that holds what is wanted."""
        sent = time.perf_counter()
        os.write(self.fd, key)
        seen = b""
        while (got := self.chunk(2.0)) is not None:
            seen += got[1]
            if wanted in seen and FRAME_END in seen[seen.rindex(wanted) :]:
                return got[0] - sent
        raise AssertionError(f"{wanted!r} was not shown after {key!r}")

    def hold(self, key: bytes, wanted: list[bytes], every_s: float) -> list[float]:
        """Seconds from each press of a held key to the end of the frame that shows its step or a later one."""
        began = time.perf_counter()
        due = [began + n * every_s for n in range(len(wanted))]
        lags: list[float] = []
        seen, sent = b"", 0
        while len(lags) < len(wanted):
            now = time.perf_counter()
            while sent < len(due) and due[sent] <= now:
                os.write(self.fd, key)
                sent += 1
            got = self.chunk(max(due[sent] - now, 0.0) if sent < len(due) else 2.0)
            if got is None:
                if sent == len(due) and time.perf_counter() > due[-1] + 2.0:
                    raise AssertionError(f"{wanted[len(lags)]!r} was not shown")
                continue
            seen += got[1]
            end = seen.rfind(FRAME_END)
            shown = max(
                (n for n, text in enumerate(wanted[:sent]) if seen.rfind(text, 0, max(end, 0)) >= 0), default=-1
            )
            while len(lags) <= shown:
                lags.append(got[0] - due[len(lags)])
        return lags

    def close(self) -> None:
        """End the program."""
        os.kill(self.pid, signal.SIGKILL)
        os.waitpid(self.pid, 0)
        os.close(self.fd)


def _at(values: list[float], share: float) -> float:
    ordered = sorted(values)
    return ordered[min(len(ordered) - 1, int(share * len(ordered)))] * 1e3


class Figures(NamedTuple):
    """One run: seconds from key to whole answer, and to start; memory of the running program in kB (VmRSS)."""

    answers: int
    columns: int
    rows: int
    start_s: float
    typed_s: list[float]
    stepped_s: list[float]
    held_s: list[float]
    memory_kb: int

    @property
    def kept(self) -> bool:
        """Whether the budget is kept."""
        p50, p95 = BUDGET_MS.get(self.answers, (float("inf"), float("inf")))
        return at(self.typed_s, 0.5) <= p50 and at(self.typed_s, 0.95) <= p95

    @property
    def line(self) -> str:
        """One line for people."""
        return (
            f"{self.answers:4d} answers {self.columns}x{self.rows}: typed p50 {at(self.typed_s, 0.5):5.1f}  "
            f"p95 {at(self.typed_s, 0.95):5.1f}  max {max(self.typed_s) * 1e3:5.1f}   stepped and saved "
            f"p50 {at(self.stepped_s, 0.5):5.1f}  p95 {at(self.stepped_s, 0.95):5.1f}   held "
            f"p50 {at(self.held_s, 0.5):5.1f}  p95 {at(self.held_s, 0.95):5.1f}   start {self.start_s * 1e3:4.0f} ms   "
            f"{self.memory_kb / 1024:.0f} MB"
        )


def at(values: list[float], share: float) -> float:
    """The value [ms] below which that share lies."""
    ordered = sorted(values)
    return ordered[min(len(ordered) - 1, int(share * len(ordered)))] * 1e3


def memory_kb(pid: int) -> int:
    """Resident memory of a process, where the system tells it (Linux); else 0."""
    try:
        status = Path(f"/proc/{pid}/status").read_text(encoding="ascii")
    except OSError:
        return 0
    return int(next(line.split()[1] for line in status.splitlines() if line.startswith("VmRSS:")))


def prepared(folder: Path, answers: int) -> None:
    """Plan and profile in the folder, and the program started once, so that its bytecode is there."""
    (folder / "bench.toml").write_text(profile_text(answers), encoding="utf-8")
    (folder / "bench-plan.toml").write_text(PLAN, encoding="utf-8")
    if not (folder / "bytecode").exists():
        warming = Terminal(folder, 80, 24)
        warming.until(b"body + lens")
        warming.close()
    (folder / "state.json").unlink(missing_ok=True)


def measure(folder: Path, answers: int, columns: int, rows: int, presses: int) -> Figures:
    """One run of the program."""
    prepared(folder, answers)
    terminal = Terminal(folder, columns, rows)
    try:
        start_s = terminal.until(b"body + lens") - terminal.began
        terminal.settle()
        os.write(terminal.fd, b"\x1b[C\x1b[C\r\x15" + b"2")
        terminal.settle()
        typed = []
        for n in range(presses):
            digit = b"%d" % (n % 9 + 1)
            typed.append(terminal.press(digit, b"2" + digit + b" m"))  # the line of the shot's subject and distance
            os.write(terminal.fd, b"\x7f")
            terminal.settle(0.05)
        os.write(terminal.fd, b"\x07")
        terminal.settle()
        stepped = []
        for n in range(presses):
            key, metres = (b"\x1b[A", b"26 m") if n % 2 == 0 else (b"\x1b[B", b"25 m")
            stepped.append(terminal.press(key, metres))
            time.sleep(0.05)
        held = terminal.hold(b"\x1b[A", _steps("25 m", min(presses, 40)), HELD_EVERY_S)
        return Figures(answers, columns, rows, start_s, typed, stepped, held, memory_kb(terminal.pid))
    finally:
        terminal.close()


def _steps(text: str, count: int) -> list[bytes]:
    """What the distance becomes under so many steps up."""
    from fieldplan.model.forms import field_of
    from fieldplan.model.plan import Shot
    from fieldplan.model.stepping import step

    field, found = field_of(Shot, "distance"), []
    assert field is not None
    for _ in range(count):
        text = step(text, field, True)
        found.append(text.encode())
    return found


def main() -> int:
    """Measure; exit status 1 when the budget is not kept."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--answers", type=int, action="append", help="how many answers (default: 60 and 720)")
    parser.add_argument("--presses", type=int, default=60)
    options = parser.parse_args()
    folder = Path(tempfile.mkdtemp(prefix="fieldplan-bench-"))
    try:
        kept = []
        for answers in options.answers or (60, 720):
            for columns, rows in SIZES:
                figures = measure(folder, answers, columns, rows, options.presses)
                print(figures.line, flush=True)
                kept.append(figures.kept)
    finally:
        shutil.rmtree(folder)
    return 0 if all(kept) else 1


if __name__ == "__main__":
    sys.exit(main())
