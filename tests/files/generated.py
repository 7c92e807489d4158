"""Plans and profiles as raw TOML data, made up field by field from what each kind of field accepts."""

from __future__ import annotations

import datetime as dt
from typing import Any

from hypothesis import strategies as st

from fieldplan.model.fields import Record
from fieldplan.model.forms import FormField, fields_of
from fieldplan.model.gear import Profile
from fieldplan.model.plan import OwnSubject, Plan, Reading, Shot
from fieldplan.model.schema import records_in, slots_of
from fieldplan.notation.quantity import Kind
from fieldplan.notation.words import ANSI_ROWS, read_name

LETTERS = st.characters(codec="utf-8", exclude_categories=("Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"))
MARKS = ("52.3012, 4.9711", "52 18.07 N, 4 58.27 E", "+52.3012+004.9711/", "geo:52.3012,4.9711", "31U 633674 5796260")


def name_like(text: str) -> bool:
    try:
        return bool(read_name(text))
    except ValueError:
        return False


NAMES = st.text(LETTERS, min_size=1, max_size=24).filter(name_like)


def figures(low: float, high: float) -> st.SearchStrategy[float]:
    """Numbers of a few figures within bounds, as a person types them."""
    rounded = st.floats(low, high, allow_nan=False).map(lambda x: float(f"{x:.4g}") if abs(x) > 1e-7 else 0.0)
    return rounded.filter(lambda x: low <= x <= high)


def typed(number: float, comma: bool = False) -> str:
    text = f"{number:.12f}".rstrip("0").rstrip(".")
    whole, _, fraction = text.partition(".")
    return f"{whole},{fraction}" if comma and fraction and len(fraction) != 3 else text


@st.composite
def quantities(draw: st.DrawFn, kind: Kind, ranged: bool) -> Any:
    """A number in one of the kind's units, bare or as text, alone or a range, with either decimal sign."""
    unit = draw(st.sampled_from([unit for unit in kind.units if unit not in ("'", '"')] or [""]))
    size = kind.units.get(unit, 1.0)
    low, high = max(kind.low, -400.0) / size, min(kind.high, 1e4) / size
    first = draw(figures(low * (1.001 if low > 0 else 0.999), high * 0.999))
    sign = draw(st.booleans())
    space = draw(st.sampled_from([" ", ""]))
    if ranged and first > 0 and draw(st.booleans()):
        second = draw(figures(first, high * 0.999) if first < high * 0.99 else st.just(first))
        end = draw(st.sampled_from(["-", " to ", " \u2013 "]))
        return f"{typed(first, sign)}{end}{typed(max(first, second), sign)}{space}{unit}".strip()
    if kind.infinite and draw(st.integers(0, 9)) == 0:
        return "infinity"
    return f"{typed(first, sign)}{space}{unit}".strip()


def plain_field(field: FormField) -> st.SearchStrategy[Any]:
    """What a field without records of its own may hold in a file."""
    if field.choices:
        return st.sampled_from(field.choices)
    if field.sort in ("sensor", "formats"):
        pairs = st.tuples(figures(5, 40), figures(5, 40)).map(lambda p: f"{typed(p[0])}x{typed(p[1])} mm")
        return pairs if field.sort == "sensor" else st.lists(pairs, max_size=3)
    if field.sort == "time":
        return st.sampled_from(["1/500", "1/4000", "0.5", "2 s", "30 s", 2, 0.5, "1/3"])
    if field.kind is not None:
        ranged = field.sort in ("focal", "fnumber", "distance", "size", "depth", "speed", "share")
        return quantities(field.kind, ranged)
    if field.bounds is not None:
        numbers = figures(max(field.bounds.low, -1e5), min(field.bounds.high, 1e5))
        return st.one_of(numbers, numbers.map(typed))
    return {
        "name": NAMES,
        "names": st.lists(NAMES, max_size=3),
        "flag": st.booleans(),
        "date": st.dates(dt.date(1990, 1, 1), dt.date(2100, 1, 1)),
        "clock": st.times().map(lambda time: time.replace(microsecond=0, fold=0)),
        "pixels": st.tuples(st.integers(500, 20000), st.integers(500, 20000)).map(lambda p: f"{p[0]}x{p[1]}"),
        "place": st.sampled_from(MARKS),
        "light": st.one_of(st.sampled_from(sorted(ANSI_ROWS)), figures(-10, 20).map(lambda ev: f"EV {typed(ev)}")),
        "direction": st.one_of(st.sampled_from(["crossing", "oncoming"]), st.integers(0, 180)),
        "circle": st.sampled_from(["print", "pixel", "0.02 mm", "15 um"]),
        "scale": st.sampled_from(["1:1", "1:2", "2:1"]),
        "sway": st.sampled_from(["4 cm, 1 per second", "1 in, 0.5 per second"]),
    }[field.sort]


