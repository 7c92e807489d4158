"""Every reader of what comes from outside, each with hostile input for it and with what it may answer."""

from __future__ import annotations

import io
import os
import tempfile
from collections.abc import Callable
from functools import cache, partial
from pathlib import Path
from typing import Any, NamedTuple

from hypothesis import strategies as st

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
from fieldplan.model.forms import fields_of
from fieldplan.model.gear import Body, Lens, Profile
from fieldplan.model.plan import Plan, Shot, Site
from fieldplan.model.stepping import step
from fieldplan.notation import position, quantity, skywords, words

from . import answering
from .mutated import TEXTS, WORDS, mutated

FOLDER = Path(tempfile.mkdtemp(prefix="fieldplan-hostile-", dir="/dev/shm" if Path("/dev/shm").is_dir() else None))
DATA = starters_folder("demo").parent / "fieldplan" / "data"
POSITIONS = (
    "52.3012, 4.9711",
    "52 18.07 N, 4 58.27 E",
    "52\u00b018'04.3\"N 4\u00b058'16\"E",
    "+52.3012+004.9711/",
    "geo:52.3012,4.9711;u=5",
    "31U 633674 5796260",
    "31UFT3367496260",
    "9F468XWC+F8",
    "S33 51.0 E151 12.0",
)
QUANTITIES = (
    "28 m",
    "92 ft",
    "5'8\"",
    "25-31 m",
    "12 km/h",
    "f/5.6",
    "50-75 %",
    "1/4000",
    "2 s",
    "36x24 mm",
    "2,8 m",
    "infinity",
    "1 h 30 min",
    "-5 min",
    "1.5 kg",
    "3 lb 4 oz",
    "0.4 m/s",
    "1:30",
    "7 to 9 cm",
)
WORDED = (
    "EV 12",
    "sunny",
    "crossing",
    "45",
    "print",
    "0.02 mm",
    "4 cm, 1 per second",
    "heron",
    "2027-03-14",
    "07:20",
    "yes",
    "a",
    "overcast",
    "12:59:59",
)
SKYWORDS = ("one disc left", "21:00-04:30", "90-100 %", "2 right, 1 up", "half a width low", "20 to 60 %")
GPX = b"""<?xml version="1.0" encoding="UTF-8"?>
<gpx version="1.1" creator="invented" xmlns="http://www.topografix.com/GPX/1/1">
 <wpt lat="52.3012" lon="4.9711"><ele>3.5</ele><time>2027-03-14T07:20:00Z</time><name>reed hide</name></wpt>
 <wpt lat="-33.85" lon="151.2"><name>far away &amp; invented</name><sym>Flag</sym></wpt>
 <trk><trkseg><trkpt lat="52.3" lon="4.97"><ele>1</ele></trkpt></trkseg></trk>
</gpx>
"""
PLACES = b"""[[place]]
name = "reed hide"
position = "52.3012, 4.9711"
elevation = "3 m"
note = "invented"
"""
STATE = b'{"plan": "x.toml", "page": "light", "drafts": {"/x": {"digest": "a", "texts": [[["shot", 0, "name"], "x"]]}}}'
JOURNAL = b'\n{"digest": "a", "text": "fieldplan_plan = 1", "drafts": [[["shot", 0, "distance"], "28"]]}\n'


class Reader(NamedTuple):
    """One reader. refuses: the exceptions that are an answer in plain words; everything else is a fault."""

    name: str
    inputs: st.SearchStrategy[Any]
    read: Callable[[Any], Any]
    refuses: tuple[type[Exception], ...]


def files(real: list[bytes], sort: str) -> st.SearchStrategy[bytes]:
    """Mutations of any of the real files."""
    return st.one_of([mutated(data, sort) for data in real])


def on_disk(name: str, read: Callable[[Path], Any], data: bytes) -> Any:
    """The reader on a file of that content."""
    path = FOLDER / name
    path.write_bytes(data)
    return read(path)


@st.composite
def near(draw: st.DrawFn, real: tuple[str, ...]) -> str:
    """A text that reads, with a few pieces put in, cut out or put in the place of others."""
    text = draw(st.sampled_from(real))
    for _ in range(draw(st.integers(0, 3))):
        start = draw(st.integers(0, len(text)))
        text = text[:start] + draw(st.one_of(st.just(""), WORDS)) + text[start + draw(st.integers(0, 3)) :]
    return text


@cache
def picture() -> bytes:
    """A small invented picture with all the usual tags."""
    from tests.files import exifwriter

    held = io.BytesIO()
    exifwriter.Image.new("RGB", (4, 4)).save(held, "JPEG", exif=exifwriter.exif(exifwriter.USUAL))
    return held.getvalue()


@cache
def starter(sort: str, name: str) -> Any:
    """A starter, as a value to edit."""
    path = starters_folder(sort) / f"{name}.toml"
    return (load_plan(path) if sort == "demo" else load_profile(path)).value


def _reals(folder: Path) -> list[bytes]:
    return [path.read_bytes() for path in sorted(folder.glob("*.toml"))]


