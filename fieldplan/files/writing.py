"""Writes plans and gear profiles as TOML; what is not set is left out.

The program writes its own tables: [[lens]] stays [[lens]], however short, so that a file that a person wrote keeps the
shape in which the next record is added by hand.
"""

from __future__ import annotations

from typing import Any

import tomli_w

from fieldplan.files import versions
from fieldplan.model.fields import Record
from fieldplan.model.gear import Profile
from fieldplan.model.plan import Plan
from fieldplan.model.schema import is_list_of_records, records_in, slots_of
from fieldplan.model.tomltext import literal

_SMALL = 2  # a record of so few fields stays on one line in a list: a point of a skyline


def to_toml(value: Plan | Profile) -> str:
    """A plan or profile as TOML text, its version first."""
    key = versions.PLAN_KEY if isinstance(value, Plan) else versions.PROFILE_KEY
    blocks = _blocks(value, "", _dumped(value), {key: versions.CURRENT[key]})
    return "\n".join(block for block in blocks if block)


def _dumped(record: Record) -> dict[str, Any]:
    """What was set, as it was typed."""
    return record.model_dump(by_alias=True, exclude_unset=True, exclude_none=True)


def _line(key: str, value: Any) -> str:
    """One key with its value; lists and tables stay on the line, where tomli-w would spread them over several."""
    if isinstance(value, (dict, list, tuple)):
        return f"{key} = {literal(value)}"
    return tomli_w.dumps({key: value}).rstrip("\n")


def _blocks(record: Record, header: str, data: dict[str, Any], first: dict[str, Any] | None = None) -> list[str]:
    """A table and the tables under it. header: the line above, "" for the whole file."""
    lines = [header] if header else []
    lines += [_line(key, value) for key, value in (first or {}).items()]
    below: list[str] = []
    name = header.strip("[]")
    for key, slot in slots_of(type(record)).items():
        if key not in data or (first and key in first):
            continue
        held, path = records_in(slot.info), f"{name}.{key}" if name else key
        if is_list_of_records(slot.info) and len(slots_of(held[0])) > _SMALL:
            parts = zip(getattr(record, slot.attribute), data[key], strict=True)
            below += [text for part, row in parts for text in _blocks(part, f"[[{path}]]", row)]
        elif is_list_of_records(slot.info):
            rows = "".join(f"  {literal(row)},\n" for row in data[key])
            lines.append(f"{key} = [\n{rows}]")
        elif held and not header.startswith("[["):
            below += _blocks(getattr(record, slot.attribute), f"[{path}]", data[key])
        else:
            lines.append(_line(key, data[key]))
    return [("\n".join(lines) + "\n") if lines else "", *below]
