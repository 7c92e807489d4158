"""Every reader of what comes from outside, each with hostile input for it and with what it may answer."""

from __future__ import annotations

import datetime as dt
import math
import os
import random
import struct
from collections.abc import Callable
from functools import cache, partial
from pathlib import Path
from typing import Any, NamedTuple

from fieldplan.files import edits
from fieldplan.files.catalogue import check_list
from fieldplan.files.exif import Unreadable, read_picture
from fieldplan.files.journal import Journal
from fieldplan.files.places import file_name, find_plan, find_profile, starters_folder
from fieldplan.files.problems import FileProblem
from fieldplan.files.reading import load_plan, load_profile
from fieldplan.files.savedplaces import saved_places
from fieldplan.files.state import load_state
from fieldplan.files.waypoints_in import load_waypoints
from fieldplan.model.fields import Record, Spot
from fieldplan.model.forms import fields_of
from fieldplan.model.gear import Body, Lens, Profile
from fieldplan.model.plan import Plan, Shot, Site
from fieldplan.model.stepping import step
from fieldplan.notation import position, quantity, scales, skywords, words
from fieldplan.notation.numbers import read_number
from fieldplan.notation.shift import read_shift
from fieldplan.picturescommand import read_span_s
from fieldplan.tui.ownkeys import checked

from . import answering, commands, seeds
from .hostile import obeyed
from .mutated import made
from .seeds import FOLDER

_OTHERS: dict[int, Any] = {32: True, 33: False, 34: None, 35: [], 36: [1, 2], 37: {}, 38: {"name": 3}, 39: -0.0}
_OTHERS |= {40: math.nan, 41: math.inf, 42: 0, 43: dt.date(9999, 12, 31), 44: dt.datetime(1, 1, 1), 45: dt.time(0)}
_UNITS = ("metric", "imperial")
_RECORDS: tuple[tuple[str, type[Record], tuple[Any, ...]], ...] = (
    ("demo", Shot, ("shot", 1)),
    ("demo", Site, ("site",)),
    ("demo", Plan, ()),
    ("profiles", Body, ("body", 0)),
    ("profiles", Lens, ("lens", 0)),
    ("profiles", Profile, ()),
)


class Reader(NamedTuple):
    """One reader.

    seeds: real inputs, of which hostile ones are made; sort: of the parts put into them, a key of ``mutated.OWN``;
    refuses: the exceptions that are an answer in plain words; everything else is a fault. picks: so many bytes go
    before the input and choose what is read; of: what all the bytes stand for.
    """

    name: str
    seeds: tuple[bytes, ...]
    sort: str
    read: Callable[[Any], Any]
    refuses: tuple[type[Exception], ...] = (ValueError,)
    picks: int = 0
    of: Callable[[bytes], Any] = bytes

    def made(self, chance: random.Random) -> bytes:
        """One hostile input."""
        return chance.randbytes(self.picks) + made(chance, self.seeds, self.sort)


def as_text(data: bytes) -> str:
    """Bytes as the system hands them over in names and words of a command."""
    return data.decode("utf-8", "surrogateescape")


def as_scalar(data: bytes) -> Any:
    """A text, or now and then another thing that a TOML file may hold; the first byte chooses."""
    sort, rest = data[0] if data else 255, data[1:]
    if sort in _OTHERS:
        return _OTHERS[sort]
    if sort < 24:
        return struct.unpack("<d", rest[:8].ljust(8, b"\0"))[0]
    if sort < 32:
        return int.from_bytes(rest[:40], "big", signed=True)
    return as_text(rest)


def _picked(data: bytes, count: int) -> tuple[int, ...]:
    return tuple(data[:count].ljust(count, b"\0"))


def on_disk(name: str, read: Callable[[Path], Any], data: bytes) -> Any:
    """The reader on a file of that content."""
    path = FOLDER / name
    path.write_bytes(data)
    return read(path)


@cache
def starter(sort: str) -> Any:
    """A starter, as a value to edit."""
    path = starters_folder(sort) / {"demo": "lake-and-chapel.toml", "profiles": "two-bodies.toml"}[sort]
    return (load_plan(path) if sort == "demo" else load_profile(path)).value


def _journal(path: Path) -> None:
    folder = FOLDER / "journals"
    journal = Journal(FOLDER / "of.toml", folder)
    os.close(journal._descriptor)
    for held in folder.iterdir():
        held.unlink()
    (folder / journal._path.name).write_bytes(path.read_bytes())  # type: ignore[union-attr]
    again = Journal(FOLDER / "of.toml", folder)
    os.close(again._descriptor)


@cache
def _kinds() -> list[quantity.Kind]:
    return [kind for kind in vars(quantity).values() if isinstance(kind, quantity.Kind)]