def records(record: type[Record], leave_out: frozenset[str] = frozenset()) -> st.SearchStrategy[dict[str, Any]]:
    """Raw data of one record: what must be there, and some of the rest."""
    must, may = {}, {}
    for field in fields_of(record):
        if field.key in leave_out:
            continue
        held = records_in(slots_of(record)[field.key].info)
        if field.sort == "subject":
            strategy: st.SearchStrategy[Any] = st.one_of(NAMES, records(OwnSubject))
        elif field.many:
            strategy = lists(held[0])
        elif field.nested:
            strategy = records(held[0])
        else:
            strategy = plain_field(field)
        always = field.required or (field.many and field.key in ("shot", "body", "lens"))
        (must if always else may)[field.key] = strategy
    return st.fixed_dictionaries(must, optional=may)


def lists(record: type[Record]) -> st.SearchStrategy[list[dict[str, Any]]]:
    """A list of records, with names that differ where they have names."""
    if record is Shot:
        one: st.SearchStrategy[dict[str, Any]] = shots()
    elif record is Reading:
        one = records(Reading, frozenset({"f_number", "shutter", "iso"})).map(lambda row: {"ev": 9.5, **row})
    else:
        one = records(record)
    return st.lists(
        one, min_size=1, max_size=3, unique_by=lambda row: read_name(row["name"]) if "name" in row else id(row)
    )


RIVALS = (
    frozenset({"from", "to", "sharp_from", "sharp_to", "magnification"}),
    frozenset({"time", "from", "to", "depth_of_field", "sharp_to", "fill"}),
)


def shots() -> st.SearchStrategy[dict[str, Any]]:
    """Shots without fields that exclude each other."""
    spans = st.tuples(st.times(), st.times()).map(
        lambda pair: {"from": pair[0].replace(microsecond=0), "to": pair[1].replace(microsecond=0)}
    )
    timed = st.builds(lambda row, span: {**row, **span}, records(Shot, RIVALS[1]), spans)
    return st.one_of(records(Shot, RIVALS[0]), timed)


@st.composite
def plans(draw: st.DrawFn) -> dict[str, Any]:
    """A plan as raw data; some subjects are landmarks of its site, or the moon behind one; some shots are from its
    viewpoints."""
    data = {"fieldplan_plan": 1, **draw(records(Plan))}
    site = data.get("site", {})
    views = [view["name"] for view in site.get("viewpoint", [])] + ([site["name"]] if site else [])
    marks = [mark["name"] for mark in data.get("site", {}).get("landmark", [])]
    for shot in data.get("shot", []):
        if shot.pop("viewpoint", None) is not None and views:
            shot["viewpoint"] = draw(st.sampled_from(views))
        if marks and draw(st.booleans()):
            mark = draw(st.sampled_from(marks))
            shot["subject"] = draw(st.sampled_from([{"landmark": mark}, {"sky": "moon", "behind": mark}]))
    return data


def profiles() -> st.SearchStrategy[dict[str, Any]]:
    """A gear profile as raw data."""
    return records(Profile).map(lambda data: {"fieldplan_profile": 1, **data})
