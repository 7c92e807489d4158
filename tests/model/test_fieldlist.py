"""The list of fields against the readers: what it shows of a file is read by the program, and no field is missing."""

from __future__ import annotations

import tomllib
from collections import defaultdict

import pytest

from fieldplan.model.fieldlist import examples, field_list
from fieldplan.model.fields import Record
from fieldplan.model.forms import fields_of
from fieldplan.model.gear import Profile
from fieldplan.model.plan import Plan
from fieldplan.model.schema import records_in, slots_of

LINES: dict[type[Record], dict[str, str]] = defaultdict(dict)
for _record, _field, _text in examples():
    LINES[_record][_field.key] = _text


def _held(record: type[Record], seen: set[type[Record]]) -> set[type[Record]]:
    for slot in slots_of(record).values():
        for inner in records_in(slot.info):
            if inner not in seen:
                seen.add(inner)
                _held(inner, seen)
    return seen


def _shared(record: type[Record]) -> dict[str, str]:
    """Lines of the class itself and of what it rests on."""
    return {key: text for kind in reversed(record.__mro__) for key, text in LINES.get(kind, {}).items()}


@pytest.mark.parametrize(("record", "key"), [(record, key) for record in LINES for key in LINES[record]])
def test_the_example_of_a_field_is_read(record: type[Record], key: str) -> None:
    """With what the record needs, and what this field wants beside it."""
    beside = {"from": ["to"], "to": ["from"], "sharp_to": ["sharp_from"]}.get(key, [])
    if record.__name__ == "Reading" and key in ("time", "date", "of"):
        beside = ["ev"]
    if record.__name__ == "Reading" and key in ("f_number", "shutter", "iso"):
        beside = ["f_number", "shutter", "iso"]
    lines = _shared(record)
    needed = {field.key for field in fields_of(record) if field.required}
    text = "\n".join(f"{name} = {lines[name]}" for name in {*needed, key, *beside})
    made = record.model_validate(tomllib.loads(text), context={"units": "metric"})
    assert slots_of(record)[key].attribute in made.model_fields_set


def test_every_field_of_every_record_is_told() -> None:
    for record in _held(Plan, {Plan}) | _held(Profile, {Profile}):
        plain = {field.key for field in fields_of(record) if not field.nested}
        assert plain <= set(_shared(record)), record
    told = field_list()
    assert all(f"`{key} = " in told for lines in LINES.values() for key in lines)
