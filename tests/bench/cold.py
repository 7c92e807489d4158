"""What a person waits for at a shell or at the start: the program beside the least that its packages cost."""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

from .latency import ROOT, SIZES, Figures, Terminal, at, measure, memory_kb, prepared
from .pieces import Row

BARE = str(Path(__file__).with_name("bareapp.py"))
COMMANDS = {
    "card": ("card", str(ROOT / "demo" / "lake-and-chapel.toml")),
    "light": ("light", "--at", "53.43, 12.75", "--on", "2027-03-14"),
}
LIST = (  # what is loaded from outside the standard library and the package, in the order in which it was loaded
    "import sys, io; from fieldplan.cli import main; held = sys.stdout; sys.stdout = io.StringIO(); "
    "main(sys.argv[1:]); sys.stdout = held; print(' '.join(sys.modules))"
)
BARE_IMPORTS = (
    "import importlib, sys, argparse, json, zoneinfo, tomllib\nfor name in sys.argv[1:]: importlib.import_module(name)"
)


def _environment(folder: Path) -> dict[str, str]:
    env = {key: value for key, value in os.environ.items() if key != "PYTHONDONTWRITEBYTECODE"}
    folders = {f"FIELDPLAN_{name}": str(folder / name.lower()) for name in ("PLANS", "PROFILES")}
    return env | folders | {"FIELDPLAN_STATE": str(folder / "state.json"), "PYTHONPATH": str(ROOT),
                            "PYTHONPYCACHEPREFIX": str(folder / "bytecode")}  # fmt: skip


def _once(words: tuple[str, ...], env: dict[str, str]) -> tuple[float, str]:
    began = time.perf_counter()
    done = subprocess.run([sys.executable, *words], env=env, capture_output=True, text=True, check=True)
    return time.perf_counter() - began, done.stdout


def commands(rounds: int) -> Iterator[Row]:
    """Each command from a cold start, beside an interpreter that imports the third-party packages that it loads."""
    with tempfile.TemporaryDirectory() as name:
        env = _environment(Path(name))
        for command, words in COMMANDS.items():
            outside = [name for name in _once(("-c", LIST, *words), env)[1].split() if _is_outside(name)]
            packages = {name.partition(".")[0] for name in outside}
            runs: tuple[list[float], list[float]] = ([], [])
            for _ in range(rounds):
                runs[0].append(_once(("-m", "fieldplan", *words), env)[0])
                runs[1].append(_once(("-c", BARE_IMPORTS, *outside), env)[0])
            ours, floor = (statistics.median(taken) for taken in runs)
            yield Row(
                f"{command} from the shell", "ms", ours * 1e3, floor * 1e3, f"importing {len(packages)} packages", 1.5
            )


def _is_outside(name: str) -> bool:
    top = name.partition(".")[0]
    return top not in sys.stdlib_module_names and top != "fieldplan" and not top.startswith("_")


def screens(rounds: int, presses: int) -> Iterator[Row]:
    """Start, keys and memory on a pseudo-terminal, beside a bare app of the same toolkit."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        starts: tuple[list[float], list[float]] = ([], [])
        memories: tuple[list[int], list[int]] = ([], [])
        prepared(folder, 60)
        bare_keys: list[float] = []
        _bare(folder, 80, 24, 0)
        for _ in range(rounds):
            (folder / "state.json").unlink(missing_ok=True)
            ours = Terminal(folder, 80, 24)
            starts[0].append(ours.until(b"body + lens") - ours.began)
            ours.settle()
            memories[0].append(memory_kb(ours.pid))
            ours.close()
            took, memory, keys = _bare(folder, 80, 24, max(presses // rounds, 5))
            starts[1].append(took)
            memories[1].append(memory)
            bare_keys += keys
        yield Row("start to first usable screen", "ms", statistics.median(starts[0]) * 1e3,
                  statistics.median(starts[1]) * 1e3, "bare app", 1.5)  # fmt: skip
        yield Row("memory of the running program", "MB", statistics.median(memories[0]) / 1024,
                  statistics.median(memories[1]) / 1024, "bare app")  # fmt: skip
        for answers in (60, 720):
            for columns, rows in SIZES:
                yield from _keys(measure(folder, answers, columns, rows, presses), bare_keys)


def _keys(figures: Figures, bare: list[float]) -> Iterator[Row]:
    where = f"{figures.answers} rigs {figures.columns}x{figures.rows}"
    sorts = (("key to answer", figures.typed_s), ("step, saved", figures.stepped_s), ("held key", figures.held_s))
    for sort, taken in sorts:
        for share in (0.5, 0.95):
            yield Row(
                f"{sort}, {where}, p{share * 100:.0f}", "ms", at(taken, share), at(bare, share), "bare app, 80x24"
            )
    yield Row(f"memory, {where}", "MB", figures.memory_kb / 1024, 0.0, "")


def _bare(folder: Path, columns: int, rows: int, presses: int) -> tuple[float, int, list[float]]:
    """(seconds to the first screen, memory in kB, seconds of each key) of the bare app."""
    terminal = Terminal(folder, columns, rows, (BARE,))
    try:
        took = terminal.until(b"cell 9.1") - terminal.began
        terminal.settle()
        memory, keys = memory_kb(terminal.pid), []
        for n in range(presses):
            digit = b"%d" % (n % 9 + 1)
            keys.append(terminal.press(digit, digit + b" m"))
            terminal.settle(0.05)
        return took, memory, keys
    finally:
        terminal.close()
