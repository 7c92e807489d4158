"""Feeds hostile input to every reader, and stops at the first fault of each, made as small as it goes.

    python -m tests.faults.fuzz 100000                every reader
    python -m tests.faults.fuzz 20000 plan gpx        some of them

A fault: an exception that is no answer in plain words, a message that a terminal would obey, more than two seconds for
one input, or more than 200 MB of memory for it.
"""

from __future__ import annotations

import argparse
import random
import resource
import signal
import sys
import time
import traceback
import warnings
from typing import Any, NamedTuple

from .readers import Reader, printable, readers

LONGEST_S = 2.0
LONGEST_ANSWER_S = 5.0  # a whole plan with its day of light
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


class Fed(NamedTuple):
    """How many inputs, how many of them the reader took, the longest time for one [s], the memory grown [kB]."""

    inputs: int
    taken: int
    slowest_s: float
    grown_kb: int


def run(reader: Reader, count: int, number: int) -> Fed:
    """Feed so many inputs. Raises what a fault raised, with a note of the smallest input found that shows it."""
    chance = random.Random(f"{number} {reader.name}")
    taken, slowest_s = 0, 0.0
    first = before = _memory_kb()
    for _ in range(count):
        data = reader.made(chance)
        began = time.perf_counter()
        try:
            taken += feed(reader, reader.of(data))
            grown, before = _memory_kb() - before, _memory_kb()
            assert grown < MOST_GROWN_KB, f"memory grew by {grown} kB for one input"
        except BaseException as fault:
            if not isinstance(fault, KeyboardInterrupt):
                small = smaller(reader, data, fault)
                fault.add_note(f"{reader.name} {small!r}\nwhich stands for {reader.of(small)!a}")
            raise
        slowest_s = max(slowest_s, time.perf_counter() - began)
    return Fed(count, taken, slowest_s, _memory_kb() - first)


def _memory_kb() -> int:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss


def _where(fault: BaseException) -> tuple[str, str, int]:
    """What tells one fault from another: its sort, and the line that raised it."""
    frame = traceback.extract_tb(fault.__traceback__)[-1]
    return type(fault).__name__, frame.filename, frame.lineno or 0


def smaller(reader: Reader, data: bytes, fault: BaseException, tries: int = 3000) -> bytes:
    """The input without all pieces that the same fault does without."""
    if isinstance(fault, TooSlow):
        tries = 20
    size = max(len(data) // 2, 1)
    while size:
        at = 0
        while at < len(data) and tries > 0:
            without, tries = data[:at] + data[at + size :], tries - 1
            try:
                feed(reader, reader.of(without))
            except KeyboardInterrupt:
                raise
            except BaseException as again:
                if _where(again) == _where(fault):
                    data = without
                    continue
            at += size
        size //= 2
    return data


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
            fed = run(readers()[name], options.count, options.seed)
            print(
                f"{name:10} {fed.inputs:7d} inputs, {fed.taken:7d} taken, 0 faults, "
                f"{time.perf_counter() - began:6.1f} s; slowest {fed.slowest_s * 1000.0:.0f} ms, "
                f"memory grew by {fed.grown_kb / 1024.0:.0f} MB",
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
