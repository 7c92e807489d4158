"""Feeds hostile input to every reader, and stops at the first fault of each, made as small as it goes.

    python -m tests.faults.fuzz 100000                every reader
    python -m tests.faults.fuzz 20000 plan gpx        some of them

A fault: an exception that is no answer in plain words, a message that a terminal would obey, more than two seconds for
one input, or more than 200 MB of memory for it.
"""

from __future__ import annotations

import argparse
import resource
import signal
import sys
import time
import traceback
import warnings
from typing import Any

from hypothesis import HealthCheck, Phase, given, seed, settings

from .readers import Reader, printable, readers

LONGEST_S = 2.0
LONGEST_ANSWER_S = 20.0  # a whole plan with its day of light
HANGS_S = 60.0  # waiting for something that never comes
MOST_GROWN_KB = 200 * 1024


class TooSlow(BaseException):
    """One input took too long; no reader catches this."""


def feed(reader: Reader, found: Any) -> bool:
    """One input; True when the reader took it, False when it refused. Anything else is raised."""

    def ring(*_: object) -> None:
        raise TooSlow(f"more than {LONGEST_S} s for {found!r:.300}")

    former = signal.signal(signal.SIGALRM, ring), signal.signal(signal.SIGPROF, ring)
    signal.setitimer(signal.ITIMER_PROF, LONGEST_ANSWER_S if reader.name == "answers" else LONGEST_S)  # of its own time
    signal.setitimer(signal.ITIMER_REAL, HANGS_S)
    try:
        reader.read(found)
    except reader.refuses as wrong:
        printable(str(wrong))
        assert str(wrong).strip(), "a refusal says why"
        return False
    finally:
        for timer in (signal.ITIMER_REAL, signal.ITIMER_PROF):
            signal.setitimer(timer, 0)
        for number, before in zip((signal.SIGALRM, signal.SIGPROF), former, strict=True):
            signal.signal(number, before)
    return True


def run(reader: Reader, count: int, number: int) -> tuple[int, int]:
    """(inputs, taken) of so many inputs. Raises what a fault raised, on the smallest input that shows it."""
    taken = [0, 0]

    @seed(number)
    @settings(
        max_examples=count,
        deadline=None,
        database=None,
        suppress_health_check=list(HealthCheck),
        phases=[Phase.generate, Phase.shrink],
    )
    @given(reader.inputs)
    def each(found: Any) -> None:
        before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
        taken[0] += 1
        taken[1] += feed(reader, found)
        grown = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before
        assert grown < MOST_GROWN_KB, f"memory grew by {grown} kB for one input"

    each()
    return taken[0], taken[1]


def main() -> int:
    """Feed and tell; 1 when there was a fault."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("count", type=int)
    parser.add_argument("names", nargs="*")
    parser.add_argument("--seed", type=int, default=20270314)
    options = parser.parse_args()
    warnings.simplefilter("ignore")
    faults = 0
    for name in options.names or readers():
        began = time.perf_counter()
        try:
            done, taken = run(readers()[name], options.count, options.seed)
            print(
                f"{name:10} {done:7d} inputs, {taken:7d} taken, 0 faults, {time.perf_counter() - began:6.1f} s",
                flush=True,
            )
        except BaseException as fault:
            if isinstance(fault, KeyboardInterrupt):
                raise
            faults += 1
            print(f"{name:10} FAULT {type(fault).__name__}: {ascii(str(fault))[:400]}")
            for frame in traceback.extract_tb(fault.__traceback__)[-6:]:
                print(f"    {frame.filename}:{frame.lineno} {frame.name}: {frame.line}")
            print(*(f"    {ascii(note)[:600]}" for note in getattr(fault, "__notes__", ())), sep="\n", flush=True)
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