def _quantity(data: bytes) -> None:
    number, unit = _picked(data, 2)
    text, kind, units = as_scalar(data[2:]), _kinds()[number % len(_kinds())], _UNITS[unit % 2]
    refused: list[ValueError] = []
    for read in (quantity.read_value, quantity.read_span):
        try:
            value = read(text, kind, units)
        except ValueError as wrong:
            refused.append(wrong)
            continue
        ends = (value.low, value.high) if isinstance(value, quantity.Span) else (float(value),)
        assert all(kind.low <= end <= kind.high or kind.infinite for end in ends), (text, kind.word, ends)
        assert read(value.typed, kind, units) == value, "what is written back reads the same"
        printable(value.typed)
    if len(refused) == 2:
        quantity.read_pair(text, kind)


def _all_of(readers: tuple[Callable[[Any], Any], ...], found: Any) -> None:
    """Each of the readers; refused when all refuse."""
    refused: list[ValueError] = []
    for read in readers:
        try:
            printable(str(getattr(read(found), "typed", "")))
        except ValueError as wrong:
            refused.append(wrong)
            printable(str(wrong))
    if len(refused) == len(readers):
        raise refused[-1]


def printable(said: str) -> None:
    """Nothing in a message that a terminal would obey (ECMA-48), and not too much of it."""
    assert not obeyed(said), ascii(said)
    assert len(said) < 20_000


def _edit(data: bytes) -> None:
    place, number = _picked(data, 2)
    sort, record, where = _RECORDS[place % len(_RECORDS)]
    field = fields_of(record)[number % len(fields_of(record))]
    edits.with_value(starter(sort), (*where, field.key), as_text(data[2:]))


def _step(data: bytes) -> None:
    place, number, unit = _picked(data, 3)
    fields = fields_of(_RECORDS[place % len(_RECORDS)][1])
    for up in (True, False):
        stepped = step(as_text(data[3:]), fields[number % len(fields)], up, _UNITS[unit % 2])
        assert isinstance(stepped, str)


def _named(name: str) -> None:
    """A name never leads out of the folder that its file belongs in."""
    made = file_name(name)
    assert Path(made).name == made and made not in ("", ".", "..") and not made.startswith((".", "-", "~"))
    assert "\0" not in made and len(os.fsencode(made)) < 255
    for find in (find_plan, find_profile):
        try:
            find(name, folder=FOLDER / "none")
        except FileProblem as wrong:
            printable(str(wrong))


def _many(texts: tuple[str, ...]) -> tuple[bytes, ...]:
    return tuple(text.encode() for text in texts)


def _file(name: str, real: tuple[bytes, ...], read: Callable[[Path], Any], path: str, sort: str = "toml") -> Reader:
    return Reader(name, real, sort, partial(on_disk, path, read), (FileProblem,))


def _worded() -> tuple[Callable[[Any], Any], ...]:
    """The readers of single words, each of which takes what its field takes."""
    return (words.read_light, words.read_direction, words.read_circle, words.read_sway, words.read_name,
            words.read_date, words.read_clock, words.read_flag, scales.read_scale, read_shift, Spot.read,
            partial(words.read_choice, known=("a", "b"), what="x"))  # fmt: skip


@cache
def readers() -> dict[str, Reader]:
    """By name."""
    typed = _many(seeds.QUANTITIES + seeds.WORDED + seeds.POSITIONS)
    sky = (skywords.read_sighting, skywords.read_hours, skywords.read_lit, read_number, read_span_s)
    found = [
        _file("plan", seeds.tables(starters_folder("demo")), load_plan, "plan.toml"),
        _file("profile", seeds.tables(starters_folder("profiles")), load_profile, "gear.toml"),
        _file("places", (seeds.PLACES,), lambda path: saved_places(path.parent), "places.toml"),
        _file("keys", (seeds.KEYS,), checked, "keys.toml"),
        _file("gpx", (seeds.GPX,), load_waypoints, "w.gpx", "gpx"),
        Reader("picture", seeds.pictures(), "picture", partial(on_disk, "p.jpg", read_picture), (Unreadable,)),
        Reader("state", (seeds.STATE,), "toml", partial(on_disk, "state.json", load_state), ()),
        Reader("journal", (seeds.JOURNAL,), "toml", partial(on_disk, "j", _journal), ()),
        Reader("position", _many(seeds.POSITIONS), "text", position.read_position, of=as_text),
        Reader("quantity", _many(seeds.QUANTITIES), "text", _quantity, picks=3),
        Reader("word", _many(seeds.WORDED), "text", partial(_all_of, _worded()), picks=1, of=as_scalar),
        Reader("skyword", _many(seeds.SKYWORDS), "text", partial(_all_of, sky), of=as_text),
        Reader("edit", typed, "text", _edit, (edits.EditProblem,), picks=2),
        Reader("step", typed, "text", _step, (), picks=3),
        Reader("name", (b"Lake at dawn", b"reed hide"), "name", _named, (), of=as_text),
        Reader("command", commands.REAL, "words", commands.said, (), of=as_text),
        Reader("answers", (), "text", answering.answer, (), of=answering.case_of),
        *(_file(name, seeds.list_parts(name), check_list, f"{name}.toml")
          for name in ("subjects", "fills", "approach", "bands", "cautions")),
    ]  # fmt: skip
    return {reader.name: reader for reader in found}
