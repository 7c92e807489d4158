"""Plans and profiles with values at the edge of what is allowed, answered and printed: no fault, no nonsense."""

from __future__ import annotations

import contextlib
import json
import re
import unicodedata
from dataclasses import replace
from functools import cache
from typing import Any

from hypothesis import strategies as st

from fieldplan.card import render
from fieldplan.files import edits
from fieldplan.files.places import starters_folder
from fieldplan.files.reading import load_plan, load_profile
from fieldplan.model.forms import FormField, fields_of
from fieldplan.model.gear import Body, CloseUpLens, Converter, Lens, Profile, Tube
from fieldplan.model.plan import Plan, Shot, Site
from fieldplan.opening import Opened, answers_to

from .mutated import HOSTILE

NONSENSE = re.compile(r"(?<![\w.])(?:nan|-?inf)(?![\w.])|\d[eE]\+\d\d|\b(?:None|True|False)\b|<fieldplan")
LISTS = (
    (Shot, "demo", "shot"),
    (Body, "profiles", "body"),
    (Lens, "profiles", "lens"),
    (Converter, "profiles", "converter"),
    (Tube, "profiles", "tube"),
    (CloseUpLens, "profiles", "close_up_lens"),
)
OBEYED = {"Cc", "Cf", "Cs", "Co", "Zl", "Zp"}
ODD = [word for word in HOSTILE if word.isprintable()]


def edge_texts(field: FormField) -> st.SearchStrategy[str]:
    """Texts at and just beside the ends of what a field may hold."""
    if field.sort in ("sensor", "pixels", "formats") and field.kind is not None:
        low, high = field.kind.low, field.kind.high
        sides = st.sampled_from([low, low * 1.01, high, high * 0.99, (low * high) ** 0.5])
        unit, size = ("mm", 1e-3) if field.sort != "pixels" else ("", 1.0)
        return st.tuples(sides, sides).map(lambda pair: f"{pair[0] / size:.9g}x{pair[1] / size:.9g} {unit}".strip())
    if field.kind is not None:
        return _edges(field.kind.low, field.kind.high, field.kind.units)
    if field.bounds is not None:
        return st.sampled_from([f"{end:.12g}" for end in _near(*field.bounds)])
    if field.choices:
        return st.sampled_from(field.choices)
    others = {
        "clock": ["00:00", "23:59:59", "12:00"],
        "date": ["1900-01-01", "2100-12-31", "2027-06-21", "2027-12-21", "0001-01-01", "9999-12-31"],
        "place": ["90, 0", "-90, 0", "0, 180", "0, -180", "0, 0", "70.0, 25.0", "-77.8, 166.7"],
        "light": ["EV -10", "EV 20", "sunny", "EV 0"],
        "direction": ["0", "180", "crossing"],
        "circle": ["pixel", "print", "1 um", "1 mm"],
        "sway": ["4 cm, 1 per second", "1 mm, 100 per second"],
        "flag": ["yes", "no"],
        "name": ODD,
    }
    return st.sampled_from(others.get(field.sort, [field.example, "", *ODD[:3]]))


def _near(low: float, high: float) -> list[float]:
    inside = [low + (high - low) * share for share in (1e-9, 1e-3, 0.5, 1 - 1e-9)]
    return [low, high, *inside, *([(low * high) ** 0.5] if low > 0 else [0.0])]


def _edges(low: float, high: float, units: dict[str, float]) -> st.SearchStrategy[str]:
    unit = next((name for name, size in units.items() if size == 1.0), next(iter(units), ""))
    size = units.get(unit, 1.0)
    ends = [f"{max(min(end, 1e15), -1e15) / size:.12g}" for end in _near(max(low, -1e15), min(high, 1e15))]
    one = st.sampled_from(ends).map(lambda end: f"{end} {unit}".strip())
    both = st.just(f"{ends[0]}-{ends[1]} {unit}".strip())
    return st.one_of(one, one, one, both, st.just(""))


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


@st.composite
def cases(draw: st.DrawFn) -> Case:
    """A starter plan and a starter profile after one to four edits."""
    held = {sort: draw(st.sampled_from(_starters(sort))) for sort in ("demo", "profiles")}
    values = {sort: loaded.value for sort, loaded in held.items()}
    taken: list[tuple[str, str]] = []
    for _ in range(draw(st.integers(1, 4))):
        sort, record, where = draw(st.sampled_from(_places(values)))
        field = draw(st.sampled_from([field for field in fields_of(record) if not field.nested]))
        text = draw(edge_texts(field))
        with contextlib.suppress(edits.EditProblem):
            values[sort] = edits.with_value(values[sort], (*where, field.key), text)
            taken.append((f"{where}.{field.key}", text))
    plan, gear = (replace(held[sort], value=values[sort]) for sort in ("demo", "profiles"))
    return Case(plan, gear, tuple(taken))


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
        bad = {char for char in made if unicodedata.category(char) in OBEYED and char not in "\n\r\t\u200d"}
        assert not bad, (kind, bad)
        if kind == "html":
            assert "<script" not in made
        if kind == "json":
            json.loads(made, parse_constant=_refused)
        if kind == "text":
            sense = NONSENSE.search(made)
            assert sense is None, made[max(sense.start() - 80, 0) : sense.end() + 40]


def _refused(word: str) -> None:
    raise AssertionError(f"{word} is not JSON (RFC 8259)")
