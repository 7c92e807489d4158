"""The words of a command, as a person or a script may give them: an exit status and plain words, never a traceback.

python -m tests.faults.commands       every word of every command below with every hostile word in its place
"""

from __future__ import annotations

import contextlib
import io
import os
import re
import sys
import traceback
import warnings
from collections import Counter
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from unittest import mock

from fieldplan.cli import main

from .hostile import EDGES, FLOODS, HOSTILE, NUMBERS, obeyed
from .seeds import FOLDER, GPX, PLACES, pictures

PLAN = """fieldplan_plan = 1
title = "Lake (invented)"
date = 2027-03-14
profile = "mine"
[site]
name = "hide"
position = "52.3012, 4.9711"
[[site.landmark]]
name = "chapel"
position = "52.3105, 4.9880"
foot = "12 m"
height = "31 m"
[[shot]]
name = "heron"
subject = "grey heron"
distance = "28 m"
"""
GEAR = """fieldplan_profile = 1
name = "mine"
[[body]]
name = "b"
sensor = "36x24 mm"
pixels = "6000x4000"
mount = "A"
weight = "1 kg"
[[lens]]
name = "l"
focal = "500 mm"
f_number = "5.6"
mount = "A"
weight = "3 kg"
"""
_WRITES = re.compile(r"-o|--o(?:u|=|$)")  # a card into a file of any name: not tried here
_TO = ("--from", "52.3012, 4.9711", "--to", "52.3105, 4.9880", "--to-level", "43 m")
_LINE = ("lineup", *_TO, "--start", "2027-03-14", "--end", "2027-03-20")
_WORDS: tuple[tuple[str, ...], ...] = (
    ("light", "--at", "52.3012, 4.9711", "--on", "2027-03-14", "--sky", "hazy", "--elevation", "3 m"),
    ("light", "--at", "w.gpx#reed hide", "--on", "2027-03-14", "--zone", "Europe/Amsterdam", "--as", "json"),
    ("light", "--on", "2027-03-14", "--at", "-33.85,151.2"),
    (*_LINE, "--within", "1", "--place", "resting", "--to-width", "8 m", "--as", "json"),
    (*_LINE, "--lit", "90 %", "--hours", "16:00-22:00", "--weekdays", "Sat, Sun", "--limit", "3"),
    (*_LINE, "--body", "sun", "--sun-altitude", "-6", "2", "--sort", "closeness", "--clear"),
    (*_LINE, "--light", "civil twilight", "--sky", "clear", "--from-level", "5 m", "--zone", "Etc/GMT-1"),
    ("lineup", "lake", "--landmark", "chapel", "--viewpoint", "hide", "--end", "2027-03-20"),
    ("pictures", "pictures", "--plan", "lake", "--behind", "1:00", "--margin", "15"),
    ("pictures", "pictures", "--of", "Body A", "--ahead", "90 s", "--as", "json"),
    ("kit", "lake", "--limit", "8 kg", "--insist", "l", "--bodies", "1"),
    ("card", "lake", "--profile", "mine", "--as", "text"),
    ("card", "lake", "--as", "json", "--without-place"),
    ("places", "--find", "reed"),
    ("places", "w.gpx", "--find", "hide"),
    ("new", "Lake at dawn", "--on", "2027-03-14", "--at", "52.3012, 4.9711", "--site", "hide"),
    ("learn", "lake", "--write", "shake"),
    ("check", "plans/lake.toml", "none.toml"),
    ("guide", "gear"),
    ("lake",),
)  # fmt: skip
REAL = tuple("\0".join(words).encode() for words in _WORDS)


@cache
def furnished() -> Path:
    """A person's folders, with one of everything that a command may name."""
    own = FOLDER / "own"
    for name in ("plans", "profiles", "pictures", "state"):
        (own / name).mkdir(parents=True)
    (own / "plans" / "lake.toml").write_text(PLAN)
    (own / "profiles" / "mine.toml").write_text(GEAR)
    (own / "places.toml").write_bytes(PLACES)
    (own / "w.gpx").write_bytes(GPX)
    (own / "pictures" / "p.jpg").write_bytes(pictures()[0])
    return own


def every_word() -> Iterator[str]:
    """Each command with each of its words after the first replaced by each hostile word, bare and behind a good one."""
    hostile = (*EDGES, *HOSTILE, *FLOODS, *NUMBERS, "x" * 5000, "\udcff", "-" * 9)
    for words in _WORDS:
        for at in range(1, len(words)):
            for word in hostile:
                for put in (word, f"{words[at]}{word}"):
                    yield "\0".join((*words[:at], put.replace("\0", ""), *words[at + 1 :]))


def said(text: str) -> tuple[int, str]:
    """(status, messages) of the command whose words stand between zeros; every rule of the command line is held."""
    status, out, err = ran(_confined([word for word in text.split("\0") if not _WRITES.match(word)]))
    assert status in (0, 1, 2), status
    for told in (out, err):
        assert not obeyed(told), f"{obeyed(told)} in {told!a:.300}"
    assert len(err) < 20_000
    if status == 2:
        *before, last = err.rstrip("\n").split("\n")
        assert last.startswith("fieldplan") and ": " in last, err
        assert all(line.startswith(("usage:", " ")) or ": note: " in line for line in before), err
    return status, err


def _confined(words: list[str]) -> list[str]:
    """Without what would write a new plan outside the folders of the test (into too long a name none goes)."""
    new = "new" in words
    return [word for word in words if not (new and word.startswith("--pl") and len(words[-1]) < 300)]


def ran(words: list[str]) -> tuple[int, str, str]:
    """(status, answers, messages) of one command among folders of the test's own. Raises what it raises."""
    own = furnished()
    folders = {"FIELDPLAN_PLANS": "plans", "FIELDPLAN_PROFILES": "profiles", "FIELDPLAN_STATE": "state/state.json"}
    out, err = (io.TextIOWrapper(io.BytesIO(), "utf-8", errors="replace", write_through=True) for _ in range(2))
    with (
        mock.patch.dict(os.environ, {key: str(own / name) for key, name in folders.items()}),
        contextlib.chdir(own),
        contextlib.redirect_stdout(out),
        contextlib.redirect_stderr(err),
    ):
        try:
            status = main(words)
        except SystemExit as left:  # the reader of options ends so
            status = left.code if isinstance(left.code, int) else 1
    for made in (own / "plans").iterdir():
        if made.name != "lake.toml":
            made.unlink()
    return status, *(stream.buffer.getvalue().decode() for stream in (out, err))  # type: ignore[attr-defined]


def all_words() -> int:
    """Try all and tell; 1 when there was a fault."""
    warnings.simplefilter("ignore")
    statuses: Counter[int] = Counter()
    faults = 0
    for text in every_word():
        try:
            statuses[said(text)[0]] += 1
        except Exception as fault:
            faults += 1
            where = traceback.extract_tb(fault.__traceback__)[-1]
            print(
                f"FAULT {text!a:.200}\n    {type(fault).__name__} {where.filename}:{where.lineno} {fault!a:.300}",
                flush=True,
            )
    told = ", ".join(f"{count} ended with {status}" for status, count in sorted(statuses.items()))
    print(f"{statuses.total() + faults} commands: {told}; {faults} faults")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(all_words())
