"""Feeds a reader with input that grows towards code not reached before, for so many seconds, and stops at a fault.

    python -m tests.faults.guided plan 300
    python -m tests.faults.guided quantity 300 --keep FOLDER      goes on from what was found before

The rules are those of ``fuzz.py``. Wants atheris, which runs on Linux and is no part of the tests' own needs: make an
environment of its own for it (``python3 -m venv``) and there ``pip install -e ".[test]" atheris``.
"""

from __future__ import annotations

import argparse
import os
import random
import shutil
import sys
import tempfile
import time
import traceback
import warnings
from collections import Counter
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from .readers import Reader

_FOLLOWED = ["fieldplan", "tomllib", "exifread"]  # packages whose branches are counted
_LONGEST_TEXT, _LONGEST_FILE = 256, 16384  # bytes
_SEEDED = 24  # beginnings of each real input, with other bytes before it that choose what is read


def _loaded() -> Any:
    """The library. SystemExit in plain words where it is missing."""
    try:
        import atheris
    except ImportError:
        print("tests.faults.guided: there is no atheris here; make an environment with it, outside this folder:\n"
              '  python3 -m venv GUIDED && GUIDED/bin/pip install -e ".[test]" atheris\n'
              "and run this with GUIDED/bin/python", file=sys.stderr)  # fmt: skip
        raise SystemExit(2) from None
    return atheris


def lay_out(reader: Reader, folder: Path) -> None:
    """The real inputs, a file each, and a file of the parts that hurt, as libFuzzer reads them."""
    from .mutated import OWN

    chance = random.Random(reader.name)
    for number, seed in enumerate(reader.seeds or (chance.randbytes(96),)):
        for other in range(_SEEDED if reader.picks else 1):
            (folder / "inputs" / f"seed-{number}-{other}").write_bytes(chance.randbytes(reader.picks) + seed)
    words = ("".join(f"\\x{byte:02x}" for byte in word) for word in OWN[reader.sort] if 0 < len(word) <= 60)
    (folder / "parts").write_text("".join(f'"{word}"\n' for word in words))


def main() -> int:
    """Feed until the time is up (0), or a fault is found (1), which is told."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("reader")
    parser.add_argument("seconds", type=int)
    parser.add_argument("--keep", metavar="FOLDER", type=Path, help="of the inputs that reached new code")
    options = parser.parse_args()
    atheris = _loaded()
    warnings.simplefilter("ignore")
    with atheris.instrument_imports(include=_FOLLOWED):
        from .fuzz import feed, smaller
        from .mutated import changed
        from .readers import readers
    from .seeds import FOLDER

    if options.reader not in readers():
        parser.error(f"there is no reader {options.reader!a}; there are: {', '.join(readers())}")
    reader = readers()[options.reader]
    folder = options.keep or Path(tempfile.mkdtemp(dir=FOLDER))
    (folder / "inputs").mkdir(parents=True, exist_ok=True)
    lay_out(reader, folder)
    count: Counter[str] = Counter()
    ends = time.monotonic() + options.seconds

    def end(status: int) -> None:
        kept = sum(1 for _ in (folder / "inputs").iterdir())
        print(f"{reader.name:10} {count['fed']:8d} inputs, {count['taken']:7d} taken, {kept} kept for the code they "
              f"reached, {status} faults", flush=True)  # fmt: skip
        shutil.rmtree(FOLDER, ignore_errors=True)
        os._exit(status)  # the library does not return

    def each(data: bytes) -> None:
        if time.monotonic() > ends:
            end(0)
        count["fed"] += 1
        try:
            count["taken"] += feed(reader, reader.of(data))
        except KeyboardInterrupt:
            end(0)
        except BaseException as fault:
            small = smaller(reader, data, fault)
            print("".join(traceback.format_exception(fault)[-3:]).encode("ascii", "backslashreplace").decode())
            print(f"{reader.name} {small!r}\nwhich stands for {reader.of(small)!a}")
            end(1)

    def mutate(data: bytes, most: int, number: int) -> bytes:
        """Every other change as ``fuzz.py`` makes it, by whole values; the library's own know nothing of those."""
        if number % 2:
            return bytes(atheris.Mutate(data, most))
        picks, rest = data[: reader.picks], data[reader.picks :]
        return (picks + changed(random.Random(number), rest, reader.sort))[:most]

    longest = _LONGEST_FILE if max(map(len, reader.seeds), default=0) > _LONGEST_TEXT else _LONGEST_TEXT
    wanted = [f"-max_len={longest}", "-timeout=0", "-rss_limit_mb=0", "-verbosity=0", f"-dict={folder / 'parts'}",
              f"-artifact_prefix={folder}/"]  # fmt: skip
    atheris.Setup([sys.argv[0], *wanted, str(folder / "inputs")], each, custom_mutator=mutate)
    atheris.Fuzz()
    return 0


if __name__ == "__main__":
    sys.exit(main())
