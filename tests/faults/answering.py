"""Plans and profiles with values at the edge of what is allowed, answered and printed: no fault, no nonsense."""

from __future__ import annotations

import contextlib
import json
import re
from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from typing import Any, TypeVar

from fieldplan.card import render
from fieldplan.files import edits
from fieldplan.files.places import starters_folder
from fieldplan.files.reading import load_plan, load_profile
from fieldplan.model.forms import FormField, fields_of
from fieldplan.model.gear import Body, CloseUpLens, Converter, Lens, Profile, Tube
from fieldplan.model.plan import Plan, Shot, Site
from fieldplan.opening import Opened, answers_to

from .hostile import FLOODS, HOSTILE, obeyed

Choice = TypeVar("Choice")
NONSENSE = re.compile(r"(?<![\w.])(?:nan|-?inf)(?![\w.])|\d[eE]\+\d\d|\b(?:None|True|False)\b|<fieldplan")
_TAGS = re.compile(r"<style>.*?</style>|<[^>]*>", re.DOTALL)
LARGEST = 1e20  # of any number in a card, as an ISO for light 30 stops down; infinity is told by a flag
LISTS = (
    (Shot, "demo", "shot"),
    (Body, "profiles", "body"),
    (Lens, "profiles", "lens"),
    (Converter, "profiles", "converter"),
    (Tube, "profiles", "tube"),
    (CloseUpLens, "profiles", "close_up_lens"),
)
ODD = [word for word in (*HOSTILE, *FLOODS) if word.isprintable()]
KEPT = 2  # of each list of a plan or profile; a whole one takes ten times as long to answer


class Choices:
    """Bytes as a row of choices; the first, when they are used up."""

    def __init__(self, data: bytes) -> None:
        self._data, self._at = data, 0

    def number(self, count: int) -> int:
        """One of so many."""
        taken = self._data[self._at : self._at + 2]
        self._at += 2
        return int.from_bytes(taken, "big") % count

    def one(self, of: Sequence[Choice]) -> Choice:
        """One of these."""
        return of[self.number(len(of))]


def edge_texts(field: FormField) -> list[str]:
    """Texts at and just beside the ends of what a field may hold."""
    if field.sort in ("sensor", "pixels", "formats") and field.kind is not None:
        low, high = field.kind.low, field.kind.high
        sides = [low, low * 1.01, high, high * 0.99, (low * high) ** 0.5]
        unit, size = ("mm", 1e-3) if field.sort != "pixels" else ("", 1.0)
        return [f"{one / size:.9g}x{other / size:.9g} {unit}".strip() for one in sides for other in sides]
    if field.kind is not None:
        return _edges(field.kind.low, field.kind.high, field.kind.units)
    if field.bounds is not None:
        return [f"{end:.12g}" for end in _near(*field.bounds)]
    if field.choices:
        return list(field.choices)
    others = {
        "clock": ["00:00", "23:59:59", "12:00"],
        "date": ["1900-01-01", "2100-12-31", "2027-06-21", "2027-12-21", "0001-01-01", "9999-12-31", "2199-12-31"],
        "place": ["90, 0", "-90, 0", "0, 180", "0, -180", "0, 0", "70.0, 25.0", "-77.8, 166.7"],
        "light": ["EV -10", "EV 20", "sunny", "EV 0"],
        "direction": ["0", "180", "crossing"],
        "circle": ["pixel", "print", "1 um", "1 mm"],
        "sway": ["4 cm, 1 per second", "1 mm, 100 per second"],
        "flag": ["yes", "no"],
        "name": ODD,
    }
    return others.get(field.sort, [field.example, "", *ODD[:3]])


def _near(low: float, high: float) -> list[float]:
    inside = [low + (high - low) * share for share in (1e-9, 1e-3, 0.5, 1 - 1e-9)]
    return [low, high, *inside, *([(low * high) ** 0.5] if low > 0 else [0.0])]


def _edges(low: float, high: float, units: dict[str, float]) -> list[str]:
    unit = next((name for name, size in units.items() if size == 1.0), next(iter(units), ""))
    size = units.get(unit, 1.0)
    ends = [f"{max(min(end, 1e15), -1e15) / size:.12g}" for end in _near(max(low, -1e15), min(high, 1e15))]
    return [*(f"{end} {unit}".strip() for end in ends), f"{ends[0]}-{ends[1]} {unit}".strip(), ""]