def _journal(path: Path) -> None:
    folder = FOLDER / "journals"
    journal = Journal(FOLDER / "of.toml", folder)
    os.close(journal._descriptor)
    for held in folder.iterdir():
        held.unlink()
    (folder / journal._path.name).write_bytes(path.read_bytes())  # type: ignore[union-attr]
    again = Journal(FOLDER / "of.toml", folder)
    os.close(again._descriptor)


def _kinds() -> list[quantity.Kind]:
    return [kind for kind in vars(quantity).values() if isinstance(kind, quantity.Kind)]


def _quantity(found: tuple[Any, quantity.Kind, str]) -> None:
    text, kind, units = found
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
    if len(refused) == 2:
        quantity.read_pair(text, kind)


def _all_of(readers: tuple[Callable[[Any], Any], ...], found: Any) -> None:
    """Each of the readers; refused when all refuse."""
    refused: list[ValueError] = []
    for read in readers:
        try:
            read(found)
        except ValueError as wrong:
            refused.append(wrong)
            printable(str(wrong))
    if len(refused) == len(readers):
        raise refused[-1]


def printable(said: str) -> None:
    """Nothing in a message that a terminal would obey (ECMA-48), and not too much of it."""
    assert all(char.isprintable() or char == "\n" for char in said), ascii(said)
    assert len(said) < 20_000


def _edit(found: tuple[tuple[str, str, type, tuple[Any, ...]], int, str]) -> None:
    (sort, name, record, where), number, text = found
    fields = fields_of(record)
    edits.with_value(starter(sort, name), (*where, fields[number % len(fields)].key), text)


def _step(found: tuple[type, int, str, bool, str]) -> None:
    record, number, text, up, units = found
    fields = fields_of(record)
    stepped = step(text, fields[number % len(fields)], up, units)
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


@cache
def readers() -> dict[str, Reader]:
    """By name."""
    plans, gear = _reals(starters_folder("demo")), _reals(starters_folder("profiles"))
    scalars = st.one_of(
        TEXTS, st.floats(), st.integers(), st.booleans(), st.none(), st.lists(st.integers(), max_size=2)
    )
    places = [
        ("demo", "lake-and-chapel", Shot, ("shot", 1)),
        ("demo", "lake-and-chapel", Site, ("site",)),
        ("demo", "lake-and-chapel", Plan, ()),
        ("profiles", "two-bodies", Body, ("body", 0)),
        ("profiles", "two-bodies", Lens, ("lens", 0)),
        ("profiles", "two-bodies", Profile, ()),
    ]
    typed = st.one_of(near(QUANTITIES + WORDED + POSITIONS), TEXTS)
    worded = (
        words.read_light,
        words.read_direction,
        words.read_circle,
        words.read_sway,
        words.read_name,
        words.read_date,
        words.read_clock,
        words.read_flag,
        partial(words.read_choice, known=("a", "b"), what="x"),
    )
    sky = (skywords.read_sighting, skywords.read_hours, skywords.read_lit)
    found = [
        Reader("plan", files(plans, "toml"), partial(on_disk, "plan.toml", load_plan), (FileProblem,)),
        Reader("profile", files(gear, "toml"), partial(on_disk, "gear.toml", load_profile), (FileProblem,)),
        Reader(
            "places",
            files([PLACES], "toml"),
            partial(on_disk, "places.toml", lambda path: saved_places(path.parent)),
            (FileProblem,),
        ),
        Reader("gpx", files([GPX], "gpx"), partial(on_disk, "w.gpx", load_waypoints), (FileProblem,)),
        Reader("picture", files([picture()], "picture"), partial(on_disk, "p.jpg", read_picture), (Unreadable,)),
        Reader("state", files([STATE], "toml"), partial(on_disk, "state.json", load_state), ()),
        Reader("journal", files([JOURNAL], "toml"), partial(on_disk, "j", _journal), ()),
        Reader("position", st.one_of(near(POSITIONS), TEXTS), position.read_position, (ValueError,)),
        Reader(
            "quantity",
            st.tuples(
                st.one_of(near(QUANTITIES), scalars), st.sampled_from(_kinds()), st.sampled_from(["metric", "imperial"])
            ),
            _quantity,
            (ValueError,),
        ),
        Reader("word", st.one_of(near(WORDED), scalars), partial(_all_of, worded), (ValueError,)),
        Reader("skyword", st.one_of(near(SKYWORDS), TEXTS), partial(_all_of, sky), (ValueError,)),
        Reader("edit", st.tuples(st.sampled_from(places), st.integers(0, 99), typed), _edit, (edits.EditProblem,)),
        Reader(
            "step",
            st.tuples(
                st.sampled_from([Shot, Body, Lens, Site, Plan]),
                st.integers(0, 99),
                typed,
                st.booleans(),
                st.sampled_from(["metric", "imperial"]),
            ),
            _step,
            (),
        ),
        Reader("name", TEXTS, _named, ()),
    ]
    found.append(Reader("answers", answering.cases(), answering.answer, ()))
    for name in ("subjects", "fills", "approach", "bands", "cautions"):
        real = [(DATA / f"{name}.toml").read_bytes()]
        found.append(Reader(name, files(real, "toml"), partial(on_disk, f"{name}.toml", check_list), (FileProblem,)))
    return {reader.name: reader for reader in found}
