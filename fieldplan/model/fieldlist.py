"""Every field that a plan or a profile may hold, told from the declarations themselves, so that none is left out."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from fieldplan.model import gear, plan, taken
from fieldplan.model.fields import Record
from fieldplan.model.forms import FormField, fields_of
from fieldplan.model.tomltext import literal
from fieldplan.notation.numbers import read_number

_TRUTHS = {"yes": "true", "no": "false"}
_HEAD = """# Fields: what a plan and a profile may hold

Each with an example as it stands in a file. Those with * are needed; all others may be left out. The screen calls a \
field by its key, or by the words behind it.
"""
_PLAN: tuple[tuple[str, str, type[Record]], ...] = (
    ("A plan, at its top", "", plan.Plan),
    ("[site]", "where it is", plan.Site),
    ("skyline, in [site]", "the line of the ground, a list of tables", plan.SkylinePoint),
    ("[[site.landmark]]", "what moon and sun are to stand at", plan.Landmark),
    ("[[site.viewpoint]]", "other places to stand", plan.Viewpoint),
    ("[[reading]]", "of a meter", plan.Reading),
    ("[[shot]]", "one picture that is wanted", plan.Shot),
    ("subject of a shot, your own", "", plan.OwnSubject),
    ("subject of a shot, in the sky", "", plan.SkySubject),
    ("subject of a shot, a landmark", "", plan.LandmarkSubject),
    ("rig of a shot", "only this body and lens answer", plan.RigChoice),
    ("[[taken]]", "the log", taken.LogEntry),
)
_PROFILE: tuple[tuple[str, str, type[Record]], ...] = (
    ("A profile, at its top", "", gear.Profile),
    ("[photographer]", "your own figures", gear.Photographer),
    ("Every thing of the gear", "what each of the following may say besides its own", gear.Item),
    *((f"[[{key}]]", "", kind) for key, (_, kind) in gear.LISTS.items() if kind is not gear.Bag),
    ("[[bag]]", "nothing of its own", gear.Bag),
)


def field_list() -> str:
    """The list as a chapter of the guide: a title, a paragraph for each table, a point for each field."""
    parts = [_HEAD]
    for title, what, record in (*_PLAN, *_PROFILE):
        points = [_point(field) for field in _own(record)]
        parts.append(f"**{title}**{f': {what}' if what else ''}\n\n" + "\n".join(points) + "\n")
    return "\n".join(parts)


def examples() -> Iterator[tuple[type[Record], FormField, str]]:
    """Each field with its example as TOML."""
    for _, _, record in (*_PLAN, *_PROFILE):
        for field in _own(record):
            yield record, field, toml_example(field)


def _own(record: type[Record]) -> list[FormField]:
    """Its plain fields, without those that every thing of the gear has."""
    shared = {f.key for f in fields_of(gear.Item)} if issubclass(record, gear.Item) and record is not gear.Item else ()
    return [field for field in fields_of(record) if not field.nested and field.key not in shared]


def toml_example(field: FormField) -> str:
    """The example of a field as it stands in a file: numbers, dates and truths bare, texts in quotes."""
    text = field.example
    if field.sort == "flag":
        return _TRUTHS[text]
    if field.sort == "date":
        return dt.date.fromisoformat(text).isoformat()
    if field.sort == "clock":
        return dt.time.fromisoformat(text).isoformat()
    if field.sort in ("names", "formats"):
        return literal([part.strip() for part in text.split(",")])
    if field.bounds is not None:
        return literal(_number(text))
    return literal(text)


def _number(text: str) -> int | float | str:
    try:
        number = read_number(text)
    except ValueError:
        return text
    return int(number) if number == int(number) else number


def _point(field: FormField) -> str:
    label = "" if field.label == field.key.replace("_", " ") else field.label
    choices = f"one of {', '.join(field.choices)}" if field.choices else ""
    left_out = f"left out: {_TRUTHS.get(field.default_text, field.default_text)}" if field.default_text else ""
    notes = "; ".join(note for note in (label, field.help, choices, left_out) if note)
    return f"- `{field.key} = {toml_example(field)}`{'*' if field.required else ''}{f' {notes}' if notes else ''}"