@cache
def _starters(sort: str) -> tuple[Any, ...]:
    load = load_plan if sort == "demo" else load_profile
    return tuple(load(path) for path in sorted(starters_folder(sort).glob("*.toml")))


class Case:
    """A plan and a profile as read, after the edits that were taken."""

    def __init__(self, plan: Any, gear: Any, taken: tuple[tuple[str, str], ...]) -> None:
        self.plan, self.gear, self.taken = plan, gear, taken

    def __repr__(self) -> str:
        return f"{self.plan.path.stem} with {self.gear.path.stem}: {self.taken!r}"


def case_of(data: bytes) -> Case:
    """A starter plan and a starter profile, mostly cut down to a few shots and things, after one to four edits."""
    choices = Choices(data)
    held = {sort: choices.one(_starters(sort)) for sort in ("demo", "profiles")}
    values = {sort: loaded.value for sort, loaded in held.items()}
    taken: list[tuple[str, str]] = []
    if choices.number(32):
        values = {sort: _cut_down(value, choices) for sort, value in values.items()}
    for _ in range(1 + choices.number(4)):
        sort, record, where = choices.one(_places(values))
        field = choices.one([field for field in fields_of(record) if not field.nested])
        text = choices.one(edge_texts(field))
        with contextlib.suppress(edits.EditProblem):
            values[sort] = edits.with_value(values[sort], (*where, field.key), text)
            taken.append((f"{where}.{field.key}", text))
    plan, gear = (replace(held[sort], value=values[sort]) for sort in ("demo", "profiles"))
    return Case(plan, gear, tuple(taken))


def _cut_down(value: Any, choices: Choices) -> Any:
    """A plan or profile with at most KEPT of its shots, bodies, lenses and further things, neighbours of each other."""
    kept = {}
    for attribute in ("shots", "bodies", "lenses", "converters", "tubes", "close_up_lenses"):
        things = getattr(value, attribute, ())
        first = choices.number(max(len(things), 1))
        if len(things) > KEPT:
            kept[attribute] = (things + things)[first : first + KEPT]
    return value.model_copy(update=kept)


def _places(values: dict[str, Any]) -> list[tuple[str, type, tuple[Any, ...]]]:
    found: list[tuple[str, type, tuple[Any, ...]]] = [
        ("demo", Plan, ()),
        ("demo", Site, ("site",)),
        ("profiles", Profile, ()),
    ]
    for record, sort, key in LISTS:
        count = len(edits.child_at(values[sort], (key,)) or ())
        found += [(sort, record, (key, at)) for at in range(min(count, 3))] * 2
    return found


def answer(case: Case) -> None:
    """All answers, in every form that is text; each must hold sense, and nothing that a terminal would obey."""
    answers = answers_to(Opened(case.plan, case.gear))
    for kind in ("text", "html", "json", "ics", "gpx"):
        try:
            made = render(answers, kind)
        except Exception as wrong:
            if type(wrong).__name__ != "NothingToWrite":
                raise
            continue
        assert isinstance(made, str)
        assert not (wrong := obeyed(made.replace("\r\n", "\n"))), (kind, wrong)
        if kind == "html":
            assert "<script" not in made
        if kind == "json":
            _sensible(json.loads(made, parse_constant=_refused))
            continue
        told = _TAGS.sub(" ", made) if kind == "html" else made.replace("\r\n ", "")
        sense = NONSENSE.search(told)
        assert sense is None, told[max(sense.start() - 80, 0) : sense.end() + 40]


def _sensible(found: Any) -> None:
    """Every number of a card has a size that something has, and every text of it makes sense."""
    if isinstance(found, (dict, list)):
        for held in found.values() if isinstance(found, dict) else found:
            _sensible(held)
    elif isinstance(found, str):
        assert NONSENSE.search(found) is None, found
    elif isinstance(found, float):
        assert abs(found) < LARGEST, found


def _refused(word: str) -> None:
    raise AssertionError(f"{word} is not JSON (RFC 8259)")
