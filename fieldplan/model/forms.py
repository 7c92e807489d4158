"""What a face needs in order to show and edit any record without knowing it: its fields, and their texts."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any, get_args

from pydantic.fields import FieldInfo
from pydantic_core import PydanticUndefined

from fieldplan.model import fields as t
from fieldplan.model.fields import Bounds, Reader, Record
from fieldplan.model.schema import Slot, is_list_of_records, marks_of, records_in, slots_of
from fieldplan.model.tomltext import literal
from fieldplan.notation.numbers import trimmed
from fieldplan.notation.quantity import Kind

__all__ = ["FormField", "data_text", "field_of", "fields_of", "text_of"]


@dataclass(frozen=True)
class FormField:
    """One field as a person sees it.

    key: as in the file; sort: the word for its type in lower case ("distance", "iso", "flag", "clock", "choice",
    "subject", "records" ...); kind: of quantities; bounds: of plain numbers; nested: holds records of its own, to be
    shown as a form or a list of its own.
    """

    key: str
    label: str
    example: str
    help: str
    required: bool
    choices: tuple[str, ...]
    default_text: str
    kind: Kind | None
    nested: bool
    sort: str = ""
    bounds: Bounds | None = None
    many: bool = False


@cache
def _sorts() -> Mapping[int, str]:
    """The word for each field type, by the identity of its reader."""
    found: dict[int, str] = {}
    for name, alias in vars(t).items():
        for mark in get_args(alias)[1:]:
            if isinstance(mark, Reader):
                found[id(mark)] = name.lower()
    return found


@cache
def fields_of(record: type[Record]) -> tuple[FormField, ...]:
    """The fields that a person may edit, in the order of the class; the version of the file is none of them."""
    return tuple(_form_field(key, slot) for key, slot in slots_of(record).items() if slot.info.title)


TABLES = ("subject", "record", "records", "names", "formats")  # sorts of fields whose text may be a TOML table or list


def field_of(record: type[Record], key: str) -> FormField | None:
    """The field under a TOML key, or None."""
    return next((field for field in fields_of(record) if field.key == key), None)


def _form_field(key: str, slot: Slot) -> FormField:
    info = slot.info
    marks = marks_of(info)
    kind = next((mark for mark in marks if isinstance(mark, Kind)), None)
    bounds = next((mark for mark in marks if isinstance(mark, Bounds)), None)
    choices = next((mark for mark in marks if type(mark) is tuple), ())
    held = records_in(info)
    subject = bool(held) and str in marks
    many = is_list_of_records(info)
    named = next((_sorts()[id(mark)] for mark in marks if id(mark) in _sorts()), "")
    sort = "subject" if subject else "records" if many else "record" if held else "choice" if choices else named
    return FormField(
        key=key,
        label=info.title or key,
        example=str(info.examples[0]) if info.examples else "",
        help=info.description or "",
        required=info.is_required(),
        choices=choices,
        default_text=_default_text(info, bool(held)),
        kind=kind,
        nested=bool(held) and not subject,
        sort=sort,
        bounds=bounds,
        many=many,
    )


def _default_text(info: FieldInfo, nested: bool) -> str:
    default = info.default
    return "" if nested or default is None or default is PydanticUndefined else data_text(default)


def text_of(record: Record, key: str) -> str:
    """A field's text as it was typed; "" when not set, or a list of records. KeyError for an unknown key."""
    slot = slots_of(type(record))[key]
    if slot.attribute not in record.model_fields_set:
        return ""
    value = getattr(record, slot.attribute)
    field = field_of(type(record), key)
    if isinstance(value, str) and value[:1] in ("{", "[", '"') and field is not None and field.sort in TABLES:
        return literal(value)
    return "" if isinstance(value, tuple) and is_list_of_records(slot.info) else data_text(value)


def data_text(value: Any) -> str:
    """One value as a person would type it into a field."""
    if value is None:
        return ""
    if isinstance(value, Record):
        return literal(value.model_dump(by_alias=True, exclude_unset=True, exclude_none=True))
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, dt.time):
        return value.isoformat("minutes" if not value.second and not value.microsecond else "auto")
    if isinstance(value, dt.date):
        return value.isoformat()
    if hasattr(value, "typed"):
        return str(value.typed)
    if isinstance(value, (int, float)):
        return trimmed(value, 12)
    if isinstance(value, (tuple, list)):
        return _list_text(data_text(part) for part in value)
    return str(value)


def _list_text(parts: Iterable[str]) -> str:
    """Names with commas between them; as a TOML list where a name holds a comma itself."""
    texts = list(parts)
    if any("," in text or text != text.strip() or text.startswith("[") for text in texts):
        return "[" + ", ".join(literal(text) for text in texts) + "]"
    return ", ".join(texts)
