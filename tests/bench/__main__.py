"""Every benchmark in one run, as a table of ratios: ours beside the floor of the same run.

    python -m tests.bench                  everything, a few minutes
    python -m tests.bench --quick          fewer rounds, no scan with skyfield
    python -m tests.bench --only screens   screens, commands, answers, light, lineups, bags, reading

Compare ratios, not times: another machine, or another load on it, changes both sides.
"""

from __future__ import annotations

import argparse
import os
import platform
import sys
from collections.abc import Callable, Iterator

from . import cold, pieces
from .pieces import Row


def machine() -> str:
    """The machine and what runs on it, for the head of the table."""
    name = platform.processor() or platform.machine()
    try:
        with open("/proc/cpuinfo", encoding="utf-8") as file:
            name = next((line.split(":", 1)[1].strip() for line in file if line.startswith("model name")), name)
    except OSError:
        pass
    load = f", load {os.getloadavg()[0]:.1f}" if hasattr(os, "getloadavg") else ""
    system = f"{platform.system()} {platform.release()}, Python {platform.python_version()}"
    return f"{name}, {os.cpu_count()} cores{load}; {system}"


def line(row: Row) -> str:
    """One line of the table."""
    if not row.floor:
        return f"{row.what:42} {row.ours:9.1f} {row.unit}"
    over = "  over" if row.wanted and row.ratio > row.wanted else ""
    wanted = f"  at most {row.wanted:g}" if row.wanted else ""
    both = f"{row.what:42} {row.ours:9.1f} {row.floor:9.1f} {row.unit}"
    return f"{both}  x {row.ratio:6.2f}  of {row.floor_is}{wanted}{over}"


def sections(rounds: int, presses: int, scan: bool) -> dict[str, Callable[[], Iterator[Row]]]:
    """What may be asked for."""
    return {
        "screens": lambda: cold.screens(rounds, presses),
        "commands": lambda: cold.commands(rounds),
        "answers": lambda: pieces.growth(rounds),
        "light": lambda: iter([pieces.light_day(rounds)]),
        "lineups": lambda: pieces.lineups(rounds, scan),
        "bags": lambda: iter([pieces.bags(rounds)]),
        "reading": lambda: iter([pieces.toml_parse(rounds)]),
    }


def main() -> int:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--quick", action="store_true")
    parser.add_argument("--rounds", type=int, default=9)
    parser.add_argument("--presses", type=int, default=60)
    parser.add_argument("--only", action="append", default=[])
    options = parser.parse_args()
    rounds, presses = (3, 20) if options.quick else (options.rounds, options.presses)
    print(machine())
    print(f"{'medians, taken in turns':42} {'ours':>9} {'floor':>9}")
    for name, made in sections(rounds, presses, not options.quick).items():
        if options.only and name not in options.only:
            continue
        for row in made():
            print(line(row), flush=True)
    return 0


if __name__ == "__main__":
    sys.exit(main())
